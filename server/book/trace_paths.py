"""The ways by which the alcohol came, for the drawing: source, the run before, the last run, the tank.

Walks the moves of a trace backwards from a place: of what is in it, each move into it brought its share. So every path
is exact for well-mixed vessels; what is under half a line is gathered as MANY.
static/book/tracePaths.js is the twin.
"""

MANY = "*"
LITTLE = 5e-3
TINY = 1e-5
NAMES = ("source", "tank", "last", "before")
OUTSIDE = ("made", "bought", "found", "water")
SINKS = ("lost", "gone", "sampled")


def trace_paths(walk: dict, place: str) -> list[dict]:
    """[{source, before, last, tank, share}], shares adding up to one; before and last: a run's id, None, or MANY."""
    bottled = walk["bottled"].get(place)
    weights: dict[str, dict] = {} if bottled else {place: {(None, None, None): 1.0}}
    found: dict[tuple, float] = {}
    for move in reversed(walk["moves"]):
        came = {}
        if move["to"] in weights and move["kept_mg"] > 0 and move["held_mg"] > 0:
            came = drawn(weights, move)
        if bottled and move["to"] == place and sort(move["from"]) not in SINKS:
            add(came, (move["from"], None, None), move["mg"] / bottled["mg"])
        step_back(weights, found, move, came)
    rows = [
        dict(zip(("source", "tank", "last", "before"), key, strict=True)) | {"share": share}
        for key, share in found.items()
    ]
    return sorted(
        rows, key=lambda row: (-row["share"], *(row[name] or "" for name in ("source", "before", "last", "tank")))
    )


def sort(place: str) -> str:
    return place.split("/")[0]


def drawn(weights: dict, move: dict) -> dict:
    """The weights that came into a place with a move; they are taken off it."""
    held, factor = weights[move["to"]], move["kept_mg"] / move["held_mg"]
    if move["kept_mg"] == move["held_mg"]:
        return weights.pop(move["to"])
    rest = (move["held_mg"] - move["kept_mg"]) / move["held_mg"]
    weights[move["to"]] = {key: share * rest for key, share in held.items()}
    return {key: share * factor for key, share in held.items()}


def step_back(weights: dict, found: dict, move: dict, came: dict) -> None:
    """Put what came onto the place it left, or, where it was born or unknown, among what is found."""
    if not came:
        return
    keyed: dict[tuple, float] = {}
    for key, share in came.items():
        key = through(key, move["run"], share) if move["run"] else key
        keyed[key] = keyed.get(key, 0.0) + share
    inside = sort(move["from"]) not in OUTSIDE and sort(move["from"]) not in SINKS
    known = 1.0
    if not inside:
        of_sources(found, move, keyed)
        return
    if move["short_mg"] > 0:
        known = (move["mg"] - move["short_mg"]) / move["mg"]
        for key, share in keyed.items():
            add(found, (f"unknown/{move['from']}", *key), share * (move["short_mg"] / move["mg"]))
    if known > 0:
        held = weights.setdefault(move["from"], {})
        for key, share in keyed.items():
            add(held, key, share * known)


def through(key: tuple, run: str, share: float) -> tuple:
    """The same path, one run further back; only the last two runs are kept apart, and only while they can be drawn."""
    tank, last, before = key
    name = run if share >= LITTLE else MANY
    if last is None:
        return (tank, name, None)
    return (tank, last, name) if before is None else key


def of_sources(found: dict, move: dict, keyed: dict) -> None:
    total = 0.0
    for part in move["parts"].values():
        total += part[0]
    for source, part in move["parts"].items():
        for key, share in keyed.items():
            came = share * (part[0] / total)
            add(found, (source, *key) if came >= TINY else (source, key[0], MANY, MANY), came)


def add(sums: dict, key: tuple, share: float) -> None:
    sums[key] = sums.get(key, 0.0) + share
