"""The office at a desk, over the demo's season: the account, its figures opened, closing, papers as PDF and CSV."""

import csv
import io
import json
import random
import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from asking import at_rest, evaluate, wait_until
from book_floor import go
from browser.test_signing import set_a_pin
from floor import run, sync_now, until
from formulas import FORMULAS
from glove import Glove
from harness import Server
from pypdf import PdfReader

from server.book.account import account
from server.book.fold import fold
from server.csv_safe import cell
from server.reckon.liquid import lpa_l

DESK = {"width": 1280, "height": 900}


def month_before() -> str:
    """The last whole month by the book's days, which begin at six: the season began well before it."""
    book_day = datetime.now(ZoneInfo("Europe/Vienna")) - timedelta(hours=6)
    return (book_day.replace(day=1) - timedelta(days=1)).strftime("%Y-%m")


@pytest.fixture
def desk(phone, spring, tmp_path):
    house = Server(tmp_path / "house", is_demo=True, spring=spring).start()
    screen = {"viewport": DESK, "device_scale_factor": 1, "is_mobile": False, "has_touch": False}
    page = phone("desk", url=house.url, **screen).open("#/now")
    all_of_it = "async (count) => (await import('/data/book.js')).book.entries.length === count"
    wait_until(page, all_of_it, len(house.entries()))
    yield page, house
    house.stop()


def lpa_text(sums: dict) -> str:
    return f"{lpa_l(sums['ethanol_mg'] / 1e6):,.1f}".replace(",", "\u00a0")


def pdf_of(page, paper: str = "A4") -> tuple[int, str]:
    """Number of pages and their text, on that paper as its own style turns it."""
    pages = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True, format=paper))).pages
    return len(pages), " ".join(" ".join(one.extract_text() for one in pages).split())


def is_a_paper(text: str, count: int, site: str, title: str) -> None:
    """What stands on every paper: the house, what it is, who printed it, the head of the book, the page."""
    assert all(f"{n} of {count}" in text for n in range(1, count + 1)), text[-300:]
    assert text.count(f"{site}, {title}") == count  # at the foot of every page
    assert "printed" in text and "by Ines" in text and "entries, head" in text


def test_the_account_opens_to_its_entries_and_every_paper_prints(desk):
    """One desk for all of it: to bring the season to a desk costs more than to look at it."""
    page, house = desk
    the_account(page, house.entries())
    gauge_record(page, house)
    ids = evaluate(page, IDS)
    records_on_both_papers(page, ids, name_of(house))
    a_recall_is_written_down(page, house, ids["lot"])


def name_of(house) -> str:
    return next(entry["said"]["name"] for entry in house.entries() if entry["kind"] == "site")


def the_account(page, entries: list) -> None:
    """It says what the book adds up to, by this side's own account, opens to what was written, and prints."""
    site, month = next(entry["said"] for entry in entries if entry["kind"] == "site"), month_before()
    go(page, f"#/account/{month}")
    row = account(entries, month, "house")["rows"]["house"]
    page.locator("main").get_by_text("It closes to the milligram").wait_for()
    sums = page.locator(".account-sum .sum .fig").all_inner_texts()
    assert sums[-1] == lpa_text(row["closing"])
    stage = account(entries, month, "stage")["rows"]["wash"]
    made = next(flow for flow in stage["in"] if flow["other"] == "made/ferment")
    page.locator(".account-table").get_by_role("link", name=lpa_text(made)).first.click()
    page.get_by_role("heading", name=f"Made: {lpa_text(made)} LPA").wait_for()
    at_rest(page)
    assert page.locator(".account-entry").count() == len(made["entries"])
    page.locator(".account-entry").first.click()
    wash = next(entry for entry in entries if entry["id"] == made["entries"][0]["id"])
    page.locator(".frame > main").get_by_text(wash["said"]["original"]["typed"]).first.wait_for()  # what was read
    opens_to_its_places(page, entries, month)
    go(page, f"#/account/{month}")
    page.locator(".account-table").wait_for()
    count, text = pdf_of(page)
    assert f"1 of {count}" in text and site["name"] in text and "entries, head" in text and "Moved in" in text
    assert lpa_text(row["closing"]).replace("\u00a0", " ") in text


def opens_to_its_places(page, entries: list, month: str) -> None:
    """A closing opens to the places it consists of, one of these to its opening and its entries, which add up."""
    row = account(entries, month)["rows"]["storage"]
    go(page, f"#/account/{month}/account/storage/closing")
    page.get_by_role("heading", name=f"Closing: {lpa_text(row['closing'])} LPA").wait_for()
    places = account(entries, month, "place")["rows"]
    shown = page.locator(".account-entry > b").all_inner_texts()
    assert sorted(shown) == sorted(lpa_text(places[f"vessel/{tag}"]["closing"]) for tag in tags(page))
    page.locator(".account-entry").first.click()
    page.get_by_text("at the end of").wait_for()
    at_rest(page)
    assert page.locator(".account-entry").count() > 1


def tags(page) -> list[str]:
    return page.locator(".account-entry span b").all_inner_texts()


def gauge_record(page, house) -> None:
    """It prints with the numbers of its pages, and its CSV is read back."""
    go(page, f"#/records/{month_before()}")
    page.get_by_role("link", name="Gauge record").click()
    page.locator(".paper-table").wait_for()
    rows = page.locator(".paper-table tbody tr").count()
    assert rows > 10
    count, text = pdf_of(page)
    assert f"1 of {count}" in text and "Gauge record" in text and "printed" in text and "entries, head" in text
    with page.expect_download() as saved:
        page.get_by_role("button", name="CSV").click()
    told = list(csv.reader(io.StringIO(saved.value.path().read_text(encoding="utf-8-sig"), newline="")))
    assert len(told) == rows + 1 and told[0][0] == "No." and {len(row) for row in told} == {15}
    first = page.locator(".paper-table tbody tr").first.locator("td").all_inner_texts()
    assert told[1] == [cell.replace("\u00a0", " ") for cell in first]
    serials = {f"{entry['device'].split('.')[0]}-{entry['n']}" for entry in house.entries()}
    assert {row[0] for row in told[1:]} <= serials
    what_the_page_saves_is_as_safe_as_what_the_server_does(page)


def what_the_page_saves_is_as_safe_as_what_the_server_does(page):
    """Formulas by server/csv_safe.py, which goes by OWASP's page "CSV Injection"; read back by Python's own csv."""
    dice, signs = random.Random(7), "=+-@'\",;\n\r\t \0\x1c\x85\xa0\u2028\u202e\ufeff＝x1é😀"
    texts = [*FORMULAS, *("".join(dice.choices(signs, k=dice.randrange(6))) for _ in range(400))]
    function = "async (rows) => (await import('/pages/paper-keep.js')).csvOf(['a', 'b'], rows)"
    saved = evaluate(page, function, [[text, f"x{text}"] for text in texts])
    _, *told = csv.reader(io.StringIO(saved.removeprefix("\ufeff"), newline=""), strict=True)
    spaced = [re.sub(r"(?<=\d)\xa0|\xa0(?=\d)", " ", text) for text in texts]  # the spaces of figures
    assert told == [[cell(text), cell(f"x{text}")] for text in spaced]


# What each record must say, by where it stands in the book: words of 27 CFR 19.592 to 19.618 in the trade's terms.
SHEETS = {
    "gauge": ("Gauge record", ["Circumstance", "Distilled at", "Instruments", "True strength", "Pure alcohol", "No."]),
    "batch": ("Batch record", ["What went in", "Ferment readings", "Pure alcohol made", "Charged into", "Iodine"]),
    "bottling": ("Bottling record", ["Before", "Average of", "Standard deviation", "Cases", "Lost on the line"]),
    "checks": ("Checks of", ["stop", "ticked", "State"]),
    "close": ("Closing of", ["Head of the book then", "Signed", "Gauged and counted", "the same"]),
}
IDS = """async () => {
  const { book } = await import('/data/book.js');
  const { state } = book;
  await book.setPerson('Ines');
  const isOf = ({ live, entry }, kind, fits) => live && entry.kind === kind && fits(entry);
  const last = (kind, fits = () => true) => state.order.findLast((id) => isOf(state.entries[id], kind, fits));
  return {
    gauge: last('gauge', ({ said }) => said.gauge.strength),
    batch: Object.values(state.mashes).findLast((mash) => mash.wash).id,
    bottling: last('bottling', ({ said, lines }) => said.fill_checks && lines.some(({ to }) => to === 'lost/bottling')),
    checks: state.entries[last('tick', (entry) => entry.group)].entry.group,
    close: Object.keys(state.closes).at(-1),
    lot: Object.values(state.stock).find((lot) => lot.dispatched.length).lot,
  };
}"""


def records_on_both_papers(page, ids: dict, site: str) -> None:
    for sort, (title, words) in SHEETS.items():
        go(page, f"#/sheet/{sort}/{ids[sort]}")
        page.locator(".record-sheet").get_by_text(words[0]).first.wait_for()
        for paper in ("A4", "Letter"):
            count, text = pdf_of(page, paper)
            is_a_paper(text, count, site, title)
            assert [word for word in words if word not in text] == [], (sort, paper)


def a_recall_is_written_down(page, house, lot: str) -> None:
    go(page, "#/recall")
    fourteenth_case = f"{lot}/14"
    page.get_by_role("textbox", name="Code on the bottle, the case or the sack").fill(fourteenth_case)
    page.get_by_role("heading", name="Lots: raw material").wait_for(state="detached")
    assert page.locator("main a.link .tag").all_inner_texts() == [lot]
    page.locator("main a.link").click()
    page.get_by_role("button", name="Its bottles").click()
    page.get_by_text("Consignments to call back").wait_for()
    page.get_by_role("button", name="Write it down").click()
    page.get_by_role("button", name="Write down").last.click()
    page.get_by_role("heading", name="Written down").wait_for()
    count, text = pdf_of(page)
    is_a_paper(text, count, name_of(house), f"Recall of bottling {lot}")
    assert all(word in text for word in ("An exercise", "How long", "Signature", "to the milligram")), text
    with page.expect_download() as saved:
        page.get_by_role("button", name="JSON").click()
    rows = json.loads(saved.value.path().read_text(encoding="utf-8"))
    sent = sum(int(row["Bottles"]) for row in rows if row["What"] == "consignment")
    stock = fold(house.entries())["stock"][lot]
    assert sent == sum(one["count"] for one in stock["dispatched"]) - sum(one["count"] for one in stock["returned"])


def test_a_month_is_counted_and_closed_on_a_phone_without_a_network(phone):
    device = phone()
    glove = Glove(device.open("#/now"))
    page, month = glove.page, month_before()
    evaluate(page, SEED, month)
    evaluate(page, BOTTLES, month)
    set_a_pin(glove)
    sync_now(page)
    device.offline()
    glove.go(f"#/close/{month}")
    assert "0 of 2 counted" in glove.says() and "2 places are not counted" in glove.foot()
    glove.link("Count one after the other")
    assert "Count 1 of 2" in glove.head()
    glove.link("Gauge T-1")
    glove.put(Volume="80.0", In_bulk="20.0")
    glove.button("Write it in the book")
    page.get_by_role("heading", name="Settle").wait_for()
    glove.button("Evaporation")  # 85.5 L by the book: beyond what a level and a thermometer explain
    glove.button("Book it")
    page.get_by_role("heading", name="Count 2 of 2").wait_for()
    glove.link("Count L-1")
    glove.keys("49")
    glove.written("stocktake")
    page.get_by_role("heading", name="The round is done").wait_for()
    glove.link("To the closing")
    assert "2 of 2 counted" in glove.says() and "1 missing" in glove.says() and "not counted" not in glove.foot()
    glove.button("Close")
    glove.keys("4071")
    glove.button("Sign it")
    until(page, "Object.keys(book.state.closes).length === 1")
    glove.go(f"#/sheet/close/{month}")
    page.get_by_text("with the PIN").wait_for()
    head = run(page, "return Object.values(book.state.closes)[0].head")
    assert re.fullmatch(r"\d+ [0-9a-f]{64}", head) and head in glove.says()
    assert device.errors == []


BOTTLES = """async (month) => {
  const { book } = await import('/data/book.js');
  const then = `${month}-16T12:00:00Z`;
  const [before, after] = [[40000000, 100000000], [32000000, 80000000]];
  const sums = ([ethanol_mg, liquid_mg]) => ({ ethanol_mg, liquid_mg, extract_mg: 0 });
  const label = { lot: 'L-1', product: 'Rye', vessel: 'T-1', size_ml: 500, label_abv: { typed: '40', unit: 'abv' } };
  const gauges = { gauge_before: { book: sums(before) }, gauge_after: { book: sums(after) }, book: sums(before) };
  await book.write('bottling', { ...label, count: 50, ...gauges }, { happened: then });
}"""


def test_a_month_is_closed_and_what_comes_later_is_carried(phone):
    page = phone().open("#/now")
    month = month_before()
    evaluate(page, SEED, month)
    go(page, f"#/close/{month}")
    page.get_by_role("button", name="Close", exact=False).click()
    until(page, "Object.keys(book.state.closes).length === 1")
    page.get_by_text("closed", exact=False).first.wait_for()
    evaluate(page, LATE, month)
    page.locator("main").get_by_text("Came late").wait_for()
    assert "-1.3" in page.locator("main").inner_text().replace("\u2212", "-")
    go(page, "#/account")
    page.locator("main").get_by_text("about closed months came late").wait_for()


SEED = """async (month) => {
  const { book } = await import('/data/book.js');
  const units = { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' };
  const site = { name: 'House', zone: 'Europe/Vienna', day_start: '06:00', shifts: ['06:00'], market: 'EU', units };
  const tank = { tag: 'T-1', sort: 'tank', capacity_l: { typed: '500', unit: 'L' }, account: 'storage' };
  await book.setPerson('Ines');
  const then = `${month}-15T12:00:00Z`;
  const sums = { ethanol_mg: 40000000, liquid_mg: 100000000, extract_mg: 0 };
  await book.write('person', { name: 'Ines' }, { happened: then });
  await book.write('site', site, { happened: then });
  await book.write('vessel', tank, { happened: then });
  await book.write('opening', { vessel: 'T-1', gauge: { book: sums }, holds: 'spirit' }, { happened: then });
}"""

LATE = """async (month) => {
  const { book } = await import('/data/book.js');
  const then = `${month}-20T12:00:00Z`;
  const sums = { ethanol_mg: 40000000, liquid_mg: 100000000, extract_mg: 0 };
  const part = { ethanol_mg: 1000000, liquid_mg: 2500000, extract_mg: 0 };
  const said = { vessel: 'T-1', cause: 'spillage', by: 'amount', gauge: { book: part }, book: sums };
  await book.write('loss', said, { happened: then });
}"""
