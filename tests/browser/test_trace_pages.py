"""The trace on the phone and on the desk: from a bottling back, from a wash forward; what is said adds up."""

import re

import pytest
from book_floor import HOUSE, SUMS, TOO_SMALL, go, says
from floor import run

# 600 L of wash and 40 L of stored spirit end in one tank; most of it is bottled, some bottles are sent.
STORY = (
    SUMS
    + """
  const TN = (typed, unit) => ({ typed, unit });
  const by = { by: 'Ines' };
  const warm = { temperature: TN('20.0', 'C') };
  await book.write('vessel', { tag: 'F-1', sort: 'fermenter', capacity_l: TN('900', 'L'), account: 'production' }, by);
  const plato = { original: TN('15', 'plato'), final: TN('0', 'plato') };
  const wash = await book.write('wash', { vessel: 'F-1', name: 'M-47', volume: TN('600', 'L'), ...warm, ...plato }, by);
  const gauge = { volume: TN('40', 'L'), ...warm, strength: TN('96.3', 'abv') };
  await book.write('opening', { vessel: 'S-1', gauge, holds: 'hearts' }, by);
  await book.write('transfer', { from: 'F-1', to: 'S-1', by: 'all', book: sumsOf('F-1') }, by);
  await book.write('water', { vessel: 'S-1', source: 'demineralised', water: { weight: TN('20', 'kg') } }, by);
  const before = { volume: TN('650', 'L'), ...warm, strength: TN('14', 'abv') };
  const bottling = await book.write('bottling', {
    lot: 'B-17', product: 'Vodka', vessel: 'S-1', size_ml: 700, label_abv: TN('14', 'abv'), count: 800,
    gauge_before: before, book: sumsOf('S-1') }, by);
  const line = bottling.lines.find(({ to }) => to === 'stock/B-17');
  const part = (name) => Math.round(line[name] / 800);
  const per_bottle = { ethanol_mg: part('ethanol_mg'), liquid_mg: part('liquid_mg'), extract_mg: part('extract_mg') };
  await book.write('dispatch', { lot: 'B-17', count: 300, way: 'duty_paid', to: 'Corner Shop', per_bottle }, by);
  return wash.id;
"""
)
NO_OVERFLOW = """() => {
  const main = document.querySelector('main');
  return main.scrollWidth <= main.clientWidth && document.body.scrollWidth <= innerWidth;
}"""
LINES = """() => [...document.querySelectorAll('.trace path.other, .trace path.chosen')]
  .map((path) => path.getAttribute('d')).join('').split('M').length - 1"""


@pytest.fixture
def house(phone):
    one = phone()
    page = one.open()
    run(page, HOUSE)
    yield page, run(page, STORY)
    assert one.errors == []


def shares(page, heading: str) -> list[float]:
    """The shares under a heading, in per cent."""
    part = page.locator("section", has=page.get_by_role("heading", name=heading, exact=True))
    texts = part.locator(".share-row:not(.sum) .share").all_inner_texts()
    return [float(re.sub(r"[^0-9.]", "", text)) for text in texts]


def test_from_the_bottle_back_to_the_wash_and_forward_to_the_shop(house):
    page, wash = house
    go(page, "#/trace")
    page.get_by_role("link", name="Bottling B-17").tap()
    page.get_by_role("heading", name="Where B-17 came from").wait_for()
    assert page.evaluate(LINES) == 100  # one line is one part in a hundred
    found = shares(page, "Sources")
    assert sum(found) == pytest.approx(100, abs=0.01)
    # All that ever came in was mixed in S-1 before anything left it, so each source's share is its part of all births.
    places = run(page, "return book.state.places")
    born = [-sums["ethanol_mg"] for place, sums in places.items() if place.split("/")[0] in ("made", "found")]
    assert -places["found/opening"]["ethanol_mg"] / 789_239.2 == pytest.approx(40 * 0.963, abs=0.01)  # OIML R 22
    assert found == pytest.approx([100 * mg / sum(born) for mg in sorted(born, reverse=True)], abs=0.1)
    text = says(page)
    assert "no gap in the chain" in text and "demineralised" in text and "Corner Shop" in text
    assert page.evaluate(NO_OVERFLOW)
    page.get_by_role("link", name="Where M-47 went").tap()
    page.get_by_role("heading", name="Where M-47 went").wait_for()
    assert sum(shares(page, "Where it is")) == pytest.approx(100, abs=0.01)
    # 800 filled: 300 sent, 500 here; none lost or found, so that no column says so.
    row = page.get_by_role("row", name=re.compile("^B-17")).locator("td").all_inner_texts()
    assert row == ["B-17", "800", "300", "500"]
    assert "300 bottles of B-17, to Corner Shop" in says(page)
    assert page.evaluate(NO_OVERFLOW)
    go(page, f"#/trace/from/{wash}")
    page.get_by_role("heading", name="Where M-47 went").wait_for()


def test_what_is_not_known_is_said_and_everything_is_large_enough_for_a_glove(house):
    page, wash = house
    for hash_ in ("#/trace", "#/trace/stock/B-17", "#/trace/from/water%2Fdemineralised", f"#/trace/from/{wash}"):
        go(page, hash_)
        for closed in page.locator("summary").all():
            closed.tap()
        assert page.evaluate(TOO_SMALL) == [], hash_
    go(page, "#/trace/stock/B-99")
    assert "nothing was filled under that code" in says(page)
    go(page, "#/trace/from/nobody")
    assert "knows of nothing by that name" in says(page)


def test_a_desk_shows_all_columns_and_choosing_a_source_draws_it_dark(house):
    page, _ = house
    page.set_viewport_size({"width": 1280, "height": 900})
    go(page, "#/trace/stock/B-17")
    page.get_by_text("Dark: M-47").wait_for()
    assert page.locator(".trace svg").get_by_text("Tank").count() == 1
    page.get_by_role("button", name=re.compile("^Opening of S-1")).click()
    page.get_by_text("Dark: Opening of S-1").wait_for()
    assert page.evaluate(LINES) == 100 and page.evaluate(NO_OVERFLOW)
