"""Heat for a charge, steam for the heat, and water for the condenser."""

import math

from server.reckon.asked import number, number_or
from server.reckon.density import fraction_at_abv
from server.reckon.holdup import litres_per_kmol
from server.reckon.liquid import Liquid
from server.reckon.refusal import figure, refuse, rounded
from server.reckon.run import read_charge
from server.reckon.tables import SAYS, STILL
from server.reckon.vle import SEA_KPA, SPREAD_C, ZERO_C_K, bubble, mole_of, read_pressure

_H = STILL["heat"]
_POINTS, _CP = _H["cp"]["mass_fraction"], _H["cp"]["kj_kg_k"]
_STEAM = _H["steam"]
COPPER, STEEL, WATER = (_H[key]["value"] for key in ("copper_kj_kg_k", "steel_kj_kg_k", "water_kj_kg_k"))
_ETHANOL_KJ_MOL, _WATER_KJ_MOL = _H["vapour_kj_mol"]["ethanol"], _H["vapour_kj_mol"]["water"]
_LN10 = 2.302585092994046
KPA_PER_BAR = 100.0
HIGHEST_KPA = SAYS["fields"]["pressure_kpa"]["max"]


def specific_heat(p: float) -> float:
    """Heat of a liquid [kJ/(kg K)] at 40 °C.

    p:      ethanol by mass [kg/kg], 0..1
    source: Melinder by CoolProp, straight between its points; above 40 °C up to 3 % low; above 0.6 only pure ethanol is
            known, so that between it is an interpolation over a wide gap
    """
    i = 0
    while i < len(_POINTS) - 2 and p > _POINTS[i + 1]:
        i += 1
    return _CP[i] + (_CP[i + 1] - _CP[i]) * (p - _POINTS[i]) / (_POINTS[i + 1] - _POINTS[i])


def steam_c(kpa: float) -> float:
    """Temperature of saturated steam [°C] at a pressure [kPa] absolute, within 0.01 °C of IAPWS-IF97 from 90 to 190."""
    a, b, c = _STEAM["saturation"]
    return a / (b - math.log(kpa) / _LN10) - c


def steam_kj_kg(t: float) -> float:
    """What steam gives up as it becomes water [kJ/kg] at t [°C], 90..190; within 1 of IAPWS-IF97."""
    a, b, c = _STEAM["latent_kj_kg"]
    return (c * t + b) * t + a


def vapour_kj_mol(y: float) -> float:
    """What spirit vapour gives up as it turns liquid [kJ/mol], ethanol y by moles 0..1: 80 to 90 °C, within 1.5 %."""
    return _ETHANOL_KJ_MOL * y + _WATER_KJ_MOL * (1.0 - y)


def heat_up(request: dict) -> dict:
    """want heat_up: heat that brings a charge to a temperature, or to the boil at a pressure, and the steam for it.

    Extract counts as so much more of the liquid, which is 1 % too much for a finished wash. copper_kg and steel_kg of
    the still, 0 where left out, go along. steam_bar_g over the air pressure of the question, or over 101.325 kPa;
    without it steam_kg is null. efficiency: share of the steam's heat that arrives, 1 where left out.
    source: mass times specific heat times the difference; steam that is led away as water at its own temperature
    """
    charge = read_charge(request)
    from_c, to_c = number(request, "from_c"), _end_c(request, charge)
    unit = SAYS["fields"]["to_c"]["unit"]
    if to_c <= from_c:
        texts = {"name": SAYS["fields"]["to_c"]["name"], "from": figure(from_c), "min": figure(from_c), "unit": unit}
        refuse("from_c", rounded(to_c) + unit, "above", "not_warmer", **texts)
    metal = number_or(request, "copper_kg", 0.0) * COPPER + number_or(request, "steel_kg", 0.0) * STEEL
    heat_kj = (charge.mass_kg * specific_heat(charge.p) + metal) * (to_c - from_c)
    efficiency = number_or(request, "efficiency", 1.0, "", "heat_efficiency")
    steam = None if request.get("steam_bar_g") is None else _steam_c(request, to_c)
    latent = None if steam is None else steam_kj_kg(steam)
    return {
        "heat_kj": heat_kj,
        "steam_kg": None if latent is None else heat_kj / (latent * efficiency),
        "to_c": to_c,
        "steam_c": steam,
        "steam_kj_kg": latent,
    }


def _end_c(request: dict, charge: Liquid) -> float:
    """The temperature to reach: as said, or the charge's boiling point; never beyond that."""
    spec, told = SAYS["fields"]["to_c"], _air_told(request)
    if not told and request.get("to_c") is None:
        refuse("to_c", SAYS["given"]["missing"], "end", "to_or_boil")
    boils_c = bubble(mole_of(charge.p), read_pressure(request) if told else HIGHEST_KPA)[0] - ZERO_C_K
    if request.get("to_c") is None:
        return boils_c
    to_c = number(request, "to_c")
    if to_c > boils_c + SPREAD_C:
        texts = {"name": spec["name"], "boils": rounded(boils_c), "unit": spec["unit"]}
        texts |= {"min": figure(spec["min"]), "max": rounded(boils_c)}
        refuse("to_c", figure(to_c) + spec["unit"], "range", "past_boil", **texts)
    return to_c


def _air_told(request: dict) -> bool:
    return any(request.get(key) is not None for key in ("pressure_kpa", "altitude_m"))


def _steam_c(request: dict, to_c: float) -> float:
    """The steam's temperature, which must be hotter than what it heats."""
    air = read_pressure(request) if _air_told(request) else SEA_KPA
    t = steam_c(number(request, "steam_bar_g") * KPA_PER_BAR + air)
    low, high = _STEAM["from_c"], _STEAM["to_c"]
    if not low <= t <= high:
        texts = {"min": figure(low), "max": figure(high), "unit": " °C"}
        refuse("steam_bar_g", rounded(t) + " °C", "range", "steam_thin", **texts)
    if t <= to_c:
        texts = {"steam": rounded(t), "min": rounded(to_c), "unit": " °C"}
        refuse("steam_bar_g", rounded(to_c) + " °C", "above", "steam_cool", **texts)
    return t


def cooling(request: dict) -> dict:
    """want cooling: what the condensers must take, and the cooling water for it.

    reflux: liquid back over liquid taken off, 0 for a pot without
    source: kmol of run-off times (reflux + 1) times latent heat; water at 4.18 kJ/(kg K). Cooling the run-off itself
            from the boil to 20 °C comes on top, some 170 kJ/kg: a fifth for a pot, a twentieth at a reflux of 3.
    """
    litres, abv_pct, reflux = (number(request, key) for key in ("distillate_20c_l_h", "abv_pct", "reflux"))
    in_c, out_c = number(request, "water_in_c"), number(request, "water_out_c")
    spec = SAYS["fields"]["water_out_c"]
    if out_c <= in_c:
        texts = {"name": spec["name"], "from": figure(in_c), "min": figure(in_c), "unit": spec["unit"]}
        refuse("water_out_c", figure(out_c) + spec["unit"], "above", "not_warmer", **texts)
    x = mole_of(fraction_at_abv(abv_pct))
    kmol_h = litres / litres_per_kmol(x)
    duty_kw = kmol_h * (reflux + 1.0) * vapour_kj_mol(x) / 3.6
    return {"duty_kw": duty_kw, "water_kg_h": 3600.0 * duty_kw / (WATER * (out_c - in_c))}
