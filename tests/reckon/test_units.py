"""Typed numbers, and every factor of units.json held to pint, which the reckoning itself never uses."""

import json
from pathlib import Path

import pint
import pytest

from server.reckon import ReckonError, from_base, number_of, to_base
from server.reckon.density import ETHANOL_20C, ETHANOL_60F
from server.reckon.tables import UNITS

PINT = pint.UnitRegistry()
# Our code: the unit in pint, and the base it goes to. Strength, alcohol, gravity and conductivity are told below.
IN_PINT = {
    "L": ("liter", "liter"),
    "hL": ("hectoliter", "liter"),
    "usgal": ("US_liquid_gallon", "liter"),
    "mL": ("milliliter", "liter"),
    "kg": ("kilogram", "kilogram"),
    "lb": ("pound", "kilogram"),
    "g": ("gram", "kilogram"),
    "C": ("degC", "degC"),
    "F": ("degF", "degC"),
    "kPa": ("kilopascal", "kilopascal"),
    "hPa": ("hectopascal", "kilopascal"),
    "mbar": ("millibar", "kilopascal"),
    "bar": ("bar", "kilopascal"),
    "psi": ("pound_force_per_square_inch", "kilopascal"),
    "inHg": ("inch_Hg", "kilopascal"),
    "g_L": ("gram / liter", "gram / liter"),
    "L_h": ("liter / hour", "liter / hour"),
    "usgal_h": ("US_liquid_gallon / hour", "liter / hour"),
    "min": ("minute", "minute"),
    "h": ("hour", "minute"),
    "pct": ("percent", "percent"),
    "uS_cm": ("microsiemens / centimeter", "microsiemens / centimeter"),
}
# A strength or a gravity is kept as it was said: another scale is not another unit.
KEPT_AS_SAID = {"abv", "glass", "proof", "glass_proof", "mass_pct", "kg_m3", "sg", "plato"}


def test_every_unit_is_held_to_something():
    assert set(UNITS) == set(IN_PINT) | KEPT_AS_SAID | {"LPA", "PG"}


@pytest.mark.parametrize("code", IN_PINT)
@pytest.mark.parametrize("text", ["0", "1", "62,4", "-17.3", "98765.4321"])
def test_factor_agrees_with_pint(code, text):
    unit, base = IN_PINT[code]
    expected = PINT.Quantity(number_of(text), unit).to(base).magnitude
    # pint takes its inch of mercury from the conventional 13595.1 kg/m3, to nine figures; all else is exact.
    assert to_base({"typed": text, "unit": code}) == pytest.approx(
        expected, rel=1e-8 if code == "inHg" else 1e-14, abs=1e-13
    )
    assert from_base(expected, code) == pytest.approx(number_of(text), rel=1e-8, abs=1e-12)


@pytest.mark.parametrize("code", sorted(KEPT_AS_SAID | {"LPA"}))
def test_what_is_kept_as_said_has_no_factor(code):
    assert to_base({"typed": "62,4", "unit": code}) == 62.4 == from_base(62.4, code)


def test_proof_gallon_is_half_a_gallon_of_ethanol_at_60_f_by_mass():
    """26 USC 5002(a): half of 231 cubic inches at 60 °F; by mass that is 1.902 L at 20 °C, not 1.893."""
    half_gallon = PINT.Quantity(0.5, "US_liquid_gallon").to("liter").magnitude
    assert UNITS["PG"]["times"] == pytest.approx(half_gallon * ETHANOL_60F / ETHANOL_20C, rel=1e-15)
    assert abs(UNITS["PG"]["times"] - 1.902) < 0.0005


def test_a_comma_is_a_decimal_comma():
    """A general library takes it for thousands: this is why we read numbers ourselves."""
    assert number_of("62,4") == number_of("62.4") == 62.4
    assert PINT.parse_expression("62,4 liter").magnitude == 624


@pytest.mark.parametrize(
    "text", ["", "1.2.3", "1,2.3", "1e5", "0x10", "NaN", "+5", " 5", "5 L", "٣", "5\n", "--5", "-", "."]
)
def test_anything_else_is_refused_with_what_to_do(text):
    with pytest.raises(ReckonError) as refusal:
        number_of(text)
    assert refusal.value.field == "typed" and "Type " in refusal.value.say


def test_thirteen_characters_are_too_many():
    assert number_of("123456789012") == 123456789012
    with pytest.raises(ReckonError, match="twelve"):
        number_of("1234567890123")


def test_units_stand_in_the_file_once():
    text = (Path(__file__).parents[2] / "static/reckon/units.json").read_text(encoding="utf-8")
    pairs = json.loads(text, object_pairs_hook=lambda found: found)
    names = [name for key, value in pairs if key == "units" for name, _ in value]
    assert len(names) == len(set(names)) == len(UNITS)
