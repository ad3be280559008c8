"""Where a recall begins: what is suspect, and what of it has not come into the account of alcohol yet.

static/book/recallStart.js is the twin.
"""

from server.book.trace_answers import trace_back
from server.book.trace_born import mash_rows

REACHES = ("bottling", "tank", "sources")


def nothing() -> dict:
    """things: lots and waters; births: entries that brought something in; marks: entry -> places suspect from it on."""
    return {"things": set(), "births": set(), "marks": {}, "stock": set()}


def seeds_of(state: dict, walk: dict, start: dict, plain: dict) -> dict:
    """What is suspect to begin with. plain: the book followed with nothing suspect, for what was in a vessel when."""
    seeds, of = nothing(), start["of"]
    sort = of.split("/")[0]
    if sort in ("lot", "water"):
        seeds["things"].add(of)
    elif sort == "stock":
        of_bottling(walk, start, plain, seeds, state["stock"].get(of.split("/", 1)[1]))
    elif sort in ("vessel", "still"):
        since(seeds, plain["places"].get(of, {}).get("fill"), of)
    else:
        seeds["births"].add(of)
    return seeds


def since(seeds: dict, entry_id: str | None, place: str) -> None:
    """Suspect from the entry on with which a vessel's fill began, its last one if it is empty now."""
    if entry_id is not None:
        seeds["marks"].setdefault(entry_id, []).append(place)


def of_bottling(walk: dict, start: dict, plain: dict, seeds: dict, lot: dict | None) -> None:
    seeds["stock"].add(start["of"])
    reach = start.get("reach") or "tank"
    if reach != "bottling":
        for entry_id in lot["bottlings"] if lot else ():
            tank = plain["filled_from"].get(entry_id)
            if tank:
                since(seeds, tank["since"], tank["place"])
    if reach == "sources":
        back = trace_back(walk, start["of"])
        seeds["things"].update(row["id"] for row in back["lots"])
        seeds["births"].update(row["entry"] for row in back["sources"] if row["entry"] is not None)


def before_the_account(state: dict, walk: dict, seeds: dict) -> dict:
    """Mashes with a suspect lot or water that were neither gauged nor given up, and what is left of suspect lots."""
    mashes = sorted(state["mashes"].values(), key=lambda mash: mash["id"])
    mashes = [row for mash in mashes if (row := waiting(state, mash, seeds["things"]))]
    tags = [thing[4:] for thing in sorted(seeds["things"]) if thing.startswith("lot/")]
    lots = [state["lots"][tag] for tag in tags if tag in state["lots"]]
    materials = [{name: lot[name] for name in ("lot", "sort", "counted_in", "came", "used", "left")} for lot in lots]
    return {"mashes": mashes, "materials": materials}


def waiting(state: dict, mash: dict, things: set) -> dict | None:
    if mash["wash"] or mash["given_up"]:
        return None
    rows = mash_rows(state, mash)
    used = {f"lot/{row['lot']}" for row in rows} | {f"water/{mash['water_source']}"}
    return {"id": mash["id"], "name": mash["name"], "vessel": mash["vessel"]} if used & things else None
