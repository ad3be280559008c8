"""What a person at the fermenter wants to know of a mash now. static/book/mashView.js is the twin.

Extract that has fermented: its mass times (OE - RE) / OE; 560 kJ, within 10 %, and 0.9565 / 2.0665 kg of carbon dioxide
for each kg of it (Balling's mass balance). The earliest end is a straight line through the last two gravities.
"""

from server.book.mashes import WATER_KG_L, fermented, plato
from server.reckon.ferment import HEAT_KJ_KG

CO2_SHARE = 0.9565 / 2.0665
REAL_SHARE = 0.8192  # of a drop in apparent extract is one of real extract
END_SG = 1.000  # a grain wash ends at 0.998 to 1.005 (distilling handbooks, from memory)


def mash_view(mash: dict, now: int) -> dict:
    """Figures of a mash at a moment; None for what cannot be known yet.

    now: ms
    """
    read = [one for one in mash["ferment"] if one["sg"] is not None]
    start = [{"at": mash["pitched_at"], "sg": mash["original_sg"]}] if mash["original_sg"] is not None else []
    drop = rate([*start, *read])
    seen = {"hours": hours(mash, now), "drop_sg_24h": drop, "earliest_end_at": earliest(start + read, drop)}
    seen |= {"attenuation": None, "fermented_kg": None, "co2_kg": None, "heat_kj": None, "heat_kw": None}
    if mash["original_sg"] is None or mash["final_sg"] is None:
        return seen
    seen["attenuation"] = fermented(mash["original_sg"], mash["final_sg"])
    litres = volume_of(mash)
    if litres is not None and mash["alcohol"] is not None:
        oe = plato(mash["original_sg"])
        wort_kg = litres * mash["original_sg"] * WATER_KG_L
        gone = wort_kg * (oe - mash["alcohol"]["real_extract_pct"]) / 100.0
        seen |= {"fermented_kg": gone, "co2_kg": gone * CO2_SHARE, "heat_kj": gone * HEAT_KJ_KG}
        seen["heat_kw"] = power(wort_kg, [*start, *read])
    return seen


def hours(mash: dict, now: int) -> float | None:
    return None if mash["pitched_at"] is None else (now - mash["pitched_at"]) / 3600000.0


def volume_of(mash: dict) -> float | None:
    """Litres at pitching; else the last that was read of the mash."""
    if mash["pitch"] and mash["pitch"]["volume_l"] is not None:
        return mash["pitch"]["volume_l"]
    return next((one["volume_l"] for one in reversed(mash["readings"]) if one["volume_l"] is not None), None)


def rate(points: list) -> float | None:
    """Fall of the gravity in 24 hours, by the last two readings."""
    if len(points) < 2 or points[-1]["at"] <= points[-2]["at"]:
        return None
    before, last = points[-2], points[-1]
    return (before["sg"] - last["sg"]) / ((last["at"] - before["at"]) / 86400000.0)


def earliest(points: list, drop: float | None) -> int | None:
    if drop is None or drop <= 0:
        return None
    rest = points[-1]["sg"] - END_SG
    return points[-1]["at"] + int(max(rest, 0.0) / drop * 86400000.0)


def power(wort_kg: float, points: list) -> float | None:
    """Heat given off between the last two readings, kW."""
    if rate(points) is None:
        return None
    before, last = points[-2], points[-1]
    share = REAL_SHARE * (plato(before["sg"]) - plato(last["sg"])) / 100.0
    return wort_kg * share * HEAT_KJ_KG / ((last["at"] - before["at"]) / 1000.0)
