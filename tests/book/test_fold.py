"""Laws of the fold: nothing is made or lost, no order of arrival matters, a strike gives back what was before."""

import json
import random
import time

from book.test_same_book import house, random_book
from hypothesis import given
from hypothesis import strategies as st
from often import often

from server.book.compose import compose, iso_of
from server.book.fold import fold
from server.book.kinds import SUMS
from server.book.plus_minus import gauge_square, root_mg

QUICK = often(15)
SEEDS = st.integers(0, 10_000)
NOW = 1_764_000_000_000

FOLD_TEXTS = """async (books) => {
  const { fold } = await import('/book/fold.js');
  return books.map((text) => JSON.stringify(fold(JSON.parse(text))));
}"""

TIME_FOLD = """async (text) => {
  const { fold } = await import('/book/fold.js');
  const entries = JSON.parse(text);
  fold(entries);
  const times = [];
  for (let at = 0; at < 5; at += 1) {
    const before = performance.now();
    fold(entries);
    times.push(performance.now() - before);
  }
  return Math.min(...times);
}"""


def of(state: dict) -> dict:
    """A state as JSON, to compare in full."""
    return json.loads(json.dumps(state))


@QUICK
@given(SEEDS)
def test_all_places_together_hold_nothing(seed):
    places = fold(random_book(seed))["places"].values()
    assert [sum(place[name] for place in places) for name in SUMS] == [0, 0, 0]


@QUICK
@given(SEEDS, st.randoms(use_true_random=False))
def test_order_of_arrival_does_not_matter(seed, dice):
    entries = random_book(seed)
    first = of(fold(entries))
    dice.shuffle(entries)  # strikes come before what they strike, readings before their run
    assert of(fold(entries)) == first


@QUICK
@given(SEEDS, st.data())
def test_a_strike_gives_back_the_state_of_before(seed, data):
    entries = random_book(seed)
    struck = data.draw(st.sampled_from(entries))
    without = [one for one in entries if one["id"] != struck["id"]]
    if any((one.get("strikes") or {}).get("id") == struck["id"] for one in entries) or struck["strikes"]:
        return  # it was struck already, or strikes another: then more than its own lines comes back
    strike = {
        **struck,
        "id": "zz",
        "n": 9999,
        "kind": "strike",
        "said": {},
        "lines": [],
        "strikes": {"id": struck["id"]},
    }
    assert what_counts(fold([*entries, strike])) == what_counts(fold(without))


def what_counts(state: dict) -> dict:
    """All of a state but its history: the entries, struck ones too, what names them, and what is odd about them."""
    runs = {key: {**run, "entries": None} for key, run in state["runs"].items()}
    return of({**state, "runs": runs, "entries": None, "order": None, "findings": None})


KEYS = ["id", "vessel", "gauge", "book", "from", "to", "typed", "unit", "about", "winner", "parts", "ethanol_mg"]
KEYS += ["materials", "lot", "mass", "place", "count", "instrument"]
WORDS = [None, True, 3, -1, "", "T-1", "vessel/T-1", "constructor", "1e999", "2026-02-30T00:00:00.000Z"]
ENTRY_KEYS = ["v", "said", "lines", "strikes", "device", "n", "happened", "written", "clock", "group", "uses", "by"]
KIND_NAMES = ["opening", "cut", "charge", "choose", "answer", "vessel", "end", "gauge", "tick", "constructor", 5]
KIND_NAMES += ["lot", "mash", "pitch", "ferment_reading", "bottling", "dispatch", "state", "lab", "filter", "destroy"]


def strange_value(dice: random.Random, depth: int = 0):
    """Any JSON: words of ours in the wrong place more often than not."""
    shape = dice.random() if depth < 4 else 0
    if shape < 0.5:
        return dice.choice(WORDS)
    if shape < 0.65:
        return [strange_value(dice, depth + 1) for _ in range(dice.randint(0, 3))]
    return {key: strange_value(dice, depth + 1) for key in dice.sample(KEYS, dice.randint(0, 5))}


def strange_book(seed: int) -> list:
    """Entries whose parts are of the wrong kind, missing or absurd; one is no entry at all."""
    dice, rows = random.Random(seed), []
    for n in range(dice.randint(1, 7)):
        row = {"id": f"e{n}", "v": 1, "kind": dice.choice(KIND_NAMES)}
        row |= {key: strange_value(dice) for key in dice.sample(ENTRY_KEYS, dice.randint(0, 9))}
        if dice.random() < 0.5:
            row["strikes"] = {"id": f"e{dice.randint(0, 7)}"}  # rings among them
        rows.append(row)
    return [*rows, strange_value(dice)]


@often(150)
@given(SEEDS)
def test_no_entry_makes_the_fold_raise(seed):
    entries = strange_book(seed)
    assert len(fold(entries)["entries"]) >= len(entries) - 1


@often(60)
@given(SEEDS, st.data())
def test_no_time_and_no_name_of_a_readable_book_makes_it_raise(seed, data):
    entries = random_book(seed)
    for one in data.draw(st.lists(st.sampled_from(entries), min_size=1, max_size=20)):
        one.update(data.draw(st.sampled_from(FAR)))
    for one in entries:
        if one["kind"] == "charge":
            one["said"]["run"] = data.draw(st.sampled_from([one["said"].get("run"), [], {"a": 1}, ["a"], 5]))
    assert len(fold(entries)["entries"]) == len(entries)


FAR = [{"happened": f"{day}T23:59:59.999Z"} for day in ("0001-01-01", "9999-12-31")]
FAR += [{"clock": 2**53 - 1}, {"clock": -(2**53) + 1}]


def test_strange_books_fold_alike_in_the_browser(page_at_origin):
    books = [json.dumps(strange_book(seed)) for seed in range(400)]
    for text, there in zip(books, page_at_origin.evaluate(FOLD_TEXTS, books), strict=True):
        assert json.loads(there) == of(fold(json.loads(text))), text


def season(size: int) -> list[dict]:
    """A book of many readings, gauges and transfers, as a summer gives."""
    entries, runs = house(), []
    for n in range(size):
        at = NOW + n * 600_000
        context = {"id": f"s{n:08d}", "now": at, "site": "x", "device": "A.00000001", "n": n + 1, "by": "Ines"}
        if n % 100 == 0:
            runs.append(context["id"])
            said = {"run": f"R-{n}", "still": "S-2", "sort": "column", "parts": []}
            entries.append(compose("charge", said, {**context, "group": "self"}))
        elif n % 10 == 0:
            gauge = {"weight": {"typed": "50", "unit": "kg"}, "strength": {"typed": "40", "unit": "abv"}}
            entries.append(compose("opening", {"vessel": "T-1", "gauge": gauge, "holds": "spirit"}, context))
        else:
            jar = {
                "strength": {"typed": "96.4", "unit": "glass"},
                "strength_temperature": {"typed": "21.5", "unit": "C"},
            }
            said = {"still": "S-2", "kettle": {"typed": "88.1", "unit": "C"}, **jar}
            entries.append(compose("reading", said, {**context, "group": runs[-1]}))
    return entries


def test_two_thousand_entries_fold_within_a_blink(page_at_origin):
    entries = season(2000)
    milliseconds = page_at_origin.evaluate(TIME_FOLD, json.dumps(entries))
    print(f"fold of 2,000 entries in the browser, second time on: {milliseconds:.1f} ms")
    assert milliseconds < 3000  # the aim is 50, measured by the benchmarks: this is a fault, never a busy machine
    before = time.process_time()
    fold(entries)
    assert time.process_time() - before < 5


def test_times_are_read_as_written():
    state = fold(
        [compose("person", {"name": "Ines"}, {"id": "a", "now": NOW, "clock": 1500, "device": "A.00000001", "n": 1})]
    )
    assert state["entries"]["a"]["at"] == NOW + 1500
    assert iso_of(NOW) == "2025-11-24T16:00:00.000Z"


def test_a_plus_minus_beyond_all_measure_does_not_end_the_fold():
    book = {"ethanol_mg": 2**53 - 1, "liquid_mg": 2**53 - 1}
    assert root_mg(gauge_square({}, book, 1e200)) == 10**16
