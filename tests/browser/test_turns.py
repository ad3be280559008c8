"""Pages load when they are wanted: each of them does, and one that fails to load loses nothing."""

from floor import run
from harness import wait_until

EVERY_PAGE = """
  const { routes } = await import('/pages/routes.js');
  const wrong = [];
  for (const [address, load, name] of routes) if (typeof (await load())[name] !== 'function') wrong.push(address);
  return [routes.length, wrong];
"""
# The module of every page, as routes.js names it
LATE = """
  const text = await (await fetch('/pages/routes.js')).text();
  return [...text.matchAll(/import\\('\\.\\/([^']+)'\\)/g)].map(([, name]) => `/pages/${name}`);
"""
SHOWS = "(words) => document.body.innerText.includes(words)"
FAILED = "This page could not be drawn"


def go(page, hash_: str) -> None:
    page.evaluate("(hash) => { location.hash = hash; }", hash_)


def try_again(page) -> None:
    """The page begins anew, and until it does the one before still stands."""
    with page.expect_event("load"):
        page.get_by_text("Try it again", exact=True).tap()


def test_every_address_has_a_page_that_loads(phone):
    count, wrong = run(phone().open(), EVERY_PAGE)
    assert count > 20 and wrong == []


def test_all_pages_load_in_the_quiet_after_the_start(phone):
    page = (one := phone(lasting=True)).launch()  # those from the shelf leave it out
    asked = []
    page.on("request", lambda request: asked.append(request.url.removeprefix(one.url)))
    one.open()
    late = [name for name in run(page, LATE) if name not in asked]
    for _ in range(200):
        late = [name for name in late if name not in asked]
        if not late:
            break
        page.wait_for_timeout(50)
    assert late == []


def test_a_page_that_does_not_load_says_so_and_can_be_tried_again(phone):
    # Without the worker: its files never fail singly, but a first visit over a bad network may.
    page = (one := phone(service_workers="block")).launch()
    one.context.route("**/pages/reckon-*.js", lambda route: route.abort())
    one.open()
    go(page, "#/reckon/strength")
    wait_until(page, SHOWS, FAILED)
    try_again(page)
    wait_until(page, SHOWS, FAILED)
    go(page, "#/sync")  # the others are there
    wait_until(page, "() => !document.querySelector('.trouble') && document.querySelector('.frame main')")
    page.go_back()
    wait_until(page, SHOWS, FAILED)
    one.context.unroute("**/pages/reckon-*.js")
    try_again(page)
    wait_until(page, "() => !document.querySelector('.trouble') && document.querySelector('.frame main')")


def test_the_page_before_stands_until_the_next_one_is_there(phone):
    page = (one := phone(service_workers="block")).launch()
    held = []
    one.context.route("**/pages/reckon-strength.js", lambda route: held.append(route))
    one.open()
    before = page.locator(".frame h1").inner_text()
    go(page, "#/reckon/strength")
    for _ in range(100):
        page.wait_for_timeout(50)
        if held:
            break
    page.wait_for_timeout(200)
    assert held and page.locator(".frame h1").inner_text() == before
    go(page, "#/sync")  # the person goes elsewhere meanwhile
    wait_until(page, "(before) => document.querySelector('.frame h1').innerText !== before", before)
    there = page.locator(".frame h1").inner_text()
    for route in held:
        route.continue_()
    page.wait_for_timeout(200)
    assert page.locator(".frame h1").inner_text() == there


def test_a_start_that_lost_a_file_begins_again_by_itself_and_says_so_when_that_does_not_help(phone):
    # Browsers were seen to give up files while they woke the worker, in one start of some hundred.
    page = (one := phone(service_workers="block")).launch()
    lost = []

    def lose(route):
        lost.append(route)
        route.abort() if len(lost) < 3 else route.continue_()

    one.context.route("**/data/device.js", lose)
    one.open()
    assert len(lost) == 3
    one.context.unroute("**/data/device.js")
    one.context.route("**/data/device.js", lambda route: route.abort())
    page.evaluate("() => sessionStorage.clear()")
    one.open(wait=False)
    wait_until(page, SHOWS, "Glovebook has not started yet")
    one.context.unroute("**/data/device.js")
    page.get_by_role("button", name="Load it again").tap()
    one.wait_for_book(page)
