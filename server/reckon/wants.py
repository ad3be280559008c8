"""What can be asked for: one table from the want's name to the function that answers."""

from typing import Any

from server.reckon.density import AT_20C, SIXTY_F_C, horner
from server.reckon.ferment import strike, yield_of
from server.reckon.fill import fill_bottle
from server.reckon.gravity import gravity, wash, wash_liquid
from server.reckon.heat import cooling, heat_up
from server.reckon.ladder import ladder
from server.reckon.liquid import (
    GALLON_L,
    lpa_l,
    proof_gallons,
    read_liquid,
    read_temperature,
    volume_20c_l,
    volume_l,
)
from server.reckon.mixing import blend, blend_to, water
from server.reckon.refusal import ReckonError, refuse, shown
from server.reckon.run import run
from server.reckon.strength import in_air, proof_of, read_strength, whole_density, with_extract
from server.reckon.tables import SAYS
from server.reckon.vle import boil, pot_strength


def density(request: dict) -> dict:
    """want density: of a strength at a temperature, in vacuum and as weighed in air."""
    strength = read_strength(request)
    rho = whole_density(strength.p, strength.x, read_temperature(request, "temperature_c", strength))
    return {"density_kg_m3": rho, "density_in_air_kg_m3": in_air(rho)}


def strength(request: dict) -> dict:
    """want strength: one way of saying it into the others; caution is a sentence where a cold reading tells little."""
    p, x, abv_pct = read_strength(request)
    return {
        "abv_pct": abv_pct,
        "mass_pct": 100.0 * (p / (1.0 + x)),
        "proof": proof_of(p, x),
        "density_20c_kg_m3": with_extract(horner(AT_20C, p), x),
        "caution": _caution(request, p),
        "us_basis": SAYS["us_basis"],
    }


def _caution(request: dict, p: float) -> str | None:
    cold = request.get("reading_temperature_c")
    read = any(request.get(key) is not None for key in ("glass_pct", "density_kg_m3", "glass_proof"))
    return SAYS["say"]["ill_conditioned"] if read and cold < 0.0 and 0.1 <= p <= 0.25 else None


def quantity(request: dict) -> dict:
    """want quantity: what a liquid is in mass, litres at 20 °C, pure alcohol, US gallons at 60 °F.

    US figures are by OIML R 22; the official US tables rest on a slightly denser ethanol.
    """
    liquid = read_liquid(request)
    return {
        "mass_kg": liquid.mass_kg,
        "ethanol_kg": liquid.ethanol_kg,
        "abv_pct": liquid.abv_pct,
        "volume_20c_l": volume_20c_l(liquid.mass_kg, liquid.p, liquid.x),
        "lpa_l": lpa_l(liquid.ethanol_kg),
        "proof_gallons": proof_gallons(liquid.ethanol_kg),
        "wine_gallons_60f": volume_l(liquid.mass_kg, liquid.p, liquid.x, SIXTY_F_C) / GALLON_L,
        "extract_kg": liquid.extract_kg,
        "us_basis": SAYS["us_basis"],
    }


WANTS = {
    "density": density,
    "strength": strength,
    "quantity": quantity,
    "water": water,
    "blend": blend,
    "blend_to": blend_to,
    "gravity": gravity,
    "wash": wash,
    "wash_liquid": wash_liquid,
    "boil": boil,
    "pot_strength": pot_strength,
    "run": run,
    "ladder": ladder,
    "yield": yield_of,
    "strike": strike,
    "heat_up": heat_up,
    "cooling": cooling,
    "fill": fill_bottle,
}


def answer(request: Any) -> dict:
    """The answer to a question, or its refusal raised as ReckonError."""
    if not isinstance(request, dict):
        refuse("request", shown(request), "request", "request")
    want = request.get("want")
    known = ", ".join(WANTS)
    if want is None:
        refuse("want", shown(want), "want", "no_want", known=known)
    if not isinstance(want, str) or want not in WANTS:
        refuse("want", shown(want), "want", "want", known=known)
    return WANTS[want](request)


def reckon(request: Any) -> dict:
    """Answer one question of the contract; a refusal is the error shape, never an exception."""
    try:
        return answer(request)
    except ReckonError as refusal:
        return refusal.answer()
