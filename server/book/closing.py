"""Book months that a person has closed, and the rates of duty: which entries were known then, and what came later.

The first closing of a month counts. An entry about a closed month is kept like any other; it does not change the
account as sealed, and is carried as an adjustment (account.py). static/book/closing.js is the twin.
"""

from server.book.figures import serials
from server.book.findings import add
from server.book.kinds import is_int
from server.book.periods import bounds_of
from server.book.strikes import target_of


def nothing() -> dict:
    return {"closes": {}, "duty_rates": []}


def close(walk: dict, record: dict, said: dict, moved: list) -> None:
    closes, month, entry = walk["state"]["closes"], said["month"], record["entry"]
    if month in closes:
        say = f"{month} was closed twice: {serials(entry)} came after the closing that counts."
        do = "Take one of the two back."
        add(walk, f"closed_twice/{month}", "look", say, do, [closes[month]["id"], entry["id"]])
        return
    closes[month] = {
        "id": entry["id"],
        "at": record["at"],
        "by": entry.get("by"),
        "month": month,
        "known": said["known"],
        "closing": {row["account"]: row["sums"] for row in said["closing"]},
        "head": said.get("head"),
        "signed": said.get("signed"),
        "words": said.get("words"),
    }


def ranges_of(known: list) -> dict:
    """device -> its ranges of running numbers."""
    ranges: dict[str, list] = {}
    for one in known:
        ranges.setdefault(one["device"], []).append(one)
    return ranges


def is_known(entry: dict, ranges: dict) -> bool:
    n = entry.get("n")
    return is_int(n) and any(one["from"] <= n <= one["to"] for one in ranges.get(entry.get("device"), ()))


def gather(walk: dict) -> None:
    """Note which of the entries that are due came after their month was closed."""
    state = walk["state"]
    for month, closed in state["closes"].items():
        late = walk["late_closed"].setdefault(closed["id"], [])
        late += late_ids(state, walk["due"], closed, bounds_of(month, state["site"])[1])


def finish(walk: dict) -> None:
    closes = walk["state"]["closes"]
    for month in sorted(closes):
        closed = closes[month]
        late = walk["late_closed"][closed["id"]]
        if late:
            say = f"{len(late)} {'entry' if len(late) == 1 else 'entries'} about the time before the end of {month} "
            say += "came after it was closed."
            do = "See what they change in the account; they are carried as adjustments into the open month."
            add(walk, f"late_closed/{month}/{max(late)}", "look", say, do, [closed["id"], *late])


def late_ids(state: dict, ids: list, closed: dict, until: int) -> list[str]:
    """Entries that move or strike something from before the month's end and were not known when it was closed."""
    ranges = ranges_of(closed["known"])
    found = []
    for entry_id in ids:
        record = state["entries"][entry_id]
        entry = record["entry"]
        struck = state["entries"].get(target_of(entry))
        about = struck["at"] if struck and struck["at"] < record["at"] else record["at"]
        lines = entry.get("lines")
        counts = (isinstance(lines, list) and len(lines) > 0) or struck is not None
        if record["live"] and counts and about < until and not is_known(entry, ranges):
            found.append(entry_id)
    return found


def duty_rate(walk: dict, record: dict, said: dict, moved: list) -> None:
    """The site's own rate; it holds from when it was entered for."""
    rate = {name: said.get(name) for name in ("amount", "currency", "per", "source")}
    walk["state"]["duty_rates"].append({"id": record["entry"]["id"], "at": record["at"], **rate})


FOLLOW = {"close": close, "duty_rate": duty_rate}
