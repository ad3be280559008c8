"""Lots of raw material, yeast, carbon, bottles: what came in, what was used. static/book/materials.js is the twin.

They hold no alcohol, so they are counted here, in mg or in pieces, and not by lines. What a lot can give is the
stoichiometric yield of its starch and sugar, and the house's own share of it.
"""

import json
import math
from functools import cache

from server.book.figures import mass_words, one_decimal, serials
from server.book.findings import add
from server.book.gauges import gauge_sums
from server.book.kinds import kind_of
from server.paths import STATIC
from server.reckon import ReckonError, to_mg
from server.reckon.ferment import ETHANOL_PER_HEXOSE, HEXOSE
from server.reckon.units import to_base

# Starch and sucrose become hexose, and hexose ethanol: kg for each kg.
STARCH_YIELD = HEXOSE["starch"] * ETHANOL_PER_HEXOSE
SUGAR_YIELD = HEXOSE["sucrose"] * ETHANOL_PER_HEXOSE


@cache
def usual() -> dict:
    """The whole of materials.json."""
    return json.loads((STATIC / "book" / "materials.json").read_text(encoding="utf-8"))


def nothing() -> dict:
    return {"lots": {}, "efficiency": None}


def mass_mg(typed: dict | None) -> int:
    return to_mg(to_base(typed)) if typed else 0


def share(typed: dict | None) -> float | None:
    return to_base(typed) if typed else None


def lot(walk: dict, record: dict, said: dict, moved: list) -> None:
    """A lot taken in. The mark is its identity: taken in again, the later entry counts and a finding says so."""
    lots, tag = walk["state"]["lots"], said["lot"]
    if tag in lots:
        say = f"Lot {tag} was taken in twice; the later entry counts."
        do = "Give the second delivery a mark of its own, or strike one."
        add(walk, f"lot_twice/{tag}", "look", say, do, [lots[tag]["id"], record["entry"]["id"]])
    pieces = "mass" not in said or said["mass"] is None
    refused = bool(said.get("refused"))
    usually = usual()["sorts"].get(said["sort"], {})
    measured = said.get("starch") is not None or said.get("sugar") is not None
    lots[tag] = {
        "lot": tag,
        "sort": said["sort"],
        "name": said.get("name"),
        "supplier": said["supplier"],
        "supplier_lot": said.get("supplier_lot"),
        "counted_in": "pieces" if pieces else "mg",
        "came": 0 if refused else (int(said.get("count") or 0) if pieces else mass_mg(said["mass"])),
        "used": 0,
        "left": 0,
        "used_by": [],
        "used_at": None,
        "counted": [],
        "moisture_pct": share(said.get("moisture")),
        "starch_pct": share(said.get("starch")) if measured else usually.get("starch_pct"),
        "sugar_pct": share(said.get("sugar")) if measured else usually.get("sugar_pct"),
        "assumed": not measured and ("starch_pct" in usually or "sugar_pct" in usually),
        "refused": refused,
        "refusal": said.get("refusal"),
        "bin": said.get("bin"),
        "papers": said.get("papers"),
        "at": record["at"],
        "id": record["entry"]["id"],
    }


@cache
def rows_of(kind: str) -> tuple:
    """The fields of a kind that name lots, each with the fields that may say how much, in their order."""
    fields = kind_of(kind)["fields"]
    return tuple((field["name"], amounts_of(field)) for field in fields if field["name"] in ("materials", "additions"))


def amounts_of(field: dict) -> tuple:
    names = [choice["has"] for choice in field["one_of"]] if "one_of" in field else [f["name"] for f in field["fields"]]
    return tuple(name for name in names if name in AMOUNTS)


def use(walk: dict, record: dict, said: dict) -> None:
    """Count what an entry used of each lot, under `materials` and `additions`."""
    for name, amounts in rows_of(record["entry"]["kind"]):
        for row in said.get(name) or ():
            said_by = next(one for one in amounts if row.get(one) is not None)
            used = walk["lots_used"].setdefault(row["lot"], {"mg": 0, "pieces": 0, "ids": [], "at": None})
            used["pieces" if said_by == "count" else "mg"] += AMOUNTS[said_by](row[said_by])
            used["ids"].append(record["entry"]["id"])
            used["at"] = record["at"]


def liquid_mg(gauge: dict) -> int:
    try:
        return gauge_sums(gauge)["liquid_mg"]
    except ReckonError:
        return 0


AMOUNTS = {"mass": mass_mg, "count": int, "gauge": liquid_mg}


def promise(one: dict, used_mg: int) -> dict:
    """What a mass of a lot can give: ethanol if all of its starch and sugar ferments, and its extract, in mg."""
    starch = used_mg * ((one["starch_pct"] or 0.0) / 100.0)
    sugar = used_mg * ((one["sugar_pct"] or 0.0) / 100.0)
    return {
        "full_mg": math.floor(starch * STARCH_YIELD + sugar * SUGAR_YIELD + 0.5),
        "extract_mg": math.floor(starch * HEXOSE["starch"] + sugar + 0.5),
    }


def count_lot(walk: dict, record: dict, said: dict, moved: list) -> None:
    """A count or a write-off waits for the end: the lot may come in later in the book, and its unit with it."""
    used = walk["lots_used"].get(said["lot"]) or {"mg": 0, "pieces": 0}
    walk["lots_counted"].append([record["entry"]["id"], {"mg": used["mg"], "pieces": used["pieces"]}])


def counted(walk: dict, record: dict, said: dict, used_then: dict) -> None:
    """Book a difference in full against the figure that stood in the entry; ask for its cause beyond the tolerance."""
    one, entry = walk["state"]["lots"].get(said["lot"]), record["entry"]
    if one is None:
        say = f"Lot {said['lot']} was counted but never taken in."
        add(walk, f"lot_unknown/{said['lot']}", "look", say, "Enter the delivery, or correct the lot.", [entry["id"]])
        return
    unit, said_by = one["counted_in"], "pieces" if said["amount"].get("count") is not None else "mg"
    if said_by != unit:
        say = f"{serials(entry)} counts lot {one['lot']} in {'pieces' if said_by == 'pieces' else 'mass'}"
        say += f", which came in {'pieces' if unit == 'pieces' else 'mass'}; it counts for nothing."
        add(walk, f"lot_unit/{entry['id']}", "look", say, "Correct the entry.", [entry["id"]])
        return
    amount = int(said["amount"]["count"]) if said_by == "pieces" else mass_mg(said["amount"]["mass"])
    book, is_count = int(said["book_left"]), said["by"] == "counted"
    over = amount - book if is_count else -amount
    before = one["came"] - used_then[unit] + sum(row["over"] for row in one["counted"])
    if before != book:
        say = f"{serials(entry)} rests on a figure for lot {one['lot']} that has changed since."
        add(walk, f"rests_on/{entry['id']}", "note", say, "See what came later, and count again.", [entry["id"]])
    row = {"id": entry["id"], "at": record["at"], "by": entry.get("by"), "way": said["by"], "over": over}
    one["counted"].append({**row, "cause": said.get("cause"), "words": said.get("words")})
    without_cause(walk, entry, one, over, book, is_count)


def without_cause(walk: dict, entry: dict, one: dict, over: int, book: int, is_count: bool) -> None:
    said, site = entry["said"], walk["state"]["site"] or {}
    pct = site.get("count_tolerance_pct")
    pct = usual()["count_tolerance_pct"] if pct is None else pct
    beyond = abs(over) > max(book, 0) * (pct / 100.0)
    if over == 0 or (is_count and not beyond) or said.get("cause") not in (None, "", "unexplained"):
        return
    off = amount_text(one, abs(over), walk["units"])
    if not is_count:
        say = f"{off} of lot {one['lot']} were written off without a cause."
    else:
        say = f"Lot {one['lot']} was counted {off} {'over' if over > 0 else 'under'} the book, without a cause"
        say += f"; the house allows {one_decimal(pct)} %."
    add(walk, f"lot_cause/{entry['id']}", "look", say, "Find the cause, and correct the entry.", [entry["id"]])


def amount_text(one: dict, amount: int, units: dict) -> str:
    if one["counted_in"] == "mg":
        return mass_words(amount / 1e6, units)
    return f"{amount} piece{'' if amount == 1 else 's'}"


def efficiency_of(state: dict, before: dict) -> dict:
    """The house's share of the theoretical yield, 0..1, and where it comes from.

    The house may say it ("set"); else its own mashes do, once there are enough of them ("own"); else the usual figure.
    before: the same of mashes that the opening does not name one by one
    """
    told = [one for one in state["mashes"].values() if has_told(one)]
    given, count = (state["site"] or {}).get("yield_pct"), before["mashes"] + len(told)
    if given:
        return {"share": given / 100.0, "by": "set", "mashes": count}
    if count < usual()["own_after"]:
        return {"share": usual()["efficiency_pct"] / 100.0, "by": "usual", "mashes": count}
    made = before["made_mg"] + sum(one["wash"]["ethanol_mg"] for one in told)
    return {"share": made / (before["full_mg"] + sum(one["full_mg"] for one in told)), "by": "own", "mashes": count}


def has_told(one: dict) -> bool:
    """A mash counts when it was gauged as wash and gave no more than its materials hold."""
    return bool(one["wash"]) and 0 < one["wash"]["ethanol_mg"] <= one["full_mg"]


def expect(walk: dict) -> None:
    """What each lot and mash is to give, once the house's own share is known."""
    state = walk["state"]
    state["efficiency"] = efficiency_of(state, walk["told"])
    for one in [*state["lots"].values(), *state["mashes"].values()]:
        one["expected_mg"] = math.floor(one["full_mg"] * state["efficiency"]["share"] + 0.5)


def finish(walk: dict) -> None:
    """Stock left; lots used beyond it, or never taken in."""
    state = walk["state"]
    for entry_id, used_then in walk["lots_counted"]:
        record = state["entries"][entry_id]
        counted(walk, record, record["entry"]["said"], used_then)
    for one in state["lots"].values():
        used = walk["lots_used"].get(one["lot"])
        if used:
            one["used"], one["used_by"] = used["mg" if one["counted_in"] == "mg" else "pieces"], used["ids"]
            one["used_at"] = used["at"]
        one["left"] = one["came"] - one["used"] + sum(row["over"] for row in one["counted"])
        mass = one["came"] if one["counted_in"] == "mg" else 0
        one.update(promise(one, mass))
        if one["left"] < 0:
            overdrawn(walk, one)
    for tag, used in walk["lots_used"].items():
        if tag not in state["lots"]:
            say = f"Lot {tag} was used but never taken in."
            add(walk, f"lot_unknown/{tag}", "look", say, "Enter the delivery, or correct the lot.", used["ids"])


def overdrawn(walk: dict, one: dict) -> None:
    over = amount_text(one, -one["left"], walk["units"])
    if one["refused"]:
        say = f"Lot {one['lot']} was refused at the gate, and {over} of it were used."
    else:
        say = f"{over} more of lot {one['lot']} were used than came in."
    do = "Look for a wrong lot or a wrong mass, and correct it; or enter what else came in."
    add(walk, f"lot_overdrawn/{one['lot']}", "look", say, do, [one["id"], *one["used_by"]])


FOLLOW = {"lot": lot, "count_lot": count_lot}
