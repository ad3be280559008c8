"""Figures inside findings, written alike in both languages. static/book/figures.js is the twin."""

import math

from server.reckon.liquid import lpa_l, proof_gallons


def one_decimal(value: float) -> str:
    """One decimal, half up, with a real minus: neither language's own rounding, since they differ on ties."""
    tenths = math.floor(abs(value) * 10.0 + 0.5)
    sign = "−" if value < 0 and tenths > 0 else ""
    return f"{sign}{tenths // 10}.{tenths % 10}"


def alcohol_unit(site: object) -> str:
    """The unit in which a house counts its pure alcohol: LPA or PG."""
    units = site.get("units") if isinstance(site, dict) else None
    return "PG" if isinstance(units, dict) and units.get("alcohol") == "PG" else "LPA"


def unit_of_house(records: dict, order: list) -> str:
    """By the last set-up of the house that counts: the words of a finding do not change with when it was found."""
    sites = [records[one]["entry"] for one in order if records[one]["live"]]
    sites = [entry for entry in sites if entry.get("kind") == "site"]
    return alcohol_unit(sites[-1].get("said")) if sites else "LPA"


def bare_alcohol(ethanol_mg: int, unit: str) -> str:
    """The figure alone, for a plus-minus that stands behind another one."""
    kg = ethanol_mg / 1e6
    return one_decimal(proof_gallons(kg) if unit == "PG" else lpa_l(kg))


def alcohol_of(ethanol_mg: int, unit: str) -> str:
    """ "40.3 LPA", or "21.2 PG" in a house that counts in proof gallons."""
    return f"{bare_alcohol(ethanol_mg, unit)} {unit}"


def serials(entry: dict) -> str:
    device = entry.get("device")
    letters = device.split(".")[0] if isinstance(device, str) else "?"
    n = entry.get("n")
    return f"{letters}-{n if isinstance(n, int) and not isinstance(n, bool) else '?'}"
