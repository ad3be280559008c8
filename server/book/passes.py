"""How many times what stands in a place was distilled, followed line by line. static/book/passes.js is the twin.

Every vessel and still keeps its ethanol by that number, well mixed: what leaves carries its parts in proportion, and
what comes off a still was distilled once more. Floats are added and divided in one written order.
"""

from server.book.gauges import NOTHING

MOST = 30  # more passes than any house makes; what goes beyond is kept with the last
LEAST_SHARE = 0.01  # a smaller part names no pass: the trace of feints that are carried on would else never end


def is_kept(place: str) -> bool:
    return place.startswith(("vessel/", "still/"))


def follow(walk: dict, record: dict, moved: list) -> None:
    """Carry the parts along with the lines that were just booked; an emptied place forgets them."""
    for line in moved:
        if line["ethanol_mg"] > 0:
            carry(walk, record["entry"], line)
    for line in moved:
        for place in (line["from"], line["to"]):
            if walk["state"]["places"].get(place, NOTHING)["liquid_mg"] <= 0:
                walk["by_pass"].pop(place, None)


def carry(walk: dict, entry: dict, line: dict) -> None:
    rows = given(walk, entry, line)
    if line["from"].startswith("still/") and line["to"].startswith("vessel/"):
        rows = once_more(rows)
    if is_kept(line["to"]):
        walk["by_pass"][line["to"]] = together(walk["by_pass"].get(line["to"], []), rows)


def given(walk: dict, entry: dict, line: dict) -> list:
    """The ethanol of a line in mg by how often it was distilled: index 0 never, index 1 once."""
    ethanol = float(line["ethanol_mg"])
    if is_kept(line["from"]):
        return taken(walk, line["from"], ethanol)
    if not line["from"].startswith(("found/", "lost/")) or line["from"] == "found/opening":
        return born(entry, line["from"], ethanol)
    run = walk["state"]["runs"].get(entry.get("group")) if isinstance(entry.get("group"), str) else None
    if line["from"].startswith("lost/") and run and run["passes"]:
        return [0.0] * run["passes"][0] + [ethanol]  # gauged after the run's end
    return like(walk["by_pass"].get(line["to"], []), ethanol)


def born(entry: dict, source: str, ethanol: float) -> list:
    """A wash was never distilled; spirit that was bought or found here at the start was, at least once."""
    said = entry.get("said")
    holds = said.get("holds") if isinstance(said, dict) else None
    return [ethanol] if source.startswith("made/") or holds == "wash" else [0.0, ethanol]


def total_of(rows: list) -> float:
    total = 0.0
    for one in rows:
        total = total + one
    return total


def like(rows: list, ethanol: float) -> list:
    """So much ethanol in the proportions of what is there; never distilled, where nothing is known."""
    total = total_of(rows)
    return [one / total * ethanol for one in rows] if total > 0.0 else [ethanol]


def taken(walk: dict, place: str, ethanol: float) -> list:
    rows = walk["by_pass"].get(place, [])
    out, total = like(rows, ethanol), total_of(rows)
    left = 1.0 - ethanol / total if total > ethanol else 0.0
    walk["by_pass"][place] = [one * left for one in rows]
    return out


def once_more(rows: list) -> list:
    shifted = [0.0, *rows]
    return shifted if len(shifted) <= MOST else [*shifted[: MOST - 1], shifted[MOST - 1] + shifted[MOST]]


def together(rows: list, more: list) -> list:
    longer = max(len(rows), len(more))
    return [(rows[n] if n < len(rows) else 0.0) + (more[n] if n < len(more) else 0.0) for n in range(longer)]


def times_of(rows: list) -> list:
    """How often what is there was distilled: [0], [1], or [0, 2] for a mixture, each with its share of the ethanol."""
    total = total_of(rows)
    if total <= 0.0:
        return []
    return [{"times": n, "share": one / total} for n, one in enumerate(rows) if one / total >= LEAST_SHARE]


def passes_in(walk: dict, place: str) -> list:
    """The pass numbers of a run in this still: one more than its charge was distilled."""
    return [one["times"] + 1 for one in times_of(walk["by_pass"].get(place, []))]


def finish(walk: dict) -> None:
    walk["state"]["distilled"] = {
        place: times_of(rows) for place, rows in walk["by_pass"].items() if total_of(rows) > 0.0
    }
