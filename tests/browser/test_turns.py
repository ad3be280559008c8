"""Pages load when they are wanted: each of them does, and one that fails to load loses nothing."""

from asking import evaluate, wait_until
from floor import run

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
HAS_FETCHED = """(names) => {
  const fetched = new Set(performance.getEntriesByType('resource').map((one) => new URL(one.name).pathname));
  return names.every((name) => fetched.has(name));
}"""
LATE_FILE = "**/pages/reckon-strength.js"
TWO_FRAMES = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(null))))"
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
    page.add_init_script("performance.setResourceTimingBufferSize(9999)")
    one.open()
    late = run(page, LATE)
    wait_until(page, HAS_FETCHED, late)
    assert set(late) <= set(asked)


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
    one.context.route(LATE_FILE, lambda route: held.append(route))
    one.open()
    before = page.locator(".frame h1").inner_text()
    with page.expect_request(LATE_FILE):
        go(page, "#/reckon/strength")
    evaluate(page, TWO_FRAMES)
    assert page.locator(".frame h1").inner_text() == before
    go(page, "#/sync")  # the person goes elsewhere meanwhile
    wait_until(page, "(before) => document.querySelector('.frame h1').innerText !== before", before)
    there = page.locator(".frame h1").inner_text()
    with page.expect_event("requestfinished", lambda request: request.url.endswith(LATE_FILE[2:])):
        for route in held:
            route.continue_()
    evaluate(page, "() => import('/pages/reckon-strength.js').then(() => null)")
    evaluate(page, TWO_FRAMES)
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


AT_ONCE = """async () => {
  const { book } = await import('/data/book.js');
  const { useDraft } = await import('/data/drafts.js');
  const { html, render } = await import('/parts/html.js');
  const { useBook } = await import('/parts/use.js');
  window.requestAnimationFrame = () => 0; // a machine that is too busy to draw
  let put = null;
  const Form = () => {
    const [typed, set] = useDraft('a form', '');
    put = set;
    return html`<p>${typed} ${useBook().person}</p>`;
  };
  const root = document.createElement('div');
  render(html`<${Form} />`, root);
  put('9');
  await book.setPerson('Ines');
  await new Promise((done) => { setTimeout(done); });
  return root.textContent;
}"""


def test_what_changes_before_the_first_frame_is_drawn_too(phone):
    page = phone().open()
    assert evaluate(page, AT_ONCE) == "9 Ines"
    run(page, "(await import('/data/drafts.js')).forgetDraft('a form')")
