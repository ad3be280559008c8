"""What the papers and plots of any time are made of, for a device that holds a part of a large book.

Work that is done, findings and differences stand in a table as the openings let them go (past_done); what is still at
work, and what came since the newest opening, in the fold that goes on from it. Nothing is worked out here.
Moments are in ms, as in past.py.
"""

import math

from server import past, past_done
from server.book.cellar import came_to
from server.book.done import NAMES
from server.book.order import gathered
from server.book.periods import month_of
from server.book.strikes import settle_strikes
from server.openings import Known
from server.reader import Reader

ALL_TIME = 2**62
FIRST_FEW = 6  # entries by which a finding is named on paper
RANK = {"stop": 0, "look": 1, "note": 2}
BEGUN = {"run": "opened_at", "mash": "opened_at", "lot": "at", "received": "at", "close": "month"}


def things(reader: Reader, known: Known, sort: str, begin: int, until: int) -> dict[str, dict]:
    """All of a sort ("run", "mash", "lot", ...) that reaches into a time, and more of what is still at work."""
    return together(known, sort, past_done.done_between(reader, sort, begin, until), known.state[NAMES[sort]])


def things_named(reader: Reader, known: Known, sort: str, keys) -> dict[str, dict]:
    here = {key: one for key, one in known.state[NAMES[sort]].items() if key in keys}
    return together(known, sort, past_done.done_by_key(reader, sort, keys), here)


def together(known: Known, sort: str, done: list, here: dict) -> dict[str, dict]:
    """In the order of the book, as far as a thing says when it began."""
    found = dict(done)  # a later one in the place of an earlier one
    if sort in ("lot", "mash"):
        share = known.state["efficiency"]["share"]
        found = {key: {**one, "expected_mg": math.floor(one["full_mg"] * share + 0.5)} for key, one in found.items()}
    begun = BEGUN.get(sort)
    rows = {**found, **here}
    return dict(sorted(rows.items(), key=lambda row: row[1][begun])) if begun else rows


def findings(reader: Reader, known: Known, begin: int, until: int) -> list[dict]:
    """The findings about entries of a time, in the order of the book."""
    earlier: dict[str, list[dict]] = {}
    for key, one in past_done.done_between(reader, "finding", begin, until):
        earlier.setdefault(key, []).append(one)
    here = {one["key"]: one for one in known.state["findings"]}
    older: dict[str, list] = {}
    for key, ids in past_done.done_by_key(reader, "finding_entries", here):
        older.setdefault(key, []).extend(ids)
    found = []
    for key in here.keys() | earlier.keys():
        rows = [*earlier.get(key, ()), *([here[key]] if key in here else ())]
        lists = [*([older[key]] if key in older else ()), *(row["entries"] for row in rows)]
        ids = lists[0] if len(lists) == 1 else list(dict.fromkeys(one for row in lists for one in row))
        first = rows[0] if rows[0]["severity"] == "note" else rows[-1]
        answered = next((row["answered"] for row in reversed(rows) if row["answered"]), None)
        found.append({**first, "entries": ids, "answered": answered})
    ats = past_done.moments_by_id(reader, [one for row in found for one in row["entries"]])
    found = [one for one in found if any(begin <= ats.get(id_, -1) < until for id_ in one["entries"])]
    return sorted(with_answers(reader, known, found), key=lambda one: (RANK[one["severity"]], one["key"]))


def with_answers(reader: Reader, known: Known, found: list[dict]) -> list[dict]:
    """The newest answer counts; one that came after a finding was let go is looked for in the log."""
    open_keys = {one["key"] for one in found if not one["answered"]} - {one["key"] for one in known.state["findings"]}
    if not open_keys:
        return found
    rows = past.of_kinds(reader, -ALL_TIME, ALL_TIME, ("answer",))
    records, order, _ = gathered(past.with_links(reader, rows, known.upto))
    settle_strikes(records, order)
    said = {}
    for one in order:
        entry = records[one]["entry"]
        if records[one]["live"] and entry["kind"] == "answer" and isinstance(entry["said"], dict):
            said[entry["said"].get("finding")] = one
    return [{**one, "answered": one["answered"] or said.get(one["key"])} for one in found]


def differences(reader: Reader, known: Known, begin: int, until: int) -> list[dict]:
    """Differences that were booked in a time, in the order of the book."""
    rows = [one for _, one in past_done.done_between(reader, "difference", begin, until)]
    rows += known.state["differences"]["each"]
    for run in things(reader, known, "run", begin, until).values():
        if run["difference"] is not None:
            told = run["difference"]
            about = {"id": told["id"], "at": run["ended_at"], "kind": "run", "place": f"still/{run['still']}"}
            rows.append({**about, "off_mg": told["ethanol_mg"], "pm_mg": told["pm_mg"]})
    for one in things(reader, known, "received", begin, until).values():
        about = {"id": one["id"], "at": one["at"], "kind": "transit", "place": came_to(one)}
        rows.append({**about, "off_mg": one["transit_mg"], "pm_mg": one["pm_mg"]})
    found = {(one["kind"], one["id"]): {**one, "month": month_of(one["at"], known.state["site"])} for one in rows}
    return sorted((one for one in found.values() if begin <= one["at"] < until), key=lambda one: (one["at"], one["id"]))
