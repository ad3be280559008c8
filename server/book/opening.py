"""What a book was at a moment, so that it can be gone on from there without all that led to it.

An opening is {"cut", "walk", "entries", "live", "waiting", "keys"}: the walk of the fold after the last entry before
`cut` ms, less the work that was done by then; the entries that what is left rests on, whole, and which of those it
counted; what would change the past if it came yet, or were struck, with the moment that it would change; and what the
places were to the account (ledger.py). Folding it with
the entries that came after gives what the fold of the whole book gives, but for the work that is done and the notes and
answers about it. That work is put away, each thing by itself, with the names by which a later entry may speak of it:
before such an entry is folded, `brought` puts it back. Only the server makes openings; both languages go on from one
(fold.py, static/book/fold.js).
"""

import json

from server.book import contents, done, fold, ledger, put_away
from server.book.closing import late_ids
from server.book.periods import bounds_of
from server.book.runs import run_id_of
from server.book.shapes import is_readable
from server.book.strikes import about_of, target_of

MOST_IDS = 20  # entries that a finding or a used lot names, the newest: older ones are history
SET_UPS = ("site", "person", "vessel", "still", "instrument", "strapping", "checklist", "duty_rate")
AT_THE_END = ("entries", "order", "findings", "pm", "distilled", "efficiency")  # of the state: made by `finished`
OF_THIS_FOLD = ("state", "strikes", "due", "units")  # of the walk
OF_ONE_ENTRY = ("sure_before", "foreshots_in", "end_square")


WAITS_MS = 400 * put_away.DAY_MS  # for so long a past waits for what would change it
OF_BOTTLES = ("dispatch", "customer_return", "stocktake", "destroy")


class Stale(ValueError):
    """The opening before counted what is struck now: go on from an earlier one."""


def opening_of(entries: list, cut: int, marks: dict | None = None, before: dict | None = None) -> tuple[dict, list]:
    """The opening of a moment, and what was put away: ({...}, [{"sort", "key", "names", "what", "entries", "live"}]).

    Beside what it goes on from, the opening has "moves", those of the ledger since the one before, and "done": what it
    lets go, as papers of that time tell of it (done.py).

    entries: all that are known; those after `cut` tell which of the ones before are struck, and what is spoken of
    cut:     ms; what happened before it is in the opening
    before:  an earlier opening that `entries` go on from, with what they speak of brought back
    """
    walk = fold.begun(entries, before)
    if before and live_of(walk, before["entries"]) != sorted(before["live"]):
        raise Stale
    records, due = walk["state"]["entries"], walk["due"]
    covered, later = [one for one in due if records[one]["at"] < cut], [one for one in due if records[one]["at"] >= cut]
    book = ledger.begun(before)
    fold.go_on(walk, covered, ledger.watcher(book))
    kept, whole = copied(walk), whole_at(walk, covered, later, marks or {})
    names = names_in(records[one]["entry"] for one in later)
    away = put_away.put_away(kept, whole["state"], cut, names)
    settle_findings(kept, whole, away, names)
    carry(kept, whole, records, later)
    opening = {"cut": cut, "walk": kept, "entries": [], "live": []}
    opening |= {"keys": ledger.keys_of(book), "moves": book["moves"]}
    opening["contents"] = contents.after(book["moves"], before["contents"] if before else {})
    waiting = {**waiting_in(walk, covered, later), **(before["waiting"] if before else {})}
    opening["waiting"] = {name: at for name, at in waiting.items() if at > cut - WAITS_MS}
    links, after = links_of(records), set(later)
    add_entries(opening, records, links, after, names)
    missing, gone = settled_by(opening, whole, marks or {}, names)
    kept["found"].update(missing)
    add_entries(opening, records, links, after, names)
    for one in away:
        ids = linked(links, ids_in(one["what"], records), after)
        one["entries"], one["live"] = ids, [entry_id for entry_id in ids if records[entry_id]["live"]]
    opening["done"] = done.rows(kept, whole["state"], away, gone)
    return opening, away


def waiting_in(walk: dict, covered: list, later: list) -> dict[str, int]:
    """What would change the past if it came, or were struck, and the first moment that it would change.

    Ids that covered entries strike although they are not here; work and bottled lots that they speak of and that nobody
    opened; and the entries that open such, when they happened after the cut.
    """
    records, state = walk["state"]["entries"], walk["state"]
    found: dict[str, int] = {}
    for record in (records[one] for one in reversed(covered)):
        entry = record["entry"]
        for target in (target_of(entry), about_of(entry)):
            if target is not None and target not in records:
                found[target] = record["at"]
        for name in spoken_of(entry):
            found[name] = record["at"]
    for one in later:
        name = opened_by(records[one]["entry"])
        if name in found:
            found[f"struck/{one}"] = found[name]
    known = {f"{sort}/{one}" for sort in ("runs", "mashes", "stock") for one in state[sort]}
    return {name: at for name, at in found.items() if name not in known}


def spoken_of(entry: dict) -> list[str]:
    """The work and the bottled lot that an entry is about."""
    said = entry["said"] if isinstance(entry.get("said"), dict) else {}
    place = said["place"] if isinstance(said.get("place"), dict) else {}
    lots = (said.get("lot"), place.get("stock")) if entry.get("kind") in OF_BOTTLES else ()
    groups = [f"{sort}/{entry['group']}" for sort in ("runs", "mashes") if isinstance(entry.get("group"), str)]
    return groups + [f"stock/{lot}" for lot in lots if isinstance(lot, str)]


def opened_by(entry: dict) -> str | None:
    """What an entry opens: "runs/" or "mashes/" with an id, "stock/" with a lot code."""
    if entry.get("kind") == "bottling" and isinstance(entry.get("said"), dict):
        return f"stock/{entry['said'].get('lot')}"
    sort = {"charge": "runs", "mash": "mashes"}.get(str(entry.get("kind")))
    return f"{sort}/{run_id_of(entry)}" if sort else None


def live_of(walk: dict, entries: list) -> list[str]:
    return sorted(one["id"] for one in entries if walk["state"]["entries"][one["id"]]["live"])


def copied(walk: dict) -> dict:
    """What lasts of a walk, as JSON holds it; its state under "kept"."""
    left = {name: value for name, value in walk.items() if name not in (*OF_THIS_FOLD, *OF_ONE_ENTRY)}
    kept = {name: value for name, value in walk["state"].items() if name not in AT_THE_END}
    return json.loads(json.dumps({**left, "kept": kept}))


def whole_at(walk: dict, covered: list, later: list, marks: dict) -> dict:
    """A copy of the walk, finished at the cut as if nothing had followed."""
    after, records = set(later), walk["state"]["entries"]
    order = [one for one in walk["state"]["order"] if one not in after]
    copy = copied(walk)
    put_away.not_begun(copy["kept"])
    state = {**copy.pop("kept"), "entries": records, "order": order, "efficiency": None}
    state.update(pm={}, distilled={}, findings=[])
    rivals = [one for one in walk["strikes"]["rivals"] if not after & {one, *records[one]["rivals"]}]
    strikes = {"rivals": rivals, "waiting": [one for one in walk["strikes"]["waiting"] if one not in after]}
    whole = {**copy, "state": state, "due": covered, "strikes": strikes, "units": walk["units"]}
    fold.finished(whole, {one: words for one, words in marks.items() if one not in after}, latest(records, order))
    return whole


def latest(records: dict, order: list) -> int:
    return records[order[-1]]["at"] if order else 0


def strings_in(value: object) -> list[str]:
    """Every text in a value of JSON, names of fields too, in no order."""
    found, left = [], [value]
    while left:
        one = left.pop()
        if isinstance(one, str):
            found.append(one)
        elif isinstance(one, dict):
            found += one
            left += one.values()
        elif isinstance(one, list):
            left += one
    return found


def names_in(entries) -> set[str]:
    """Every word of some entries that may be a name; and "taken in/R-1" where a lot is taken in."""
    found = set()
    for entry in entries:
        said = entry.get("said")
        found.update(one for part in (said, *(entry.get(name) for name in NAMING)) for one in strings_in(part))
        if entry.get("kind") == "lot" and isinstance(said, dict):
            found.add(f"taken in/{said.get('lot')}")
    return found


NAMING = ("group", "uses", "strikes", "lines")


def ids_in(value: object, records: dict) -> set[str]:
    return {one for one in strings_in(value) if one in records}


def settle_findings(kept: dict, whole: dict, away: list, names: set) -> None:
    """Findings that are answered, and notes, go with the work that is done; what can come again by its name stays."""
    answered = whole["answered"]
    gone = {one["key"] for one in away}
    kept["found"] = {
        key: short(one) for key, one in kept["found"].items() if stays(whole, key, one["severity"], gone, names)
    }
    kept["answered"] = {key: one for key, one in answered.items() if key in kept["found"] or not about(whole, key)}
    for name in ("low", "over"):
        kept[name] = {place: ids[-MOST_IDS:] for place, ids in kept[name].items()}


def short(finding: dict) -> dict:
    return {**finding, "entries": finding["entries"][-MOST_IDS:], "answered": None}


def about(whole: dict, key: str) -> str | None:
    """The entry that a finding's key names."""
    return next((part for part in key.split("/") if part in whole["state"]["entries"]), None)


def stays(whole: dict, key: str, severity: str, gone: set, names: set) -> bool:
    is_over = severity == "note" or key in whole["answered"]
    entry_id = about(whole, key)
    may_end = key in whole["gauge_keys"].values() or key in whole["fell_back"].values()
    if not is_over or entry_id is None or entry_id in names or may_end:
        return True
    group = whole["state"]["entries"][entry_id]["entry"].get("group")
    work = group if isinstance(group, str) else entry_id
    state = whole["state"]
    return (work in state["runs"] or work in state["mashes"]) and work not in gone


def carry(kept: dict, whole: dict, records: dict, later: list) -> None:
    """What the end of the walk gathered over all entries goes on from there."""
    state, pending = whole["state"], {}
    for name in ("numbers", "clocks", "signed", "late_closed"):
        kept[name] = json.loads(json.dumps(whole[name]))
    for clock in kept["clocks"].values():
        clock["ids"] = clock["ids"][-MOST_IDS:]
    kept["signed"]["before"] = kept["signed"]["before"][-MOST_IDS:]
    # A closing that follows says which entries it knew; those before the cut that it did not are found here.
    for entry in (records[one]["entry"] for one in later):
        if entry.get("kind") == "close" and is_readable(entry):
            until, known = bounds_of(entry["said"]["month"], state["site"])[1], kept["late_closed"].get(entry["id"], [])
            pending[entry["id"]] = [*known, *late_ids(state, whole["due"], entry["said"], until)]
    closed = {one["id"] for one in kept["kept"]["closes"].values()}
    kept["late_closed"] = {one: ids for one, ids in kept["late_closed"].items() if one in closed} | pending


def add_entries(opening: dict, records: dict, links: dict, after: set, names: set) -> None:
    """The entries that what is kept rests on, with all that strikes or chooses among them."""
    ids = ids_in(opening["walk"], records) | {one for one in names if one in records}
    ids |= {one for one, record in records.items() if record["entry"].get("kind") in SET_UPS}
    ids = linked(links, ids | after, after)
    opening["entries"] = [records[one]["entry"] for one in ids]
    opening["live"] = [one for one in ids if records[one]["live"]]


def links_of(records: dict) -> dict[str, list]:
    """Which entries bear on each other: strikes, corrections, choices, both ways."""
    links: dict[str, list] = {}
    for one, record in records.items():
        for other in (target_of(record["entry"]), about_of(record["entry"])):
            if other is not None and other in records:
                links.setdefault(one, []).append(other)
                links.setdefault(other, []).append(one)
    return links


def linked(links: dict, ids: set, after: set) -> list[str]:
    """Some entries with all that strike them, that they strike, and so on; without those that come after."""
    found, open_ids = set(), list(ids)
    while open_ids:
        one = open_ids.pop()
        if one not in found:
            found.add(one)
            open_ids += links.get(one, [])
    return sorted(found - after)


def settled_by(opening: dict, whole: dict, marks: dict, names: set) -> tuple[dict, list]:
    """Findings of the cut that the opening would not find again, as what they are about was put away: (those that stay,
    those that are let go)."""
    state = whole["state"]
    here = {entry["id"] for entry in opening["entries"]}
    marks = {one: words for one, words in marks.items() if one in here}
    again = fold.fold([], marks, latest(state["entries"], state["order"]), opening=opening)
    known = {one["key"] for one in again["findings"]} | opening["walk"]["found"].keys()
    kept = opening["walk"]["kept"]
    gone = {one for name in ("runs", "mashes") for one in state[name] if one not in kept[name]}
    lost = [one for one in state["findings"] if one["key"] not in known]
    stay = {one["key"]: short(one) for one in lost if stays(whole, one["key"], one["severity"], gone, names)}
    return stay, [one for one in lost if one["key"] not in stay]
