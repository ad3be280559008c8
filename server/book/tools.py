"""What the house measures with: instruments and strapping tables. static/book/tools.js is the twin."""

from server.book.cellar import last_of_day
from server.book.figures import serials
from server.book.findings import add
from server.reckon.units import number_of, to_base


def nothing() -> dict:
    return {"instruments": {}, "strappings": {}}


def instrument(walk: dict, record: dict, said: dict, moved: list) -> None:
    names = ("sort", "from", "to", "correction", "plus_minus", "due", "certificate")
    walk["state"]["instruments"][said["tag"]] = {
        "tag": said["tag"],
        **{name: said.get(name) for name in names},
        "due_at": last_of_day(said.get("due")),
        "retired": bool(said.get("retired")),
        "id": record["entry"]["id"],
        "at": record["at"],
    }


def strapping(walk: dict, record: dict, said: dict, moved: list) -> None:
    """The newest table of a vessel; a gauge names the one that it used."""
    rows = sorted([number_of(row["dip"]["typed"]), to_base(row["volume"])] for row in said["rows"])
    walk["state"]["strappings"][said["vessel"]] = {"id": record["entry"]["id"], "at": record["at"], "rows": rows}
    falling = any(rows[at][1] < rows[at - 1][1] for at in range(1, len(rows)))
    if len(rows) < 2 or falling:
        say = f"The strapping table of {said['vessel']} in {serials(record['entry'])} does not rise from dip to dip."
        add(walk, f"strapping/{record['entry']['id']}", "look", say, "Correct the row.", [record["entry"]["id"]])


def finish(walk: dict, now: int) -> None:
    """Instruments that are past their date, and what was read with them since."""
    known = walk["state"]["instruments"]
    if not known:
        return
    late = {tag: one for tag, one in known.items() if one["due_at"] is not None and not one["retired"]}
    for tag, one in late.items():
        if now > one["due_at"]:
            say = f"{tag} was to be checked by {one['due']}."
            add(walk, f"instrument_due/{tag}", "note", say, "Have it checked, or put it aside.", [one["id"]])
    for entry_id in walk["state"]["order"] if late else ():
        record = walk["state"]["entries"][entry_id]
        for tag in named_in(record["entry"].get("said")) if record["live"] else ():
            if tag in late and record["at"] > late[tag]["due_at"]:
                say = f"{tag} was read after the day by which it was to be checked."
                do = "Read again with a good one, or say how far off it was found."
                add(walk, f"instrument_overdue/{tag}", "look", say, do, [entry_id])


def named_in(said: object) -> list[str]:
    """The instruments that typed numbers anywhere in it were read with; each once, in the order of their names."""
    found: set[str] = set()
    search(said, found, 0)
    return sorted(found)


def search(value: object, found: set, depth: int) -> None:
    if depth > 8:
        return
    if isinstance(value, dict):
        if isinstance(value.get("instrument"), str):
            found.add(value["instrument"])
        for one in value.values():
            search(one, found, depth + 1)
    elif isinstance(value, list):
        for one in value:
            search(one, found, depth + 1)


FOLLOW = {"instrument": instrument, "strapping": strapping}
