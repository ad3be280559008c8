"""A bottling against its label, its nominal quantity and its market. static/book/bottleChecks.js is the twin.

Limits stand in reckon's markets.json with the document of each. A fill is weighed, and becomes millilitres at 20 °C
by what the tank's gauge says a bottle weighs; where the law counts content at another temperature, at that one. A US
label states the strength at 60 °F, half the proof: what was read is brought to it before it is compared.
"""

import math

from server.book.figures import as_labelled, is_by_proof, one_decimal
from server.book.findings import add
from server.book.gauges import extract_of, pct_of, strength_of
from server.reckon import ReckonError, mixture, reckon, view
from server.reckon.density import SIXTY_F_C
from server.reckon.fill import negative_error_tenths
from server.reckon.tables import MARKETS
from server.reckon.units import to_base

DEFECTIVE_PCT = 2.5  # of the packages may be short by one negative error (Trading Standards' guidance, read)


def market_of(state: dict) -> tuple[dict, str]:
    """The limits of the house's market; those of "own", which has none, before one is chosen."""
    name = (state["site"] or {}).get("market")
    name = name if isinstance(name, str) and name in MARKETS["markets"] else "own"
    return MARKETS["markets"][name], name


def of_drink(market: dict, drink: str | None) -> dict:
    """The limits of a market for what a bottling says it is; a vodka's where it says nothing."""
    return {**market, **market.get("drinks", {}).get(drink, {})}


def hundredths(value: float) -> int:
    """Brought to hundredths before a comparison: whole milligrams may leave 39.9999999 of what was read as 40.0."""
    return math.floor(value * 100.0 + 0.5)


def bottled(walk: dict, record: dict, said: dict, lot: dict, each: dict) -> None:
    market, name = market_of(walk["state"])
    drink = said.get("drink") or "vodka"
    market = of_drink(market, drink)
    seen = view(each["ethanol_mg"], each["liquid_mg"], each["extract_mg"])
    fills = [one for one in (fill_ml(row["net"], each, lot["size_ml"]) for row in said.get("fill_checks") or ()) if one]
    read = [one for one in (check_abv(row, each) for row in said.get("strength_checks") or ()) if one is not None]
    extract = each["extract_mg"] / lot["size_ml"]
    check = {
        "id": record["entry"]["id"],
        "tank_abv_pct": seen["abv_pct"],
        "strengths_pct": read,
        "fills_ml": fills,
        "average_ml": average(fills),
        "extract_g_l": extract,
    }
    lot["checks"].append(check)
    strength_findings(walk, lot, check, market, (name, drink))
    fill_findings(walk, record, lot, check, market)
    sugar_findings(walk, lot, check, market.get("sweetening_max_g_l"), (name, drink))


def sugar_findings(walk: dict, lot: dict, check: dict, limit: dict | None, names: tuple[str, str]) -> None:
    if not limit or not is_too_sweet(sugar_counted(check["extract_g_l"], limit), limit):
        return
    name, drink = names
    extract, counted = check["extract_g_l"], sugar_counted(check["extract_g_l"], limit)
    say = f"Lot {lot['lot']} has {one_decimal(extract)} g/L of extract"
    say += f", {one_decimal(counted)} as invert sugar" if limit.get("per_extract") else ""
    say += f"; {drink} may have {'less than ' if limit.get('less_than') else ''}{limit['value']} ({name})."
    do = "Sell it under another name, or look at what went in."
    add(walk, f"sweetening/{check['id']}", "note", say, do, [check["id"]])


def is_too_sweet(counted: float, limit: dict) -> bool:
    """Beyond what is allowed; at it already where the law says "less than"."""
    return hundredths(counted) + (1 if limit.get("less_than") else 0) > limit["value"] * 100


def sugar_counted(extract_g_l: float, limit: dict) -> float:
    """Extract as a market's limit counts it: where that is as invert sugar, as the careful side does of sucrose."""
    return extract_g_l * limit["per_extract"] if limit.get("per_extract") else extract_g_l


def average(values: list) -> float | None:
    total = 0.0
    for value in values:
        total = total + value
    return total / len(values) if values else None


def fill_ml(net: dict, each: dict, size_ml: float) -> float | None:
    """Millilitres at 20 °C of a net weight read on a scale."""
    try:
        pct = pct_of(each["ethanol_mg"], each["liquid_mg"])
        weighed = mixture({"weight_in_air_kg": to_base(net), "mass_pct": pct, **extract_of(each)})["mass_kg"] * 1e6
    except ReckonError:
        return None
    return weighed / each["liquid_mg"] * size_ml if each["liquid_mg"] > 0 else None


def check_abv(row: dict, each: dict) -> float | None:
    """True % vol of a strength check, the extract of the bottle put right; None where it cannot be reckoned."""
    try:
        masses = mixture({"volume_l": 1.0, "temperature_c": 20.0, **extract_of(each), **strength_of(row)})
    except ReckonError:
        return None
    return view(*(int(masses[name] * 1e9) for name in ("ethanol_kg", "mass_kg", "extract_kg")))["abv_pct"]


def labelled_lpa(litres: float, label_pct: float, market: dict) -> float:
    """Litres of pure alcohol at 20 °C by what stands on bottles: size and strength at 20 °C, in the US at 60 °F.

    source: 26 USC 5002(a)(10), (11): a proof gallon is a gallon at 60 °F of which half is alcohol
    """
    if not is_by_proof(market):
        return litres * label_pct / 100.0
    whole = {"volume_l": litres, "temperature_c": SIXTY_F_C, "proof": 2.0 * label_pct}
    return reckon({"want": "quantity", **whole})["lpa_l"]


def label_words(value: float, market: dict) -> str:
    """ "40.2 %vol", or where the label goes by proof "80.4 proof (40.2 % alc/vol)"."""
    plain = one_decimal(value)
    return f"{one_decimal(2.0 * value)} proof ({plain} % alc/vol)" if is_by_proof(market) else f"{plain} %vol"


def strength_findings(walk: dict, lot: dict, check: dict, market: dict, names: tuple[str, str]) -> None:
    name, drink = names
    label, ids, tolerance = lot["label_abv_pct"], [check["id"]], market.get("label_tolerance_pct")
    for value in [as_labelled(one, market) for one in (check["tank_abv_pct"], *check["strengths_pct"])]:
        if tolerance and value is not None and abs(hundredths(value) - hundredths(label)) > tolerance["value"] * 100:
            say = f"Lot {lot['lot']} was read at {label_words(value, market)},"
            say += f" and its label says {one_decimal(label)} (±{tolerance['value']}, {name})."
            at = "60 °F" if is_by_proof(market) else "20 °C"
            do = f"Hold the lot; read it again at {at}, and relabel or correct the strength."
            add(walk, f"label_strength/{check['id']}", "look", say, do, ids)
            break
    least = market.get("bottled_min_abv_pct")
    if least and hundredths(label) < least["value"] * 100:
        words = label_words(label, market)
        say = f"Lot {lot['lot']} is labelled {words}; {drink} has at least {least['value']} ({name})."
        do = f"It is not {drink} in that market: name it otherwise."
        add(walk, f"label_weak/{check['id']}", "note", say, do, ids)


def fill_findings(walk: dict, record: dict, lot: dict, check: dict, market: dict) -> None:
    """The average, and the two lines below the nominal quantity; or the variation that the US allows."""
    fills, size, ids, tag = check["fills_ml"], lot["size_ml"], [check["id"]], lot["lot"]
    if not fills:
        return
    if hundredths(check["average_ml"]) < size * 100:
        say = f"The fills of lot {tag} average {one_decimal(check['average_ml'])} mL of {size}."
        add(walk, f"fill_average/{check['id']}", "look", say, "Set the filler higher and check again.", ids)
    tenths = negative_error_tenths(market.get("negative_errors"), size)
    error = None if tenths is None else tenths / 10.0
    if error is not None:
        second = [one for one in fills if hundredths(one) < hundredths(size - 2 * error)]
        first = [one for one in fills if hundredths(one) < hundredths(size - error)]
        if second:
            line = one_decimal(size - 2 * error)
            say = f"{len(second)} of {len(fills)} fills of lot {tag} are under the second line ({line} mL)."
            do = "Stop the line. None of these may be sold: take them out and look for more."
            add(walk, f"fill_second/{check['id']}", "stop", say, do, ids)
        if len(first) * 100 > DEFECTIVE_PCT * len(fills):
            line = one_decimal(size - error)
            say = f"{len(first)} of {len(fills)} fills of lot {tag} are under the first line ({line} mL)."
            do = "At most 2.5 % may be: set the filler, check more."
            add(walk, f"fill_first/{check['id']}", "look", say, do, ids)
    variation(walk, lot, check, market)


def variation(walk: dict, lot: dict, check: dict, market: dict) -> None:
    bands, size = (market.get("fill_variation") or {}).get("bands") or (), lot["size_ml"]
    band = next(
        (one for one in bands if one["from_ml"] <= size and (one["to_ml"] is None or size <= one["to_ml"])), None
    )
    if band is None:
        return
    off = [one for one in check["fills_ml"] if abs(hundredths(one) - size * 100) > size * band["value"]]
    if off:
        say = (
            f"{len(off)} of {len(check['fills_ml'])} fills of lot {lot['lot']} are off by more than {band['value']} %."
        )
        add(walk, f"fill_variation/{check['id']}", "look", say, "Set the filler; check more bottles.", [check["id"]])
