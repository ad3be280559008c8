"""The trace of a large book, kept in memory: where its alcohol came from and went, over all its years.

Few entries move anything, so those alone are read, cut down to what trace and recall look at; the lots, mashes and
bottlings come from the newest opening's fold and from what was put away. The walk is followed anew when one more moves.
"""

import json
import sys
from dataclasses import dataclass, field

from server import past
from server.book.gauges import NOTHING
from server.book.order import gathered
from server.book.strikes import about_of, settle_strikes, target_of
from server.book.trace import trace
from server.openings import Known
from server.store import Reader

OF_ENTRY = ("id", "kind", "group", "by", "device", "n", "strikes", "happened", "clock")
OF_SAID = ("to", "from", "count", "ref", "vessel", "name", "movement_ref", "consignor", "about", "winner")
OF_SAID += ("materials", "additions")


@dataclass
class Traced:
    """What is kept from one question to the next."""

    entries: dict = field(default_factory=dict)  # by id
    away_targets: set = field(default_factory=set)  # ids that are struck, or chosen about, and are not here yet
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
    is_more = read_on(reader, known.upto, kept)
    mark = reader.fact_or("openings_mark", "")
    if kept.away is None or kept.mark != mark:
        kept.away, kept.mark = put_away(reader, known.cut), mark
        kept.walk = None
    records, order, _ = gathered(list(kept.entries.values()))
    settle_strikes(records, order)
    state = {"order": order, "entries": records, "runs": Runs(reader, known, kept.away["runs"])}
    kept.known, kept.state = known, state
    for name in ("lots", "mashes", "stock", "states"):
        state[name] = {**kept.away[name], **known.state[name]}
    if kept.walk is None or is_more:
        kept.walk = trace(state)


def read_on(reader: Reader, upto: int, kept: Traced) -> bool:
    """Read the entries that came since; whether there were any. What is struck decides which of its strikes counts."""
    rows, before = past.moving(reader, kept.upto, upto), len(kept.entries)
    kept.upto, looked_for = upto, kept.away_targets
    while True:
        for row in rows:
            entry = shortened(row)
            kept.entries[entry["id"]] = entry
            looked_for |= {one for one in (target_of(entry), about_of(entry)) if one is not None}
        looked_for -= kept.entries.keys()
        rows = [row for row in past.rows_by_id(reader, looked_for) if row["seq"] <= upto]
        if not rows:
            return len(kept.entries) > before


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
