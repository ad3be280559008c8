"""What the house measures with: instruments and strapping tables. static/book/tools.js is the twin."""

from server.book.cellar import last_of_day
from server.book.figures import serials
from server.book.findings import add
from server.book.instruments import faults, named_in, odd_unit
from server.book.strapping import length_cm
from server.reckon.units import number_of, to_base


def nothing() -> dict:
    return {"instruments": {}, "strappings": {}}


def instrument(walk: dict, record: dict, said: dict, moved: list) -> None:
    names = ("sort", "from", "to", "correction", "points", "plus_minus", "due", "certificate")
    walk["state"]["instruments"][said["tag"]] = {
        "tag": said["tag"],
        **{name: said.get(name) for name in names},
        "unit": unit_of(said),
        "due_at": last_of_day(said.get("due")),
        "retired": bool(said.get("retired")),
        "id": record["entry"]["id"],
        "at": record["at"],
    }


def unit_of(said: dict) -> str | None:
    """The unit of its scale: the one said, or that of its first number."""
    rows = said.get("points") or []
    numbers = [said.get("from"), said.get("to"), *(row["reading"] for row in rows), said.get("correction")]
    numbers.append(said.get("plus_minus"))
    return said.get("unit") or next((one["unit"] for one in numbers if one), None)


def strapping(walk: dict, record: dict, said: dict, moved: list) -> None:
    """The newest table of a vessel; a gauge names the one that it used."""
    rows = sorted([cm_of(row["dip"]), to_base(row["volume"])] for row in said["rows"])
    walk["state"]["strappings"][said["vessel"]] = {
        "id": record["entry"]["id"],
        "at": record["at"],
        "rows": rows,
        "reference_cm": cm_of(said["reference"]) if said.get("reference") else None,
        "calculated": said.get("calculated"),
    }
    falling = any(rows[at][1] < rows[at - 1][1] for at in range(1, len(rows)))
    if len(rows) < 2 or falling:
        say = f"The strapping table of {said['vessel']} in {serials(record['entry'])} does not rise from dip to dip."
        add(walk, f"strapping/{record['entry']['id']}", "look", say, "Correct the row.", [record["entry"]["id"]])


def cm_of(typed: dict) -> float:
    return length_cm(number_of(typed["typed"]), typed["unit"])


DO = {
    "overdue": ("look", "Read again with a good one, or say how far off it was found."),
    "retired": ("look", "Read again with one that is in use."),
    "range": ("note", "Read again with one that is made for it, or say how far off it was found."),
}
SAY = {
    "overdue": "was read after the day by which it was to be checked.",
    "retired": "was read although it is no longer in use.",
    "range": "was read beyond what it is good for.",
}


def watch(walk: dict, record: dict) -> None:
    """What was read with an instrument that was doubtful at that time; one set up anew clears nothing backwards."""
    known = walk["state"]["instruments"]
    for tag, typed, _ in named_in(record["entry"]["said"]) if known else ():
        for key, _ in faults(known[tag], typed, record["at"]) if tag in known else ():
            severity, do = DO[key]
            add(walk, f"instrument_{key}/{tag}", severity, f"{tag} {SAY[key]}", do, [record["entry"]["id"]])


UNIT_DO = "Set it up anew with the unit of its scale: until then it corrects nothing."


def finish(walk: dict, now: int) -> None:
    """Instruments whose unit is none of their sort, and those that are past their date."""
    for tag, one in walk["state"]["instruments"].items():
        odd = None if one["retired"] else odd_unit(one)
        if odd is not None:
            say = f"{tag} is set up as a {one['sort'].replace('_', ' ')} in {odd}, which none reads in."
            add(walk, f"instrument_unit/{tag}", "look", say, UNIT_DO, [one["id"]])
        if one["due_at"] is not None and not one["retired"] and now > one["due_at"]:
            say = f"{tag} was to be checked by {one['due']}."
            add(walk, f"instrument_due/{tag}", "note", say, "Have it checked, or put it aside.", [one["id"]])


FOLLOW = {"instrument": instrument, "strapping": strapping}
