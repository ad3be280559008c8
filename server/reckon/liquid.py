"""A liquid: an amount and a strength; and the way back, from sums in whole milligrams to what a person sees."""

import math
from typing import NamedTuple

from server.reckon.asked import in_range, number, one_of
from server.reckon.density import AT_20C, ETHANOL_20C, ETHANOL_60F, horner
from server.reckon.refusal import figure, refuse, shown
from server.reckon.strength import (
    AIR,
    WEIGHTS_LIFT,
    Strength,
    read_strength,
    whole_density,
    with_extract,
)
from server.reckon.tables import SAYS

AMOUNTS = ("volume_l", "weight_in_air_kg", "mass_kg")
GALLON_L = 3.785411784  # US wine gallon, 231 cubic inches


class Liquid(NamedTuple):
    """mass_kg of the whole; ethanol_kg and extract_kg in it; abv_pct of the whole; p and x as in Strength."""

    mass_kg: float
    ethanol_kg: float
    extract_kg: float
    abv_pct: float
    p: float
    x: float


def read_temperature(request: dict, key: str, strength: Strength, path: str = "") -> float:
    """The temperature of a liquid of this strength: water alone from 0 to 100 °C, anything else from -20 to 40 °C."""
    alone = strength.p == 0.0 and strength.x == 0.0
    return number(request, key, path, "water_alone_c" if alone else key)


def read_liquid(request: dict, path: str = "") -> Liquid:
    """The liquid in a question, brought to mass.

    raises: ReckonError for anything missing, double, of the wrong kind or out of range
    source: procedures 5 and 6: a volume by the density at its own temperature, a scale's figure by the air it displaces
    """
    key = one_of(request, AMOUNTS, "amount", "no_amount", "two_amounts", path)
    amount = number(request, key, path)
    strength = read_strength(request, path)
    if key == "mass_kg":
        return of_mass(amount, strength)
    if key == "weight_in_air_kg":
        rho = with_extract(horner(AT_20C, strength.p), strength.x)
        return of_mass(amount * WEIGHTS_LIFT / (1.0 - AIR / rho), strength)
    if request.get("temperature_c") is None:
        spec = SAYS["fields"]["temperature_c"]
        texts = {"min": figure(spec["min"]), "max": figure(spec["max"]), "unit": spec["unit"]}
        refuse(path + "temperature_c", SAYS["given"]["missing"], "number", "no_temperature", **texts)
    t = read_temperature(request, "temperature_c", strength, path)
    return of_mass(amount * whole_density(strength.p, strength.x, t) / 1000.0, strength)


def of_mass(mass_kg: float, strength: Strength) -> Liquid:
    """A liquid of that mass [kg] and strength."""
    p, x, abv_pct = strength
    ethanol_kg = mass_kg * p / (1.0 + x)
    return Liquid(mass_kg, ethanol_kg, mass_kg * x / (1.0 + x), abv_pct, p, x)


def mixture(liquid: dict) -> dict:
    """Mass of any liquid of the contract, for the book.

    liquid:  amount and strength in one object, as the contract says
    returns: mass_kg, ethanol_kg, extract_kg; plain floats
    raises:  ReckonError
    """
    if not isinstance(liquid, dict):
        refuse("liquid", shown(liquid), "liquid", "part", name="liquid")
    read = read_liquid(liquid)
    return {"mass_kg": read.mass_kg, "ethanol_kg": read.ethanol_kg, "extract_kg": read.extract_kg}


def to_mg(kg: float) -> int:
    """Whole milligrams, half up: the one rounding on the way into the book. kg: -9e9..9e9."""
    return math.floor(in_range(kg, "kg", SAYS["fields"]["kg"]) * 1e6 + 0.5)


def volume_l(mass_kg: float, p: float, x: float, t: float) -> float:
    """Volume [L] of a mass [kg] at a temperature [°C] that its strength allows (not checked here)."""
    return mass_kg * 1000.0 / whole_density(p, x, t)


def volume_20c_l(mass_kg: float, p: float, x: float) -> float:
    """Volume [L] of a mass [kg] at 20 °C."""
    return mass_kg * 1000.0 / with_extract(horner(AT_20C, p), x)


def lpa_l(ethanol_kg: float) -> float:
    """Litres of pure alcohol at 20 °C."""
    return ethanol_kg * 1000.0 / ETHANOL_20C


def proof_gallons(ethanol_kg: float) -> float:
    """US proof gallons by ethanol mass: a gallon at 60 °F, half of it ethanol; by OIML R 22, not the official table."""
    return ethanol_kg * 2000.0 / ETHANOL_60F / GALLON_L


def view(ethanol_mg: int, liquid_mg: int, extract_mg: int, temperature_c: float = 20.0) -> dict:
    """What the sums of a place look like to a person.

    ethanol_mg, liquid_mg, extract_mg: sums in whole mg, liquid_mg the total; they may be negative, as a place
             that the book took too much from is
    temperature_c: -20..40; water alone 0..100
    returns: volume_l (at the temperature), volume_20c_l, abv_pct, mass_pct, lpa_l, proof_gallons, density_kg_m3;
             an empty place has zeros and null strengths, sums that no liquid can hold have null volumes and strengths
    raises:  ReckonError for a temperature outside, or sums that are not numbers
    """
    spec = SAYS["fields"]["sum_mg"]
    ethanol = in_range(ethanol_mg, "ethanol_mg", spec) / 1e6
    liquid = in_range(liquid_mg, "liquid_mg", spec) / 1e6
    extract = in_range(extract_mg, "extract_mg", spec) / 1e6
    alcohol = {"lpa_l": lpa_l(ethanol), "proof_gallons": proof_gallons(ethanol)}
    rest = liquid - extract
    if liquid == 0.0 and ethanol == 0.0 and extract == 0.0:
        return _viewed(0.0, 0.0, None, None, None) | alcohol
    p = ethanol / rest if rest != 0.0 else -1.0
    x = extract / rest if rest != 0.0 else -1.0
    if not (0.0 <= p <= 1.0 and x >= 0.0):
        return _viewed(None, None, None, None, None) | alcohol
    p, x = p + 0.0, x + 0.0  # no negative zero
    strength = Strength(p, x, 0.0)
    t = read_temperature({"temperature_c": temperature_c}, "temperature_c", strength)
    rho, rho20 = whole_density(p, x, t), with_extract(horner(AT_20C, p), x)
    share = p / (1.0 + x)
    abv_pct = 100.0 * (share * rho20 / ETHANOL_20C)
    return _viewed(liquid * 1000.0 / rho, liquid * 1000.0 / rho20, abv_pct, 100.0 * share, rho) | alcohol


def _viewed(
    volume_l: float | None, at_20c_l: float | None, abv_pct: float | None, mass_pct: float | None, rho: float | None
) -> dict:
    return {
        "volume_l": volume_l,
        "volume_20c_l": at_20c_l,
        "abv_pct": abv_pct,
        "mass_pct": mass_pct,
        "density_kg_m3": rho,
    }
