"""The trace of a large book, kept in memory: where its alcohol came from and went, over all its years.

Few entries move anything, so those alone are read, cut down to what trace and recall look at; the lots, mashes and
bottlings come from the newest opening's fold and from what was put away. The walk is followed anew when one more moves.
"""

import json
import sys
from dataclasses import dataclass, field

from server import past
from server.book.gauges import NOTHING
from server.book.order import gathered, order_key
from server.book.runs import run_id_of
from server.book.strikes import about_of, settle_strikes, target_of
from server.book.trace import follow_entry, trace
from server.book.trace_born import materials_of, rows_of
from server.openings import Known
from server.reader import Reader

OF_ENTRY = ("id", "kind", "group", "by", "device", "n", "strikes", "happened", "clock")
OF_SAID = ("to", "from", "count", "ref", "vessel", "name", "movement_ref", "consignor", "about", "winner")
OF_SAID += ("materials", "additions")


@dataclass
class Traced:
    """What is kept from one question to the next."""

    entries: dict = field(default_factory=dict)  # by id
    targets: set = field(default_factory=set)  # ids that are struck, or chosen about
    upto: int = 0
    known: Known | None = None  # that `state` stands for
    state: dict | None = None
    walk: dict | None = None
    away: dict | None = None
    mark: str | None = None


def followed(reader: Reader, known: Known, kept: Traced) -> tuple[dict, dict]:
    """(the state that trace and recall go by, the trace) of the whole book; changes what is kept."""
    if kept.known is not known:
        follow(reader, known, kept)
    return kept.state | {"runs": Runs(reader, known, kept.away["runs"])}, kept.walk


def follow(reader: Reader, known: Known, kept: Traced) -> None:
    """Read what came. Where all of it stands at the end and changes nothing before, the trace goes on; else anew."""
    new, mark, before = read_on(reader, known.upto, kept), reader.fact_or("openings_mark", ""), kept.state
    if kept.away is None or kept.mark != mark:
        kept.away, kept.mark, before = put_away(reader, known.cut), mark, None
    records, order, _ = gathered(new)
    goes_on = before is not None and all(is_plain(kept, records[one]) for one in order)
    if not goes_on:
        records, order, _ = gathered(list(kept.entries.values()))
        settle_strikes(records, order)
        before = {"order": [], "entries": {}}
    state = {"order": before["order"] + order, "entries": before["entries"] | records}
    state["runs"] = Runs(reader, known, kept.away["runs"])
    for name in ("lots", "mashes", "stock", "states"):
        state[name] = {**kept.away[name], **known.state[name]}
    kept.known, kept.state = known, state
    if not goes_on:
        kept.walk = trace(state)
        return
    kept.walk.update(materials_of(state))
    for one in order:
        follow_entry(kept.walk, state, state["entries"][one])


def is_plain(kept: Traced, record: dict) -> bool:
    """Whether a new entry comes after all that was followed, strikes nothing and is not struck, and names nothing anew
    that was followed already: a lot, a run, the mash of a wash."""
    entry, before = record["entry"], kept.state
    last = before["entries"][before["order"][-1]] if before["order"] else None
    linked = target_of(entry) or about_of(entry) or entry["id"] in kept.targets
    if linked or entry["kind"] in ("lot", "mash") or (last and order_key(record) < order_key(last)):
        return False
    work = run_id_of(entry)
    if entry["kind"] == "charge" and work not in before["runs"]:
        return not any(one.get("group") == work for one in kept.entries.values())
    return not (work in before["mashes"] and rows_of(entry))


def read_on(reader: Reader, upto: int, kept: Traced) -> list[dict]:
    """The entries that came since. What is struck decides which of its strikes counts, so it is read as well."""
    rows, new = past.moving(reader, kept.upto, upto), []
    kept.upto = upto
    while True:
        for row in rows:
            entry = shortened(row)
            kept.entries[entry["id"]] = entry
            kept.targets.update(one for one in (target_of(entry), about_of(entry)) if one is not None)
            new.append(entry)
        away = kept.targets - kept.entries.keys()
        rows = [row for row in past.rows_by_id(reader, away) if row["seq"] <= upto]
        if not rows:
            return new


def shortened(row: dict) -> dict:
    """What trace and recall look at of an entry. Places are said over and over: each stands once in memory."""
    entry = json.loads(row["text"])
    found = {name: entry[name] for name in OF_ENTRY if name in entry}
    said = entry.get("said")
    if isinstance(said, dict):
        found["said"] = {name: said[name] for name in OF_SAID if name in said}
    if isinstance(entry.get("lines"), list):
        found["lines"] = [short_line(line) for line in entry["lines"]]
    return found


def short_line(line: object) -> object:
    if not isinstance(line, dict):
        return None
    ends = {name: line.get(name) for name in ("from", "to")}
    ends = {name: sys.intern(place) if isinstance(place, str) else place for name, place in ends.items()}
    return {**ends, **{name: line.get(name) for name in NOTHING}}


def put_away(reader: Reader, cut: int | None) -> dict:
    """The work that is done: lots, mashes and bottled lots as they ended, and the names of runs."""
    found = {"lots": {}, "mashes": {}, "stock": {}, "states": {}, "runs": set()}
    if cut is None:
        return found
    for thing in past.standing_away(reader, cut, "lot"):
        found["lots"][thing["key"]] = used_up(thing["what"])
    for thing in past.standing_away(reader, cut, "mash"):
        mash = thing["what"]["mash"]
        found["mashes"][thing["key"]] = {
            name: mash[name] for name in ("id", "name", "entries", "water_source", "wash", "given_up", "vessel")
        }
    for thing in past.standing_away(reader, cut, "stock"):
        found["stock"][thing["key"]] = thing["what"]["stock"]
        held = thing["what"]["standing"]["states"]
        if held:
            found["states"][thing["what"]["at_place"]] = held
    found["runs"] = past.keys_away(reader, cut, "run")
    return found


def used_up(what: dict) -> dict:
    """A lot as it ended: nothing is left of it."""
    lot, used = what["lot"], what["used"]
    spent = used["mg" if lot["counted_in"] == "mg" else "pieces"] if used else lot["used"]
    return {**lot, "used": spent, "left": 0}


class Runs:
    """Runs by id; one that was put away is read when it is named."""

    def __init__(self, reader: Reader, known: Known, away: set):
        self._reader, self._known, self._away = reader, known, away

    def __contains__(self, key: str) -> bool:
        return key in self._known.state["runs"] or key in self._away

    def __getitem__(self, key: str) -> dict:
        here = self._known.state["runs"].get(key)
        return here or past.thing(self._reader, self._known.cut, "run", key)["what"]["run"]
