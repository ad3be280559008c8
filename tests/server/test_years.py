"""What the server says of a month, a bottling or a lot of a large book is what the whole book says, bit for bit."""

import json
from datetime import UTC, datetime

import pytest
from large import SITE, closed, months_of, take

from demo_site.season import build
from server.book.account import LEVELS, account, account_of, known_of
from server.book.fold import fold
from server.book.order import at_of
from server.book.recall_start import REACHES
from server.book.trace import trace
from server.book.trace_told import told_back, told_forward, told_recall
from server.years import Years

from .conftest import PHONE, Client
from .test_openings import book  # noqa: F401


@pytest.mark.parametrize("seed", range(8))
def test_the_account_of_any_month(book, seed):  # noqa: F811
    entries = closed(seed)
    years = Years(book, max(at_of(one) for one in entries))
    take(book, entries[:-25])
    assert years.known().cut
    for one in entries[-25:]:  # the trace goes on where it can
        years.traced(told_back, "vessel/S-1")
        take(book, [one])
    with book.read() as reader:
        marks = reader.marks()
    check_traces(years, fold(entries, marks))
    for month in months_of(entries):
        books = years.books(month)
        for level in LEVELS:
            here, whole = account_of(books, level), account(entries, month, level, marks)
            assert json.dumps(here) == json.dumps(whole), (month, level)


def check_traces(years: Years, state: dict) -> None:
    """Both ways, and recalls, of everything that can be asked for."""
    walk = trace(state)
    asked = [(told_back, place) for place in [*walk["places"], *walk["bottled"]]]
    moving = [one for one, record in state["entries"].items() if record["entry"]["lines"]]
    asked += [(told_forward, one) for one in [*walk["sources"], *moving]]
    asked += [(told_forward, f"lot/{tag}") for tag in state["lots"]]
    asked += [(told_forward, one["id"]) for one in walk["touches"].values()]
    starts = [{"of": place, "reach": reach} for place in walk["bottled"] for reach in REACHES]
    starts += [{"of": of, "reach": None} for of in [*(f"lot/{tag}" for tag in state["lots"]), *walk["places"]]]
    for told, about in [*asked, *((told_recall, start) for start in starts)]:
        here, whole = years.traced(told, about), told(state, walk, about)
        assert json.dumps(here) == json.dumps(whole), (told.__name__, about)


def test_any_paired_device_may_ask_and_nobody_else(book):  # noqa: F811
    take(book, closed(3))
    client = Client(book)
    token = client.pair().token
    paths = ["account?month=2025-12", "trace?place=vessel/S-1", "trace?source=lot/R-1", "recall?of=vessel/S-1"]
    paths += ["paper?month=2025-12&what=work", "paper?of=house-1", "paper?what=yields&from=0&until=9000000000000"]

    def answer(path: str, **headers):
        return client.ask("GET", f"/api/{path}", peer=PHONE, host="still.example", headers=headers)

    for path in paths:
        assert answer(path).status == 401
        told = answer(path, Authorization=f"Bearer {token}")
        assert told.status == 200 and told.json, path
    wrong = ["account?month=2025-13", "trace", "trace?place=a&source=b", "recall?of=", "recall?of=stock/L&reach=all"]
    wrong += ["paper", "paper?month=2025-12&what=all", "paper?of=", "paper?what=stocks&from=x&until=1"]
    for path in wrong:
        assert answer(path, Authorization=f"Bearer {token}").status == 400, path
    account = answer("account?month=2025-12", Authorization=f"Bearer {token}").json
    assert account["first"] == "2025-11" and account["upto"] == client.office.years.known().upto
    assert account["known"] == known_of(closed(3))  # a closing that is written here names all of them
    with book.read() as reader:
        assert account["head"] == {"seq": account["upto"], "hash": reader.hash_at(account["upto"])}


def test_a_lot_that_is_used_up_is_known_to_a_table(book):  # noqa: F811
    """A table is held against the book without folding all of it: a lot that was put away is no new one."""
    entries = build(SITE, ["Q.3f9a1c2e", "R.5d20e7f4", "S.19c4d0aa"], datetime.now(UTC))
    take(book, entries)
    years, whole = Years(book), fold(entries)
    state = years.state_with_lots()
    spent = [tag for tag in whole["lots"] if tag not in years.known().state["lots"]]
    assert spent and state["lots"].keys() == whole["lots"].keys() and state["vessels"] == whole["vessels"]
