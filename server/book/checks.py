"""Checklists: which items a run needs, and which of them are open. static/book/checks.js is the twin.

A tick belongs to one run. It lapses after two hours, at a handover, and when the shift changes.
"""

import json
from datetime import UTC, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from server.paths import STATIC


@cache
def checks() -> dict:
    """The whole of checks.json: lists and emergency sheets."""
    return json.loads((STATIC / "book" / "checks.json").read_text(encoding="utf-8"))


def list_for(sort: str) -> str:
    """The name of the list that a run of this sort needs before heat."""
    return "column_run" if sort == "column" else "hot_run"


def items_of(name: str, lists: dict | None = None) -> list[dict]:
    """The items of a list, those of the list it includes first; each says the list it is ticked under.

    lists: the house's own wordings, as `state["checklists"]`; a list that is in it comes from there
    """
    printed, own = checks()["lists"].get(name), (lists or {}).get(name)
    found = own or printed
    if found is None:
        return []
    inherited = items_of(printed["includes"], lists) if printed and "includes" in printed else []
    asked = [item for item in found["items"] if not item.get("retired")]
    return inherited + [{**kept_of(printed, item), **item, "list": name, "list_v": found["v"]} for item in asked]


def kept_of(printed: dict | None, item: dict) -> dict:
    """What a printed item holds besides the start stays with it, however the house words it."""
    known = next((one for one in printed["items"] if one["id"] == item["id"]), {}) if printed else {}
    return {name: known[name] for name in ("leaving", "holds") if name in known}


def shift_of(ms: int, site: dict | None) -> str:
    """A word that is the same for two moments of one shift: the day it began, and which it was. Site's own zone."""
    shifts = sorted((site or {}).get("shifts") or [])
    if not shifts:
        return ""
    try:
        zone = ZoneInfo((site or {}).get("zone") or "UTC")
    except (KeyError, ValueError, OSError):
        zone = UTC
    local = datetime.fromtimestamp(ms / 1000, zone)
    clock = f"{local.hour:02d}:{local.minute:02d}"
    begun = [at for at in shifts if at <= clock]
    day = local.date() if begun else local.date() - timedelta(days=1)
    return f"{day.isoformat()}/{begun[-1] if begun else shifts[-1]}"


def lapse_of(tick: dict, holder: dict, now: int, site: dict | None) -> str | None:
    """Why a tick no longer holds: "hours", "handover", "shift"; None while it does."""
    if now - tick["at"] > checks()["lapse_min"] * 60000:
        return "hours"
    if any(tick["at"] < one["at"] <= now for one in holder.get("handovers", [])):
        return "handover"
    return "shift" if shift_of(tick["at"], site) != shift_of(now, site) else None


def reworded(tick: dict, item: dict) -> str | None:
    """A tick was given to words; a newer version of the list that has other words wants a tick of its own."""
    is_other = tick.get("list_v") not in (None, item["list_v"]) and tick["words"] != item["text"]
    return "words" if is_other else None


def item_states(holder: dict, name: str, now: int, site: dict | None = None, lists: dict | None = None) -> list[dict]:
    """Every item of a list with its state: "ticked", "passed", "open" or "lapsed", and the tick where there is one.

    holder: a run, or the state of the house for lists outside a run: whatever has `ticks`
    """
    states = []
    for item in items_of(name, lists):
        tick = holder["ticks"].get(item["list"], {}).get(item["id"])
        state, lapse = "open", None
        if tick and tick["state"] != "open":
            lapse = lapse_of(tick, holder, now, site) or reworded(tick, item)
            state = "lapsed" if lapse else tick["state"]
        states.append({**item, "state": state, "lapse": lapse, "tick": tick})
    return states


def open_items(holder: dict, name: str, now: int, site: dict | None = None, lists: dict | None = None) -> list[dict]:
    """The items that are open or lapsed; stop items passed over count as open, for they hold the start."""
    states = item_states(holder, name, now, site, lists)
    return [one for one in states if one["state"] in ("open", "lapsed") or (one["stop"] and one["state"] == "passed")]
