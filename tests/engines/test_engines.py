"""The app in WebKit and in Firefox: a first visit, a start without network, an entry by keys, a death, the sending.

WebKitGTK and Firefox on this machine stand for their engines; neither is a phone of the maker.
"""

import pytest
from asking import wait_until
from engines.driven import Firefox, WebKit
from floor import run, sync_now, until, write
from harness import BOOK_OPEN, READY

pytestmark = pytest.mark.long

TANK = """
  const TN = (typed, unit) => ({ typed, unit });
  const house = { name: 'Test house', zone: 'Europe/Vienna', day_start: '06:00', shifts: ['06:00'], market: 'EU' };
  const units = { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' };
  await book.write('site', { ...house, units }, { by: 'Ines' });
  await book.write('person', { name: 'Ines' }, { by: 'Ines' });
  await book.setPerson('Ines');
  const set = { tag: 'S-1', sort: 'tank', capacity_l: TN('300', 'L'), room_l: TN('5', 'L'), account: 'storage' };
  await book.write('vessel', set);
  const gauge = { volume: TN('200', 'L'), temperature: TN('20', 'C'), strength: TN('40', 'abv') };
  await book.write('opening', { vessel: 'S-1', gauge, holds: 'spirit' });
"""
SHOWN = "() => document.documentElement.dataset.shown === location.hash"


@pytest.fixture(params=[Firefox, WebKit], ids=lambda engine: engine.__name__)
def browser(request, playwright_driver, tmp_path):
    if missing := request.param.missing():
        pytest.skip(missing)
    one = request.param(playwright_driver, tmp_path / "profile")
    yield one
    one.close()


def sampled(browser, liters: str) -> None:
    """A sample taken from the tank, typed by its keys."""
    browser.evaluate("() => { location.hash = '#/vessel/S-1/sample'; }")
    wait_until(browser, SHOWN)
    for sign in liters:
        browser.press({".": "Decimal sign"}.get(sign, sign), group="Keypad")
    browser.press("In bulk", group="Fields")
    for sign in "20":
        browser.press(sign, group="Keypad")
    before = len(run(browser, "return book.entries.map((entry) => entry.id)"))
    browser.press("Write it in the book")
    until(browser, "book.entries.length > given", before)


def test_nothing_is_lost_in_another_engine(browser, server):
    url = f"{server.url}/"
    browser.start(url)  # never seen before
    wait_until(browser, BOOK_OPEN)
    wait_until(browser, READY)
    run(browser, TANK)
    until(browser, "book.saved.waiting === 0")

    server.kill()
    browser.close()
    browser.start(url)  # without network
    wait_until(browser, BOOK_OPEN)
    assert run(browser, "return book.state.places['vessel/S-1'].ethanol_mg > 0")
    sampled(browser, "0.250")
    write(browser, "Oskar")
    assert sync_now(browser)["state"] == "offline"

    browser.kill()  # the battery is flat
    browser.start(url)
    wait_until(browser, BOOK_OPEN)
    kept = run(browser, "return book.entries.slice(-2).map((entry) => entry.kind).sort()")
    assert kept == ["person", "sample"] and run(browser, "return book.saved.waiting") == 2
    sampled(browser, "0.100")

    server.start()
    assert sync_now(browser)["state"] == "idle"
    until(browser, "book.saved.waiting === 0")
    on_phone = run(browser, "return book.entries.map((entry) => JSON.stringify(entry)).sort()")
    assert len(on_phone) == len({entry["id"] for entry in server.entries()}) == 7
    kinds = [entry["kind"] for entry in server.entries()]
    assert kinds.count("sample") == 2 and kinds.count("person") == 2
    # 0.35 L of 40 %vol at 20 °C are 0.14 L of ethanol, of which a litre weighs 789.24 g at 20 °C (OIML R 22).
    sums = run(browser, "return book.state.places['sampled/laboratory'].ethanol_mg")
    assert sums == pytest.approx(0.14 * 789_240, rel=2e-3)
