"""Strength: from what was read to what it means, with extract (sugar, dry matter) where there is some.

A liquid with extract is ethanol and water as OIML R 22 has them, plus its extract at 0.62 L/kg at every temperature.
A strength said as % vol, % mass or proof is that of the whole liquid; a reading is of the liquid as it is,
extract and all, which is why a hydrometer lies in sugar. extract_g_l counts grams in a litre at 20 °C.
"""

from typing import NamedTuple

from server.reckon.asked import number, one_of
from server.reckon.density import (
    AT_20C,
    AT_60F,
    END_KG_M3,
    ETHANOL_20C,
    ETHANOL_60F,
    SIXTY_F_C,
    coefficients,
    density,
    fraction_at_abv,
    fraction_at_density,
    fraction_at_proof,
    horner,
    solve,
)
from server.reckon.refusal import figure, refuse
from server.reckon.tables import R22, SAYS

STRENGTHS = ("abv_pct", "mass_pct", "proof", "glass_pct", "density_kg_m3", "glass_proof")
READINGS = ("glass_pct", "density_kg_m3", "glass_proof")
GLASS_PER_K = R22["glass_expansion_per_k"]
EXTRACT_L_KG = R22["extract_l_per_kg"]
EXTRACT_M3_KG = EXTRACT_L_KG / 1000.0
AIR, WEIGHTS = R22["air_kg_m3"], R22["weights_kg_m3"]
WEIGHTS_LIFT = 1.0 - AIR / WEIGHTS


class Strength(NamedTuple):
    """p: ethanol in ethanol and water [kg/kg]; x: extract beside them [kg/kg of them]; abv_pct: of the whole."""

    p: float
    x: float
    abv_pct: float


def whole_density(p: float, x: float, t: float) -> float:
    """Density of ethanol, water and extract together [kg/m3]; p, x as in Strength; t [°C] not checked here."""
    return with_extract(density(p, t), x)


def with_extract(rho: float, x: float) -> float:
    """Density of a liquid of density rho [kg/m3] that also holds x kg of extract in each kg."""
    return rho * (1.0 + x) / (1.0 + EXTRACT_M3_KG * x * rho)


def abv_of(p: float, x: float) -> float:
    """Strength of the whole liquid in % vol at 20 °C."""
    return 100.0 * (p / (1.0 + x) * with_extract(horner(AT_20C, p), x) / ETHANOL_20C)


def proof_of(p: float, x: float) -> float:
    """US proof of the whole liquid: twice its % vol at 60 °F, by OIML R 22.

    The official US tables rest on an ethanol that is denser by about 0.1 kg/m3: above about 150 proof their last
    digits differ, and official records need those tables.
    """
    return 200.0 * (p / (1.0 + x) * with_extract(horner(AT_60F, p), x) / ETHANOL_60F)


def in_air(rho: float) -> float:
    """Apparent density in air [kg/m3] of 1.2 kg/m3 against weights of 8000 kg/m3; rho in vacuum."""
    return (rho - AIR) / WEIGHTS_LIFT


def read_strength(request: dict, path: str = "") -> Strength:
    """The strength in a question: exactly one of STRENGTHS, and extract_g_l where there is extract.

    raises: ReckonError for none, several, out of range, or a reading that no liquid gives
    """
    key = one_of(request, STRENGTHS, "strength", "no_strength", "two_strengths", path)
    value = number(request, key, path)
    e = number(request, "extract_g_l", path) if request.get("extract_g_l") is not None else 0.0
    room = 1.0 - EXTRACT_M3_KG * e  # litres of ethanol and water in a litre of the whole, at 20 °C
    if key in READINGS:
        p = _fraction_of_reading(request, key, value, e, room, path)
    else:
        p = _fraction_of_share(key, value, e, room, path)
    x = _extract_beside(p, e, room)
    return Strength(p, x, value if key == "abv_pct" else abv_of(p, x))


def _extract_beside(p: float, e: float, room: float) -> float:
    """Extract beside a kg of ethanol and water [kg/kg], from e [g/L]."""
    return 0.0 if e == 0.0 else e / (room * horner(AT_20C, p))


def _fraction_of_share(key: str, value: float, e: float, room: float, path: str) -> float:
    """p from a strength of the whole liquid."""
    if e == 0.0:
        if key == "mass_pct":
            return value / 100.0
        return fraction_at_abv(value) if key == "abv_pct" else fraction_at_proof(value)
    if value == 0.0:
        return 0.0
    share = {"abv_pct": abv_of, "proof": proof_of, "mass_pct": lambda p, x: 100.0 * (p / (1.0 + x))}[key]
    if value > share(1.0, _extract_beside(1.0, e, room)):
        spec = SAYS["fields"][key]
        given = figure(value) + spec["unit"]
        texts = {"min": figure(spec["min"]), "max": figure(spec["max"]), "unit": spec["unit"]}
        refuse(path + key, given, "range", "too_strong", name=spec["name"], extract=figure(e) + " g/L", **texts)
    return solve(lambda p: share(p, _extract_beside(p, e, room)), value)


def _fraction_of_reading(request: dict, key: str, value: float, e: float, room: float, path: str) -> float:
    """p from an instrument's reading at the jar's own temperature."""
    field = path + "reading_temperature_c"
    if request.get("reading_temperature_c") is None:
        spec = SAYS["fields"]["reading_temperature_c"]
        texts = {"min": figure(spec["min"]), "max": figure(spec["max"]), "unit": spec["unit"]}
        refuse(field, SAYS["given"]["missing"], "number", "no_reading_temperature", **texts)
    t = number(request, "reading_temperature_c", path)
    rho = density_of_reading(key, value, t)
    a = coefficients(t)
    if e == 0.0:
        p = fraction_at_density(a, rho)
        return p if p is not None else _refuse_reading(path, key, value, t, rho > horner(a, 0.0))
    if t < 0.0:
        refuse(field, figure(t) + " °C", "range", "cold_extract", min="0", max="40", unit=" °C")

    def whole(p: float) -> float:
        return with_extract(horner(a, p), _extract_beside(p, e, room))

    heaviest, lightest = whole(0.0), whole(1.0)
    if not lightest - END_KG_M3 <= rho <= heaviest + END_KG_M3:
        _refuse_reading(path, key, value, t, rho > heaviest)
    if rho >= heaviest:
        return 0.0
    return 1.0 if rho <= lightest else solve(lambda p: -whole(p), -rho)


def density_of_reading(key: str, value: float, t: float) -> float:
    """Density in vacuum [kg/m3] of the liquid in the jar.

    key:    glass_pct (graduated at 20 °C), glass_proof (at 60 °F) or density_kg_m3
    t:      the jar's temperature [°C]
    source: the glass swells by 25e-6 per K (ISO 1768), so a warm instrument floats higher
    """
    if key == "density_kg_m3":
        return value
    if key == "glass_pct":
        return horner(AT_20C, fraction_at_abv(value)) / (1.0 + GLASS_PER_K * (t - 20.0))
    return horner(AT_60F, fraction_at_proof(value)) / (1.0 + GLASS_PER_K * (t - SIXTY_F_C))


def _refuse_reading(path: str, key: str, value: float, t: float, heavy: bool) -> float:
    spec = SAYS["fields"][key]
    say = "heavier_than_water" if heavy else "lighter_than_ethanol"
    texts = {"min": figure(spec["min"]), "max": figure(spec["max"]), "unit": spec["unit"], "at": figure(t)}
    refuse(path + key, figure(value) + spec["unit"], "in_mixture", say, name=spec["name"], **texts)
