"""Every address of the app, over a full book and an empty one, held to what a glove hits and what every eye reads.

One phone walks over all of them, once at each of the design's two widths: to open the app anew costs more than to look.
"""

import eyes
import pytest
from addresses import addresses
from asking import evaluate
from book_floor import go

WIDE, NARROW = {"width": 393, "height": 851}, {"width": 320, "height": 693}


@pytest.fixture(params=[pytest.param("full", marks=pytest.mark.xdist_group("season")), "empty"])
def house(request):
    """A phone over the demo's book, and one over an empty one."""
    one = request.getfixturevalue("season") if request.param == "full" else request.getfixturevalue("phone")()
    yield one.page or one.open()
    assert one.errors == []


@pytest.fixture
def is_thorough(request) -> bool:
    """Also the like pages of one pattern at 320 px, and to every eye, and an empty book at 320 px: two minutes more."""
    return request.config.getoption("--long")


def turn(page, hash_: str):
    go(page, hash_)
    assert page.locator(".frame > main").count(), f"{hash_}: {page.locator('body').inner_text()}"


def test_every_page_suits_a_glove_and_every_eye(house, is_thorough):
    eyes.bring_axe(house)
    walked, found = addresses(house), []
    firsts = {name if "setup" in name else name.split(" ")[0]: name for name in reversed(walked)}.values()
    for name, hash_ in walked.items():
        turn(house, hash_)
        found += [f"{name}: {say}" for say in eyes.hand(house)]
        if is_thorough or name in firsts:
            themes = ("day", "dim") if name in firsts else ("day",)
            found += [f"{name}: {say}" for say in [*eyes.colours(house), *eyes.axe(house, themes)]]
            house.evaluate("() => { document.documentElement.dataset.theme = 'day'; }")
    is_empty = evaluate(house, "async () => !(await import('/data/book.js')).book.entries.length")
    house.set_viewport_size(NARROW)
    for name in walked if is_thorough else firsts if not is_empty else []:
        turn(house, walked[name])
        found += [f"320 px, {name}: {say}" for say in eyes.hand(house)]
    house.set_viewport_size(WIDE)
    assert not found, "\n".join(found)


def test_the_checks_see_a_small_key_a_strange_colour_and_a_key_without_a_name(phone):
    page = phone().open()
    page.evaluate("""() => {
      const key = document.createElement('button');
      key.textContent = 'small';
      key.style.cssText = 'width:20px;height:20px;min-width:0;min-height:0;padding:0;color:rgb(1,2,3)';
      document.querySelector('main').append(key, document.createElement('button'));
    }""")
    assert any("20 x 20" in say for say in eyes.hand(page))
    strange = [say for say in eyes.colours(page) if "rgb(1, 2, 3)" in say]
    assert [say.split(":")[0] for say in strange] == list(eyes.THEMES)
    eyes.bring_axe(page)
    assert "button-name" in eyes.axe(page)[0]
