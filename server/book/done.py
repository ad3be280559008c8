"""What an opening lets go for good, as the papers of that time tell of it: work that is done, findings, differences.

A thing that stays with the book's open work is not among them: what is asked of a time is these and that together. A
thing that comes back and is put away again is let go twice, and the later one counts.
"""

NAMES = {"run": "runs", "mash": "mashes", "lot": "lots", "stock": "stock", "received": "received", "close": "closes"}
FROM_THINGS = ("run", "transit")  # differences that the run or the receipt itself tells


def rows(kept: dict, state: dict, away: list[dict], gone: list[dict]) -> list[dict]:
    """[{"sort", "key", "begun", "ended", "what"}], times in ms.

    kept:  the walk of the opening; state: the book at the cut, finished
    away:  what was put away, with the entries that it rests on; gone: findings that were let go
    """
    found = [row("finding", one["key"], one["entries"], one, state) for one in gone]
    for one in away:
        if one["sort"] in NAMES:
            what = state[NAMES[one["sort"]]][one["key"]]
            found.append(row(one["sort"], one["key"], one["entries"], what, state))
    for one in state["differences"]["each"]:
        if one["month"] < kept["month"] and one["kind"] not in FROM_THINGS:
            found.append(row("difference", f"{one['kind']}/{one['id']}", [one["id"]], one, state))
    return [*found, *older_entries(kept, state)]


def row(sort: str, key: str, ids: list, what: object, state: dict) -> dict:
    ats = [state["entries"][one]["at"] for one in ids if one in state["entries"]] or [0]
    return {"sort": sort, "key": key, "begun": min(ats), "ended": max(ats), "what": what}


def older_entries(kept: dict, state: dict):
    """The entries of a finding that stays, as far as the opening names the newest ones only."""
    lists = [(key, one["entries"]) for key, one in kept["found"].items()]
    lists += [(f"below_zero/{place}", ids) for place, ids in kept["low"].items()]
    lists += [(f"above_capacity/{place}", ids) for place, ids in kept["over"].items()]
    lists += [(f"clock/{device}", one["ids"]) for device, one in kept["clocks"].items()]
    named = {key: set(ids) for key, ids in [*lists, ("unsigned", kept["signed"]["before"])]}
    for one in state["findings"]:
        newest = named.get(one["key"])
        older = [] if newest is None else [entry_id for entry_id in one["entries"] if entry_id not in newest]
        if older:
            yield row("finding_entries", one["key"], older, older, state)
