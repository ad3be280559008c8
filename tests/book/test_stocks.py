"""Stocks over time: by hand, against the account that adds the same up in another way, and in both languages."""

import json

from book.test_account import by_hand, kg, ms
from book.test_same_book import random_book

from server.book.account import LEVELS, account, balances
from server.book.gauges import NOTHING, is_nothing
from server.book.ledger import ledger
from server.book.periods import bounds_of
from server.book.stocks import stocks_at

IN_BROWSER = """async (asked) => {
  const { stocksAt } = await import('/book/stocks.js');
  const { ledger } = await import('/book/ledger.js');
  return asked.map(([entries, times, level]) => JSON.stringify(stocksAt(ledger(entries).moves, times, level)));
}"""


def test_the_book_worked_by_hand():
    # 40 kg come on 5 October at 10:00; 4 are lost on the 31st at 22:00, 0.4 drawn on 1 November, 17.8 to waste later.
    times = ["2026-10-05T10:00:00", "2026-10-05T10:00:01", "2026-10-31T23:00:00", "2026-11-02T00:00:00"]
    times = [ms(time) for time in [*times, "2026-11-04T00:00:00"]]
    rows = stocks_at(ledger(by_hand())["moves"], times, "account")
    assert rows["storage"] == [NOTHING, kg(40, 100), kg(36, 90), kg(35.6, 89), kg(17.8, 44.5)]
    assert rows["waste"] == [NOTHING, NOTHING, NOTHING, NOTHING, kg(17.8, 44.5)]


def moments(moves: list) -> list[int]:
    """Each time at which anything moves, and just after it."""
    return sorted({one["at"] + off for one in moves for off in (0, 1)})


def test_every_moment_of_a_random_book_has_the_balances_of_the_account():
    for seed in range(6):
        book = ledger(random_book(seed))
        times = moments(book["moves"])
        for level in LEVELS:
            rows = stocks_at(book["moves"], times, level)
            for index, until in enumerate(times):
                here = {group: row[index] for group, row in rows.items() if not is_nothing(row[index])}
                assert here == balances(book["moves"], until, level), (seed, level, until)


def test_the_end_of_a_month_is_its_closing():
    entries = by_hand()
    book = ledger(entries)
    for month in ("2026-10", "2026-11"):
        rows = stocks_at(book["moves"], [bounds_of(month, book["state"]["site"])[1]], "account")
        closing = {group: row["closing"] for group, row in account(entries, month)["rows"].items()}
        assert {group: row[0] for group, row in rows.items()} == closing


def test_both_languages_have_the_same_stocks(page_at_origin):
    books = [random_book(seed) for seed in range(30, 35)] + [by_hand()] * len(LEVELS)
    asked = [
        (entries, moments(ledger(entries)["moves"]), level) for entries, level in zip(books, LEVELS * 2, strict=True)
    ]
    there = [json.loads(text) for text in page_at_origin.evaluate(IN_BROWSER, asked)]
    for (entries, times, level), told in zip(asked, there, strict=True):
        assert told == json.loads(json.dumps(stocks_at(ledger(entries)["moves"], times, level))), level
