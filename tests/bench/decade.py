"""Ten years of a house that is ten times as large as the demo's: the demo's season over and over, written into a log.

Ten floors work side by side, each with vessels, stills and phones of its own; after each season what is left is put
away: vessels drained, bottles sent, lots written off, findings answered. So there is as much open work at the end as
one season leaves behind, as in a real house, and about a million entries before it.
"""

import json
from datetime import UTC, datetime

from demo_site.season import build
from server import store
from server.book.compose import compose, iso_of
from server.book.fold import fold
from server.book.order import ms_of
from server.store import Store

FLOORS = 10
SEASON_MS = 122 * 24 * 60 * 60 * 1000
DEVICES = ["Q.3f9a1c2e", "R.5d20e7f4", "S.19c4d0aa"]
ONCE = ("site", "person")
PORTION = 20_000


def season(site: str, now: datetime) -> tuple[list[dict], list[dict]]:
    """A season as it stands at its last moment, and the same with its work done and its house emptied."""
    entries = [one for one in build(site, DEVICES, now) if one["kind"] != "close"]
    state = fold(entries)
    going = {run["id"] for run in state["runs"].values() if run["ended_at"] is None}
    going |= {mash["id"] for mash in state["mashes"].values() if not (mash["wash"] or mash["given_up"])}
    done = [one for one in entries if one["id"] not in going and one["group"] not in going]
    return entries, done + emptied(fold(done), done)


def emptied(state: dict, entries: list[dict]) -> list[dict]:
    last = max(entries, key=lambda one: one["n"] if one["device"] == DEVICES[0] else 0)
    written = []

    def write(kind: str, said: dict) -> None:
        number = len(written) + 1
        context = {"id": f"{last['id'][:24]}{'e' * 4}{number:08x}", "now": ms_of(last["written"]) + number * 1000}
        context |= {"site": last["site"], "device": DEVICES[0], "n": last["n"] + number, "by": "Ines"}
        written.append(compose(kind, said, context))

    for place, sums in state["places"].items():
        if place.startswith("vessel/") and sums["liquid_mg"] > 0:
            book = {name: sums[name] for name in ("ethanol_mg", "liquid_mg", "extract_mg")}
            write("loss", {"vessel": place[7:], "cause": "drain", "by": "all", "book": book, "words": "season's end"})
    for lot in state["stock"].values():
        if lot["count"] > 0:
            sent = {"lot": lot["lot"], "count": lot["count"], "way": "duty_paid", "per_bottle": lot["per_bottle"]}
            write("dispatch", sent)
    for lot in state["lots"].values():
        if lot["left"] > 0:
            is_mass = lot["counted_in"] == "mg"
            mass = {"typed": f"{lot['left'] // 10**6}.{lot['left'] % 10**6:06d}", "unit": "kg"}
            said = {"lot": lot["lot"], "by": "written_off", "book_left": lot["left"], "cause": "spoilt"}
            write("count_lot", {**said, "amount": {"mass": mass} if is_mass else {"count": lot["left"]}})
    for one in state["findings"]:
        if not one["answered"]:
            write("answer", {"finding": one["key"], "words": "Seen at the season's end."})
    return written


def names_of(entries: list[dict], floor: int, number: int) -> dict[str, str]:
    """What each name of the season is called in one of its copies."""
    state, names = fold(entries), {}
    for tag in [*state["vessels"], *state["stills"]]:
        names[tag] = f"{tag}{'abcdefghij'[floor]}"
    runs = [run["name"] for run in state["runs"].values() if run["name"]]
    works = [mash["name"] for mash in state["mashes"].values()]
    for name in [*state["lots"], *state["stock"], *runs, *works]:
        names[name] = f"{name}_{number:x}"
    for device in DEVICES:
        names[device] = f"{device[0]}{'ABCDEFGHIJ'[floor]}{device[1:]}"
    for one in entries:
        names[one["id"]] = f"{one['id'][:9]}{number:04x}-{one['id'][14:]}"
    return names


def renamed(value: object, names: dict) -> object:
    if isinstance(value, str):
        if value in names:
            return names[value]
        return "/".join(names.get(part, part) for part in value.split("/")) if "/" in value else value
    if isinstance(value, dict):
        return {name: renamed(one, names) for name, one in value.items()}
    return [renamed(one, names) for one in value] if isinstance(value, list) else value


def copies(site: str, count: int, now: datetime):
    """About so many entries, season by season, in the order of a season on each floor."""
    whole, done = season(site, now)
    seasons = max(1, round(count / len(done) / FLOORS))
    most = {device: max(one["n"] for one in done if one["device"] == device) for device in DEVICES}
    for number in range(seasons * FLOORS):
        at, floor = divmod(number, FLOORS)
        is_last, back = at == seasons - 1, (seasons - 1 - at) * SEASON_MS
        entries = whole if is_last and floor == 0 else done
        names = names_of(entries, floor, number)
        for one in entries:
            if number and one["kind"] in ONCE:
                continue
            moved = {name: iso_of(ms_of(one[name]) - back) for name in ("happened", "written")}
            yield {**renamed(one, names), **moved, "n": one["n"] + at * most[one["device"]]}


def write_decade(book: Store, count: int, say=print) -> int:
    """Fill an empty book; returns how many entries it got."""
    with book.read() as reader:
        site = reader.fact("site")
    total, portion = 0, []

    def work(conn, entries):
        for one in entries:
            store.append(conn, "entry", one["id"], json.dumps(one, ensure_ascii=False), "desk", one)

    for one in copies(site, count, datetime.now(UTC)):
        portion.append(one)
        if len(portion) == PORTION:
            book.write(work, portion).result()
            total, portion = total + len(portion), []
            say(f"{total} entries")
    book.write(work, portion).result()
    return total + len(portion)
