"""Runs histories in one browser page against houses in this process, and judges each."""

import logging
import shutil
import tempfile
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path

from faults.history import draw
from faults.judge import judged
from faults.line import Line
from harness import CHROME_ARGS, find_chrome
from playwright.sync_api import Error, sync_playwright

MEMORY = Path("/dev/shm")
PAGE_EVERY = 400  # histories; a page that is opened anew gives its memory back


@dataclass
class Outcome:
    seed: int
    wrong: list[str]
    trace: list[str]
    seconds: float


logging.getLogger("glovebook").setLevel(logging.CRITICAL + 1)  # it tells of every fault that is injected


@contextmanager
def stage(driver=None):
    """A line to the houses and a browser: (line, browser). driver: Playwright's, where one runs already"""
    folder = Path(tempfile.mkdtemp(prefix="glovebook-faults-", dir=MEMORY if MEMORY.is_dir() else None))
    try:
        with Line(folder) as line, nullcontext(driver) if driver else sync_playwright() as ours:
            browser = ours.chromium.launch(executable_path=find_chrome(), args=CHROME_ARGS)
            yield line, browser
            browser.close()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def outcomes(
    seeds: Iterable[int], bugs: Iterable[tuple[str, str, str]] = (), is_traced: bool = False
) -> Iterator[Outcome]:
    """Each seed's history, led and judged; one that fails is led again to tell what happened in it.

    bugs: changes to the page's modules, that a test wants found
    """
    with stage() as (line, browser):
        page = None
        for index, seed in enumerate(seeds):
            if index % PAGE_EVERY == 0:
                if page:
                    page.close()
                page = opened(browser, line, bugs)
            outcome = one(line, page, seed, is_traced)
            yield one(line, page, seed, True) if outcome.wrong and not is_traced else outcome


def opened(browser, line: Line, bugs):
    page = browser.new_page()
    page.goto(line.url + "/blank.html")
    page.evaluate("async (bugs) => { window.run = await import('/faults/run.js'); await run.load(bugs); }", list(bugs))
    return page


def one(line: Line, page, seed: int, is_traced: bool = False, trouble: list[str] | None = None) -> Outcome:
    began = time.monotonic()
    history = draw(seed, trouble) | {"traced": is_traced}
    house = line.house(seed)
    try:
        codes = [house.do_code()["code"] for _ in history["phones"]]
        told = page.evaluate("(history) => run.lead(history)", history | {"house": seed, "codes": codes})
        wrong, trace = judged(history, told, house), told["trace"]
    except Error as error:
        wrong, trace = [f"the history came to no end: {error}"], []
    finally:
        line.leave(seed)
    return Outcome(seed, wrong, trace, time.monotonic() - began)
