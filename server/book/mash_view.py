"""What a person at the fermenter wants to know of a mash now. static/book/mashView.js is the twin.

Extract that has fermented: its mass times (OE - RE) / OE; 560 kJ, within 10 %, and 0.9565 / 2.0665 kg of carbon dioxide
for each kg of it (Balling's mass balance). The earliest end is a straight line through the last two gravities; the
latest is a fall that slows in proportion to what is left (common practice, no source).
"""

import math

from server.book.mashes import WATER_KG_L, cold_l, fermented, plato
from server.reckon.ferment import HEAT_KJ_KG

CO2_SHARE = 0.9565 / 2.0665
CO2_KG_M3 = 1.839  # at 20 °C and 101.325 kPa (CoolProp)
REAL_SHARE = 0.8192  # of a drop in apparent extract is one of real extract
END_SG = 1.000  # a grain wash ends at 0.998 to 1.005 (distilling handbooks, from memory)
LOW_SG, DONE_SG = 0.998, 0.001  # the slow end falls to 0.998, and is there within a degree of gravity
MASH_KJ_KG_K, WATER_KJ_KG_K = 4.0, 4.18  # a mash, as for the warming of a ferment; water


def mash_view(mash: dict, now: int) -> dict:
    """Figures of a mash at a moment; None for what cannot be known yet.

    now: ms
    """
    read = [one for one in mash["ferment"] if one["sg"] is not None]
    start = [{"at": mash["pitched_at"], "sg": mash["original_sg"]}] if mash["original_sg"] is not None else []
    drop = rate([*start, *read])
    seen = {"hours": hours(mash, now), "drop_sg_24h": drop, "earliest_end_at": earliest(start + read, drop)}
    seen["latest_end_at"] = latest(start + read, drop)
    seen |= {"cooling": cooling_of(mash)}
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
    """Litres at pitching, else the last that were read of the mash; brought to 20 °C."""
    pitched = [mash["pitch"]] if mash["pitch"] else []
    read = next((one for one in [*pitched, *reversed(mash["readings"])] if one["volume_l"] is not None), None)
    return cold_l(read["volume_l"], read["temperature_c"]) if read else None


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


def latest(points: list, drop: float | None) -> int | None:
    if drop is None or drop <= 0:
        return None
    rest = points[-1]["sg"] - LOW_SG
    days = rest / drop * math.log(rest / DONE_SG) if rest > DONE_SG else 0.0
    return max(points[-1]["at"] + int(days * 86400000.0), earliest(points, drop))


def cooling_of(mash: dict) -> dict | None:
    """What cooling to the pitch took; None where the volume or a temperature is not known."""
    pitch, litres = mash["pitch"], volume_of(mash)
    if not pitch or litres is None or mash["original_sg"] is None or pitch["cooled_from_c"] is None:
        return None
    mass_kg = litres * mash["original_sg"] * WATER_KG_L
    warm, cold = pitch["cooled_from_c"], pitch["temperature_c"]
    return chill(mass_kg, warm - cold, pitch["cooler_in_c"], pitch["cooler_out_c"], pitch["minutes"])


def chill(mass_kg: float, by_k: float, in_c: float | None, out_c: float | None, minutes: float | None) -> dict | None:
    """Heat to be taken out of a mash, the water that takes it, and the duty where the time is known.

    source: mass times specific heat times the difference, on either side
    """
    if by_k <= 0:
        return None
    heat_kj = mass_kg * MASH_KJ_KG_K * by_k
    warms = in_c is not None and out_c is not None and out_c > in_c
    water_kg = heat_kj / (WATER_KJ_KG_K * (out_c - in_c)) if warms else None
    return {"heat_kj": heat_kj, "water_kg": water_kg, "duty_kw": heat_kj / (minutes * 60.0) if minutes else None}


def power(wort_kg: float, points: list) -> float | None:
    """Heat given off between the last two readings, kW."""
    if rate(points) is None:
        return None
    before, last = points[-2], points[-1]
    share = REAL_SHARE * (plato(before["sg"]) - plato(last["sg"])) / 100.0
    return wort_kg * share * HEAT_KJ_KG / ((last["at"] - before["at"]) / 1000.0)
