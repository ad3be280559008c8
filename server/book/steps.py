"""The steps before and after the still, followed entry by entry. static/book/steps.js is the twin.

Each step has a module with the keys that it adds to the state (`nothing`) and what its kinds do (`FOLLOW`: a kind may
be followed by several modules, in this order).
"""

from server.book import bottling, cellar, closing, filters, lists, mashes, materials, standing, tools, waste

MODULES = (materials, mashes, cellar, filters, standing, waste, bottling, tools, closing, lists)
FOLLOW: dict[str, list] = {}
for module in MODULES:
    for kind, worker in module.FOLLOW.items():
        FOLLOW.setdefault(kind, []).append(worker)


def nothing() -> dict:
    """The steps' part of a state before the first entry."""
    return {key: value for module in MODULES for key, value in module.nothing().items()}


def nothing_walked() -> dict:
    """What the steps carry along beside the state. told: of mashes that were put away, see opening.py."""
    told = {"mashes": 0, "made_mg": 0, "full_mg": 0}
    lists = {"checks_taken": [], "lots_counted": []}
    return {"lots_used": {}, "mash_in": {}, "fell_back": {}, "late_closed": {}, **lists, "told": told}


def begin(walk: dict) -> None:
    mashes.open_mashes(walk)
    bottling.open_lots(walk)


def apply(walk: dict, record: dict, moved: list) -> None:
    """What a live entry does in its step; whatever the kind, the lots that it names are used."""
    said = record["entry"]["said"]
    materials.use(walk, record, said)
    standing.mixed(walk, record, moved)
    tools.watch(walk, record)
    for worker in FOLLOW.get(record["entry"]["kind"], ()):
        worker(walk, record, said, moved)


def finish(walk: dict, now: int) -> None:
    materials.finish(walk)
    mashes.finish(walk)
    materials.expect(walk)
    cellar.finish(walk, now)
    filters.finish(walk)
    bottling.finish(walk)
    standing.finish(walk)
    tools.finish(walk, now)
    closing.finish(walk)
    lists.finish(walk)
