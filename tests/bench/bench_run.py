"""Boiling points and whole runs: what they cost in both languages, and in a page four times slower.

`python tests/bench/bench_run.py` prints one table. Milliseconds are this machine's in this run, the page's the best
of three rounds, warm. "first" makes the table of its pressure, which later questions at that pressure find made.
"""

import sys
import time
from pathlib import Path

sys.path.extend(str(Path(__file__).parents[up]) for up in (1, 2))

from server.reckon import reckon

CHARGE = {"volume_l": 500, "temperature_c": 20, "abv_pct": 30}
COLUMN = {"want": "run", "charge": CHARGE, "plates": 14, "efficiency": 0.65, "reflux": 4, "pressure_kpa": 98.2}
COLUMN |= {"holdup_l_per_plate": 0.5, "stop_abv_pct": 90}
STRIP = {"want": "run", "charge": CHARGE | {"abv_pct": 8}, "plates": 0, "pressure_kpa": 98.2, "stop_abv_pct": 5}
KETTLE = {"want": "pot_strength", "kettle_c": 91, "pressure_kpa": 98.2}
# name, how often, question; a question with None as its pressure gets another one each time.
WORK = [
    ("boil", 3000, {"want": "boil", "abv_pct": 12, "pressure_kpa": 98.2}),
    ("pot_strength", 200, KETTLE),
    ("run: strip, first", 3, STRIP | {"pressure_kpa": None}),
    ("run: strip", 5, STRIP),
    ("run: 14 plates, nothing held", 3, COLUMN | {"holdup_l_per_plate": 0}),
    ("run: 14 plates, 0.5 L held, first", 3, COLUMN | {"pressure_kpa": None}),
    ("run: 14 plates, 0.1 L held", 2, COLUMN | {"holdup_l_per_plate": 0.1}),
]

IN_PAGE = """async (work) => {
  const { reckon } = await import('/reckon/reckon.js');
  let pressure = 90;
  return work.map(([, count, question]) => {
    const other = () => ({ ...question, pressure_kpa: (pressure += 0.01) });
    const ask = () => {
      const answer = reckon(question.pressure_kpa === null ? other() : question);
      if (answer.error) throw new Error(answer.error.say);
    };
    const round = () => {
      const start = performance.now();
      for (let at = 0; at < count; at += 1) ask();
      return (performance.now() - start) / count;
    };
    return Math.min(round(), round(), round());
  });
}"""


def here(count: int, question: dict) -> float:
    """Milliseconds of a question in this language."""
    start = time.perf_counter()
    for at in range(count):
        asked = question if question["pressure_kpa"] else question | {"pressure_kpa": 80 + at / 100}
        assert "error" not in reckon(asked)
    return (time.perf_counter() - start) * 1000 / count


def in_page(slow_down: int) -> list[float]:
    from files import Files
    from harness import CHROME_ARGS, find_chrome
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver, Files() as files:
        browser = driver.chromium.launch(executable_path=find_chrome(), args=CHROME_ARGS)
        page = browser.new_page()
        page.goto(files.url + "/blank.html")
        devtools = page.context.new_cdp_session(page)
        devtools.send("Emulation.setCPUThrottlingRate", {"rate": slow_down})
        found = page.evaluate(IN_PAGE, WORK)
        browser.close()
    return found


def main() -> None:
    ours = [here(count, question) for _, count, question in WORK]
    print(f"{'':36}{'Python':>12}{'page':>12}{'page, 4x':>12}")
    for (name, *_), *cells in zip(WORK, ours, in_page(1), in_page(4), strict=True):
        print(f"{name:36}" + "".join(f"{cell:9.3f} ms" for cell in cells))


if __name__ == "__main__":
    main()
