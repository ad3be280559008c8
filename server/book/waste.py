"""Waste spirit: what stands in that account feeds no charge and leaves it for no other, unless a person says why.

static/book/waste.js is the twin. Foreshots are waste wherever they stand; heads are where the house keeps them so.
"""

from server.book.figures import serials
from server.book.findings import add
from server.book.standing import account_of

MOVES = ("transfer", "filter")


def in_account(state: dict, tag: str) -> bool:
    return account_of(state, f"vessel/{tag}") == "waste"


def sources_of(kind: str, said: dict) -> list[str]:
    if kind == "charge":
        return [part["vessel"] for part in said["parts"] if part.get("vessel") is not None]
    return [said["from"]] if kind in MOVES else []


def before(walk: dict, record: dict) -> None:
    """Which of the vessels that an entry empties hold foreshots: afterwards they hold nothing."""
    entry, holds = record["entry"], walk["state"]["holds"]
    tags = sources_of(entry["kind"], entry["said"])
    walk["foreshots_in"] = [tag for tag in tags if holds.get(tag) == "foreshots"]


def charge(walk: dict, record: dict, said: dict, moved: list) -> None:
    for part in said["parts"]:
        tag = part.get("vessel")
        if tag is None or part.get("why"):
            continue
        word = word_of(walk["state"], tag, walk["foreshots_in"])
        if word:
            entry_id = record["entry"]["id"]
            say = f"{serials(record['entry'])} charged {word} from {tag}, without a reason."
            add(walk, f"waste_charged/{entry_id}", "look", say, "Say why, in a correction.", [entry_id])


def word_of(state: dict, tag: str, foreshots: list) -> str | None:
    if in_account(state, tag):
        return "waste spirit"
    return "foreshots" if tag in foreshots else None


def leaves(walk: dict, record: dict, said: dict, moved: list) -> None:
    """Out of the waste account into a vessel of another one: from there nobody would see what it was."""
    if moved and not said.get("why") and in_account(walk["state"], said["from"]):
        if in_account(walk["state"], said["to"]):
            return
        entry_id = record["entry"]["id"]
        say = f"{serials(record['entry'])} took waste spirit from {said['from']} into {said['to']}, without a reason."
        do = "Say why, in a correction; or move it back."
        add(walk, f"waste_moved/{entry_id}", "look", say, do, [entry_id])


def waste_doubts(kind: str, said: dict, state: dict) -> list[dict]:
    """The same, asked before it is written."""
    found = []
    for n, part in enumerate(said["parts"] if kind == "charge" else ()):
        tag = part.get("vessel")
        held = [tag] if tag is not None and state["holds"].get(tag) == "foreshots" else []
        word = word_of(state, tag, held) if tag is not None and not part.get("why") else None
        if word:
            found.append({"field": f"parts.{n}.why", "say": f"{tag} holds {word}: sure, and why?"})
    if kind in MOVES and not said.get("why") and in_account(state, said["from"]) and not in_account(state, said["to"]):
        found.append({"field": "to", "say": f"{said['to']} is not in the waste account: sure, and why?"})
    return found


def nothing() -> dict:
    return {}


FOLLOW = {"charge": charge, "transfer": leaves, "filter": leaves}
