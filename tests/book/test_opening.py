"""Going on from an opening gives what the whole book gives, in both languages, at any cut, by any number of steps."""

import json
import random
from datetime import UTC, datetime

from book.test_same_book import random_book
from hypothesis import given
from hypothesis import strategies as st
from often import often

from demo_site.season import build
from server.book.fold import fold
from server.book.gauges import is_nothing
from server.book.opening import names_in, opening_of
from server.book.periods import month_before, month_of
from server.book.put_away import brought
from server.book.strikes import target_of

QUICK = often(25)
SEEDS = st.integers(0, 10_000)
SAME = ("site", "persons", "vessels", "stills", "holds", "gauges", "distilled", "ticks", "instruments", "strappings")
SAME += ("checklists", "efficiency", "duty_rates")
DONE = ("runs", "mashes", "lots", "stock", "sessions", "received", "filters", "beds", "closes", "states", "accounts")


def at_of(entries: list) -> dict:
    return {one: record["at"] for one, record in fold(entries)["entries"].items()}


def is_open(name: str, one: dict) -> bool:
    """Whether a thing is still at work: an opening must never have put it away."""
    if name == "runs":
        return one["ended_at"] is None
    if name == "mashes":
        return not one["wash"] and not one["given_up"]
    return {"lots": one.get("left"), "stock": one.get("count")}.get(name) not in (None, 0)


def check_same(here: dict, whole: dict, cut: int) -> None:
    """What the floor's pages show is the same; what is left out was done before the cut."""
    for name in SAME:
        assert here[name] == whole[name], name
    for name in DONE:
        for key, one in whole[name].items():
            assert key in here[name] or not is_open(name, one), (name, key)
        assert {key: whole[name].get(key) for key in here[name]} == here[name], name
    for place, sums in whole["places"].items():
        assert place in here["places"] or is_nothing(sums), place
        assert here["places"].get(place, sums) == sums, place
        assert here["pm"].get(place, 0) == whole["pm"].get(place, 0) or place not in here["places"], place
    check_findings(here, whole, cut)
    month = month_before(month_of(cut, whole["site"]))
    assert here["differences"]["sums"] == [one for one in whole["differences"]["sums"] if one["month"] >= month]


def check_findings(here: dict, whole: dict, cut: int) -> None:
    kept = {one["key"]: one for one in here["findings"]}
    known = {one["key"]: one for one in whole["findings"]}
    assert not kept.keys() - known.keys()
    for key, one in known.items():
        if key not in kept:
            ats = [whole["entries"][entry_id]["at"] for entry_id in one["entries"] if entry_id in whole["entries"]]
            assert one["answered"] or one["severity"] == "note", one
            assert min(ats) < cut, one
            continue
        mine = kept[key]
        assert (mine["severity"], mine["answered"]) == (one["severity"], one["answered"]), one
        if one["severity"] != "note":
            assert (mine["say"], mine["do"]) == (one["say"], one["do"]), one
        assert set(mine["entries"]) <= set(one["entries"]), one


def parts_of(entries: list, cut: int) -> list:
    ats = at_of(entries)
    return [one for one in entries if ats[one["id"]] >= cut]


@QUICK
@given(SEEDS, st.floats(0, 1))
def test_a_book_goes_on_from_an_opening(seed, share):
    entries = random_book(seed)
    ats = sorted(at_of(entries).values())
    cut = ats[int(share * (len(ats) - 1))]
    opening, _ = opening_of(entries, cut)
    opening = json.loads(json.dumps(opening))
    check_same(fold(parts_of(entries, cut), opening=opening), fold(entries), cut)


def chained(entries: list, cuts: list) -> dict:
    """One opening after the other, each from the one before with what the entries since speak of."""
    records, opening, away = fold(entries)["entries"], None, {}
    for at, cut in enumerate(cuts):
        known = entries if opening is None else parts_of(entries, cuts[at - 1])
        if opening:
            bring(opening, away, known, records)
        opening, put = opening_of(known, cut, before=opening)
        opening = json.loads(json.dumps(opening))
        away.update({(one["sort"], one["key"]): one for one in put})
    return opening


def bring(opening: dict, away: dict, entries: list, records: dict) -> None:
    names, open_keys = names_in(entries), []
    for key, one in away.items():
        if names & set(one["names"]):
            open_keys.append(key)
            open_keys += [("lot", lot) for lot in one.get("needs", ()) if ("lot", lot) in away]
    found = [away.pop(key) for key in dict.fromkeys(open_keys)]
    brought(opening, found, lambda entry_id: records[entry_id]["entry"])


@QUICK
@given(SEEDS, st.lists(st.floats(0, 1), min_size=2, max_size=5))
def test_openings_follow_from_each_other(seed, shares):
    entries = random_book(seed)
    ats = sorted(at_of(entries).values())
    cuts = sorted(ats[int(share * (len(ats) - 1))] for share in shares)
    opening = chained(entries, cuts)
    check_same(fold(parts_of(entries, cuts[-1]), opening=opening), fold(entries), cuts[-1])


GO_ON = """async (cases) => {
  const { fold } = await import('/book/fold.js');
  return cases.map(([later, opening]) => {
    const before = JSON.stringify(opening);
    const state = JSON.stringify(fold(later, { opening }));
    return [state, JSON.stringify(opening) === before];
  });
}"""


def test_the_browser_goes_on_from_the_same_opening(page_at_origin):
    cases = []
    for seed in range(20):
        dice, entries = random.Random(seed), random_book(seed)
        ats = sorted(at_of(entries).values())
        cuts = sorted(dice.choice(ats) for _ in range(2))
        cases.append((parts_of(entries, cuts[-1]), chained(entries, cuts)))
    for (later, opening), (there, is_whole) in zip(cases, page_at_origin.evaluate(GO_ON, cases), strict=True):
        assert json.loads(there) == json.loads(json.dumps(fold(later, opening=opening)))
        assert is_whole  # it can be gone on from again


def sums_of(state: dict) -> dict:
    sums = {place: (one["ethanol_mg"], one["liquid_mg"], one["extract_mg"]) for place, one in state["places"].items()}
    return {place: one for place, one in sums.items() if one != (0, 0, 0)}


@QUICK
@given(SEEDS, st.data())
def test_what_comes_late_still_adds_up(seed, data):
    """An entry from before the cut, or a strike of one that the opening carries, before there is another opening."""
    entries = random_book(seed)
    ats = at_of(entries)
    cut = data.draw(st.sampled_from(sorted(ats.values())))
    late = data.draw(st.sampled_from(entries))
    if late["strikes"] or any(target_of(one) == late["id"] for one in entries):
        return
    known = [one for one in entries if one is not late]
    opening, _ = opening_of(known, cut)
    later = [*parts_of(known, cut), late]
    assert sums_of(fold(later, opening=opening)) == sums_of(fold(entries))
    opening, _ = opening_of(entries, cut)
    carried = [one for one in opening["entries"] if one["id"] in opening["live"] and not one["strikes"]]
    struck = data.draw(st.sampled_from(carried)) if carried else late
    if any(target_of(one) == struck["id"] for one in entries):
        return
    more = {"id": "zz", "n": 9999, "kind": "strike", "said": {}, "lines": [], "strikes": {"id": struck["id"]}}
    strike = {**late, **more}
    here = fold([*(one for one in entries if ats[one["id"]] >= cut), strike], opening=opening)
    assert sums_of(here) == sums_of(fold([*entries, strike]))


def test_a_season_goes_on_from_an_opening_of_any_week():
    now = datetime(2026, 11, 27, 14, tzinfo=UTC)
    entries = build("x", ["A.3f9a1c2e", "B.5d20e7f4", "C.19c4d0aa"], now)
    ats, whole = sorted(at_of(entries).values()), fold(entries)
    for days in (3, 30, 75):
        cut = ats[-1] - days * 86_400_000
        opening, away = opening_of(entries, cut)
        check_same(fold(parts_of(entries, cut), opening=opening), whole, cut)
        assert len(away) > 30 and len(opening["entries"]) < 500
