"""What the trace starts from: the sources of ethanol, the raw lots behind a wash, and what else touched the spirit.

static/book/traceBorn.js is the twin. Nothing here trusts the shape of what was said: a malformed entry names less.
"""

from server.book.materials import liquid_mg, mass_mg, promise
from server.reckon import ReckonError

# Sorts of lots that give no alcohol of their own; all others are raw material.
TOUCHING = ("yeast", "enzyme", "carbon", "sheets", "additive", "bottle", "closure", "label")


def said_of(entry: dict) -> dict:
    return entry["said"] if isinstance(entry.get("said"), dict) else {}


def text_of(value: object) -> str | None:
    return value if isinstance(value, str) and value else None


def weighed_mg(row: dict) -> int | None:
    """How much of a lot a row says, in mg; None where it counts pieces or cannot be read."""
    try:
        if isinstance(row.get("gauge"), dict):
            return liquid_mg(row["gauge"])
        return mass_mg(row["mass"]) if isinstance(row.get("mass"), dict) else None
    except (ReckonError, KeyError, TypeError):
        return None


def rows_of(entry: dict) -> list[dict]:
    """Materials that an entry says it used: [{"lot", "mg", "entry"}]."""
    found = []
    for name in ("materials", "additions"):
        rows = said_of(entry).get(name)
        for row in rows if isinstance(rows, list) else []:
            if isinstance(row, dict) and text_of(row.get("lot")):
                found.append({"lot": row["lot"], "mg": weighed_mg(row), "entry": entry["id"]})
    return found


def materials_of(state: dict) -> dict:
    """The lots of the book, and for each entry of a mash that mash: {"name", "rows", "water"}."""
    mashes = {}
    for mash in state["mashes"].values():
        rows = mash_rows(state, mash)
        own = {"name": mash["name"], "rows": rows, "water": mash["water_source"], "id": mash["id"]}
        for entry_id in mash["entries"]:
            mashes[entry_id] = own
    return {"lots": state["lots"], "mashes": mashes}


def mash_rows(state: dict, mash: dict) -> list[dict]:
    """What went into a mash. Of its entries those need not be here that use nothing (server/traced.py)."""
    here = [state["entries"][one]["entry"] for one in mash["entries"] if one in state["entries"]]
    return [row for entry in here for row in rows_of(entry)]


def is_touching(walk: dict, tag: str) -> bool:
    lot = walk["lots"].get(tag)
    return lot is not None and lot["sort"] in TOUCHING


def raw_shares(walk: dict, rows: list[dict], every: bool = False) -> list[list]:
    """[lot, weight] of the raw lots of a mash by the alcohol they promise, by mass where one promises nothing."""
    masses: dict[str, int] = {}
    for row in rows:
        if (every or not is_touching(walk, row["lot"])) and row["mg"] is not None and row["mg"] > 0:
            masses[row["lot"]] = masses.get(row["lot"], 0) + row["mg"]
    promised = [promised_mg(walk, tag, mass) for tag, mass in masses.items()]
    weights = list(masses.values()) if 0 in promised else promised
    total = 0
    for weight in weights:
        total += weight
    return [[tag, weight / total] for tag, weight in zip(masses, weights, strict=True)] if total > 0 else []


def promised_mg(walk: dict, tag: str, mass: int) -> int:
    """Ethanol that a lot can give at most, 0 where neither its starch nor its sugar is known."""
    lot = walk["lots"].get(tag)
    return promise(lot, mass)["full_mg"] if lot else 0


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
    mash = walk["mashes"].get(entry["id"])
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
    if place.startswith("bought/"):
        return "additive"
    return "wash" if place.startswith("made/") else "found"


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
    for place, thing, entry_id in brought(walk, record, lines):
        lay(walk, place, thing, entry_id)


def brought(walk: dict, record: dict, lines: list[dict], every: bool = False) -> list[tuple[str, str, str]]:
    """[(place, thing, entry that says so)]: what an entry brings to a place; raw lots of a mash only with `every`."""
    entry, found = record["entry"], []
    for line in lines:
        if line["from"].startswith("water/") and line["liquid_mg"] > 0:
            found.append((line["to"], line["from"], entry["id"]))
    mash = walk["mashes"].get(entry["id"])
    if mash and not any(line["from"] == "made/ferment" for line in lines):
        return found  # what went into a mash stands with its wash
    rows = mash["rows"] if mash else rows_of(entry)
    if mash and not every:
        rows = [row for row in rows if is_touching(walk, row["lot"])]
    for place in goals_of(entry, lines):
        if mash and mash["water"]:
            found.append((place, f"water/{mash['water']}", mash["id"]))
        found += [(place, f"lot/{row['lot']}", row["entry"]) for row in rows]
    return found


def goals_of(entry: dict, lines: list[dict]) -> list[str]:
    """The places that an entry brings something to; of a bottling the bottles alone, not the tank it finds more in."""
    if not lines and text_of(said_of(entry).get("vessel")):
        return [f"vessel/{entry['said']['vessel']}"]
    goals = list(dict.fromkeys(line["to"] for line in lines if line["to"].split("/")[0] in ("vessel", "stock")))
    return [place for place in goals if place.startswith("stock/")] or goals


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
