"""The trace in the browser: the same figures, told the same, and in time."""

import json
import random
import time

import pytest
from book.ledger_book import entries_of
from book.test_same_book import random_book as random_said
from book.trace_book import LOTS, MASHED, demo, long_book, random_book, random_lines

from server.book.fold import fold
from server.book.trace import trace
from server.book.trace_answers import trace_back, trace_forward
from server.book.trace_paths import trace_paths
from server.book.trace_told import told_back, told_forward, told_recall

ALMOST = 1e-12
ASK_ALL = """async (books) => {
  const { fold } = await import('/book/fold.js');
  const { trace } = await import('/book/trace.js');
  const { traceBack, traceForward } = await import('/book/traceAnswers.js');
  const { tracePaths } = await import('/book/tracePaths.js');
  return books.map((entries) => {
    const walk = trace(fold(entries));
    const things = [...walk.sources.keys(), ...[...walk.lots.keys()].map((lot) => `lot/${lot}`)];
    return JSON.stringify({
      back: [...walk.places.keys()].map((place) => traceBack(walk, place)),
      paths: [...walk.places.keys()].map((place) => tracePaths(walk, place)),
      forward: things.map((id) => traceForward(walk, id)),
    });
  });
}"""


def asked_here(entries: list[dict]) -> dict:
    walk = trace(fold(entries))
    return {
        "back": [trace_back(walk, place) for place in walk["places"]],
        "paths": [trace_paths(walk, place) for place in walk["places"]],
        "forward": [trace_forward(walk, one) for one in [*walk["sources"], *(f"lot/{lot}" for lot in walk["lots"])]],
    }


def apart(one, other, path: str = "") -> list[str]:
    """Where two answers differ: numbers by more than one part in 10^12, everything else at all."""
    if isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        return [fault for key in one for fault in apart(one[key], other[key], f"{path}.{key}")]
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        return [fault for n, pair in enumerate(zip(one, other, strict=True)) for fault in apart(*pair, f"{path}.{n}")]
    if all(isinstance(value, (int, float)) and not isinstance(value, bool) for value in (one, other)):
        return [] if abs(one - other) <= ALMOST * max(1, abs(one)) else [f"{path}: {one} {other}"]
    return [] if one == other else [f"{path}: {one} {other}"]


def test_the_browser_gives_the_same_trace(page_at_origin):
    dice = random.Random(5)
    books = [random_book([random_lines(dice) for _ in range(80)]) for _ in range(12)]
    books += [entries_of({"entries": LOTS + MASHED}), demo()]
    for entries, text in zip(books, page_at_origin.evaluate(ASK_ALL, books), strict=True):
        assert apart(asked_here(entries), json.loads(text)) == []


TELL_ALL = """async (books) => {
  const { fold } = await import('/book/fold.js');
  const { trace } = await import('/book/trace.js');
  const { toldBack, toldForward, toldRecall } = await import('/book/traceTold.js');
  return books.map((entries) => {
    const state = fold(entries);
    const walk = trace(state);
    const found = [...walk.bottled.keys(), ...walk.places.keys()].map((place) => toldBack(state, walk, place));
    for (const id of walk.sources.keys()) found.push(toldForward(state, walk, id));
    for (const of of walk.bottled.keys()) found.push(toldRecall(state, walk, { of, reach: 'sources' }));
    return JSON.stringify(found);
  });
}"""


def told_here(entries: list) -> list:
    state = fold(entries)
    walk = trace(state)
    found = [told_back(state, walk, place) for place in [*walk["bottled"], *walk["places"]]]
    found += [told_forward(state, walk, one) for one in walk["sources"]]
    return found + [told_recall(state, walk, {"of": of, "reach": "sources"}) for of in walk["bottled"]]


def test_the_browser_tells_the_same(page_at_origin):
    """What a page is given to draw, whoever worked it out."""
    books = [random_said(seed) for seed in range(12)]
    for entries, text in zip(books, page_at_origin.evaluate(TELL_ALL, books), strict=True):
        here = json.loads(json.dumps(told_here(entries)))
        assert len(here) > 3 and apart(here, json.loads(text)) == []


TIME_IT = """async ([entries, place]) => {
  const { fold } = await import('/book/fold.js');
  const { trace } = await import('/book/trace.js');
  const { traceBack, traceForward } = await import('/book/traceAnswers.js');
  const { tracePaths } = await import('/book/tracePaths.js');
  const state = fold(entries);
  const start = performance.now();
  const walk = trace(state);
  const walked = performance.now();
  const back = traceBack(walk, place);
  const paths = tracePaths(walk, place);
  const forward = traceForward(walk, [...walk.sources.keys()][0]);
  const answered = performance.now();
  return { trace_ms: walked - start, answers_ms: answered - walked, sources: back.sources.length, paths: paths.length,
    held: forward.held.length };
}"""


@pytest.mark.parametrize(("size", "place", "least"), [("demo", "vessel/B-1", 4), (5000, "vessel/S", 100)])
def test_a_book_is_followed_in_time(page_at_origin, size, place, least):
    """Generous bounds: they catch a walk that grows with the square of the book, not a slow machine."""
    entries = demo() if size == "demo" else long_book(size)
    state = fold(entries)
    start = time.process_time()
    walk = trace(state)
    here = time.process_time() - start
    there = page_at_origin.evaluate(TIME_IT, [entries, place])
    print({"entries": len(entries), "python_s": round(here, 3), **there})
    bound = 10
    assert there["sources"] == len(trace_back(walk, place)["sources"]) >= least
    assert here < bound
    assert there["trace_ms"] < bound * 1000 and there["answers_ms"] < bound * 1000
