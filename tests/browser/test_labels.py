"""Labels: as real printed pages, their codes read by an independent reader, and what a code opens without a network."""

import io

import papers
import pytest
from asking import wait_until
from book_floor import go
from floor import run
from harness import BOOK_OPEN
from pypdf import PdfReader

PHONES = "https://still.local:8710"  # a house's own address, as `serve --lan` has it


@pytest.fixture
def page(season):
    """The demo's phone. What it chose for labels it forgets again, and it is on the network when it goes back."""
    yield season.page or season.open()
    season.offline(False)
    season.context.unroute_all()
    season.page.evaluate("() => { for (const key of Object.keys(localStorage)) localStorage.removeItem(key); }")
    go(season.page, "#/now")


def choose(page, label: str, value: str):
    page.locator("label.chosen", has_text=label).locator("select").select_option(value)


def printed(page) -> bytes:
    return page.pdf(prefer_css_page_size=True)


def words(pdf: bytes) -> str:
    return " ".join(" ".join(one.extract_text() for one in PdfReader(io.BytesIO(pdf)).pages).split())


def test_what_is_printed_opens_its_page_without_a_network(season, page, demo):
    url = demo.url
    go(page, "#/labels/vessels")
    page.get_by_text("Phones cannot reach this server").wait_for()
    vessels = run(page, "return Object.values(book.state.vessels).map(({ tag, sort }) => [tag, sort])")
    tags = sorted(tag for tag, sort in vessels if sort != "receiver")
    pdf = printed(page)
    assert papers.sizes_mm(pdf) == [(210, 297)]
    assert papers.codes(pdf) == [f"{url}/#/vessel/{tag}" for tag in tags]
    assert all(tag in words(pdf) for tag in tags) and "Print" not in words(pdf)
    codes = {"vessel": papers.codes(pdf)[0], **lots_and_cases(page, url), "receiver": on_a_roll(page, url, vessels)}
    season.offline()
    opened = {"vessel": "Tank", "receiver": "Receiver", "lot": "Supplier", "case": "In stock"}
    for sort, code in codes.items():
        page.goto("about:blank")
        page.goto(code)  # as the camera does it: the app starts anew
        wait_until(page, BOOK_OPEN)
        page.locator("main").get_by_text(opened[sort]).or_(
            page.locator("h1").get_by_text(opened[sort])
        ).first.wait_for()
        assert code.rsplit("/", 1)[1] in page.locator("h1").inner_text(), code


def lots_and_cases(page, url: str) -> dict[str, str]:
    """One lot; and of a bottling one label a case, on a sheet begun at its eighth label."""
    go(page, "#/labels/lots/RY-2")
    assert papers.codes(printed(page)) == [f"{url}/#/lots/RY-2"]
    lot = run(page, "return Object.keys(book.state.stock)[0]")
    said = run(page, "return book.state.entries[book.state.stock[given].bottlings[0]].entry.said", lot)
    go(page, f"#/labels/cases/{lot}")
    choose(page, "Of each", "cases")
    choose(page, "Begin at label", "8")
    wait_until(page, "() => document.querySelector('.label-page').querySelectorAll('.code').length === 24 - 7")
    pdf = printed(page)
    sheets = [papers.codes(pdf, index) for index in range(len(papers.sizes_mm(pdf)))]
    assert len(sheets[0]) == 24 - 7 and sum(map(len, sheets)) == said["cases"]
    assert {code for sheet in sheets for code in sheet} == {f"{url}/#/stock/{lot}"}
    label = [f"{said['per_case']} bottles in a case", f"{said['size_ml']} mL, 40.0 %vol", *said["product"].split()]
    assert all(one in words(pdf) for one in label)
    return {"lot": f"{url}/#/lots/RY-2", "case": f"{url}/#/stock/{lot}"}


def on_a_roll(page, url: str, vessels: list) -> str:
    """A label a page, in the roll's own size; small ones are read too, and sides that are none are not printed."""
    go(page, "#/labels/receivers")
    choose(page, "Paper", "roll")
    page.get_by_label("Width, mm").fill("60")
    page.get_by_label("Height, mm").fill("4")
    page.get_by_text("A label is 25 to 297 mm").wait_for()
    page.get_by_label("Height, mm").fill("40")
    page.locator(".label-page svg[viewBox='0 0 60 40']").first.wait_for()
    tags = sorted(tag for tag, sort in vessels if sort == "receiver")
    pdf = printed(page)
    assert papers.sizes_mm(pdf) == [(60, 40)] * len(tags)
    found = [papers.codes(pdf, index) for index in range(len(tags))]
    assert sorted(code for page in found for code in page) == [f"{url}/#/vessel/{tag}" for tag in tags]
    return found[0][0]


def test_codes_carry_the_address_that_phones_have_and_keep_it_without_a_network(page, season):
    seen = {"ok": True, "address": PHONES}
    season.context.route("**/api/ready", lambda route: route.fulfill(json=seen))
    go(page, "#/labels/vessels")
    page.get_by_text(PHONES).wait_for()
    go(page, "#/now")
    season.context.unroute_all()
    season.offline()
    go(page, "#/labels/vessels/S-1")
    page.get_by_text(PHONES).wait_for()
    pdf = printed(page)
    assert papers.codes(pdf) == [f"{PHONES}/#/vessel/S-1"]
    assert papers.codes(pdf, torn=0.2) == [f"{PHONES}/#/vessel/S-1"], "a fifth of its breadth is gone in the middle"
