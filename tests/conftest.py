"""Fixtures for tests in a real browser. A test that uses one of them carries the mark `browser` by itself."""

import pytest
from files import Files
from harness import CHROME_ARGS, Phone, Server, find_chrome

BROWSER_FIXTURES = {"playwright_driver", "page_at_origin", "phone"}


def pytest_addoption(parser):
    parser.addoption("--long", action="store_true", help="also run the tests marked long")


def pytest_collection_modifyitems(config, items):
    dropped = [item for item in items if item.get_closest_marker("long") and not config.getoption("--long")]
    items[:] = [item for item in items if item not in dropped]
    config.hook.pytest_deselected(items=dropped)
    for item in items:
        if BROWSER_FIXTURES & set(item.fixturenames):
            item.add_marker(pytest.mark.browser)


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
    """A blank page at an origin that serves static/, with the app's import map: evaluate `import('/reckon/...')`."""
    with Files() as files:
        browser = playwright_driver.chromium.launch(executable_path=chrome_path, args=CHROME_ARGS)
        page = browser.new_page()
        page.goto(files.url + "/blank.html")
        yield page
        browser.close()


@pytest.fixture
def server(tmp_path):
    """A real server child with an empty book of its own; `.kill()`, `.start()` on the same port, `.entries()`."""
    running = Server(tmp_path / "server").start()
    yield running
    running.stop()


@pytest.fixture
def phone(playwright_driver, chrome_path, request, tmp_path):
    """Makes phones: `phone()`, or `phone("second", slow_down=4)`; each has a profile that outlives a restart.

    Without `url` they open the app of the fixture `server`.
    """
    made = []

    def make(name: str = "phone", slow_down: float = 1, url: str | None = None, **options) -> Phone:
        url = url or request.getfixturevalue("server").url
        made.append(Phone(playwright_driver, chrome_path, tmp_path / name, url, slow_down, **options))
        return made[-1]

    yield make
    for one in made:
        one.close()
