"""Figures inside findings, written alike in both languages. static/book/figures.js is the twin."""

import math

from server.reckon import reckon
from server.reckon.liquid import lpa_l, proof_gallons
from server.reckon.units import from_base

WORDS = {  # of the units that a house may count in; the first is the usual one
    "volume": {"L": "L", "hL": "hL", "usgal": "gal"},
    "mass": {"kg": "kg", "lb": "lb"},
    "temperature": {"C": "°C", "F": "°F"},
    "strength": {"abv": "%vol", "proof": "proof"},
    "alcohol": {"LPA": "LPA", "PG": "PG"},
}


def fixed(value: float, scale: int) -> str:
    """As many decimals as `scale` (10, 100, ...) has zeros, half up, with a real minus.

    Neither language's own rounding, since they differ on ties.
    """
    parts = math.floor(abs(value) * scale + 0.5)
    sign = "−" if value < 0 and parts > 0 else ""
    return f"{sign}{parts // scale}.{str(parts % scale).rjust(len(str(scale)) - 1, '0')}"


def one_decimal(value: float) -> str:
    return fixed(value, 10)


def units_of(site: object) -> dict[str, str]:
    """The units in which a house counts, by dimension; the usual one where it does not say."""
    said = site.get("units") if isinstance(site, dict) else None
    said = said if isinstance(said, dict) else {}
    return {name: chosen(said.get(name), words) for name, words in WORDS.items()}


def chosen(unit: object, words: dict) -> str:
    return unit if isinstance(unit, str) and unit in words else next(iter(words))


def units_of_house(records: dict, order: list) -> dict[str, str]:
    """By the last set-up of the house that counts: the words of a finding do not change with when it was found."""
    sites = [records[one]["entry"] for one in order if records[one]["live"]]
    sites = [entry for entry in sites if entry.get("kind") == "site"]
    return units_of(sites[-1].get("said") if sites else None)


def bare_alcohol(ethanol_mg: int, units: dict) -> str:
    """The figure alone, for a plus-minus that stands behind another one."""
    kg = ethanol_mg / 1e6
    return one_decimal(proof_gallons(kg) if units["alcohol"] == "PG" else lpa_l(kg))


def alcohol_of(ethanol_mg: int, units: dict) -> str:
    """ "40.3 LPA", or "21.2 PG" in a house that counts in proof gallons."""
    return f"{bare_alcohol(ethanol_mg, units)} {units['alcohol']}"


def volume_words(litres: float, units: dict) -> str:
    """ "412.0 L"; a hectolitre two decimals finer, so that it hides no more than a litre does."""
    unit = units["volume"]
    return f"{fixed(from_base(litres, unit), 1000 if unit == 'hL' else 10)} {WORDS['volume'][unit]}"


def mass_words(kg: float, units: dict) -> str:
    return f"{one_decimal(from_base(kg, units['mass']))} {units['mass']}"


def temperature_words(celsius: float, units: dict) -> str:
    return f"{one_decimal(from_base(celsius, units['temperature']))} {WORDS['temperature'][units['temperature']]}"


def kelvin_words(by: float, units: dict) -> str:
    """A difference of temperatures."""
    return f"{one_decimal(by * 9.0 / 5.0)} °F" if units["temperature"] == "F" else f"{one_decimal(by)} °C"


def pressure_words(kpa: float, units: dict) -> str:
    """ "1.6 bar", or "23.2 psi" where the house reads Fahrenheit."""
    unit = "psi" if units["temperature"] == "F" else "bar"
    return f"{one_decimal(from_base(kpa, unit))} {unit}"


def bare_strength(abv_pct: float, units: dict) -> str:
    return one_decimal(reckon({"want": "strength", "abv_pct": abv_pct})["proof"] if is_proof(units) else abv_pct)


def strength_words(abv_pct: float, units: dict) -> str:
    return f"{bare_strength(abv_pct, units)} {WORDS['strength'][units['strength']]}"


def pct_words(by: float, units: dict) -> str:
    """A difference of strengths: a proof is half a %vol."""
    return f"{one_decimal(2.0 * by)} proof" if is_proof(units) else f"{one_decimal(by)} %vol"


def is_proof(units: dict) -> bool:
    return units["strength"] == "proof"


def is_by_proof(market: dict) -> bool:
    """Whether a strength that the market's law or a label names stands for 60 °F."""
    at = market.get("strength_at")
    return bool(at) and at["value"] == "60 °F"


def as_labelled(abv_pct: float | None, market: dict) -> float | None:
    """A true % vol at 20 °C as the market's law and its labels state it."""
    if abv_pct is None or not is_by_proof(market):
        return abv_pct
    return reckon({"want": "strength", "abv_pct": abv_pct})["proof"] / 2.0


def serials(entry: dict) -> str:
    device = entry.get("device")
    letters = device.split(".")[0] if isinstance(device, str) else "?"
    n = entry.get("n")
    return f"{letters}-{n if isinstance(n, int) and not isinstance(n, bool) else '?'}"
