"""A new phone of a large book: it starts from an opening, knows what stands in the house, and loses nothing by it."""

import json
from datetime import UTC, datetime, timedelta

from asking import at_rest
from book.test_opening import check_same
from floor import run, saved, sync_now, until
from glove import Glove

from demo_site.season import build
from server import openings, store
from server.book.fold import fold
from server.book.periods import month_after
from server.store import Store

DEVICES = ["Q.3f9a1c2e", "R.5d20e7f4", "S.19c4d0aa"]


def fill(server) -> list[dict]:
    """Four months of the demo's house in this server's book, which counts as large; its last month is open yet."""
    server.kill()
    with Store(server.book) as book:
        with book.read() as reader:
            site = reader.fact("site")
        entries = build(site, DEVICES, datetime.now(UTC))
        entries.remove(max((one for one in entries if one["kind"] == "close"), key=lambda one: one["said"]["month"]))

        def work(conn):
            for one in entries:
                store.append(conn, "entry", one["id"], json.dumps(one), "desk", one)
            store.set_fact(conn, "openings_from", "1000")

        book.write(work).result()
        openings.bring_up(book)
    server.start()
    return entries


STATE = """
  const { entries, order, ...state } = book.state;
  const ats = Object.fromEntries(order.map((id) => [id, { at: entries[id].at }]));
  const shown = JSON.parse(JSON.stringify({ ...state, entries: ats }));
  return { state: shown, cut: book.since, now: Date.now(), held: book.entries.length };
"""


def test_a_new_phone_of_a_large_book(phone, server):
    entries = fill(server)
    ines = phone()
    page = ines.open()
    until(page, "book.opening && sync.status.state === 'idle'")
    told = run(page, STATE)
    assert told["held"] < len(entries) / 3
    check_same(told["state"], json.loads(json.dumps(fold(entries, now=told["now"]))), told["cut"])

    # It writes as any phone does, also without a network, and after it was closed.
    ines.offline()
    run(page, "await book.setPerson('Ines'); await book.write('person', { name: 'Ada' }, { by: 'Ines' })")
    page.reload()
    until(page, "book.opening && book.state.persons.Ada && book.saved.waiting === 1")
    ines.offline(False)
    assert sync_now(page)["waiting"] == 0

    # A strike of what the opening has counted: the server makes another one, and the phone takes it.
    before = run(page, "return [book.opening.id, book.state.places['vessel/B-1']]")
    struck = next(one for one in entries if one["kind"] == "opening" and one["said"]["vessel"] == "B-1")
    strike = "await book.write('strike', {}, { by: 'Ines', strikes: { id: given, reason: 'other' } })"
    run(page, strike, struck["id"])
    assert sync_now(page)["waiting"] == 0
    with_book(server, openings.bring_up)  # as the server does it after its rest
    (line,) = struck["lines"]
    is_less = "book.opening.id !== given[0] && book.state.places['vessel/B-1'].ethanol_mg === given[1]"
    until(page, f"(await sync.syncNow(), {is_less})", [before[0], before[1]["ethanol_mg"] - line["ethanol_mg"]])
    after = run(page, "return book.state.places['vessel/B-1']")

    # Another history of the same book: the phone shows all that it holds again, and none is doubled.
    with_book(server, lambda book: book.write(store.set_fact, "epoch", "another").result())
    assert sync_now(page)["waiting"] == 0
    assert len(server.entries()) == len(entries) + 2 and saved(page)["refused"] == 0
    again = run(page, "return book.state.places['vessel/B-1']")
    assert again == after

    # Accounts, traces and recalls of any time come from the server; without it the page says so.
    shown = years_of(page, ines)

    # So do records, sheets, plots and old entries. With the whole book fetched, all is as the server said.
    papers = papers_of(page, entries, "Worked out by the server")
    old_entry(page, entries)
    month = close_the_month(page)
    Glove(page).go("#/sync")
    page.get_by_role("button", name="Fetch the whole book").click()
    until(page, "book.since === null && book.entries.length === given", len(entries) + 3)
    assert run(page, SEALED, month) == {"late": {}, "same": True}
    assert walked(page) == shown
    for here, there in zip(papers_of(page, entries), papers, strict=True):
        assert here == there
    assert run(page, "return book.state.places['vessel/B-1']") == after


SEALED = """
  const { accountOf, booksOf } = await import('/book/account.js');
  const { rows, late } = accountOf(booksOf(book.entries, given), 'account');
  const { closing } = book.state.closes[given];
  const same = Object.keys(rows).every((name) => ['ethanol_mg', 'liquid_mg', 'extract_mg'].every(
    (sum) => rows[name].closing[sum] === closing[name][sum]));
  return { late, same: same && Object.keys(rows).length === Object.keys(closing).length };
"""


def close_the_month(page) -> str:
    """The last month is closed on a device that holds a part of the book; the server's account is what it seals."""
    closed = "return Object.keys(book.state.closes).sort().at(-1)"
    month = month_after(run(page, closed))
    Glove(page).go(f"#/close/{month}")
    page.get_by_text("Worked out by the server").wait_for()
    page.get_by_role("button", name="Close", exact=False).click()
    until(page, "book.state.closes[given]", month)
    sync_now(page)
    return month


def old_entry(page, entries: list) -> None:
    """An entry that only the server has opens with its words and its lines."""
    moved = [one["id"] for one in entries if one["kind"] == "transfer"]
    away = run(page, "return given.find((id) => !book.records.has(id) && !(id in book.state.entries))", moved)
    Glove(page).go(f"#/entry/{away}")
    page.get_by_text("Worked out by the server").wait_for()
    page.get_by_text("What it moves").wait_for()


def years_of(page, ines) -> list[str]:
    """What the server worked out, as a person reads it; and the same page without the network."""
    shown = walked(page, "Worked out by the server")
    for address in ("#/feints", f"#/stock/{run(page, LOT)}"):
        Glove(page).go(address)
        page.get_by_text("traced through the whole book").first.wait_for()  # a part's trace would give wrong shares
    ines.offline()
    Glove(page).go(PAGES[0])
    page.get_by_text("This wants the whole book").wait_for()
    ines.offline(False)
    page.get_by_role("button", name="Ask the server again").click()
    page.get_by_text("It closes to the milligram").wait_for()
    return shown


MONTH = (datetime.now(UTC) - timedelta(days=75)).strftime("%Y-%m")  # before what a new phone of this book holds
PAGES = [f"#/account/{MONTH}/{more}" for more in ("place", "house/house/closing", "stage/spirit/opening")]


def walked(page, mark: str | None = None) -> list[str]:
    """The words of the account's pages, of the trace of a bottling, of that of its first source, of its recall."""
    glove, shown = Glove(page), []

    def read(title: str) -> None:
        page.get_by_role("heading", name=title).first.wait_for()
        if mark:
            page.get_by_text(mark).wait_for()
        at_rest(page)  # a drawing is drawn again once it knows its width
        text = page.locator("main").inner_text().replace("Worked out by the server, from the whole book.", "")
        shown.append(" ".join(text.split()))

    for address, title in zip(PAGES, ("Account,", "Closing", "Opening"), strict=True):
        glove.go(address)
        read(title)
    glove.go(f"#/trace/stock/{run(page, LOT)}")
    read("Where")
    page.get_by_label("went").first.click()
    read("went")
    glove.go(f"#/recall/stock/{run(page, LOT)}/sources")
    read("Recall of")
    assert all(len(text) > 40 for text in shown), shown
    return shown


RECORDS = ("gauges", "batches", "runs", "bottlings", "yields", "lots", "ways", "received", "materials", "checks")
RECORDS += ("findings", "instruments", "recalls", "closings")


def papers_of(page, entries: list, mark: str | None = None) -> list[str]:
    """The words of a past month's records, of a sheet of each sort, of plots, of an entry."""
    first = {one["kind"]: one["id"] for one in reversed(entries)}
    addresses = [f"#/records/{MONTH}/{key}" for key in RECORDS]
    addresses += [f"#/sheet/{sort}/{first[kind]}" for sort, kind in SHEETS.items()]
    addresses.append(f"#/run/{first['charge']}/sheet")
    addresses += [f"#/plots/{what}/{of}/quarter" for what, of in PLOTS.items()]
    return [read_page(page, address, mark) for address in addresses]


SHEETS = {"gauge": "opening", "batch": "mash", "bottling": "bottling", "checks": "tick"}
PLOTS = {"stocks": "stage", "yields": "mashes", "losses": "runs", "ferments": "-", "fills": "-"}


def read_page(page, address: str, mark: str | None) -> str:
    """Without what says when it was printed, and what is offered of the whole book only."""
    Glove(page).go(address)
    if mark and address.startswith(("#/records/", "#/plots/")):
        page.get_by_text(mark).wait_for()
    until(page, "!document.querySelector('main').innerText.includes('The server is working it out')")
    text = page.locator("main").inner_text()
    assert "did not answer" not in text, text
    for words in ("Worked out by the server, from the whole book.", "all of it"):
        text = text.replace(words, "")
    return " ".join(text.split("Strengths are ")[0].split())


LOT = "return Object.values(book.state.stock).map(({ lot }) => lot).sort()[0]"


def with_book(server, work) -> None:
    """Do something with the book of a server that is down meanwhile."""
    server.kill()
    with Store(server.book) as book:
        work(book)
    server.start()
