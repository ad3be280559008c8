"""The house's own checklists, and sessions in which lists outside a run are ticked. static/book/lists.js is the twin.

A list is never changed: each edit is a whole new version, and what was ticked keeps the words it was ticked with. What
holds is local practice; but a printed stop item that was reworded, made advisory or left out is a finding, so that it
is seen. A session is one going-through of a list: for a mash, a bottling, a vessel, or for the house.
"""

from server.book.checks import checks
from server.book.findings import add
from server.book.findings_book import ancestors
from server.book.runs import run_id_of, tick

SAME = ("id", "text", "stop", "why", "value", "retired")


def nothing() -> dict:
    return {"checklists": {}, "sessions": {}}


def checklist(walk: dict, record: dict, said: dict, moved: list) -> None:
    """The newest version of a list; the ids of the older ones stay beside it."""
    known = walk["state"]["checklists"].get(said["list"])
    walk["state"]["checklists"][said["list"]] = {
        "list": said["list"],
        "v": said["list_v"],
        "items": said["items"],
        "title": said.get("title") or None,
        "belongs": said.get("belongs"),
        "retired": bool(said.get("retired")),
        "id": record["entry"]["id"],
        "at": record["at"],
        "was": [*known["was"], known["id"]] if known else [],
    }


def lists_at(state: dict, at: int) -> dict:
    """The house's own lists as they read at a moment, ms: for ticks and starts of that time."""
    found = {}
    for name, known in state["checklists"].items():
        ids = [one for one in (*known["was"], known["id"]) if state["entries"][one]["at"] <= at]
        if ids:
            said = state["entries"][ids[-1]]["entry"]["said"]
            found[name] = {**known, "v": said["list_v"], "items": said["items"]}
    return found


def session_tick(walk: dict, record: dict, said: dict, moved: list) -> None:
    """A tick that belongs to no run belongs to the session that its first tick opened."""
    state, session_id = walk["state"], run_id_of(record["entry"])
    if session_id in state["runs"]:
        return
    known = state["sessions"].setdefault(
        session_id,
        {"id": session_id, "list": said["list"], "vessel": None, "at": record["at"], "ticks": {}, "taken_by": None},
    )
    known["vessel"] = said.get("vessel") or known["vessel"]
    tick(known["ticks"], record, said)


def begun(walk: dict, record: dict, said: dict, moved: list) -> None:
    """A mash or a bottling: it takes the session that was ticked for it; stop items left open are a red finding."""
    entry_id, kind = record["entry"]["id"], record["entry"]["kind"]
    if said.get("checks") is not None:
        walk["checks_taken"].append((said["checks"], entry_id))
    if not said.get("open_stops"):
        return
    count = len(said["open_stops"])
    words = "; ".join(item["words"] for item in said["open_stops"])
    name = said["name"] if kind == "mash" else f"Lot {said['lot']}"
    say = f"{name} was {'mashed in' if kind == 'mash' else 'bottled'} with {count} stop item"
    say += f"{'s' if count > 1 else ''} open: {words}."
    say += f" Reason: {said['open_reason']}." if said.get("open_reason") else ""
    do = "Answer it: what was done about each, and by whom."
    add(walk, f"checks_open/{entry_id}", "stop", say, do, [entry_id])


def finish(walk: dict) -> None:
    state = walk["state"]
    for session_id, entry_id in walk["checks_taken"]:
        if session_id in state["sessions"]:
            state["sessions"][session_id]["taken_by"] = entry_id
    for known in state["checklists"].values():
        changed_stops(walk, known)
        two_editors(walk, known)


def versions_of(state: dict, known: dict) -> list[dict]:
    """The entries of a list, the oldest first."""
    return [state["entries"][one]["entry"] for one in (*known["was"], known["id"])]


def standing_of(items: list, item_id: str) -> dict:
    """How an item stands in a version: its words, and whether it still holds."""
    item = next((one for one in items if one["id"] == item_id and not one.get("retired")), None)
    return {"text": item["text"] if item else None, "stop": bool(item and item["stop"])}


def softened(name: str, items: list) -> list[tuple[dict, dict]]:
    """Printed stop items that a version words otherwise, makes advisory or leaves out, and how each stands there."""
    printed = checks()["lists"].get(name)
    rows = [(item, standing_of(items, item["id"])) for item in printed["items"]] if printed else []
    return [(item, now) for item, now in rows if item["stop"] and not (now["stop"] and now["text"] == item["text"])]


def changed_stops(walk: dict, known: dict) -> None:
    """Printed stop items that are not what they were: a finding for each version that made some of them so."""
    entries, by_version = versions_of(walk["state"], known), {}
    for item, now in softened(known["list"], known["items"]):
        since = entries[-1]
        for entry in reversed(entries):
            if standing_of(entry["said"]["items"], item["id"]) != now:
                break
            since = entry
        by_version.setdefault(since["id"], (since, []))[1].append(change_words(item, now))
    for since, changes in by_version.values():
        reason = since["said"].get("reason")
        count = f"stop item{'s' if len(changes) > 1 else ''} of {checks()['lists'][known['list']]['title']} changed"
        say = f"{len(changes)} {count}: {'; '.join(changes)}. "
        say += f"Reason: {reason}." if reason else "Nobody wrote why."
        do = "Local practice decides. Whoever answers for safety here reads it, and answers that they did."
        add(walk, f"stop_item/{known['list']}/{since['id']}", "note" if reason else "look", say, do, [since["id"]])


def change_words(item: dict, now: dict) -> str:
    what = "no longer asked" if now["text"] is None else "reworded" if now["stop"] else "advisory now"
    words = f" “{now['text']}”" if now["text"] not in (None, item["text"]) else ""
    return f"“{item['text']}” is {what}{words}"


def two_editors(walk: dict, known: dict) -> None:
    """Two phones that edited one list and did not know of each other: the later counts, and the other is not lost."""
    entries = versions_of(walk["state"], known)
    latest = entries[-1]
    knew = ancestors(latest, entries)
    strangers = [one for one in entries[:-1] if one["id"] not in knew and differs(one, latest)]
    if strangers:
        title = known["title"] or checks()["lists"].get(known["list"], {}).get("title") or known["list"]
        say = f"The list {title} was edited twice by phones that did not know of each other; the later one counts."
        do = "Look at both versions, and write the list once more as it is to be."
        ids = [one["id"] for one in strangers] + [latest["id"]]
        add(walk, f"two_setups/checklist/{known['list']}", "look", say, do, ids)


def differs(one: dict, other: dict) -> bool:
    if one.get("device") == other.get("device"):
        return False
    first, second = one["said"]["items"], other["said"]["items"]
    if len(first) != len(second):
        return True
    return any(a.get(name) != b.get(name) for a, b in zip(first, second, strict=True) for name in SAME)


FOLLOW = {"checklist": checklist, "tick": session_tick, "mash": begun, "bottling": begun}
