"""From entries to the state of the house: a pure fold that no order of arrival can change.

static/book/fold.js is the twin. The entry's own lines count; they are never worked out again here. Nothing that an
entry says makes the fold raise: what cannot be read is a finding.
"""

from server.book import differences, findings, passes, runs, setup, steps, waste
from server.book.figures import unit_of_house
from server.book.gauges import NOTHING
from server.book.kinds import check_said, is_int, kind_of
from server.book.order import gathered
from server.book.plus_minus import root_mg, spread
from server.book.strikes import settle_strikes


def fold(entries: list, marks: dict | None = None, now: int | None = None, watch=None) -> dict:
    """The state of the book.

    entries: parsed entries, in any order
    marks:   id -> the server's marks, as {"0192...": ["lines_differ"]}
    now:     ms; the latest entry's time when left out, so that the fold of a book never depends on a clock
    watch:   called as watch(walk, record, moved) after each live entry, for what needs the state as it was then
    """
    records, order, unreadable = gathered(entries)
    strikes = settle_strikes(records, order)
    state = {
        "order": order,
        "entries": records,
        "site": None,
        "persons": {},
        "vessels": {},
        "stills": {},
        "places": {},
        "holds": {},
        "pm": {},
        "gauges": {},
        "runs": {},
        "distilled": {},
        "ticks": {},
        "findings": [],
        **differences.nothing(),
        **steps.nothing(),
    }
    walk = {"state": state, "pm2": {}, "found": {}, "fills": {}, "low": {}, "over": {}, "gauge_keys": {}}
    walk["strikes"], walk["by_pass"] = strikes, {}
    walk["alcohol"] = unit_of_house(records, order)
    runs.open_runs(walk)
    steps.begin(walk)
    for entry_id in order:
        if records[entry_id]["live"]:
            moved = apply_entry(walk, records[entry_id])
            if watch:
                watch(walk, records[entry_id], moved)
    runs.close_books(walk)
    passes.finish(walk)
    state["pm"] = {place: root_mg(square) for place, square in walk["pm2"].items()}
    latest = records[order[-1]]["at"] if order else 0
    now = latest if now is None else now
    steps.finish(walk, now)
    differences.finish(walk)
    findings.finish(walk, marks or {}, now, unreadable)
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
    entry, moved = record["entry"], []
    lines = entry.get("lines")
    for line in lines if isinstance(lines, list) else []:
        if is_line(line):
            move(walk, record, line)
            moved.append(line)
        else:
            findings.bad_line(walk, record)
    # Looked at when all of the entry has moved: between two of its lines a place may be in no state at all.
    for place in dict.fromkeys(place for line in moved for place in (line["from"], line["to"])):
        findings.watch(walk, record, place, walk["state"]["places"][place])
    return moved


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
