"""The book in both languages: what was said gives the same lines, bit for bit, in Python and in the real browser."""

import json
import random
from datetime import UTC, datetime

from book.said import MOVING, SAYING, VESSELS, Speaker

from demo_site.season import build
from server.book.compose import compose
from server.book.doubts import doubts
from server.book.fold import fold
from server.book.kinds import declarations
from server.book.lines import lines_of
from server.book.run_view import run_view
from server.book.shapes import check_said
from server.reckon import ReckonError

EACH = 60
NOW = 1_764_000_000_000
OPENING = ("charge", "mash")

LINES_OF_ALL = """async (entries) => {
  const { linesOf } = await import('/book/lines.js');
  return entries.map((entry) => JSON.stringify(linesOf(entry)));
}"""

CHECK_ALL = """async (pairs) => {
  const { checkSaid } = await import('/book/shapes.js');
  return pairs.map(([kind, said]) => checkSaid(kind, said));
}"""

FOLD_AND_SHOW = """async ([books, now]) => {
  const { fold } = await import('/book/fold.js');
  const { runView } = await import('/book/runview.js');
  const { doubts } = await import('/book/doubts.js');
  const { sentenceOf } = await import('/book/words.js');
  const format = await import('/parts/format.js');
  return books.map((entries) => {
    const state = fold(entries);
    const records = state.order.map((id) => state.entries[id].entry);
    return JSON.stringify({
      state,
      views: Object.values(state.runs).map((run) => runView(state, run, now)),
      doubts: records.map((entry) => doubts(entry.kind, entry.said, { state, run: state.runs[entry.group], now })),
      sentences: records.map((entry) => sentenceOf(entry, state, format).map((part) => part.text).join('')),
    });
  });
}"""


SEASON = """async ([entries, now]) => {
  const { fold } = await import('/book/fold.js');
  const { linesOf } = await import('/book/lines.js');
  const { sentenceOf } = await import('/book/words.js');
  const format = await import('/parts/format.js');
  const state = fold(entries, { now });
  const sentences = entries.map((entry) => sentenceOf(entry, state, format).map((part) => part.text).join(''));
  return JSON.stringify([entries.map(linesOf), sentences, { ...state, entries: null }]);
}"""


def entry_of(kind: str, said: dict, n: int = 1, **more) -> dict:
    return {"id": f"0-{n}", "v": 1, "kind": kind, "said": said, "device": "A.00000001", "n": n, **more}


def spoken() -> list[dict]:
    """A few hundred entries: of every kind that moves liquid, as many."""
    speaker = Speaker(20261127)
    return [entry_of(kind, speaker.say(kind), n) for n, kind in enumerate(MOVING * EACH)]


def test_the_lines_are_the_same_bits_in_the_browser(page_at_origin):
    entries = spoken()
    here = [lines_of(entry) for entry in entries]
    there = [json.loads(text) for text in page_at_origin.evaluate(LINES_OF_ALL, entries)]
    for entry, one, other in zip(entries, here, there, strict=True):
        assert one == other, entry
    # Not vacuous: of each kind enough can be worked out and moves something (some cuts only open a receiver).
    for kind in MOVING:
        moving = sum(1 for entry, lines in zip(entries, here, strict=True) if entry["kind"] == kind and lines)
        assert moving > EACH // 4, (kind, moving)


def broken(speaker: Speaker, said: dict):
    """The same words with one thing taken out or made wrong."""
    said = json.loads(json.dumps(said))
    at, key = said, speaker.dice.choice(list(said))
    while isinstance(at[key], dict) and at[key] and speaker.dice.random() < 0.7:
        at, key = at[key], speaker.dice.choice(list(at[key]))
    wrong = (None, "", "1e999", "NaN", "−5", "1,2,3", [], {}, -1, 1.5, True, {"typed": "40", "unit": "m"}, "x" * 300)
    at[key] = speaker.dice.choice(wrong)
    return said


def test_both_find_the_same_fault_in_what_was_said(page_at_origin):
    speaker = Speaker(7)
    pairs = [(kind, broken(speaker, speaker.say(kind))) for kind in SAYING * 25] + [("gauge", None), ("gauge", [])]
    here = [check_said(kind, said) for kind, said in pairs]
    assert sum(1 for problems in here if problems) > len(pairs) // 2
    assert page_at_origin.evaluate(CHECK_ALL, pairs) == here


def random_book(seed: int, size: int = 150) -> list[dict]:
    """A season in no order of sense: every kind, some struck, some corrected twice or late, two phones, clocks off."""
    speaker, entries = Speaker(seed), []
    dice, lateness = speaker.dice, random.Random(seed)
    for n in range(1, size):
        kind = dice.choice([*SAYING, "strike", "strike"])
        said = speaker.signed() if kind == "strike" else speaker.say(kind)
        strikes = (
            {"id": dice.choice(entries)["id"], "reason": "slip"}
            if entries and (kind == "strike" or dice.random() < 0.2)
            else None
        )
        context = {"id": f"e-{dice.getrandbits(40):010x}", "now": NOW + n * 60000, "site": "x", "n": n}
        context |= {
            "by": dice.choice(("Ines", "Ines", "Oskar")),
            "device": dice.choice(("A.00000001", "B.00000002")),
            "clock": dice.choice((None, 0, 400000)),
            "strikes": strikes,
        }
        if lateness.random() < 0.15:
            context["happened"] = context["now"] - lateness.randint(1, 90) * 60000
        runs = [one["id"] for one in entries if one["kind"] in OPENING]
        context["group"] = "self" if kind in OPENING and dice.random() < 0.7 else dice.choice([*runs, None])
        try:
            entries.append(compose(kind, said, context))
        except ReckonError:
            continue
    return house(seed % 3) + entries


EU = {"volume": "L", "mass": "kg", "temperature": "C", "strength": "abv", "alcohol": "LPA"}
US = {"volume": "usgal", "mass": "lb", "temperature": "F", "strength": "proof", "alcohol": "PG"}


def house(sort: int = 0) -> list[dict]:
    """One that counts in litres, in hectolitres, or as a US house does."""
    is_us = sort == 2
    site = {
        "name": "Ledger",
        "zone": "Europe/Vienna",
        "day_start": "06:00",
        "shifts": ["06:00", "14:00"],
        "market": "US" if is_us else "EU",
        "units": (EU, {**EU, "volume": "hL"}, US)[sort],
    }
    tags = [
        {"tag": tag, "sort": "tank", "capacity_l": {"typed": "500", "unit": "L"}, "account": "storage"}
        for tag in VESSELS
    ]
    rows = [("site", site), *(("vessel", said) for said in tags)]
    context = {"site": "x", "device": "C.00000003", "by": "Ines", "now": NOW}
    return [compose(kind, said, {**context, "id": f"house-{n}", "n": n}) for n, (kind, said) in enumerate(rows)]


def shown_here(entries: list[dict], now: int) -> dict:
    state = fold(entries)
    records = [state["entries"][entry_id]["entry"] for entry_id in state["order"]]
    contexts = [{"state": state, "run": state["runs"].get(entry["group"]), "now": now} for entry in records]
    return {
        "state": state,
        "views": [run_view(state, run, now) for run in state["runs"].values()],
        "doubts": [doubts(e["kind"], e["said"], context) for e, context in zip(records, contexts, strict=True)],
    }


def test_random_books_fold_to_the_same_state_and_can_be_told(page_at_origin):
    books, later = [random_book(seed) for seed in range(12)], NOW + 90 * 60000
    told = [json.loads(text) for text in page_at_origin.evaluate(FOLD_AND_SHOW, [books, later])]
    for entries, there in zip(books, told, strict=True):
        sentences = there.pop("sentences")
        assert all(sentence.endswith(".") and "undefined" not in sentence for sentence in sentences), sentences
        assert there == json.loads(json.dumps(shown_here(entries, later)))


def test_the_demos_season_is_the_same_in_both_and_can_be_told(page_at_origin):
    now = datetime(2026, 11, 27, 15, 0, tzinfo=UTC)
    entries = build("x", ["A.3f9a1c2e", "B.5d20e7f4", "C.19c4d0aa"], now)
    now_ms = int(now.timestamp() * 1000)
    lines, sentences, state = json.loads(page_at_origin.evaluate(SEASON, [entries, now_ms]))
    assert lines == [entry["lines"] for entry in entries]
    assert not [one for one in sentences if not one.rstrip("”").endswith(".") or "undefined" in one or "NaN" in one]
    here = fold(entries, now=now_ms)
    assert state == json.loads(json.dumps({**here, "entries": None}))


def test_every_declared_kind_has_what_the_book_needs():
    for kind, declared in declarations()["kinds"].items():
        assert declared["v"] >= 1 and declared["title"], kind
        assert lines_of(entry_of(kind, {})) is not None, kind
        assert all("ask" in field and "name" in field for field in declared["fields"]), kind
