"""On the smallest phones the value being typed stands above the keys, on every page with a keypad and at every key.

320 x 568 and 360 x 640 CSS pixels are the smallest screens still in the trade (common practice, no source). A phone on
its side has the keys beside the value and the figures that follow from it.
"""

import pytest
from asking import at_rest
from book_floor import GAUGE, HOUSE, READING, go
from floor import run

SIZES = ((320, 568), (360, 640), (844, 393))
PAGES = ("#/reckon/blend", "#/reckon/water", "#/reckon/strength", "#/reduce/S-1/stronger", "#/reduce/S-1/reading")
PAGES += ("#/vessel/S-1/gauge", "#/vessel/S-1/loss", "#/run/{run}/reading", "#/entry/{gauge}/correct")
HIDDEN = """() => {
  const pad = document.querySelector('[aria-label=Keypad]');
  if (!pad) return 'no keypad';
  const value = document.querySelector('.typed output').getBoundingClientRect();
  const main = document.querySelector('.frame > main').getBoundingClientRect();
  const keys = pad.getBoundingClientRect();
  const isBeside = keys.left >= main.right - 1;
  const least = Math.min(main.bottom, isBeside ? innerHeight : keys.top) + 1;
  const isFirst = !document.querySelector('main .stepper'); // a blend says first which liquid it is
  const under = isFirst ? (document.querySelector('.result')?.getBoundingClientRect().bottom ?? 0) : 0;
  if (isBeside && (keys.bottom > innerHeight || under > least)) return `on its side: ${[keys.bottom, under]}`;
  const fits = value.top >= main.top - 1 && value.bottom <= least;
  return fits ? null : [value, main].map(({ top, bottom }) => [top, bottom]).join(' in ');
}"""


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_value_being_typed_is_never_under_the_keys(phone, size):
    one = phone(viewport={"width": size[0], "height": size[1]})
    page = one.open()
    run(page, HOUSE)
    gauge = run(page, GAUGE, {"volume": "200"})
    run(page, GAUGE, {"volume": "600", "tag": "L-1"})
    run(page, READING, {"ago_min": 60})
    run_id = run(page, "return Object.keys(book.state.runs)[0]")
    found = {}
    for address in PAGES:
        hash_ = address.format(run=run_id, gauge=gauge)
        go(page, hash_)
        found[address] = page.evaluate(HIDDEN)
        page.evaluate("() => { document.querySelector('.frame > main').scrollTop = 0; }")
        page.get_by_role("group", name="Keypad").get_by_role("button", name="1", exact=True).tap()
        at_rest(page)
        found[f"{address} after a key"] = page.evaluate(HIDDEN)
    assert {name: where for name, where in found.items() if where} == {}
    assert one.errors == []


CUT = """(what) => [...document.querySelectorAll(what)].filter((one) => {
  const { top, bottom, left, right } = one.getBoundingClientRect();
  const strip = document.querySelector('.strip').getBoundingClientRect();
  return top < strip.bottom - 1 || bottom > innerHeight + 1 || left < 0 || right > innerWidth + 1;
}).map((one) => one.textContent)"""


def test_a_low_phone_on_its_side_has_every_key_and_all_five_orders_in_sight(phone):
    """A pad does not scroll under a finger, and nobody scrolls in danger."""
    page = phone(viewport={"width": 740, "height": 360}).open()
    run(page, HOUSE)
    keys = {"#/vessel/S-1/gauge": 13, "#/find": 35, "#/danger": 5, "#/danger/vapour": 5}
    for hash_, count in keys.items():
        what = ".orders li" if "danger" in hash_ else ".foot button"
        go(page, hash_)
        assert page.locator(what).count() == count, hash_
        assert page.evaluate(CUT, what) == [], hash_
