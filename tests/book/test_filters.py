"""Advice about filters follows what the house goes by, not what this project thinks is usual."""

import pytest
from book.ledger_book import LEDGERS, entries_of, load

from server.book.fold import fold


def keys_with(**own) -> set[str]:
    ledger = load(next(path for path in LEDGERS if path.stem == "52_beds"))
    entries = entries_of(ledger)
    site = next(entry for entry in entries if entry["kind"] == "site")
    site["said"] = {**site["said"], **own}
    return {one["key"].split("/")[0] for one in fold(entries)["findings"]}


def test_the_house_sets_its_own_limits():
    assert keys_with() == {"bed_spent", "contact", "hold_up"}
    assert keys_with(carbon_l_kg=600) == {"contact", "hold_up"}
    assert keys_with(contact_min=5) == {"bed_spent", "hold_up"}
    assert keys_with(hold_up_pct=3) == {"bed_spent", "contact"}
    assert keys_with(sheets_bar=1.2) == {"bed_spent", "contact", "hold_up", "sheets"}


US = {"volume": "usgal", "mass": "lb", "temperature": "F", "strength": "proof", "alcohol": "PG"}


def test_spent_carbon_is_said_in_the_units_of_the_house():
    """NIST Handbook 44: a gallon is 3.785411784 L, a pound 0.45359237 kg; so 500 L/kg are 59.9 gal/lb."""
    litres = said_with({"volume": "L", "mass": "kg"}).split()
    assert litres[1] == "L" and litres[5] == "kg" and said_with({}).endswith("it is changed at 500.0 L.")
    gallons = said_with(US).split()
    assert gallons[1] == "gal" and float(gallons[0]) == pytest.approx(float(litres[0]) / 3.785411784, abs=0.06)
    assert gallons[5] == "lb" and float(gallons[4]) == pytest.approx(float(litres[4]) / 0.45359237, abs=0.12)
    assert said_with(US).endswith("a pound; it is changed at 59.9 gal.")
    assert said_with({"volume": "hL", "mass": "kg"}).endswith("a kilogram; it is changed at 5.000 hL.")


def said_with(units: dict) -> str:
    entries = entries_of(load(next(path for path in LEDGERS if path.stem == "52_beds")))
    site = next(entry for entry in entries if entry["kind"] == "site")
    site["said"] = {**site["said"], "units": {**site["said"]["units"], **units}}
    return next(one["say"] for one in fold(entries)["findings"] if one["key"].startswith("bed_spent/"))
