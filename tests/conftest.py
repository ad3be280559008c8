"""Fixtures for tests in a real browser. A test that uses one of them carries the mark `browser` by itself."""

from functools import partial
from types import SimpleNamespace

import pytest
from asking import evaluate
from files import Files
from floor import run, until
from harness import CHROME_ARGS, ROOT, Phone, Server, find_chrome
from phones import ReadyPhone, Shelf, lasting_port
from spring import Spring

BROWSER_FIXTURES = {"playwright_driver", "page_at_origin", "phone"}
# One worker has the demo's season, since to make it ready costs as much as a dozen tests
ONE_SEASON = pytest.mark.xdist_group("season")


def pytest_addoption(parser):
    parser.addoption("--long", action="store_true", help="also run the tests marked long")


@pytest.hookimpl(tryfirst=True)  # before xdist looks for groups
def pytest_collection_modifyitems(config, items):
    dropped = [item for item in items if item.get_closest_marker("long") and not config.getoption("--long")]
    items[:] = [item for item in items if item not in dropped]
    config.hook.pytest_deselected(items=dropped)
    items.sort(key=lambda item: not item.get_closest_marker("story"))
    for item in items:
        if BROWSER_FIXTURES & set(item.fixturenames):
            item.add_marker(pytest.mark.browser)
        if "season" in item.fixturenames:
            item.add_marker(ONE_SEASON)


@pytest.fixture(scope="session")
def chrome_path() -> str:
    path = find_chrome()
    if path is None:
        pytest.fail("No Chromium was found. Install one (apt-get install chromium) or name it in the variable CHROME.")
    return path


@pytest.fixture(scope="session")
def playwright_driver():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="session")
def page_at_origin(playwright_driver, chrome_path):
    """`.evaluate(function, given)` in a blank page that has the app's import map, so `import('/reckon/...')` works."""
    with Files() as files:
        browser = playwright_driver.chromium.launch(executable_path=chrome_path, args=CHROME_ARGS)
        page = browser.new_page()
        page.goto(files.url + "/blank.html")
        yield SimpleNamespace(evaluate=partial(evaluate, page))
        browser.close()


@pytest.fixture(scope="session")
def shelf(playwright_driver, chrome_path, tmp_path_factory):
    """The phones that lie ready, see tests/phones.py."""
    kept = Shelf(playwright_driver, chrome_path, tmp_path_factory.mktemp("shelf"))
    yield kept
    kept.close()


@pytest.fixture(scope="session")
def own_port() -> int:
    """This worker's port: one address for all its servers, so that one phone has the app of them all."""
    return lasting_port()


@pytest.fixture(scope="session")
def spring():
    one = Spring(ROOT)
    yield one
    one.close()


@pytest.fixture
def server(shelf, spring, own_port, tmp_path):
    """A real server child with an empty book of its own; `.kill()`, `.start()` on the same port, `.entries()`."""
    running = Server(tmp_path / "server", port=own_port, spring=spring).start()
    shelf.keep(running.url)
    yield running
    running.kill()


@pytest.fixture(scope="session")
def demo(shelf, spring, tmp_path_factory):
    """A server of the demo's book for all tests of this worker: look at it, and write nothing into it."""
    running = Server(tmp_path_factory.mktemp("demo"), port=lasting_port(), is_demo=True, spring=spring).start()
    shelf.keep(running.url)
    yield running
    running.stop()


@pytest.fixture(scope="session")
def season(shelf, demo, tmp_path_factory):
    """A phone of Ines that has the whole demo's book, for all tests of this worker: look at it, and write nothing."""
    one = ReadyPhone(shelf, tmp_path_factory.mktemp("season"), demo.url)
    until(one.open(), "book.entries.length > 3000")
    run(one.page, "await book.setPerson('Ines')")
    yield one
    one.close()


@pytest.fixture
def phone(shelf, request, tmp_path):
    """Makes phones: `phone()`, or `phone("second", slow_down=4)`; each has the app, and nothing of a person.

    lasting: it has a profile of its own, so that it can be closed, restarted and killed
    fresh: as lasting, and it has never seen the app
    Without `url` they open the app of the fixture `server`.
    """
    made = []

    def make(name="phone", slow_down=1, url=None, lasting=False, fresh=False, **options) -> Phone:
        url, folder = url or request.getfixturevalue("server").url, tmp_path / name
        if not lasting and not fresh:
            made.append(ReadyPhone(shelf, folder, url, slow_down, **options))
            return made[-1]
        if lasting and not folder.exists():
            shelf.profile(url, folder)
        made.append(Phone(shelf.playwright, shelf.chrome, folder, url, slow_down, **options))
        return made[-1]

    yield make
    for one in made:
        one.close()
