"""What the house consists of, and what stands in each vessel by name. static/book/setup.js is the twin."""

from server.book.gauges import NOTHING, gauge_sums, only_sums
from server.reckon import ReckonError
from server.reckon.units import to_base

FEINTS = {"foreshots", "heads", "tails", "feints"}


def apply(walk: dict, record: dict) -> None:
    """Set-up entries, observations, and the names of what vessels hold."""
    worker = SETUP.get(record["entry"]["kind"])
    if worker:
        worker(walk, record, record["entry"]["said"])


def site(walk: dict, record: dict, said: dict) -> None:
    walk["state"]["site"] = {**said, "id": record["entry"]["id"], "at": record["at"]}


def person(walk: dict, record: dict, said: dict) -> None:
    walk["state"]["persons"][said["name"]] = {
        "name": said["name"],
        "retired": bool(said.get("retired")),
        "pin": said.get("pin"),
        "id": record["entry"]["id"],
        "at": record["at"],
    }


def litres(typed: dict | None) -> float | None:
    return to_base(typed) if typed else None


def vessel(walk: dict, record: dict, said: dict) -> None:
    walk["state"]["vessels"][said["tag"]] = {
        "tag": said["tag"],
        "sort": said["sort"],
        "capacity_l": litres(said["capacity_l"]),
        "room_l": litres(said.get("room_l")),
        "account": said["account"],
        "retired": bool(said.get("retired")),
        "said": said,
        "id": record["entry"]["id"],
        "at": record["at"],
    }


def still(walk: dict, record: dict, said: dict) -> None:
    walk["state"]["stills"][said["tag"]] = {
        "tag": said["tag"],
        "sort": said["sort"],
        "capacity_l": litres(said["capacity_l"]),
        "plates": said.get("plates") or 0,
        "dephlegmator": bool(said.get("dephlegmator")),
        "hidden": said.get("hidden") or [],
        "retired": bool(said.get("retired")),
        "said": said,
        "id": record["entry"]["id"],
        "at": record["at"],
    }


def gauge(walk: dict, record: dict, said: dict) -> None:
    try:
        sums = gauge_sums(said["gauge"], walk["state"]["places"].get(f"vessel/{said['vessel']}"))
    except ReckonError:
        return
    walk["state"]["gauges"][said["vessel"]] = {"id": record["entry"]["id"], "at": record["at"], "sums": sums}


def gauged(walk: dict, record: dict, tag: str) -> None:
    """An entry that made the book equal to a gauge: the vessel's newest gauge is what now stands there."""
    sums = walk["state"]["places"].get(f"vessel/{tag}") or NOTHING
    walk["state"]["gauges"][tag] = {"id": record["entry"]["id"], "at": record["at"], "sums": only_sums(sums)}


def in_vessel(walk: dict, tag: str) -> int:
    sums = walk["state"]["places"].get(f"vessel/{tag}")
    return sums["liquid_mg"] if sums else 0


def name_contents(walk: dict, tag: str, word: str | None) -> None:
    """What a vessel holds after something called `word` came in: mixed heads and tails are feints."""
    holds = walk["state"]["holds"]
    if in_vessel(walk, tag) <= 0:
        holds.pop(tag, None)
    elif word is not None:
        was = holds.get(tag)
        if was is None or was == word:
            holds[tag] = word
        else:
            holds[tag] = "feints" if was in FEINTS and word in FEINTS else was


def opening(walk: dict, record: dict, said: dict) -> None:
    gauged(walk, record, said["vessel"])
    name_contents(walk, said["vessel"], said["holds"])


def wash(walk: dict, record: dict, said: dict) -> None:
    gauged(walk, record, said["vessel"])
    name_contents(walk, said["vessel"], "wash")


def transfer(walk: dict, record: dict, said: dict) -> None:
    word = walk["state"]["holds"].get(said["from"])
    name_contents(walk, said["from"], None)
    name_contents(walk, said["to"], word)


def taken_out(walk: dict, record: dict, said: dict) -> None:
    name_contents(walk, said["vessel"], None)


def settle(walk: dict, record: dict, said: dict) -> None:
    gauged(walk, record, said["vessel"])
    taken_out(walk, record, said)


def charge(walk: dict, record: dict, said: dict) -> None:
    for part in said["parts"]:
        if part.get("vessel") is not None:
            name_contents(walk, part["vessel"], None)


def water(walk: dict, record: dict, said: dict) -> None:
    name_contents(walk, said["vessel"], "water")


SETUP = {
    "site": site,
    "person": person,
    "vessel": vessel,
    "still": still,
    "gauge": gauge,
    "opening": opening,
    "wash": wash,
    "transfer": transfer,
    "settle": settle,
    "loss": taken_out,
    "sample": taken_out,
    "charge": charge,
    "water": water,
}
