"""Runs histories in one browser page against houses in this process, and judges each."""

import logging
import shutil
import subprocess
import tempfile
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from subprocess import DEVNULL

from faults.history import draw
from faults.judge import judged
from faults.line import PATIENCE_S, Line
from harness import CHROME_ARGS, find_chrome

MEMORY = Path("/dev/shm")
PAGE_EVERY = 500  # histories; a browser that is opened anew gives its memory back
ALONE = ["--headless", "--no-first-run", "--disable-gpu", "--disable-background-networking"]


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
def stage() -> Iterator[Line]:
    """A line to the houses, which lie in memory where that can be."""
    folder = Path(tempfile.mkdtemp(prefix="glovebook-faults-", dir=MEMORY if MEMORY.is_dir() else None))
    try:
        with Line(folder) as line:
            yield line
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def opened(line: Line, bugs: Iterable[tuple[str, str, str]] = ()) -> Iterator[None]:
    """A browser whose page waits for histories. Nothing drives it: a driver is told of each word on the web socket.

    bugs: changes to the page's modules, that a test wants found
    """
    profile = Path(tempfile.mkdtemp(prefix="profile-", dir=line.folder))
    words = [find_chrome(), *CHROME_ARGS, *ALONE, f"--user-data-dir={profile}", line.url]
    ready = line.expected(bugs)
    browser = subprocess.Popen(words, stdout=DEVNULL, stderr=DEVNULL)
    try:
        ready.result(PATIENCE_S)
        yield
    finally:
        browser.terminate()
        browser.wait()
        shutil.rmtree(profile, ignore_errors=True)


def outcomes(seeds: Iterable[int], is_traced: bool = False) -> Iterator[Outcome]:
    """Each seed's history, led and judged; one that fails is led again to tell what happened in it."""
    with stage() as line, ExitStack() as browser:
        led = PAGE_EVERY
        for seed in seeds:
            if led >= PAGE_EVERY:
                browser.close()
                browser.enter_context(opened(line))
                led = 0
            outcome = one(line, seed, is_traced)
            led += 1 if outcome.has_ended else PAGE_EVERY
            again = outcome.wrong and outcome.has_ended and not is_traced
            yield one(line, seed, True) if again else outcome


def one(line: Line, seed: int, is_traced: bool = False, trouble: list[str] | None = None) -> Outcome:
    """Led by the page that was opened last."""
    began, has_ended = time.monotonic(), True
    history = draw(seed, trouble) | {"traced": is_traced}
    house = line.begin(str(seed), has_threads=history["store"] == "real")
    try:
        codes = [house.do_code()["code"] for _ in history["phones"]]
        told = line.lead(history | {"codes": codes})
        wrong, trace, tally = judged(history, told, house), told["trace"], Counter(told["tally"]) + house.tally
    except (OSError, TimeoutError) as error:
        wrong, trace, tally, has_ended = [f"the history came to no end: {error!r}"], [], Counter(), False
    finally:
        line.leave()
    return Outcome(seed, wrong, trace, tally, time.monotonic() - began, has_ended)
