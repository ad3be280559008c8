"""What a trace answers: where a place or a bottling came from, and where a source went. static/book/traceAnswers.js is
the twin. Shares are of ethanol by mass; with the unknown they add up to one.
"""

from server.book.trace import sort_of
from server.reckon.liquid import lpa_l


def total_of(parts: dict) -> float:
    total = 0.0
    for mg, _, _ in parts.values():
        total += mg
    return total


def lpa(mg: float) -> float:
    return lpa_l(mg / 1e6)


def trace_back(walk: dict, place: str) -> dict:
    """Where what is in a place came from; of a bottling, everything that was ever filled under its code.

    place:   `vessel/<tag>`, `still/<tag>` or `stock/<lot>`
    returns: {"place", "mg", "lpa_l", "sources", "unknown", "gaps", "lots", "without_lot", "touched", "passes",
             "most_passes"}; sources: [{id, kind, name, ..., share, mg, lpa_l, passes, most_passes}], the largest
             first; unknown: a share
    """
    held = walk["bottled"].get(place) or walk["places"].get(place) or {"mg": 0, "parts": {}, "touched": {}}
    total = total_of(held["parts"])
    rows, passes_mg, most = [], 0.0, 0
    for source_id, part in held["parts"].items():
        if part[0] > 0:
            rows.append(source_row(walk, source_id, part, total))
            passes_mg += part[1]
            most = max(most, part[2])
    rows.sort(key=lambda row: (-row["share"], row["id"]))
    lots, without = lot_rows(walk, rows)
    return {
        "place": place,
        "mg": held["mg"],
        "lpa_l": lpa(held["mg"]),
        "sources": [row for row in rows if row["kind"] != "unknown"],
        "unknown": share_sum(row for row in rows if row["kind"] == "unknown"),
        "gaps": [row for row in rows if row["kind"] == "unknown"],
        "lots": lots,
        "without_lot": without,
        "touched": touched_rows(walk, held["touched"]),
        "passes": passes_mg / total if total > 0 else 0.0,
        "most_passes": most,
    }


def source_row(walk: dict, source_id: str, part: list, total: float) -> dict:
    mg, passes_mg, most = part
    row = {"share": mg / total, "mg": mg, "lpa_l": lpa(mg), "passes": passes_mg / mg, "most_passes": most}
    return {**walk["sources"][source_id], **row}


def share_sum(rows) -> float:
    total = 0.0
    for row in rows:
        total += row["share"]
    return total


def lot_rows(walk: dict, rows: list[dict]) -> tuple[list[dict], float]:
    """Shares by raw lot, and the share of what no raw lot was written for (openings, bought spirit, the unknown)."""
    shares: dict[str, list] = {}
    without = 0.0
    for row in rows:
        for lot, weight in row["lots"]:
            sums = shares.setdefault(lot, [0.0, 0.0, []])
            sums[0] += row["share"] * weight
            sums[1] += row["mg"] * weight
            sums[2].append(row["id"])
        if not row["lots"]:
            without += row["share"]
    found = [
        {
            "id": f"lot/{lot}",
            "lot": lot,
            "known": walk["lots"].get(lot),
            "share": share,
            "mg": mg,
            "lpa_l": lpa(mg),
            "in": ids,
        }
        for lot, (share, mg, ids) in shares.items()
    ]
    return sorted(found, key=lambda row: (-row["share"], row["id"])), without


def touched_rows(walk: dict, touched: dict) -> list[dict]:
    """[{id, known, entries}]: each water and each material once, with the entries that brought it."""
    rows: dict[str, dict] = {}
    for key in touched:
        thing = walk["touches"][key]
        lot = walk["lots"].get(thing["id"][4:]) if thing["id"].startswith("lot/") else None
        rows.setdefault(thing["id"], {"id": thing["id"], "known": lot, "entries": []})["entries"].append(thing["entry"])
    for row in rows.values():
        row["entries"].sort()
    return sorted(rows.values(), key=lambda row: row["id"])


def weights_of(walk: dict, source_id: str) -> dict:
    """Which share of which source is meant: one source itself, or what a raw lot gave to each."""
    if source_id in walk["sources"]:
        return {source_id: 1.0}
    found = {}
    for one in walk["sources"].values():
        for lot, weight in one["lots"]:
            if source_id == f"lot/{lot}":
                found[one["id"]] = weight
    return found


def part_in(parts: dict, weights: dict) -> float:
    mg = 0.0
    for source_id, weight in weights.items():
        if source_id in parts:
            mg += parts[source_id][0] * weight
    return mg


def trace_forward(walk: dict, source_id: str) -> dict:
    """Where a source, a raw lot (`lot/<tag>`) or a water went.

    returns: {"id", "sources", "made_mg", "lpa_l", "held", "consignments", "lost", "gaps", "bottlings", "maybe",
             "through", "touched"}; the mg of held, consignments, lost and gaps add up to made_mg
    """
    weights = weights_of(walk, source_id)
    made = 0.0
    for one, weight in weights.items():
        made += walk["sources"][one]["made_mg"] * weight
    held = [row for place, at in walk["places"].items() if (row := share_row(place, at["parts"], weights, made))]
    gaps = [row for place, parts in walk["gaps"].items() if (row := share_row(place, parts, weights, made))]
    return {
        "id": source_id,
        "sources": [{**walk["sources"][one], "weight": weight} for one, weight in weights.items()],
        "made_mg": made,
        "lpa_l": lpa(made),
        "held": by_share(held),
        "consignments": consignments(walk, weights, made),
        "lost": by_share(ways_out(walk, weights, made)),
        "gaps": by_share(gaps),
        "bottlings": bottlings(walk, weights, made),
        "maybe": maybe(walk, [row["place"] for row in gaps]),
        "through": through(walk, weights, {row["place"] for row in held}),
        "touched": touched_places(walk, source_id),
    }


def by_share(rows: list[dict]) -> list[dict]:
    return sorted(rows, key=lambda row: (-row["mg"], row["place"]))


def share_row(place: str, parts: dict, weights: dict, made: float) -> dict | None:
    """How much of what is meant is here, as a share of all of it and as a share of what is here."""
    mg = part_in(parts, weights)
    if mg <= 0:
        return None
    return {"place": place, "mg": mg, "lpa_l": lpa(mg), "share": mg / made, "of_place": mg / total_of(parts)}


def bottles_of(walk: dict, place: str, mg: float) -> float | None:
    """Bottles of a bottling in so much ethanol, from what was said at filling."""
    lot = walk["bottled"].get(place)
    if lot is None or not lot.get("count") or not lot["mg"]:
        return None
    return mg * lot["count"] / lot["mg"]


def consignments(walk: dict, weights: dict, made: float) -> list[dict]:
    """What left the house, one row a sending, as much of it as did not come back."""
    rows = []
    for parcel in walk["parcels"]:
        row = share_row(parcel["to"], parcel["parts"], weights, made) if sort_of(parcel["to"]) == "gone" else None
        if row:
            more = {"entry": parcel["entry"], "from": parcel["from"], "at": parcel["at"]}
            rows.append({**row, **more, "bottles": bottles_of(walk, parcel["from"], parcel["left_mg"])})
    return rows


def ways_out(walk: dict, weights: dict, made: float) -> list[dict]:
    sums: dict[str, dict] = {}
    for parcel in walk["parcels"]:
        if sort_of(parcel["to"]) == "gone":
            continue
        mg = part_in(parcel["parts"], weights)
        if mg > 0:
            row = sums.setdefault(parcel["to"], {"place": parcel["to"], "mg": 0.0, "entries": []})
            row["mg"] += mg
            row["entries"].append(parcel["entry"])
    return [{**row, "lpa_l": lpa(row["mg"]), "share": row["mg"] / made} for row in sums.values()]


def bottlings(walk: dict, weights: dict, made: float) -> list[dict]:
    """Every bottling that has some of it, whole: filled + found = here + sent + lost, in bottles where counted."""
    rows = []
    for place, lot in walk["bottled"].items():
        row = share_row(place, lot["parts"], weights, made)
        if row:
            out = [one for one in walk["parcels"] if one["from"] == place]
            sent = sum_left(one for one in out if sort_of(one["to"]) == "gone")
            lost = sum_left(one for one in out if sort_of(one["to"]) != "gone")
            here = walk["places"][place]["mg"]
            found = here + sent + lost - lot["mg"]
            amounts = {"filled": lot["mg"], "found": found, "here": here, "sent": sent, "lost": lost}
            bottles = {name: bottles_of(walk, place, mg) for name, mg in amounts.items()}
            rows.append({**row, "amounts_mg": amounts, "bottles": bottles})
    return by_share(rows)


def sum_left(parcels) -> float:
    total = 0.0
    for parcel in parcels:
        total += parcel["left_mg"]
    return total


def maybe(walk: dict, gaps: list[str]) -> list[str]:
    """Places with spirit of unknown origin out of the gaps that this source made good: it may be there as well."""
    unknown = {f"unknown/{place}" for place in gaps}
    held = [place for place, at in walk["places"].items() if unknown & set(at["parts"])]
    return sorted({*held, *(one["to"] for one in walk["parcels"] if unknown & set(one["parts"]))})


def through(walk: dict, weights: dict, held: set) -> list[str]:
    """Vessels, stills and bottlings that it went through and that hold none of it now."""
    seen = [place for place, at in walk["places"].items() if any(one in at["seen"] for one in weights)]
    return sorted(place for place in seen if place not in held)


def touched_places(walk: dict, thing: str) -> list[str]:
    """Where a water or a material without alcohol has touched what is there, or what was filled or sent from there."""
    keys = {key for key, one in walk["touches"].items() if one["id"] == thing}
    found = {place for group in ("places", "bottled") for place, at in walk[group].items() if keys & set(at["touched"])}
    return sorted(
        found | {one["to"] for one in walk["parcels"] if keys & set(one["touched"]) and sort_of(one["to"]) == "gone"}
    )
