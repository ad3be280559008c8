"""Runs histories in one browser page against houses in this process, and judges each."""

import logging
import shutil
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path

from faults.history import draw
from faults.judge import judged
from faults.line import Line
from harness import CHROME_ARGS, find_chrome
from playwright.sync_api import sync_playwright

MEMORY = Path("/dev/shm")
PAGE_EVERY = 400  # histories; a page that is opened anew gives its memory back


@dataclass
class Outcome:
    seed: int
    wrong: list[str]
    trace: list[str]
    tally: Counter[str]  # how often each fault really struck
    seconds: float
    has_ended: bool


logging.getLogger("glovebook").setLevel(logging.CRITICAL + 1)  # it tells of every fault that is injected


@contextmanager
def stage(driver=None):
    """A line to the houses and a browser: (line, browser). driver: Playwright's, where one runs already"""
    folder = Path(tempfile.mkdtemp(prefix="glovebook-faults-", dir=MEMORY if MEMORY.is_dir() else None))
    try:
        with Line(folder) as line, nullcontext(driver) if driver else sync_playwright() as ours:
            browser = ours.chromium.launch(executable_path=find_chrome(), args=CHROME_ARGS)
            try:
                yield line, browser
            finally:
                browser.close()  # before the line, which waits for its page
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def outcomes(
    seeds: Iterable[int], bugs: Iterable[tuple[str, str, str]] = (), is_traced: bool = False
) -> Iterator[Outcome]:
    """Each seed's history, led and judged; one that fails is led again to tell what happened in it.

    bugs: changes to the page's modules, that a test wants found
    """
    with stage() as (line, browser):
        page, led = None, PAGE_EVERY
        for seed in seeds:
            if led >= PAGE_EVERY:
                if page:
                    page.close()
                page, led = opened(browser, line, bugs), 0
            outcome = one(line, seed, is_traced)
            led += 1 if outcome.has_ended else PAGE_EVERY
            again = outcome.wrong and outcome.has_ended and not is_traced
            yield one(line, seed, True) if again else outcome


def opened(browser, line: Line, bugs):
    page = browser.new_page()
    page.goto(line.url + "/blank.html")
    load = "async (given) => (await import('/faults/run.js')).load(...given)"
    page.evaluate(load, [list(bugs), line.address])
    return page


def one(line: Line, seed: int, is_traced: bool = False, trouble: list[str] | None = None) -> Outcome:
    """Led by the page that was opened last."""
    began, has_ended = time.monotonic(), True
    history = draw(seed, trouble) | {"traced": is_traced}
    house = line.begin(str(seed))
    try:
        codes = [house.do_code()["code"] for _ in history["phones"]]
        told = line.lead(history | {"codes": codes})
        wrong, trace, tally = judged(history, told, house), told["trace"], Counter(told["tally"]) + house.tally
    except (OSError, TimeoutError) as error:
        wrong, trace, tally, has_ended = [f"the history came to no end: {error!r}"], [], Counter(), False
    finally:
        line.leave()
    return Outcome(seed, wrong, trace, tally, time.monotonic() - began, has_ended)
