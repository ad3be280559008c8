"""Answers for a device that holds a part of a large book: the papers of a month, one record, a plot. See papers.py.

Each has those parts of a state that such papers look at, {"entries", "runs", "mashes", "lots", "stock", "received",
"closes", "findings", "differences", "moves", "contents"}: the page lays them over its own state (static/pages/past.js).
Moments are in ms, as in past.py; a month is "2026-11".
"""

import json

from server import past, past_done, past_moves
from server.book.ledger import QUIET
from server.book.materials import rows_of
from server.book.opening import strings_in
from server.book.order import at_of
from server.book.periods import bounds_of
from server.book.runs import run_id_of
from server.openings import DAY_MS, Known
from server.papers import ALL_TIME, FIRST_FEW, differences, findings, things, things_named
from server.reader import Reader

LATE_MS = 60 * DAY_MS  # so long after its last entry a piece of work may have one that was struck
LONG = ("readings", "ferment")  # of a run or a mash: what a line of a record does not tell


def paper_of_month(reader: Reader, known: Known, month: str, what: str) -> dict:
    begin, until = bounds_of(month, known.state["site"])
    return OF_MONTH[what](reader, known, begin, until)


def nothing(reader: Reader, known: Known, begin: int, until: int) -> dict:
    return {}


def work(reader: Reader, known: Known, begin: int, until: int) -> dict:
    """What most papers are made of: the entries that are more than a reading or a tick, the work, what moved."""
    moved = moves(reader, known, begin, until)
    rows = past_done.of_other_kinds(reader, begin, until, QUIET)
    rows += past.rows_by_id(reader, {one["id"] for one in moved["moves"] if one["at"] >= begin})
    entries = past.with_links(reader, rows, known.upto)
    return {**moved, **work_of(reader, known, entries, begin, until)}


def work_of(reader: Reader, known: Known, entries: list, begin: int, until: int) -> dict:
    """Runs and mashes of a time with the lots that they name, and what went into each mash, whenever that was."""
    groups, found = groups_of(entries), {}
    for sort, name in (("run", "runs"), ("mash", "mashes")):
        rows = things(reader, known, sort, begin, until)
        rows = {**things_named(reader, known, sort, groups - rows.keys()), **rows}
        found[name] = {key: short(one) for key, one in rows.items()}
    used = materials_of(reader, found["mashes"].values())
    for mash in found["mashes"].values():
        mash["entries"] = [one for one in mash["entries"] if one in used]
    words = words_of([*entries, *used.values()])
    named = {"lots": things_named(reader, known, "lot", words), "stock": things_named(reader, known, "stock", words)}
    received = things(reader, known, "received", begin, until)
    return {**found, **named, "received": received, "entries": [*entries, *used.values()]}


def materials_of(reader: Reader, mashes) -> dict[str, dict]:
    """The entries of some mashes that say what went in, and their wash gauges."""
    rows = past.rows_by_id(reader, {one for mash in mashes for one in mash["entries"]})
    entries = [json.loads(row["text"]) for row in rows]
    return {one["id"]: one for one in entries if one["kind"] == "wash" or names_lots(one)}


def names_lots(entry: dict) -> bool:
    return any(entry["said"].get(name) for name, _ in rows_of(entry["kind"]))


def short(thing: dict) -> dict:
    return {name: [] if name in LONG else value for name, value in thing.items()}


def groups_of(entries: list) -> set[str]:
    return {one["group"] for one in entries if isinstance(one.get("group"), str)}


def words_of(entries: list) -> set[str]:
    return {word for one in entries for word in strings_in(one.get("said"))}


def moves(reader: Reader, known: Known, begin: int, until: int) -> dict:
    """The moves from the opening before a time on, with what stood in each place at that opening."""
    opening = past.newest_opening(reader, begin)
    since, cut = (opening["cut"], known.cut) if opening else (-ALL_TIME, -ALL_TIME if known.cut is None else known.cut)
    found = past_moves.moves_between(reader, since, min(until, cut))
    found += [one for one in known.moves if one["at"] < until]
    return {"moves": found, "contents": opening["contents"] if opening else {}}


def ticks(reader: Reader, known: Known, begin: int, until: int) -> dict:
    entries = past.with_links(reader, past.of_kinds(reader, begin, until, ("tick",)), known.upto)
    groups = groups_of(entries)
    runs, mashes = (things_named(reader, known, sort, groups) for sort in ("run", "mash"))
    return {"entries": entries, **{"runs": named_only(runs), "mashes": named_only(mashes)}}


def named_only(found: dict) -> dict:
    return {key: {"id": key, "name": one["name"]} for key, one in found.items()}


def odd(reader: Reader, known: Known, begin: int, until: int) -> dict:
    """Findings, with the entries by which they are named and their answers."""
    found = findings(reader, known, begin, until)
    ats = past_done.moments_by_id(reader, {id_ for one in found for id_ in one["entries"]})
    ids = {id_ for one in found for id_ in one["entries"] if begin <= ats.get(id_, -1) < until}
    ids |= {id_ for one in found for id_ in [id_ for id_ in one["entries"] if id_ in ats][:FIRST_FEW]}
    ids |= {one["answered"] for one in found if one["answered"]}
    return {"entries": [json.loads(row["text"]) for row in past.rows_by_id(reader, ids)], "findings": found}


def lots(reader: Reader, known: Known, begin: int, until: int) -> dict:
    return {"lots": things(reader, known, "lot", begin, until)}


def closes(reader: Reader, known: Known, begin: int, until: int) -> dict:
    return {"closes": things(reader, known, "close", -ALL_TIME, ALL_TIME)}


def closing(reader: Reader, known: Known, begin: int, until: int) -> dict:
    """What the sheet of a closed month shows beside its account."""
    found = differences(reader, known, begin, until)
    closed = closes(reader, known, begin, until)["closes"]
    ids = {one["id"] for one in found} | {one["id"] for one in closed.values()}
    entries = past.with_links(reader, past.rows_by_id(reader, ids), known.upto)
    return {"closes": closed, "differences": found, "entries": entries}


OF_MONTH = {"work": work, "checks": ticks, "findings": odd, "materials": lots, "closings": closes, "close": closing}
OF_MONTH |= {"nothing": nothing}


def paper_of(reader: Reader, known: Known, id_: str) -> dict:
    """One entry, run, mash or round of checks with all that its sheet shows; without entries where there is none."""
    row = next(iter(past.rows_by_id(reader, [id_])), None)
    runs, mashes = (things_named(reader, known, sort, {id_}) for sort in ("run", "mash"))
    rows = ([row] if row else []) + rows_around(reader, id_, row, [*runs.values(), *mashes.values()])
    entries = past.with_links(reader, rows, known.upto)
    if not entries:
        return {"entries": []}
    groups = groups_of(entries) | {run_id_of(one) for one in entries}
    for mash in mashes.values():
        charged = past.rows_by_id(reader, charges_of(reader, known, mash))
        entries += [one for one in map(json.loads, (row["text"] for row in charged)) if one not in entries]
    groups |= groups_of(entries)
    runs, mashes = (things_named(reader, known, sort, groups) for sort in ("run", "mash"))
    words = words_of(entries) | set(strings_in(list(mashes.values())))
    named = {"lots": things_named(reader, known, "lot", words), "stock": things_named(reader, known, "stock", words)}
    at = at_of(json.loads(row["text"])) if row else max(map(at_of, entries))
    told = about(reader, known, {one["id"] for one in entries})
    return {**told, "entries": [*entries, *told["entries"]], "runs": runs, "mashes": mashes, **named,
            **moves(reader, known, at, at + 1)}  # fmt: skip


def rows_around(reader: Reader, id_: str, row: dict | None, work: list[dict]) -> list[dict]:
    """The entries of a run, a mash or a round of checks, struck ones too."""
    thing = next(filter(None, (past.thing(reader, ALL_TIME, sort, id_) for sort in ("run", "mash", "session"))), None)
    ids = {*(thing["entries"] if thing else ()), *(one for known in work for one in known["entries"])}
    ats = past_done.moments_by_id(reader, ids | ({id_} if row else set())).values()
    if not ats:
        return []
    return [*past.rows_by_id(reader, ids), *past_done.of_group(reader, id_, min(ats) - DAY_MS, max(ats) + LATE_MS)]


def charges_of(reader: Reader, known: Known, mash: dict) -> list[str]:
    """The entries that charged a wash into a still, before another wash came into its vessel."""
    if not mash["wash"]:
        return []
    since, place = mash["wash"]["at"], f"vessel/{mash['wash']['vessel']}"
    found = past_moves.moves_at(reader, place, since)
    found += [one for one in known.moves if one["at"] > since and place in (one["from"], one["to"])]
    until = min(washed(reader, known, [one for one in found if one["to"] == place]), default=ALL_TIME)
    out = [one for one in found if one["from"] == place and one["to"].startswith("still/")]
    return [one["id"] for one in out if one["at"] < until]


def washed(reader: Reader, known: Known, moved: list[dict]) -> list[int]:
    """When some moves were the wash gauge of a mash."""
    ats = {one["id"]: one["at"] for one in moved if one["from"].startswith("made/")}
    entries = [json.loads(row["text"]) for row in past.rows_by_id(reader, ats)]
    mashes = things_named(reader, known, "mash", groups_of(entries))
    return [ats[mash["wash"]["id"]] for mash in mashes.values() if mash["wash"] and mash["wash"]["id"] in ats]


def about(reader: Reader, known: Known, ids: set[str]) -> dict:
    """The findings about some entries."""
    ats = past_done.moments_by_id(reader, ids).values()
    found = findings(reader, known, min(ats), max(ats) + 1) if ats else []
    found = [one for one in found if ids & set(one["entries"])]
    answers = past.rows_by_id(reader, {one["answered"] for one in found if one["answered"]} - ids)
    return {"findings": found, "entries": [json.loads(row["text"]) for row in answers]}


def plot_of(reader: Reader, known: Known, what: str, begin: int, until: int) -> dict:
    return OF_PLOT[what](reader, known, begin, until)


def yields(reader: Reader, known: Known, begin: int, until: int) -> dict:
    found = {name: things(reader, known, sort, begin, until) for sort, name in (("run", "runs"), ("mash", "mashes"))}
    return {name: {key: short(one) for key, one in rows.items()} for name, rows in found.items()}


def ferments(reader: Reader, known: Known, begin: int, until: int) -> dict:
    return {"mashes": things(reader, known, "mash", begin, until)}


def fills(reader: Reader, known: Known, begin: int, until: int) -> dict:
    stock = things(reader, known, "stock", begin, until)
    ids = {one["id"] for lot in stock.values() for one in lot["checks"]}
    return {"stock": stock, "entries": past.with_links(reader, past.rows_by_id(reader, ids), known.upto)}


def losses(reader: Reader, known: Known, begin: int, until: int) -> dict:
    found = differences(reader, known, begin, until)
    entries = past.with_links(reader, past.rows_by_id(reader, {one["id"] for one in found}), known.upto)
    runs = things_named(reader, known, "run", groups_of(entries))
    return {"differences": found, "entries": entries, "runs": named_only(runs)}


def stocks(reader: Reader, known: Known, begin: int, until: int) -> dict:
    """What stood at the begin as one move into each place, and what moved since."""
    cut = -ALL_TIME if known.cut is None else known.cut
    found = [*past_moves.stood_at(reader, min(begin, cut)), *past_moves.moves_between(reader, begin, min(until, cut))]
    return {"moves": [*found, *(one for one in known.moves if one["at"] < until)]}


OF_PLOT = {"yields": yields, "ferments": ferments, "fills": fills, "losses": losses, "stocks": stocks}
