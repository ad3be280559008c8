"""The browser dies in the middle of a save or of an update; a private window keeps nothing: what is said, kept."""

import os
import signal
import threading
from contextlib import suppress
from functools import partial

import pytest
from asking import wait_until
from floor import names, on_server, sync_now, until
from harness import CHROME_ARGS, READY, Server, copy_of_tree
from playwright.sync_api import Error

GO_ON_SAVING = """async (from) => {
  const { book } = await import('/data/book.js');
  for (let n = from; ; n += 1) {
    const name = `P${n}`;
    await book.write('person', { name }, { by: name });
    told(name);
  }
}"""


def test_what_was_said_to_be_saved_outlives_kill_9_in_the_middle_of_saving(phone, server):
    ines, said = phone("ines", lasting=True), []
    page = ines.open()
    ines.ready()
    ines.offline()
    for death in (0.1, 0.4, 0.7):
        before = len(said)
        killer = threading.Timer(death, lambda: [pid_kill(pid) for pid in ines.pids()])
        page.expose_function("told", partial(hear, said, killer))
        with pytest.raises(Error):
            page.evaluate(GO_ON_SAVING, before * 1000)
        killer.join()
        ines.kill()
        page = ines.open()
        assert len(said) > before and set(said) <= set(names(page))
    ines.offline(False)
    sync_now(page)
    until(page, "book.saved.waiting === 0")
    assert on_server(server) == names(page)


def hear(said: list[str], killer: threading.Timer, name: str) -> None:
    """One more was said to be saved; from the first one on the browser's time runs."""
    said.append(name)
    if not killer.ident:
        killer.start()


def pid_kill(pid):
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)


def test_a_browser_that_dies_while_a_new_version_comes_starts_without_network(phone, tmp_path):
    house = Server(tmp_path / "server", root=copy_of_tree(tmp_path / "tree")).start()
    try:
        ines = phone(url=house.url, lasting=True)
        page = ines.open()
        ines.ready()
        for number, wait_ms in enumerate((0, 30, 120)):
            with open(house.root / "static" / "app.js", "a") as file:
                file.write(f"// version {number}")
            page.evaluate("() => { navigator.serviceWorker.getRegistration().then((one) => one.update()); }")
            page.wait_for_timeout(wait_ms)
            ines.kill()
            ines.offline()
            page = ines.open()
            wait_until(page, READY)
            assert page.locator("#app > .shell").count() == 1
            ines.offline(False)
    finally:
        house.stop()


def test_a_private_window_says_that_it_keeps_nothing(playwright_driver, chrome_path, server):
    browser = playwright_driver.chromium.launch(executable_path=chrome_path, args=CHROME_ARGS)
    try:
        page = browser.new_context(viewport={"width": 393, "height": 851}).new_page()
        page.goto(server.url + "/#/sync")
        page.get_by_text("has not promised to keep").wait_for()
        refused = browser.new_context(viewport={"width": 393, "height": 851})
        refused.add_init_script("IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };")
        page = refused.new_page()
        page.goto(server.url)
        page.get_by_text("Leave a private window").first.wait_for()
        page.get_by_role("link", name="Reckon").wait_for()  # the reckoner needs no storage
    finally:
        browser.close()
