"""The steps before and after the still, followed entry by entry. static/book/steps.js is the twin.

Each step has a module with the keys that it adds to the state (`nothing`), what its kinds do (`FOLLOW`), and where
wanted something to do before the first entry (`begin`) and after the last (`finish`).
"""

from server.book import mashes, materials

MODULES = (materials, mashes)
FOLLOW = {kind: worker for module in MODULES for kind, worker in module.FOLLOW.items()}


def nothing() -> dict:
    """The steps' part of a state before the first entry."""
    return {key: value for module in MODULES for key, value in module.nothing().items()}


def begin(walk: dict) -> None:
    walk["lots_used"], walk["mash_in"] = {}, {}
    mashes.open_mashes(walk)


def apply(walk: dict, record: dict, moved: list) -> None:
    """What a live entry does in its step; whatever the kind, the lots that it names are used."""
    said = record["entry"]["said"]
    materials.use(walk, record, said)
    worker = FOLLOW.get(record["entry"]["kind"])
    if worker:
        worker(walk, record, said, moved)


def finish(walk: dict, now: int) -> None:
    materials.finish(walk)
    mashes.finish(walk)
