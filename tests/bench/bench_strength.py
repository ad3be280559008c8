"""Strength from a density: how much the inverse costs beside the bare polynomial, in both languages.

`python tests/bench/bench_strength.py` prints one table. Nanoseconds are this machine's in this run; the ratios within
a column are what may be compared.
"""

import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.extend(str(Path(__file__).parents[up]) for up in (1, 2))

from server.reckon import reckon
from server.reckon.density import AT_20C, coefficients, fraction_at_density, horner

ROUNDS = 5

IN_PAGE = """async () => {
  const { AT_20C, coefficients, fractionAtDensity, horner } = await import('/reckon/density.js');
  const { reckon } = await import('/reckon/reckon.js');
  const question = (at) => ({ want: 'strength', density_kg_m3: 800 + (at % 190), reading_temperature_c: 17 });
  const work = [
    [2000000, (at) => horner(AT_20C, (at % 1000) / 1000)],
    [100000, (at) => coefficients((at % 60) - 20)[11]],
    [20000, (at) => fractionAtDensity(AT_20C, 800 + (at % 190))],
    [10000, (at) => reckon(question(at)).abv_pct],
  ];
  let kept = 0; // summed and given back, so that no call can be left out as useless
  const timed = ([count, call]) => {
    const start = performance.now();
    for (let at = 0; at < count; at += 1) kept += call(at);
    return ((performance.now() - start) * 1e6) / count;
  };
  const best = work.map((one) => Math.min(...Array.from({ length: 5 }, () => timed(one))));
  return { best, kept };
}"""


def question(at: int) -> dict:
    return {"want": "strength", "density_kg_m3": 800 + at % 190, "reading_temperature_c": 17}


WORK: list[tuple[str, int, Callable]] = [
    ("bare polynomial at 20 °C", 50000, lambda at: horner(AT_20C, (at % 1000) / 1000)),
    ("coefficients at a temperature", 5000, lambda at: coefficients(at % 60 - 20)),
    ("mass fraction from a density", 1000, lambda at: fraction_at_density(AT_20C, 800 + at % 190)),
    ("reckon: strength from a density", 500, lambda at: reckon(question(at))["abv_pct"]),
]


def nanoseconds(count: int, call: Callable) -> float:
    """Of a call, the best of a few rounds."""
    best = float("inf")
    for _ in range(ROUNDS):
        start = time.perf_counter_ns()
        for at in range(count):
            call(at)
        best = min(best, (time.perf_counter_ns() - start) / count)
    return best


def in_page() -> list[float]:
    from files import Files
    from harness import CHROME_ARGS, find_chrome
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver, Files() as files:
        browser = driver.chromium.launch(executable_path=find_chrome(), args=CHROME_ARGS)
        page = browser.new_page()
        page.goto(files.url + "/blank.html")
        found = page.evaluate(IN_PAGE)
        browser.close()
    return found["best"]


def main() -> None:
    ours = [nanoseconds(count, call) for _, count, call in WORK]
    theirs = in_page()
    print(f"{'':34}{'Python':>12}{'':>9}{'JavaScript':>14}")
    for (name, _, _), mine, other in zip(WORK, ours, theirs, strict=True):
        print(f"{name:34}{mine:9.0f} ns{mine / ours[0]:8.1f}x{other:11.0f} ns{other / theirs[0]:8.1f}x")


if __name__ == "__main__":
    main()
