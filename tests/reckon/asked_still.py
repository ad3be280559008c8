"""Seeded questions of the wants that make no lines in the book: boiling, runs, ladders, mash, heat, filling."""

from reckon.asked import BAD, Asker


def pressure(ask: Asker) -> dict:
    return ask.random.choice(({"pressure_kpa": ask.between(30, 105)}, {"altitude_m": ask.between(-300, 9000)}))


def _boil(ask: Asker) -> dict:
    return {"abv_pct": ask.between(0, 100)} | pressure(ask)


def _pot_strength(ask: Asker) -> dict:
    return {"kettle_c": ask.between(76, 100)} | pressure(ask)


def _ladder(ask: Asker) -> dict:
    feed = ask.between(2, 50)
    said = {"feed_mole_pct": feed, "distillate_mole_pct": ask.between(feed + 5, 86), "reflux": ask.between(1, 20)}
    if ask.random.random() < 0.7:
        said |= ask.random.choice(({"bottoms_mole_pct": ask.between(0.1, 1)}, {"recovery_pct": ask.between(50, 99)}))
        said |= ask.random.choice(({}, {"open_steam": True}, {"feed_liquid": ask.between(0, 1)}))
    return said | ask.random.choice(({}, {"pressure_kpa": 96.5}, {"altitude_m": 600}))


def _run(ask: Asker) -> dict:
    strong = ask.between(6, 45)
    charge = {"volume_l": ask.between(200, 2000), "temperature_c": 20, "abv_pct": strong}
    if ask.random.random() < 0.3:
        charge["extract_g_l"] = ask.between(0, 60)
    said = {"charge": charge, "plates": ask.random.choice((0, 0, 1, 4, 14)), "efficiency": ask.between(0.3, 1)}
    said |= {"reflux": ask.between(0, 5), "holdup_l_per_plate": ask.random.choice((0, 0.5, 1.5))}
    return said | {"stop_abv_pct": ask.between(2, 50)} | pressure(ask)


def _yield(ask: Asker) -> dict:
    said = {"mass_kg": ask.between(1, 5000), "efficiency_pct": ask.between(60, 100)}
    sugars = ({}, {"sugar": "sucrose"}, {"sugar": "maltose"})
    by_sugar = {"sugar_pct": ask.between(5, 100)} | ask.random.choice(sugars)
    return said | ask.random.choice(({"starch_pct": ask.between(20, 75)}, by_sugar))


def _strike(ask: Asker) -> dict:
    said = {"grist_kg": ask.between(50, 500), "grist_c": ask.between(0, 30), "grist_heat": ask.between(0.3, 0.5)}
    said |= {"liquor_l": ask.between(300, 3000), "mash_c": ask.between(40, 80)}
    return said | ask.random.choice(({}, {"slaking_c": ask.between(0, 3)}))


def _heat_up(ask: Asker) -> dict:
    charge = {"volume_l": ask.between(200, 2000), "temperature_c": ask.between(10, 30), "abv_pct": ask.between(0, 70)}
    said = {"charge": charge, "from_c": ask.between(5, 40)}
    said |= ask.random.choice(({"to_c": ask.between(50, 80)}, {"pressure_kpa": ask.between(80, 105)}))
    said |= ask.random.choice(({}, {"steam_bar_g": ask.between(0.3, 8), "efficiency": ask.between(0.6, 1)}))
    return said | ask.random.choice(({}, {"copper_kg": ask.between(0, 900), "steel_kg": ask.between(0, 900)}))


def _cooling(ask: Asker) -> dict:
    said = {"distillate_20c_l_h": ask.between(1, 200), "abv_pct": ask.between(0, 97), "reflux": ask.between(0, 10)}
    return said | {"water_in_c": ask.between(5, 20), "water_out_c": ask.between(25, 70)}


def _fill(ask: Asker) -> dict:
    nominal = ask.random.choice((50, 100, 187.5, 200, 350, 375.5, 700, 750, 1000, 1750, 3000, 10001))
    said = {"nominal_ml": nominal, "abv_pct": ask.between(37, 60), "temperature_c": ask.between(5, 35)}
    if ask.random.random() < 0.3:
        said["extract_g_l"] = ask.between(0, 100)
    return said | {"market": ask.random.choice(("EU", "GB", "US", "own"))}


WANTS = {
    "run": _run,
    "yield": _yield,
    "strike": _strike,
    "heat_up": _heat_up,
    "cooling": _cooling,
    "fill": _fill,
    "boil": _boil,
    "pot_strength": _pot_strength,
    "ladder": _ladder,
}


def questions(want: str, count: int, seed: int) -> list[dict]:
    """Mostly good ones, every fourth spoilt in one place."""
    asker = Asker(seed)
    asked = [{"want": want} | WANTS[want](asker) for _ in range(count)]
    return [asker.spoilt(one) if at % 4 == 0 else one for at, one in enumerate(asked)]


def corners(want: str, seed: int) -> list[dict]:
    """One good question of a want, with every key in turn made bad in every way."""
    good = {"want": want} | WANTS[want](Asker(seed))
    return [good | {key: bad} for key in good if key != "want" for bad in (*BAD, 0, 1, 100)]
