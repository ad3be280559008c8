"""What the trace starts from: the sources of ethanol, the raw lots behind a wash, and what else touched the spirit.

static/book/traceBorn.js is the twin. Nothing here trusts the shape of what was said: a malformed entry names less.
"""

import json
from functools import cache

from server.paths import STATIC
from server.reckon import ReckonError
from server.reckon.units import to_base

KINDS = {"made": "wash", "found": "found", "water": "found"}


@cache
def rules() -> dict:
    return json.loads((STATIC / "book" / "trace.json").read_text(encoding="utf-8"))


def said_of(entry: dict) -> dict:
    return entry["said"] if isinstance(entry.get("said"), dict) else {}


def text_of(value: object) -> str | None:
    return value if isinstance(value, str) and value else None


def base_of(typed: object) -> float | None:
    """A typed number in its base unit; None where there is none to be read."""
    try:
        return to_base(typed) if isinstance(typed, dict) else None
    except (ReckonError, KeyError, TypeError):
        return None


def percent_of(value: object) -> float | None:
    """A share in per cent, typed with its unit or a bare number."""
    bare = isinstance(value, (int, float)) and not isinstance(value, bool)
    return float(value) if bare else base_of(value)


def rows_of(entry: dict) -> list[dict]:
    """Materials that an entry says it used: [{"lot", "mass_kg"}]; a volume counts as so many kilograms."""
    found = []
    for name in ("materials", "additions"):
        rows = said_of(entry).get(name)
        for row in rows if isinstance(rows, list) else []:
            if isinstance(row, dict) and text_of(row.get("lot")):
                mass = base_of(row.get("mass"))
                found.append({"lot": row["lot"], "mass_kg": base_of(row.get("volume")) if mass is None else mass})
    return found


def materials_of(state: dict) -> dict:
    """All lots by tag, and by group the materials and the name of each mash."""
    lots, mashes = {}, {}
    for entry_id in state["order"]:
        record = state["entries"][entry_id]
        entry = record["entry"]
        if not record["live"]:
            continue
        if entry.get("kind") == "lot":
            note_lot(lots, record)
        elif entry.get("kind") in rules()["mashing"] and isinstance(entry.get("group"), str):
            mash = mashes.setdefault(entry["group"], {"name": None, "rows": []})
            mash["name"] = mash["name"] or (text_of(said_of(entry).get("name")) if entry["kind"] == "mash" else None)
            mash["rows"] += [{**row, "entry": entry_id} for row in rows_of(entry)]
    return {"lots": lots, "mashes": mashes}


def note_lot(lots: dict, record: dict) -> None:
    said = said_of(record["entry"])
    tag = text_of(said.get("lot")) or text_of(said.get("tag"))
    if tag is None:
        return
    lots[tag] = {
        "lot": tag,
        "sort": text_of(said.get("sort")),
        "name": text_of(said.get("name")),
        "supplier": text_of(said.get("supplier")),
        "mass_kg": base_of(said.get("mass")),
        "starch_pct": percent_of(said.get("starch")),
        "sugar_pct": percent_of(said.get("sugar")),
        "entry": record["entry"]["id"],
        "at": record["at"],
    }


def is_touching(walk: dict, tag: str) -> bool:
    lot = walk["lots"].get(tag)
    return lot is not None and lot["sort"] in rules()["touching"]


def raw_shares(walk: dict, rows: list[dict], every: bool = False) -> list[list]:
    """[lot, weight] of the raw lots of a mash by the alcohol they promise, by mass where one promises nothing."""
    masses: dict[str, float] = {}
    for row in rows:
        if (every or not is_touching(walk, row["lot"])) and row["mass_kg"] is not None and row["mass_kg"] > 0:
            masses[row["lot"]] = masses.get(row["lot"], 0.0) + row["mass_kg"]
    promised = [promise(walk, tag, mass) for tag, mass in masses.items()]
    weights = list(masses.values()) if any(one is None for one in promised) else promised
    total = 0.0
    for weight in weights:
        total += weight
    return [[tag, weight / total] for tag, weight in zip(masses, weights, strict=True)] if total > 0 else []


def promise(walk: dict, tag: str, mass_kg: float) -> float | None:
    """Ethanol [kg] that a lot can give at most, None where neither starch nor sugar is known."""
    lot, yields = walk["lots"].get(tag), rules()["yields"]
    if lot is None or (lot["starch_pct"] is None and lot["sugar_pct"] is None):
        return None
    return mass_kg * ((lot["starch_pct"] or 0.0) * yields["starch"] + (lot["sugar_pct"] or 0.0) * yields["sugar"])


def bear(walk: dict, record: dict, line: dict) -> dict:
    """Ethanol that enters the book: each wash, opening, delivery and addition is a source; findings by their cause."""
    mg = line["ethanol_mg"]
    if mg <= 0:
        return {}
    entry = record["entry"]
    own = line["from"].split("/")[0] in ("made", "bought") or line["from"] == "found/opening"
    source_id = entry["id"] if own else line["from"]
    if source_id not in walk["sources"]:
        walk["sources"][source_id] = source_of(walk, record, line, own)
    walk["sources"][source_id]["made_mg"] += mg
    return {source_id: [float(mg), 0.0, 0]}


def source_of(walk: dict, record: dict, line: dict, own: bool) -> dict:
    entry, said = record["entry"], said_of(record["entry"])
    kind = kind_of(line["from"])
    mash = walk["mashes"].get(entry.get("group")) if isinstance(entry.get("group"), str) else None
    rows = mash["rows"] if kind == "wash" and mash else rows_of(entry) if kind == "additive" else []
    name = text_of(said.get("name")) or (mash["name"] if mash else None)
    if kind == "spirit":
        name = text_of(said.get("movement_ref")) or text_of(said.get("consignor"))
    elif kind == "additive":
        name = ", ".join(row["lot"] for row in rows) or None
    return {
        "id": entry["id"] if own else line["from"],
        "kind": kind,
        "name": name if own else line["from"].split("/", 1)[-1],
        "place": line["to"] if own else None,
        "entry": entry["id"] if own else None,
        "group": text_of(entry.get("group")) if own else None,
        "at": record["at"] if own else None,
        "by": text_of(entry.get("by")) if own else None,
        "made_mg": 0,
        "lots": raw_shares(walk, rows, kind == "additive"),
    }


def kind_of(place: str) -> str:
    if place == "found/opening":
        return "opening"
    if place == "bought/spirit":
        return "spirit"
    return "additive" if place.startswith("bought/") else KINDS.get(place.split("/")[0], "found")


def unknown(walk: dict, place: str, mg: float) -> dict:
    """Ethanol that a place gave beyond what the book had in it."""
    source_id = f"unknown/{place}"
    source = walk["sources"].get(source_id)
    if source is None:
        source = {"id": source_id, "kind": "unknown", "name": place, "place": place, "entry": None, "group": None}
        walk["sources"][source_id] = source | {"at": None, "by": None, "made_mg": 0, "lots": []}
    walk["sources"][source_id]["made_mg"] += mg
    return {source_id: [float(mg), 0.0, 0]}


def touch(walk: dict, record: dict, lines: list[dict]) -> None:
    """Note what touched the liquid without giving alcohol: water, carbon, sheets, yeast, additives, bottles."""
    entry = record["entry"]
    for line in lines:
        if line["from"].startswith("water/") and line["liquid_mg"] > 0:
            lay(walk, line["to"], line["from"], entry["id"])
    group = entry.get("group") if isinstance(entry.get("group"), str) else None
    if entry.get("kind") in rules()["mashing"] and group:
        return
    targets = dict.fromkeys(line["to"] for line in lines if line["to"].split("/")[0] in ("vessel", "stock"))
    if not lines and text_of(said_of(entry).get("vessel")):
        targets = {f"vessel/{entry['said']['vessel']}": None}
    made = any(line["from"].startswith("made/ferment") for line in lines)
    rows = walk["mashes"][group]["rows"] if made and group in walk["mashes"] else []
    for place in targets:
        for row in rows:
            if is_touching(walk, row["lot"]):
                lay(walk, place, f"lot/{row['lot']}", row["entry"])
        for row in rows_of(entry):
            lay(walk, place, f"lot/{row['lot']}", entry["id"])


def place_in(walk: dict, place: str) -> dict:
    return walk["places"].setdefault(place, {"mg": 0, "liquid_mg": 0, "parts": {}, "touched": {}, "seen": {}})


def lay(walk: dict, place: str, thing: str, entry_id: str) -> None:
    """thing: `water/<source>` or `lot/<tag>`; each entry is a touch of its own."""
    key = f"{thing}@{entry_id}"
    walk["touches"].setdefault(key, {"id": thing, "entry": entry_id})
    place_in(walk, place)["touched"][key] = True
    if place in walk["bottled"]:
        walk["bottled"][place]["touched"][key] = True


def count_bottles(walk: dict, record: dict, lines: list[dict]) -> None:
    """How many bottles were filled under a code, so that ethanol can be told in bottles."""
    count = said_of(record["entry"]).get("count")
    if isinstance(count, int) and not isinstance(count, bool) and count > 0:
        for line in lines:
            if line["to"] in walk["bottled"] and line["from"].startswith("vessel/"):
                walk["bottled"][line["to"]]["count"] += count
