"""Going on with a fold, entry by entry as they arrive, gives after each of them what the fold of all of them gives."""

import random
from datetime import UTC, datetime

from book.test_fold import strange_book
from book.test_opening import chained, parts_of
from book.test_same_book import random_book

from demo_site.season import build
from server.book.fold import fold

# What is compared is all of a state, as text: with its findings, and with how each entry stands. every: steps
GO_ON = """async ([books, now]) => {
  const { begun, finished, fold, goOn } = await import('/book/fold.js');
  const { wentOn } = await import('/book/onward.js');
  const standing = ({ entry, ...record }) => record;
  const shown = (state) => {
    const entries = state.order.map((id) => standing(state.entries[id]));
    return JSON.stringify([Object.keys(state.entries).length, { ...state, entries }]);
  };
  const anew = (known, opening) => {
    const walk = begun(known, opening);
    goOn(walk);
    return walk;
  };
  const told = ({ start = [], arrivals, opening, every = 1 }) => {
    const [known, found] = [[...start], { steps: 0, quick: 0, differ: [] }];
    let walk = anew(known, opening);
    finished(walk, {}, now);
    for (const [at, came] of arrivals.entries()) {
      known.push(...came);
      const went = wentOn(walk, came);
      if (!went) walk = anew(known, opening);
      const here = finished(walk, {}, now);
      found.steps += 1;
      found.quick += went ? 1 : 0;
      if ((at + 1) % every || shown(here) === shown(fold(known, { now, opening }))) continue;
      found.differ.push([at, went, came.map((one) => one?.kind)]);
    }
    return found;
  };
  const added = (one, other) => ({
    steps: one.steps + other.steps,
    quick: one.quick + other.quick,
    differ: [...one.differ, ...other.differ],
  });
  return Object.fromEntries(Object.entries(books).map(([sort, all]) => [sort, all.map(told).reduce(added)]));
}"""


def arriving(entries: list, dice: random.Random) -> list[list]:
    """As they come to a phone: mostly one by one and in their order, some late, some at once."""
    late = [(n + (dice.randint(1, 40) if dice.random() < 0.04 else 0), n, one) for n, one in enumerate(entries)]
    left, arrivals = [one for *_, one in sorted(late, key=lambda row: row[:2])], []
    while left:
        count = dice.choice((1, 1, 1, 1, 2, 5))
        arrivals.append(left[:count])
        left = left[count:]
    return arrivals


def calm(entries: list, dice: random.Random) -> list[dict]:
    """The same with fewer clocks off and fewer things struck: a house in which most is simply written down."""
    kept = []
    for one in entries:
        if one["kind"] == "strike" and dice.random() < 0.7:
            continue
        is_struck = one["kind"] == "strike" or dice.random() < 0.2
        strikes = one["strikes"] if is_struck else None
        kept.append({**one, "clock": one["clock"] if dice.random() < 0.05 else None, "strikes": strikes})
    return kept


def random_arrivals(seed: int) -> list[list]:
    dice, entries = random.Random(seed), random_book(seed, 120)
    return arriving(entries if seed % 4 == 3 else calm(entries, dice), dice)


def from_opening(seed: int) -> dict:
    dice, entries = random.Random(seed), random_book(seed, 120)
    ats = sorted(record["at"] for record in fold(entries)["entries"].values())
    cuts = sorted(dice.choice(ats) for _ in range(2))
    return {"arrivals": arriving(parts_of(entries, cuts[-1]), dice), "opening": chained(entries, cuts)}


def test_a_fold_that_is_gone_on_with_says_what_the_whole_one_says(page_at_origin):
    now = datetime(2026, 11, 27, 15, 0, tzinfo=UTC)
    season = build("x", ["A.3f9a1c2e", "B.5d20e7f4", "C.19c4d0aa"], now)
    books = {
        "random": [{"arrivals": random_arrivals(seed)} for seed in range(12)],
        "opening": [from_opening(seed) for seed in range(6)],
        "strange": [{"arrivals": [[one] for one in strange_book(seed)]} for seed in range(100)],
        "demo": [{"start": season[:-300], "arrivals": [[one] for one in season[-300:]], "every": 20}],
    }
    told = page_at_origin.evaluate(GO_ON, [books, int(now.timestamp() * 1000)])
    assert not any(one["differ"] for one in told.values()), told
    # Not vacuous: most of what is simply written down is gone on with, and not all of what is not.
    shares = {sort: one["quick"] / one["steps"] for sort, one in told.items()}
    assert shares["demo"] > 0.97 and shares["random"] > 0.5 and 0.05 < shares["opening"] < 0.95, told
