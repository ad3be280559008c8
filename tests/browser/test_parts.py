"""The parts in a real browser: what a glove hits, what a key does, what fits on a small phone.

Sizes are the design's own: a key of 120 x 82 px on a 393 px phone, 96 px wide at 320, 66 tall under 760 px of height,
nothing pressed under 57 px. Times are held to Python's zoneinfo, which reads the IANA database.
"""

import threading
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from asking import NOTED, at_rest
from glove import keep_offers, tap_keys
from harness import CHROME_ARGS
from looks.serve import gallery

VIEWS = ["reading", "run", "pot", "cut", "reduction", "vessels", "checks", "now", "letters", "parts"]
VIEWS += ["danger", "drawings"]
BIG, SMALL, DESK = SIZES = (393, 851), (320, 693), (1280, 800)


@pytest.fixture(scope="module")
def phones(playwright_driver, chrome_path):
    """One empty phone a size, which keeps the gallery's files: {size: context}, and the gallery's address."""
    served = gallery(is_kept=True)
    threading.Thread(target=served.serve_forever, args=(0.05,), daemon=True).start()
    browser = playwright_driver.chromium.launch(executable_path=chrome_path, args=CHROME_ARGS)

    def context(size):
        width, height = size
        one = browser.new_context(viewport={"width": width, "height": height}, has_touch=True, is_mobile=True)
        one.add_init_script(NOTED)
        return one

    yield {size: context(size) for size in SIZES}, f"http://127.0.0.1:{served.server_port}/gallery/"
    browser.close()
    served.shutdown()
    served.server_close()


@pytest.fixture(scope="module")
def look(phones):
    """`look("reading?more", BIG)` turns to a view of the gallery, drawn anew, on a phone of that size."""
    contexts, address = phones
    pages = {}

    def open_view(view: str, size: tuple[int, int]):
        name, _, query = view.partition("?")
        page = pages.get((query, size))
        if page is None:
            page = pages[query, size] = contexts[size].new_page()
            page.goto(f"{address}?{query}#{AWAY}")
            page.locator(".frame main").wait_for()
        turn(page, AWAY)
        turn(page, name)
        return page

    return open_view


AWAY = "pot"  # a view that keeps nothing: to come from it is to see another one for the first time


def turn(page, name: str):
    page.evaluate("(name) => { location.hash = name; }", name)
    at_rest(page)


def each_view(look, query: str, size: tuple[int, int]):
    """Every view of the gallery in turn, as (its name, the page)."""
    page = look(f"{VIEWS[0]}?{query}", size)
    for view in VIEWS:
        turn(page, view)
        yield view, page


def boxes(page, selector: str) -> list[dict]:
    return page.eval_on_selector_all(
        selector,
        """all => all.filter(one => one.checkVisibility()).map(one => {
          const { width, height } = one.getBoundingClientRect();
          return { width, height, word: one.getAttribute('aria-label') || one.textContent.trim() };
        })""",
    )


def tap(page, *keys: str):
    for key in keys:
        page.locator(".pad").get_by_role("button", name=key, exact=True).tap()
    at_rest(page)


def typed(page) -> list[str]:
    at_rest(page)
    return [text.replace("\u00a0", " ").strip() for text in page.locator(".fields button span").all_inner_texts()]


@pytest.mark.parametrize("size", [BIG, SMALL], ids=str)
@pytest.mark.parametrize("query", ["", "more", "units"])
def test_nothing_pressed_is_under_57_px(look, query, size):
    too_small = []
    for view, page in each_view(look, query, size):
        found = boxes(page, ":is(button, a[href], summary, [role=button])")
        assert found, view
        too_small += [(view, box) for box in found if box["width"] < 56.9 or box["height"] < 56.9]
    assert too_small == []


@pytest.mark.parametrize(("size", "least"), [(BIG, (120, 82)), (SMALL, (96, 66))], ids=str)
def test_keypad_keys_fill_the_width(look, size, least):
    keys = boxes(look("reading", size), ".pad button")
    assert len(keys) == 12
    assert all(key["width"] >= least[0] and key["height"] >= least[1] for key in keys)


def test_keys_stand_8_px_apart(look):
    page = look("reading", BIG)
    assert page.evaluate("() => getComputedStyle(document.querySelector('.pad')).gap") == "8px"


@pytest.mark.parametrize("text", ["100", "200"])
def test_nothing_runs_off_a_small_phone(look, text):
    over = []
    for view, page in each_view(look, f"text={text}", SMALL):
        found = page.evaluate(
            """() => [...document.querySelectorAll('.frame *')].filter(one => {
              if (one.closest('svg') !== null || one.matches('.away, .probe') || !one.checkVisibility()) return false;
              return one.getBoundingClientRect().right > innerWidth + 1;
            }).map(one => `${one.tagName}.${one.className}: ${one.textContent.slice(0, 30)}`)"""
        )
        over += [f"{view}: {say}" for say in found]
    assert over == []


def test_a_reading_takes_nine_taps_and_one_to_write(look):
    page = look("reading", BIG)
    tap(page, *"968", *"229", *"656")
    assert typed(page) == ["96.8 %", "22.9 °C", "65.6 L"]


def test_a_wrong_last_digit_goes_in_one_tap(look):
    page = look("reading", BIG)
    tap(page, *"967", "Erase", "8")
    assert typed(page)[0] == "96.8 %"


def test_the_comma_key_is_minus_before_a_temperature(look):
    page = look("reading", BIG)
    tap(page, *"968", "Minus", "4", "Decimal sign", "5")
    assert typed(page)[1] == "−4.5 °C"


def test_step_keys_begin_at_the_last_reading(look):
    page = look("reading", BIG)
    page.locator(".fields button").nth(1).tap()
    page.get_by_role("button", name="+0.1").tap()
    assert typed(page)[1] == "22.9 °C"


def test_more_than_three_fields_stand_in_groups(look):
    page = look("reading?more", SMALL)
    assert len(page.locator(".fields button small").all()) == 3
    page.get_by_role("button", name="More fields").tap()
    at_rest(page)
    assert page.locator(".fields button small").all_inner_texts() == ["Kettle", "Head", "Water out"]


def test_a_key_acts_when_the_finger_comes_down_and_once(look):
    page = look("reading", BIG)
    page.locator(".pad button").first.dispatch_event("pointerdown", {"button": 0})
    page.locator(".pad button").nth(1).tap()
    assert typed(page)[0].startswith("12")


def test_the_real_keyboard_types_and_keeps_its_comma(look):
    page = look("reading", DESK)
    for key in ["9", "6", ",", "8"]:
        page.keyboard.press(key)
    assert typed(page)[0] == "96,8 %"


def test_not_saved_is_a_word_and_a_shape_and_inverted(look):
    page = look("now?strip=failed", BIG)
    cell = page.locator(".strip [data-state=failed]")
    assert " ".join(cell.inner_text().split()) == "NOT SAVED"
    assert cell.locator("svg").count() == 1
    ink, ground = cell.evaluate("one => [getComputedStyle(one).color, getComputedStyle(one).backgroundColor]")
    plate = page.evaluate("() => getComputedStyle(document.querySelector('.frame')).backgroundColor")
    assert ink == plate
    assert ground != plate


def test_a_refusal_stays_in_sight_on_the_smallest_phone(look):
    page = look("now?strip=refused", SMALL)
    assert "Refused" in page.locator(".strip").inner_text()


def test_sent_leaves_the_strip_of_the_smallest_phone(look):
    assert "Sent" in look("now", BIG).locator(".strip").inner_text()
    assert "Sent" not in look("now", SMALL).locator(".strip").inner_text()


def test_a_demo_says_so(look):
    assert "DEMO" in look("now?demo", SMALL).locator(".strip").inner_text()


def test_undo_stands_in_the_foot_and_goes(look):
    page = look("cut", BIG)
    keep_offers(page)
    page.locator(".foot .act").tap()
    undo = page.locator(".foot .undo").get_by_role("button")
    assert undo.inner_text().startswith("Undo")
    undo.tap()
    page.locator(".undo").wait_for(state="detached")


def test_a_time_is_set_with_four_digits(look):
    page = look("reading", BIG)
    page.locator(".head .box").tap()
    panel = page.get_by_role("dialog")
    panel.get_by_role("button", name="A day earlier").tap()
    tap_keys(page, "1425")
    panel.locator(".act").tap()
    at_rest(page)
    assert "14:25" in page.locator(".head .box").inner_text()


def test_a_time_of_day_that_is_none_is_refused_with_words(look):
    page = look("reading", BIG)
    page.locator(".head .box").tap()
    panel = page.get_by_role("dialog")
    tap_keys(page, "2575")
    assert "25:75 is no time of day" in panel.inner_text()
    assert panel.locator(".act").get_attribute("aria-disabled") == "true"
    panel.locator(".act").tap(force=True)
    at_rest(page)
    assert panel.is_visible()


def test_keys_typed_at_an_open_panel_do_not_reach_the_form_behind(look):
    page = look("reading", DESK)
    page.locator(".head .box").first.click()
    page.keyboard.press("7")
    at_rest(page)
    assert page.get_by_role("dialog").locator("output").inner_text().startswith("7")
    page.keyboard.press("Escape")
    at_rest(page)
    assert page.get_by_role("dialog").count() == 0
    assert typed(page)[0] == ""


def press_all(page, keys: str, field: dict) -> str:
    return page.evaluate(
        """async ([keys, field]) => {
          const { press } = await import('/parts/typed.js');
          let edit = { text: '', pending: '' };
          for (const key of keys) edit = press(edit, key === 'e' ? 'erase' : key, field) ?? edit;
          return edit.text + '|' + edit.pending;
        }""",
        [keys, field],
    )


@pytest.mark.parametrize(
    ("keys", "field", "told"),
    [
        ("968", {"max": 100}, "96.8|"),  # it can only be meant so
        ("100", {"max": 100}, "100|"),  # pure alcohol can be typed
        ("1000", {"max": 100}, "100.0|"),
        ("229", {"max": 40, "min": -20}, "22.9|"),
        ("-45", {"max": 40, "min": -20, "minus": True}, "-4.5|"),
        ("-45", {"max": 40, "min": -20}, "4.5|"),  # a field that knows no minus
        ("96,8", {"max": 100}, "96,8|"),  # kept as typed
        (",5", {"max": 100}, "0,5|"),
        ("62,", {"max": 100}, "62|,"),  # a comma alone is not yet a number
        ("968e7", {"max": 100}, "96.7|"),
        ("9685", {"max": 100}, "96.8|"),  # the instrument gives no more
        ("58,e7", {"max": 600}, "587|"),
        ("58,6e7", {"max": 600}, "58,7|"),
        ("125", {"max": 120, "decimals": 0}, "125|"),  # beyond the limit, but lost it is not
    ],
)
def test_what_a_key_makes_of_a_number(page_at_origin, keys, field, told):
    assert press_all(page_at_origin, keys, field) == told


ZONES = ["Europe/Vienna", "Europe/London", "America/New_York", "America/St_Johns", "Asia/Kolkata", "Pacific/Auckland"]
DAYS = [(1, 1), (3, 29), (7, 15), (10, 25), (11, 1)]
MOMENTS = [datetime(2026, *day, hour, 40, tzinfo=UTC) for day in DAYS for hour in (0, 1, 5, 23)]


@pytest.mark.parametrize("zone", ZONES)
def test_times_are_those_of_the_zone(page_at_origin, zone):
    """Clock, offset and book day (from 06:00) as zoneinfo gives them, over both changes of the clocks."""
    stamps = [int(moment.timestamp() * 1000) for moment in MOMENTS]
    told = page_at_origin.evaluate(
        """async ([zone, stamps]) => {
          const { bookDay, momentOf, offsetMin, partsOf, timeText } = await import('/parts/times.js');
          const site = { zone, day_start: '06:00' };
          const key = ({ year, month, day }) => [year, month, day].map(n => String(n).padStart(2, '0')).join('-');
          return stamps.map(ms => {
            const parts = partsOf(ms, site);
            const again = momentOf(key(parts), parts.hour, parts.minute, site);
            return [timeText(ms, site), offsetMin(ms, site), bookDay(ms, site), again];
          });
        }""",
        [zone, stamps],
    )
    for moment, stamp, (clock, offset, day, again) in zip(MOMENTS, stamps, told, strict=True):
        local = moment.astimezone(ZoneInfo(zone))
        assert clock == f"{local:%H:%M}"
        assert offset == local.utcoffset().total_seconds() / 60
        assert day == f"{local.replace(tzinfo=None) - timedelta(hours=6):%Y-%m-%d}"
        first = local.replace(fold=0)  # of a clock time that comes twice, the first
        assert again == first.timestamp() * 1000, (zone, stamp)
