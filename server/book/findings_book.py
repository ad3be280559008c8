"""Findings about the book as a whole: places, devices, clocks, conflicts, set-ups, runs.

static/book/findingsBook.js is the twin.
"""

from itertools import pairwise

from server.book.figures import alcohol_of, serials
from server.book.kinds import is_int
from server.book.order import ms_of
from server.book.signature import unsigned
from server.book.strikes import target_of
from server.reckon.units import to_base

CLOCK_MS = 2 * 60 * 1000
RUN_MS = 3 * 24 * 60 * 60 * 1000
LATE_MIN = 60


def gather(walk: dict, add) -> None:
    """What is looked at once for each entry, when it is due."""
    for look in (numbers, clocks_due, late, resting, unsigned):
        look(walk, add)


def finish(walk: dict, marks: dict, now: int, add) -> None:
    """What is looked at where the book ends."""
    for look in (low_places, full_places, conflicts, gaps, clocks, setups, runs):
        look(walk, add)
    long_runs(walk, now, add)
    marked(walk, marks, add)


def name_of(place: str) -> str:
    where, tag = place.split("/", 1)
    return tag if where == "vessel" else f"still {tag}"


def low_places(walk: dict, add) -> None:
    for place, ids in walk["low"].items():
        sums = walk["state"]["places"][place]
        if sums["ethanol_mg"] < 0 or sums["liquid_mg"] < 0:
            much = alcohol_of(sums["ethanol_mg"], walk["units"])
            say = f"The book has taken more out of {name_of(place)} than was in it: {much}."
            do = "An opening or a transfer is missing, or an amount is wrong. Gauge it and settle."
            add(walk, f"below_zero/{place}", "look", say, do, ids)
        else:
            say = f"For a while the book had less than nothing in {name_of(place)}."
            do = "Two entries may stand in the wrong order: correct the time of one."
            add(walk, f"below_zero/{place}", "note", say, do, ids)


def full_places(walk: dict, add) -> None:
    for place, ids in walk["over"].items():
        say = f"{name_of(place)} holds more in the book than its capacity."
        add(walk, f"above_capacity/{place}", "look", say, "Check the amount, or the capacity in the set-up.", ids)


def conflicts(walk: dict, add) -> None:
    records = walk["state"]["entries"]
    for entry_id in walk["strikes"]["rivals"]:
        record = records[entry_id]
        serial = serials(record["entry"])
        counts = serials(records[record["struck_by"]]["entry"])
        say = f"{serial} was corrected {len(record['rivals'])} times; {counts} counts for now."
        add(walk, f"rivals/{entry_id}", "look", say, "Choose which one is right.", [entry_id, *record["rivals"]])
    for entry_id in walk["strikes"]["waiting"]:
        say = f"{serials(records[entry_id]['entry'])} strikes an entry that is not here yet."
        add(walk, f"waiting/{entry_id}", "note", say, "It comes with the next sync of the other phone.", [entry_id])


def numbers(walk: dict, add) -> None:
    """The numbers of each device, as ranges; and those that were used twice."""
    here: dict[str, dict] = {}
    for entry_id in walk["due"]:
        entry = walk["state"]["entries"][entry_id]["entry"]
        if isinstance(entry.get("device"), str) and is_int(entry.get("n")):
            here.setdefault(entry["device"], {}).setdefault(entry["n"], []).append(entry_id)

    def add_to(*finding) -> None:
        add(walk, *finding)

    for device, due in here.items():
        for n, ids in due.items():
            if len(ids) > 1:
                given_twice(add_to, device, n, len(ids), ids)
        walk["numbers"][device] = in_ranges(device, walk["numbers"].get(device, []), due, add_to)


def gaps(walk: dict, add) -> None:
    """Numbers that are missing: what lies between two ranges of a device."""
    for device, ranges in walk["numbers"].items():
        for before, after in pairwise(ranges):
            missing(walk, add, device, before, after)


def clocks_due(walk: dict, add) -> None:
    for entry_id in walk["due"]:
        entry = walk["state"]["entries"][entry_id]["entry"]
        device, off = entry.get("device"), entry.get("clock")
        if isinstance(device, str) and is_int(off) and abs(off) > CLOCK_MS:
            known = walk["clocks"].get(device, {"ids": []})
            walk["clocks"][device] = {"off_ms": abs(off), "ids": [*known["ids"], entry_id]}


def clocks(walk: dict, add) -> None:
    for device, clock in walk["clocks"].items():
        say = f"The clock of phone {device.split('.')[0]} is {clock['off_ms'] // 60000} min off. "
        say += "Its times are put right by that."
        add(walk, f"clock/{device}", "look", say, "Set the phone's clock by the network.", clock["ids"])


def in_ranges(device: str, known: list, due: dict, add_to) -> list[dict]:
    """A device's numbers as ranges, with the entries at their ends."""
    singles = [{"from": n, "to": n, "first": ids[0], "last": ids[0]} for n, ids in due.items()]
    found = []
    for row in sorted([*known, *singles], key=lambda one: (one["from"], -one["to"])):
        before = found[-1] if found else None
        if before is None or row["from"] > before["to"] + 1:
            found.append(dict(row))
        elif row["from"] == before["to"] + 1:
            before.update(to=row["to"], last=row["last"])
        else:
            ends = {before["from"]: before["first"], before["to"]: before["last"]}
            twins = [ends[row["from"]]] if row["from"] in ends else []
            given_twice(add_to, device, row["from"], 2, [*twins, row["first"]])
    return found


def given_twice(add_to, device: str, n: int, count: int, ids: list) -> None:
    say = f"{device.split('.')[0]}-{n} was given {count} times: two phones use one identity."
    add_to(f"same_number/{device}/{n}", "look", say, "Pair one of the phones anew.", ids)


def missing(walk: dict, add, device: str, before: dict, after: dict) -> None:
    letters, first, last = device.split(".")[0], before["to"] + 1, after["from"] - 1
    say = f"{letters}-{first}{f' to {letters}-{last}' if last > first else ''} is missing from this book."
    do = "It may still be on that phone: bring it back to the network."
    add(walk, f"gap/{device}/{first}", "note", say, do, [before["last"], after["first"]])


def late(walk: dict, add) -> None:
    """Entries written long after they happened, gathered by phone and run: a sheet from the slate is one finding."""
    site = walk["state"]["site"] or {}
    late_min = site.get("late_min") or LATE_MIN
    for entry_id in walk["due"]:
        record = walk["state"]["entries"][entry_id]
        entry = record["entry"]
        happened, written = ms_of(entry.get("happened")), ms_of(entry.get("written"))
        if happened is None or written is None or written - happened <= late_min * 60000:
            continue
        where = entry.get("group") if isinstance(entry.get("group"), str) else entry_id
        minutes = (written - happened) // 60000
        say = f"{serials(entry)} was written {minutes} min after it happened; the house allows {late_min}."
        add(walk, f"late/{entry.get('device')}/{where}", "note", say, "Say why, if it is asked for.", [entry_id])


def setups(walk: dict, add) -> None:
    """One tag set up by two phones that did not know of each other, with another sort or size."""
    by_tag: dict[str, list] = {}
    for entry_id in walk["state"]["order"]:
        record = walk["state"]["entries"][entry_id]
        entry = record["entry"]
        if record["live"] and entry.get("kind") in ("vessel", "still") and is_setup(walk, entry):
            by_tag.setdefault(f"{entry['kind']}/{entry['said']['tag']}", []).append(entry)
    for place, entries in by_tag.items():
        latest = entries[-1]
        known = ancestors(latest, entries)
        strangers = [one for one in entries[:-1] if one["id"] not in known and differs(one, latest)]
        if strangers:
            say = f"{name_of(place)} was set up twice, with another sort or capacity; the later one counts."
            do = "Set it up once more as it is."
            add(walk, f"two_setups/{place}", "look", say, do, [one["id"] for one in strangers] + [latest["id"]])


def is_setup(walk: dict, entry: dict) -> bool:
    said = entry.get("said")
    known = walk["state"]["vessels" if entry["kind"] == "vessel" else "stills"]
    return isinstance(said, dict) and isinstance(said.get("tag"), str) and said["tag"] in known and no_problem(said)


def no_problem(said: dict) -> bool:
    return isinstance(said.get("capacity_l"), dict) and isinstance(said["capacity_l"].get("typed"), str)


def ancestors(entry: dict, entries: list) -> set:
    """Ids of the set-ups that an entry knew of: by its uses, by what it struck, and by theirs in turn."""
    by_id = {one["id"]: one for one in entries}
    known, open_ids = set(), [entry["id"]]
    while open_ids:
        one = by_id.get(open_ids.pop())
        uses = one.get("uses") if one else None
        for used in [*(uses if isinstance(uses, list) else []), target_of(one) if one else None]:
            if isinstance(used, str) and used not in known:
                known.add(used)
                open_ids.append(used)
    return known


def differs(one: dict, other: dict) -> bool:
    if one.get("device") == other.get("device"):
        return False
    try:
        same_size = to_base(one["said"]["capacity_l"]) == to_base(other["said"]["capacity_l"])
    except ValueError:
        same_size = False
    return one["said"].get("sort") != other["said"].get("sort") or not same_size


def runs(walk: dict, add) -> None:
    names = {name: list(ids) for name, ids in walk["run_names"].items()}
    for run in walk["state"]["runs"].values():
        if run["name"]:
            names.setdefault(run["name"], []).append(run["id"])
        if run["ended_at"] is not None:
            ungauged(walk, run, add)
    for name, ids in names.items():
        if len(ids) > 1:
            say = f"{len(ids)} runs are called {name}."
            add(walk, f"run_name/{name}", "look", say, "Correct the name of one.", sorted(ids))


def ungauged(walk: dict, run: dict, add) -> None:
    for fill in run["fills"]:
        if fill["sums"] is None:
            say = f"{run['name'] or run['still']} has ended, and what ran into {fill['receiver']} was never gauged."
            do = f"Gauge {fill['receiver']} now, in the list of fillings of the run."
            add(walk, f"ungauged/{fill['id']}", "look", say, do, [fill["id"]])


def long_runs(walk: dict, now: int, add) -> None:
    for run in walk["state"]["runs"].values():
        if run["ended_at"] is None and now - run["opened_at"] > RUN_MS:
            say = f"{run['name'] or run['still']} has been open for more than three days."
            add(walk, f"run_open/{run['id']}", "look", say, "End it, or say why it is still open.", [run["id"]])


def marked(walk: dict, marks: dict, add) -> None:
    for entry_id in sorted(marks):
        record = walk["state"]["entries"].get(entry_id)
        if record and "lines_differ" in marks[entry_id]:
            say = f"The server reckons other amounts for {serials(record['entry'])} than the phone did."
            do = "Have the app looked after; the phone's own amounts count until then."
            add(walk, f"lines_differ/{entry_id}", "look", say, do, [entry_id])
        if record and record["live"] and "floor_setup" in marks[entry_id]:
            say = f"{serials(record['entry'])} was set up from a floor phone."
            do = "That is the office's to say: see whether it is right, set it up anew where it is not."
            add(walk, f"floor_setup/{entry_id}", "look", say, do, [entry_id])


def resting(walk: dict, add) -> None:
    """Live entries that name, in what they use, an entry that no longer counts."""
    records = walk["state"]["entries"]
    for entry_id in walk["due"]:
        entry = records[entry_id]["entry"]
        uses = entry.get("uses")
        if not records[entry_id]["live"] or not isinstance(uses, list):
            continue
        gone = [one for one in uses if isinstance(one, str) and one in records and not records[one]["live"]]
        if gone:
            say = f"{serials(entry)} rests on {serials(records[gone[0]]['entry'])}, which was struck."
            add(walk, f"rests_on/{entry_id}", "look", say, "Check it, and correct it if need be.", [entry_id, *gone])


TAGGED = {
    "vessel": ("vessel", "from", "to", "receiver"),
    "still": ("still",),
}
# Persons and customers, no vessels.
PEOPLE = {("event", "to"), ("dispatch", "to"), ("send", "to"), ("customer_return", "from")}


def unknown_tags(walk: dict, record: dict, add) -> None:
    """A vessel or still that nobody has set up: what happened there happened all the same."""
    entry = record["entry"]
    if entry["kind"] in ("vessel", "still"):
        return
    said = entry["said"]
    inner = [said, *(part for part in (said.get("from"), said.get("to"), said.get("place")) if isinstance(part, dict))]
    inner += [part for part in said.get("parts", []) if isinstance(part, dict)] if entry["kind"] == "charge" else []
    for where, names in TAGGED.items():
        known = walk["state"][where + "s"]
        for part in inner:
            for name in names:
                tag = part.get(name)
                if isinstance(tag, str) and tag not in known and (entry["kind"], name) not in PEOPLE:
                    say = f"{'Still ' if where == 'still' else ''}{tag} is used but was not set up yet."
                    do = "Set it up, with its sort and capacity."
                    add(walk, f"unknown_tag/{where}/{tag}", "note", say, do, [entry["id"]])
