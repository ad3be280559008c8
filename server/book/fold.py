"""From entries to the state of the house: a pure fold that no order of arrival can change.

static/book/fold.js is the twin. The entry's own lines count; they are never worked out again here. Nothing that an
entry says makes the fold raise: what cannot be read is a finding.
"""

import json

from server.book import closing, differences, findings, passes, runs, setup, steps, waste
from server.book.figures import units_of_house
from server.book.gauges import NOTHING
from server.book.kinds import is_int, kind_of
from server.book.order import gathered
from server.book.plus_minus import root_mg, spread
from server.book.shapes import check_said
from server.book.strikes import settle_strikes


def fold(
    entries: list, marks: dict | None = None, now: int | None = None, watch=None, opening: dict | None = None
) -> dict:
    """The state of the book.

    entries: parsed entries, in any order
    marks:   id -> the server's marks, as {"0192...": ["lines_differ"]}
    now:     ms; the latest entry's time when left out, so that the fold of a book never depends on a clock
    watch:   called as watch(walk, record, moved) after each live entry, for what needs the state as it was then
    opening: what the book was before these entries, see opening.py; without one they are the whole book
    """
    walk = begun(entries, opening)
    go_on(walk, walk["due"], watch)
    return finished(walk, marks or {}, now)


def begun(entries: list, opening: dict | None = None) -> dict:
    """A walk before its first step: who counts, which runs, mashes and bottled lots there will be."""
    carried = opening["entries"] if opening else []
    records, order, unreadable = gathered([*carried, *entries])
    strikes = settle_strikes(records, order)
    state = {"order": order, "entries": records, "findings": []}
    if opening:
        walk = {**json.loads(json.dumps(opening["walk"])), "state": state}
        state.update(walk.pop("kept"))
    else:
        walk = {**nothing(), "state": state}
        state.update(nothing_yet())
    here = {entry["id"] for entry in carried}
    walk.update(strikes=strikes, due=[one for one in order if one not in here])
    walk["unreadable"] += unreadable
    walk["units"] = units_of_house(records, order)
    if opening:
        put_right(walk, opening)
    runs.open_runs(walk)
    steps.begin(walk)
    return walk


def nothing() -> dict:
    """What a walk carries beside the state, before the first entry. `opening.py` says which of it lasts."""
    maps = ("pm2", "found", "fills", "low", "over", "gauge_keys", "by_pass", *findings.LASTING_MAPS)
    return {**{name: {} for name in maps}, **findings.nothing(), **steps.nothing_walked(), "unreadable": 0, "month": ""}


def nothing_yet() -> dict:
    maps = ("persons", "vessels", "stills", "places", "holds", "pm", "gauges", "runs", "distilled", "ticks")
    return {"site": None, **{name: {} for name in maps}, **differences.nothing(), **steps.nothing()}


def put_right(walk: dict, opening: dict) -> None:
    """What the opening counted and is struck now goes back by its own lines, until there is another opening."""
    counted = set(opening["live"])
    for entry in opening["entries"]:
        record = walk["state"]["entries"][entry["id"]]
        if record["live"] != (entry["id"] in counted):
            for line in lines_in(entry):
                back = {**line, "from": line["to"], "to": line["from"]}
                move(walk, record, line if record["live"] else back)


def go_on(walk: dict, ids: list, watch=None) -> None:
    """Walk over some entries, in the order of the book."""
    records = walk["state"]["entries"]
    for entry_id in ids:
        if records[entry_id]["live"]:
            moved = apply_entry(walk, records[entry_id])
            if watch:
                watch(walk, records[entry_id], moved)


def finished(walk: dict, marks: dict, now: int | None = None) -> dict:
    """What can only be said at the end; the walk goes no further (in JavaScript it may: onward.js)."""
    state = walk["state"]
    closing.gather(walk)
    findings.gather(walk)
    runs.close_books(walk)
    passes.finish(walk)
    state["pm"] = {place: root_mg(square) for place, square in walk["pm2"].items()}
    latest = state["entries"][state["order"][-1]]["at"] if state["order"] else 0
    now = latest if now is None else now
    steps.finish(walk, now)
    differences.finish(walk)
    findings.finish(walk, marks, now)
    return state


def apply_entry(walk: dict, record: dict) -> list[dict]:
    """One live entry: what it sets up, what it moves, what it does to its run; returns the lines that moved."""
    entry = record["entry"]
    kind, said = entry.get("kind"), entry.get("said")
    declared = kind_of(kind)
    known = declared is not None and is_int(entry.get("v")) and entry["v"] == declared["v"]
    problems = check_said(kind, said) if known else []
    if problems:
        findings.malformed(walk, record, problems)
    readable = known and not problems
    if readable:
        findings.before_lines(walk, record)
        differences.before(walk, record)
        waste.before(walk, record)
    moved = move_lines(walk, record)
    passes.follow(walk, record, moved)
    if readable:
        spread(walk, record, moved)
        setup.apply(walk, record)
        runs.apply(walk, record, moved)
        steps.apply(walk, record, moved)
        differences.after(walk, record, moved)
        findings.after_lines(walk, record, moved)
    elif not known:
        findings.unknown_kind(walk, record)
    return moved


def move_lines(walk: dict, record: dict) -> list[dict]:
    """Book the entry's own lines; a line that cannot be read moves nothing and is a finding."""
    moved = lines_in(record["entry"])
    for line in moved:
        move(walk, record, line)
    if len(moved) < len(all_lines(record["entry"])):
        findings.bad_line(walk, record)
    # Looked at when all of the entry has moved: between two of its lines a place may be in no state at all.
    for place in dict.fromkeys(place for line in moved for place in (line["from"], line["to"])):
        findings.watch(walk, record, place, walk["state"]["places"][place])
    return moved


def all_lines(entry: dict) -> list:
    return entry["lines"] if isinstance(entry.get("lines"), list) else []


def lines_in(entry: dict) -> list[dict]:
    """The lines of an entry that can be read."""
    return [line for line in all_lines(entry) if is_line(line)]


def is_line(line: object) -> bool:
    return (
        isinstance(line, dict)
        and isinstance(line.get("from"), str)
        and isinstance(line.get("to"), str)
        and all(is_int(line.get(name)) for name in NOTHING)
    )


def move(walk: dict, record: dict, line: dict) -> None:
    for place, way in ((line["from"], -1), (line["to"], 1)):
        sums = walk["state"]["places"].get(place)
        if sums is None:
            sums = walk["state"]["places"][place] = {**NOTHING, "since": record["at"], "last": record["at"]}
        elif sums["liquid_mg"] == 0 and sums["ethanol_mg"] == 0:
            sums["since"] = record["at"]
        sums["ethanol_mg"] += way * line["ethanol_mg"]
        sums["liquid_mg"] += way * line["liquid_mg"]
        sums["extract_mg"] += way * line["extract_mg"]
        sums["last"] = record["at"]
