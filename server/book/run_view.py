"""What a person at the still wants to know of a run now. static/book/runview.js is the twin."""

from server.book.checks import item_states, list_for
from server.book.lists import lists_at
from server.reckon.liquid import lpa_l

READING_MIN = 20
CHANGES = (
    "kettle_c",
    "head_c",
    "dephlegmator_out_c",
    "condenser_out_c",
    "column_pressure_kpa",
    "air_pressure_kpa",
    "abv_pct",
    "level_l",
    "flow_l_h",
    "off_mg",
)


def lpa_of_mg(ethanol_mg: int) -> float:
    return lpa_l(ethanol_mg / 1e6)


def run_view(state: dict, run: dict, now: int) -> dict:
    """Figures of a live run, provisional ones included; litres of pure alcohol as floats.

    now: ms
    """
    provisional = 0
    fractions = dict(run["fractions"])
    for fill in run["fills"]:
        if fill["sums"] is None:
            provisional += fill["provisional"]
            name = fill["fraction"] or "unnamed"
            fractions[name] = fractions.get(name, 0) + fill["provisional"]
    off = run["off_mg"] + provisional
    charged = run["charge"]["ethanol_mg"]
    site = state["site"]
    checks = item_states(run, list_for(run["sort"]), now, site, lists_at(state, now))
    return {
        "phase": phase_of(run),
        "off_lpa": lpa_of_mg(off),
        "provisional_lpa": lpa_of_mg(provisional),
        "charged_lpa": lpa_of_mg(charged),
        "left_lpa": lpa_of_mg(run["left"]["ethanol_mg"] - provisional),
        "share_pct": off / charged * 100.0 if charged > 0 else None,
        "fractions_lpa": {name: lpa_of_mg(mg) for name, mg in fractions.items()},
        "last": run["readings"][-1] if run["readings"] else None,
        "changes": changes_of(run),
        "due_at": due_at(run, site),
        "lapsed": [one for one in checks if one["state"] == "lapsed"],
    }


def phase_of(run: dict) -> str:
    """charged, running, off (something comes off), paused or ended."""
    if run["ended_at"] is not None:
        return "ended"
    if run["paused"]:
        return "paused"
    if run["first_drop_at"] is not None:
        return "off"
    return "running" if run["started_at"] is not None else "charged"


def due_at(run: dict, site: dict | None) -> int | None:
    """When the next reading is due, ms; None when the run stands."""
    if phase_of(run) not in ("running", "off"):
        return None
    since = [one for one in (run["started_at"], run["first_drop_at"]) if one is not None]
    since += [one["at"] for one in run["readings"]]
    minutes = (site or {}).get("reading_min") or READING_MIN
    return max(since) + int(minutes * 60000)


def changes_of(run: dict) -> dict:
    """For each figure of the last reading: the change since it was last read, and when that was."""
    if not run["readings"]:
        return {}
    last, before = run["readings"][-1], run["readings"][:-1]
    found = {}
    for name in CHANGES:
        if last[name] is None:
            continue
        earlier = next((one for one in reversed(before) if one[name] is not None), None)
        if earlier and (name != "level_l" or earlier["receiver"] == last["receiver"]):
            found[name] = {"by": last[name] - earlier[name], "since": earlier["at"]}
    return found
