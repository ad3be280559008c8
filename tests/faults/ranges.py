"""Many histories, range after range in processes side by side; what was led can be kept in a file and gone on from."""

import json
import multiprocessing
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from faults.run import outcomes

RANGE = 500  # histories in a range: of one browser


@dataclass
class Led:
    """What became of the histories first .. first + count - 1."""

    first: int
    count: int
    seconds: float
    failed: dict[str, list[str]] = field(default_factory=dict)  # seed -> what broke, and the trace
    struck: Counter[str] = field(default_factory=Counter)

    def line(self) -> str:
        return json.dumps(vars(self)) + "\n"


def led(first: int, count: int) -> Led:
    """One range, led in this process."""
    began, range_ = time.monotonic(), Led(first, count, 0.0)
    for outcome in outcomes(range(first, first + count)):
        range_.struck += outcome.tally
        if outcome.wrong:
            range_.failed[str(outcome.seed)] = [*outcome.wrong, *outcome.trace]
    range_.seconds = round(time.monotonic() - began, 1)
    return range_


def kept_in(file: Path | None) -> list[Led]:
    """The ranges that a file has, one a line; a line that was cut off is not one."""
    found = []
    for line in file.read_text(encoding="utf-8").splitlines() if file and file.exists() else []:
        with suppress(ValueError):
            found.append(json.loads(line))
    return [Led(**one | {"struck": Counter(one["struck"])}) for one in found]


def all_led(first: int, count: int, cores: int, kept: Path | None = None) -> Iterator[Led]:
    """Each range of these seeds: first those that the file has, then the others, added to it as they are done."""
    wanted = {(at, min(RANGE, first + count - at)) for at in range(first, first + count, RANGE)}
    done = [one for one in kept_in(kept) if (one.first, one.count) in wanted]
    yield from done
    todo = sorted(wanted - {(one.first, one.count) for one in done})
    with ProcessPoolExecutor(cores, multiprocessing.get_context("spawn")) as pool:
        try:
            for future in as_completed([pool.submit(led, *one) for one in todo]):
                if kept:
                    with kept.open("a", encoding="utf-8") as file:
                        file.write(future.result().line())
                yield future.result()
        finally:
            pool.shutdown(wait=False, cancel_futures=True)
