"""Lots of raw material, yeast, carbon, bottles: what came in, what was used. static/book/materials.js is the twin.

They hold no alcohol, so they are counted here, in mg or in pieces, and not by lines. What a lot can give is the
stoichiometric yield of its starch and sugar, and the house's own share of it.
"""

import json
import math
from functools import cache

from server.book.figures import one_decimal
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
    return {"lots": {}}


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
        "moisture_pct": share(said.get("moisture")),
        "starch_pct": share(said.get("starch")) if measured else usually.get("starch_pct"),
        "sugar_pct": share(said.get("sugar")) if measured else usually.get("sugar_pct"),
        "assumed": not measured and ("starch_pct" in usually or "sugar_pct" in usually),
        "named": bool(usually.get("named")),
        "refused": refused,
        "refusal": said.get("refusal"),
        "bin": said.get("bin"),
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
            used = walk["lots_used"].setdefault(row["lot"], {"mg": 0, "pieces": 0, "ids": []})
            used["pieces" if said_by == "count" else "mg"] += AMOUNTS[said_by](row[said_by])
            used["ids"].append(record["entry"]["id"])


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


def efficiency(state: dict) -> float:
    """The house's own share of the theoretical yield, 0..1."""
    return ((state["site"] or {}).get("yield_pct") or usual()["efficiency_pct"]) / 100.0


def finish(walk: dict) -> None:
    """Stock left; lots used beyond it, or never taken in."""
    state = walk["state"]
    for one in state["lots"].values():
        used = walk["lots_used"].get(one["lot"])
        if used:
            one["used"], one["used_by"] = used["mg" if one["counted_in"] == "mg" else "pieces"], used["ids"]
        one["left"] = one["came"] - one["used"]
        mass = one["came"] if one["counted_in"] == "mg" else 0
        one.update(promise(one, mass))
        one["expected_mg"] = math.floor(one["full_mg"] * efficiency(state) + 0.5)
        if one["left"] < 0:
            overdrawn(walk, one)
    for tag, used in walk["lots_used"].items():
        if tag not in state["lots"]:
            say = f"Lot {tag} was used but never taken in."
            add(walk, f"lot_unknown/{tag}", "look", say, "Enter the delivery, or correct the lot.", used["ids"])


def overdrawn(walk: dict, one: dict) -> None:
    over = f"{one_decimal(-one['left'] / 1e6)} kg" if one["counted_in"] == "mg" else f"{-one['left']} pieces"
    if one["refused"]:
        say = f"Lot {one['lot']} was refused at the gate, and {over} of it were used."
    else:
        say = f"{over} more of lot {one['lot']} were used than came in."
    do = "Look for a wrong lot or a wrong mass, and correct it; or enter what else came in."
    add(walk, f"lot_overdrawn/{one['lot']}", "look", say, do, [one["id"], *one["used_by"]])


FOLLOW = {"lot": lot}
