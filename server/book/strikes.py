"""Which entries count: strikes, corrections, rivals, and the choice between them. static/book/strikes.js is the twin.

An entry stands unless a live strike of it won. Rival corrections of one entry: the least id counts until a person
chooses. A strike can itself be struck; a strike of an entry that is not here yet waits. Everything is decided by
ids and by the order of the book, never by the order of arrival.
"""

import heapq


def target_of(entry: dict) -> str | None:
    """The id that an entry strikes, or None."""
    strikes = entry.get("strikes")
    return strikes["id"] if isinstance(strikes, dict) and isinstance(strikes.get("id"), str) else None


def about_of(entry: dict) -> str | None:
    """The id that a choice is about, or None for entries that choose nothing."""
    said = entry.get("said")
    if entry.get("kind") != "choose" or not isinstance(said, dict):
        return None
    return said["about"] if isinstance(said.get("about"), str) else None


def is_correction(entry: dict) -> bool:
    """It strikes and says anew; a plain strike says nothing."""
    return entry.get("kind") != "strike"


def settle_strikes(records: dict, order: list) -> dict:
    """Set live, struck_by and rivals on every record.

    records: id -> {entry, at, live, struck_by, rivals}, changed in place
    order:   ids in the order of the book
    returns: {"rivals": [ids corrected twice without a choice], "waiting": [ids that strike what is not here]}
    """
    claims, choices, waiting = links_of(records, order)
    standing: set[str] = set()
    conflicts: list[str] = []
    for entry_id in dependency_order(records, claims, choices):
        if judge(entry_id, records, claims, choices, standing, conflicts):
            standing.add(entry_id)
    for entry_id, record in records.items():
        record["live"] = entry_id in standing and won(entry_id, records)
    return {"rivals": sorted(conflicts), "waiting": waiting}


def links_of(records: dict, order: list) -> tuple[dict, dict, list]:
    claims: dict[str, list] = {}
    choices: dict[str, list] = {}
    waiting = []
    for entry_id in order:
        entry = records[entry_id]["entry"]
        target, about = target_of(entry), about_of(entry)
        if target is not None and target != entry_id:
            claims.setdefault(target, []).append(entry_id)
            if target not in records:
                waiting.append(entry_id)
        if about is not None and about != entry_id:
            choices.setdefault(about, []).append(entry_id)
    return claims, choices, waiting


def dependency_order(records: dict, claims: dict, choices: dict):
    """Ids so that what strikes an entry, or chooses about it, comes first; a ring is cut at its least id.

    The order among the free ones does not change the outcome; taking the least id makes rings settle alike everywhere.
    """
    open_count = {entry_id: 0 for entry_id in records}
    feeds: dict[str, list] = {}
    for links in (claims, choices):
        for target, sources in links.items():
            if target in records:
                open_count[target] += len(sources)
                for source in sources:
                    feeds.setdefault(source, []).append(target)
    free = sorted(entry_id for entry_id, count in open_count.items() if count == 0)
    left = None
    done: set[str] = set()
    while len(done) < len(records):
        if not free:
            left = left or iter(sorted(open_count))
            free = [next(entry_id for entry_id in left if entry_id not in done)]
        entry_id = heapq.heappop(free)
        done.add(entry_id)
        yield entry_id
        for target in feeds.get(entry_id, []):
            open_count[target] -= 1
            if open_count[target] == 0 and target not in done:
                heapq.heappush(free, target)


def judge(entry_id: str, records: dict, claims: dict, choices: dict, standing: set, conflicts: list) -> bool:
    """Whether an entry stands, given that everything that bears on it has been judged."""
    rivals = sorted(claim for claim in claims.get(entry_id, []) if claim in standing)
    if not rivals:
        return True
    record = records[entry_id]
    winner, chosen = rivals[0], False
    for choice in choices.get(entry_id, []):
        pick = records[choice]["entry"]["said"].get("winner")
        if choice in standing and (pick in rivals or pick == entry_id):
            winner, chosen = pick, True
    if len(rivals) > 1 and any(is_correction(records[claim]["entry"]) for claim in rivals):
        record["rivals"] = rivals
        if not chosen:
            conflicts.append(entry_id)
    record["struck_by"] = None if winner == entry_id else winner
    record["kept"] = winner == entry_id
    return winner == entry_id


def won(entry_id: str, records: dict) -> bool:
    """Whether an entry that stands also won against its rivals; plain strikes of one entry do not compete."""
    target = target_of(records[entry_id]["entry"])
    struck = records.get(target) if target != entry_id else None
    if struck is None:
        return True
    if struck.get("kept"):
        return False
    winner = struck["struck_by"]
    return winner is None or winner == entry_id or (not struck["rivals"])


def follower(records: dict, entry_id: object) -> str | None:
    """The entry that now stands in the place of one that was corrected; itself while it is live; None if gone."""
    seen = set()
    while isinstance(entry_id, str) and entry_id in records and entry_id not in seen:
        if records[entry_id]["live"]:
            return None if is_plain_strike(records[entry_id]) and seen else entry_id
        seen.add(entry_id)
        entry_id = records[entry_id]["struck_by"]
    return None


def is_plain_strike(record: dict) -> bool:
    return record["entry"].get("kind") == "strike"
