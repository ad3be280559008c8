"""What a mash or a sugar wash can give, and how hot its liquor must be."""

from typing import Any

from server.reckon.asked import number, number_or, one_of
from server.reckon.liquid import lpa_l
from server.reckon.refusal import refuse, rounded, shown
from server.reckon.tables import SAYS, STILL

_F = STILL["ferment"]
_M = _F["molar_mass"]
HEAT_KJ_KG, HEAT_WITHIN = _F["heat_kj_kg"]["value"], _F["heat_kj_kg"]["within_pct"] / 100.0
LIQUOR_KG_L = _F["liquor_kg_l"]["value"]
# Hexose that each comes to [kg/kg], water taken up.
HEXOSE = {
    "hexose": 1.0,
    "sucrose": 2.0 * _M["hexose"] / _M["disaccharide"],
    "maltose": 2.0 * _M["hexose"] / _M["disaccharide"],
    "starch": _M["hexose"] / _M["starch"],
}
ETHANOL_PER_HEXOSE = 2.0 * _M["ethanol"] / _M["hexose"]
CO2_PER_HEXOSE = 2.0 * _M["co2"] / _M["hexose"]


def yield_of(request: dict) -> dict:
    """want yield: what a mass of raw material gives at most, times an efficiency.

    starch_pct or sugar_pct: of the mass as weighed, 0..100; sugar: hexose (glucose, fructose) where left out, or
    sucrose, maltose; efficiency_pct: 0..100, missing yield counted as not fermented
    source: C6H12O6 gives 2 C2H5OH and 2 CO2; heat 560 kJ per kg of hexose, within 10 %, as plus_minus_kj says
    """
    mass_kg = number(request, "mass_kg")
    key = one_of(request, ("starch_pct", "sugar_pct"), "substrate", "no_substrate", "two_of")
    kind = "starch" if key == "starch_pct" else _sugar(request.get("sugar"))
    share = number(request, key) / 100.0 * (number(request, "efficiency_pct") / 100.0)
    hexose_kg = mass_kg * share * HEXOSE[kind]
    ethanol_kg = hexose_kg * ETHANOL_PER_HEXOSE
    heat_kj = hexose_kg * HEAT_KJ_KG
    return {
        "lpa_l": lpa_l(ethanol_kg),
        "ethanol_kg": ethanol_kg,
        "co2_kg": hexose_kg * CO2_PER_HEXOSE,
        "heat_kj": heat_kj,
        "plus_minus_kj": heat_kj * HEAT_WITHIN,
    }


def _sugar(given: Any) -> str:
    known = ("hexose", "sucrose", "maltose")
    if given is None:
        return known[0]
    if not isinstance(given, str) or given not in known:
        texts = {"known": ", ".join(known)}
        refuse("sugar", shown(given), "unit", "sugar_kind", **texts)
    return given


def strike(request: dict) -> dict:
    """want strike: how hot the liquor must be, so that it and the grist come to the mash's temperature.

    liquor_l: litres as measured cold, at 20 °C; slaking_c: what wetting itself warms the mash [°C], 0 where left out
    source: heat balance; the tun takes heat too, which is not counted: preheat it
    """
    grist_kg, liquor_l = number(request, "grist_kg"), number(request, "liquor_l")
    grist_c, mash_c = number(request, "grist_c"), number(request, "mash_c")
    heat = number(request, "grist_heat") * grist_kg
    mixed_c = mash_c - number_or(request, "slaking_c", 0.0)
    liquor_c = mixed_c + heat * (mixed_c - grist_c) / (liquor_l * LIQUOR_KG_L)
    if not 0.0 <= liquor_c <= 100.0:
        texts = {"min": "0", "max": "100", "unit": SAYS["fields"]["mash_c"]["unit"]}
        refuse(
            "liquor_l", rounded(liquor_c) + " °C", "range", "strike_hot" if liquor_c > 100.0 else "strike_cold", **texts
        )
    return {"liquor_c": liquor_c}
