"""Advice about filters follows what the house goes by, not what this project thinks is usual."""

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
