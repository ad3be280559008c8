"""A run: its charge, ticks, start and balance, followed entry by entry; `fills` has what runs off.

static/book/runs.js is the twin.

A run is named by the id of the entry that opened it, and keeps that name when the opening is corrected: its
entries carry the id as their group. Nothing here moves liquid; the lines did.
"""

import math

from server.book import fills, passes
from server.book.gauges import NOTHING, add, less, only_sums


def new_run(run_id: str, record: dict) -> dict:
    return {
        "id": run_id,
        "name": None,
        "still": record["entry"]["said"]["still"],
        "sort": record["entry"]["said"]["sort"],
        "makes": record["entry"]["said"].get("makes"),
        "passes": [],
        "opened_at": record["at"],
        "started_at": None,
        "first_drop_at": None,
        "ended_at": None,
        "heat_off_at": None,
        "paused": False,
        "by": record["entry"].get("by"),
        "handovers": [],
        "charge": dict(NOTHING),
        "heel": dict(NOTHING),
        "charged_parts": [],
        "fills": [],
        "open": None,
        "readings": [],
        "fractions": {},
        "off_mg": 0,
        "left": dict(NOTHING),
        "ticks": {},
        "start": None,
        "stillage": None,
        "difference": None,
        "balance": None,
        "entries": [],
    }


def open_runs(walk: dict) -> None:
    """Make the runs before their entries are followed: a phone's wrong clock may put a reading before the charge."""
    state = walk["state"]
    for entry_id in walk["due"]:
        record = state["entries"][entry_id]
        entry = record["entry"]
        if not record["live"] or entry.get("kind") != "charge" or not is_charge(entry.get("said")):
            continue
        run_id = run_id_of(entry)
        run = state["runs"].setdefault(run_id, new_run(run_id, record))
        run["name"] = run["name"] or name_in(entry["said"])


def name_in(said: dict) -> str | None:
    """What a charge calls its run; a name that is no text names nothing."""
    return said["run"] if isinstance(said.get("run"), str) else None


def is_charge(said: object) -> bool:
    return isinstance(said, dict) and isinstance(said.get("still"), str) and said.get("sort") in ("strip", "column")


def run_id_of(entry: dict) -> str:
    return entry["group"] if isinstance(entry.get("group"), str) else entry["id"]


def apply(walk: dict, record: dict, moved: list) -> None:
    """What a live entry does to its run. Ticks outside a run are kept for the house."""
    entry = record["entry"]
    run = walk["state"]["runs"].get(run_id_of(entry))
    if entry["kind"] == "tick":
        tick(run["ticks"] if run else walk["state"]["ticks"], record, entry["said"])
    if run is None:
        return
    run["entries"].append(entry["id"])
    follow_still(run, moved)
    worker = FOLLOW.get(entry["kind"])
    if worker:
        worker(walk, run, record, entry["said"], moved)


def follow_still(run: dict, moved: list) -> None:
    """What is left in the still by this run's own lines."""
    place = f"still/{run['still']}"
    for line in moved:
        if line["to"] == place:
            run["left"] = add(run["left"], line)
        if line["from"] == place:
            run["left"] = less(run["left"], line)
            if line["to"].startswith("vessel/"):
                run["off_mg"] += line["ethanol_mg"]


def charge(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    place = f"still/{run['still']}"
    if not run["charged_parts"] and said.get("heel"):
        run["heel"] = only_sums(said["heel"])
        run["charge"], run["left"] = add(run["charge"], run["heel"]), add(run["left"], run["heel"])
    for line in moved:
        if line["to"] == place:
            run["charge"] = add(run["charge"], line)
            run["charged_parts"].append({"id": record["entry"]["id"], "from": line["from"], **only_sums(line)})
    run["makes"] = said.get("makes") or run["makes"]
    run["passes"] = passes.passes_in(walk, place)


def tick(lists: dict, record: dict, said: dict) -> None:
    lists.setdefault(said["list"], {})[said["item"]] = {
        "id": record["entry"]["id"],
        "by": record["entry"].get("by"),
        "at": record["at"],
        "state": said["state"],
        "stop": said["stop"],
        "list_v": said["list_v"],
        "words": said["words"],
        "reason": said.get("reason"),
        "value": said.get("value"),
    }


def start(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    run["started_at"] = record["at"]
    run["start"] = {**said, "id": record["entry"]["id"], "at": record["at"], "by": record["entry"].get("by")}


def event(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    what, at = said["what"], record["at"]
    if what == "first_drop":
        run["first_drop_at"] = at
    elif what in ("pause", "resume"):
        run["paused"] = what == "pause"
    elif what == "heat_off":
        run["heat_off_at"] = at
    else:
        run["handovers"].append({"at": at, "from": record["entry"].get("by"), "to": said.get("to")})
        run["by"] = said.get("to") or run["by"]


def end(walk: dict, run: dict, record: dict, said: dict, moved: list) -> None:
    """The balance: what was charged against what came off, ran off, and stays; the rest is the difference."""
    place = f"still/{run['still']}"
    stillage, over = dict(NOTHING), dict(NOTHING)
    for line in moved:
        if line["to"] == "lost/stillage":
            stillage = only_sums(line)
        elif line["to"] == place:
            over = add(over, line)
        elif line["from"] == place:
            over = less(over, line)
    pm_mg = math.floor(math.sqrt(walk["end_square"]) + 0.5)
    run["ended_at"], run["paused"], run["open"] = record["at"], False, None
    for fill in run["fills"]:
        if fill["closed_at"] is None:
            fill["closed_at"], fill["closed_by"] = record["at"], record["entry"]["id"]
    run["stillage"] = {**stillage, "by_balance": bool(said["stillage"].get("by_balance"))}
    run["difference"] = {**over, "pm_mg": pm_mg, "id": record["entry"]["id"]}
    run["balance"] = {
        "charged_mg": run["charge"]["ethanol_mg"],
        "off_mg": run["off_mg"],
        "stillage_mg": stillage["ethanol_mg"],
        "heel_mg": run["left"]["ethanol_mg"],
        "difference_mg": over["ethanol_mg"],
        "pm_mg": pm_mg,
    }


def close_books(walk: dict) -> None:
    """Alcohol by fraction, from the fillings that were gauged."""
    for run in walk["state"]["runs"].values():
        for fill in run["fills"]:
            if fill["sums"] is not None:
                name = fill["fraction"] or "unnamed"
                run["fractions"][name] = run["fractions"].get(name, 0) + fill["sums"]["ethanol_mg"]


FOLLOW = {
    "charge": charge,
    "start": start,
    "event": event,
    "end": end,
    **fills.FOLLOW,
}
