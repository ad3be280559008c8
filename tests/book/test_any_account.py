"""The account of any month of any book: it closes at every level, and both languages keep the same."""

import json

from book.ledger_book import entries_of
from book.test_account import SEASON, by_hand, closed_october
from book.test_same_book import NOW, random_book
from book.trace_book import demo

from server.book.account import LEVELS, account, known_entries, known_of
from server.book.fold import fold
from server.book.gauges import NOTHING, add, is_nothing, less, only_sums
from server.book.ledger import ledger
from server.book.periods import bounds_of, month_after, month_of

INSIDE = ("vessel/", "still/", "stock/")


IN_BROWSER = """async (asked) => {
  const { account, knownOf } = await import('/book/account.js');
  return asked.map(([entries, month, level]) => JSON.stringify([account(entries, month, level), knownOf(entries)]));
}"""


def months_of(entries: list, site: dict) -> list[str]:
    moments = [one["at"] for one in ledger(entries)["moves"]]
    month, last, found = month_of(min(moments), site), month_of(max(moments), site), []
    while month <= last:
        found.append(month)
        month = month_after(month)
    return found


def is_counted(row: dict) -> None:
    """What was gauged, less the difference, and what was not gauged are the closing."""
    beside = row["counted"]
    if beside:
        assert add(less(beside["gauged"], beside["difference"]), beside["rest"]) == row["closing"]


def test_any_random_book_closes_at_every_level():
    """What the account adds up by group is what the fold has in the places, which it adds up by place."""
    for seed in range(8):
        entries = [entry for entry in random_book(seed) if entry["kind"] != "close"]
        state = fold(entries)
        inside = {place: sums for place, sums in state["places"].items() if place.startswith(INSIDE)}
        whole = NOTHING
        for sums in inside.values():
            whole = add(whole, sums)
        months = months_of(entries, state["site"])
        for level in LEVELS:
            kept: dict[str, dict] = {}
            for month in months:
                rows = account(entries, month, level)["rows"]
                openings = {name: row["opening"] for name, row in rows.items() if not is_nothing(row["opening"])}
                assert openings == kept, (seed, level, month)
                for row in rows.values():
                    is_counted(row)
                kept = {name: row["closing"] for name, row in rows.items() if not is_nothing(row["closing"])}
            total = NOTHING
            for sums in kept.values():
                total = add(total, sums)
            assert total == whole, (seed, level)
            if level == "place":
                held = {place: only_sums(sums) for place, sums in inside.items() if not is_nothing(sums)}
                assert kept == held, seed


def test_the_demos_season_closes_each_month_to_the_milligram():
    """Each month's opening and late entries are the closing of the month before; the last is what the fold has."""
    entries = demo()
    state = fold(entries)
    months = months_of(entries, state["site"])
    assert len(months) > 3 and set(state["closes"]) == set(months[:-1])
    for level in ("house", "account"):
        kept: dict[str, dict] = {}
        for month in months:
            told = account(entries, month, level)
            for group, row in told["rows"].items():
                assert row["opening"] == kept.get(group, NOTHING), (month, group)
                is_counted(row)
            kept = {group: row["closing"] for group, row in told["rows"].items()}
            if level == "account" and told["sealed"]:
                sealed = {group: sums for group, sums in told["sealed"]["closing"].items() if not is_nothing(sums)}
                assert sealed == {group: sums for group, sums in kept.items() if not is_nothing(sums)}, month
        whole = NOTHING
        for sums in kept.values():
            whole = add(whole, sums)
        inside = [sums for place, sums in state["places"].items() if place.startswith(INSIDE)]
        assert whole["ethanol_mg"] == sum(sums["ethanol_mg"] for sums in inside)


def test_known_entries_are_the_known_ones():
    entries = random_book(3)
    some = [entry for number, entry in enumerate(entries) if number % 3]
    known = known_of(some)
    assert [entry["id"] for entry in known_entries(entries, known)] == [entry["id"] for entry in some]


def test_both_languages_keep_the_same_account(page_at_origin):
    asked = [(random_book(seed), "2025-11", level) for seed, level in zip(range(20, 25), LEVELS, strict=True)]
    asked += [(by_hand(), "2026-11", level) for level in LEVELS]
    asked += [(entries_of(SEASON), month, level) for month in SEASON["months"] for level in LEVELS]
    asked += [(closed_october()[0], month, level) for month in ("2026-10", "2026-11") for level in LEVELS]
    there = [json.loads(text) for text in page_at_origin.evaluate(IN_BROWSER, asked)]
    for (entries, month, level), told in zip(asked, there, strict=True):
        assert told == json.loads(json.dumps([account(entries, month, level), known_of(entries)])), (month, level)
    assert bounds_of("2025-11", None)[0] < NOW < bounds_of("2025-11", None)[1]  # the random books stand in that month
