"""What is odd in the book: shown and answered, never refused. static/book/findings.js is the twin.

A finding is {key, severity, say, do, entries, answered}. Its key is stable, so that an answer finds it again;
severity is "stop" (someone must answer), "look" (mend it), "note" (know it).
"""

import math

from server.book import findings_book
from server.book.figures import (
    alcohol_of,
    as_labelled,
    bare_alcohol,
    is_by_proof,
    one_decimal,
    serials,
    strength_words,
)
from server.book.fills import fill_of
from server.book.gauges import gauge_sums, is_nothing, only_sums
from server.book.plus_minus import gauge_square, share_of
from server.book.taken import taken_sums
from server.reckon import ReckonError, view
from server.reckon.tables import MARKETS

STRONGEST_SHARE = 0.957  # mass share a little above the azeotrope at 101.3 kPa, 95.6 % mass
STRONGEST_ABV = 97.2  # the same by volume
LIGHTEST_KG_L = 0.789  # no liquid of the house is lighter at 20 °C: only above this bound is the volume reckoned


# What lasts of the book as a whole, beside the findings themselves: see opening.py.
LASTING_MAPS = ("numbers", "clocks", "answered", "run_names")


def nothing() -> dict:
    return {"signed": {"is_used": False, "before": []}}


def add(walk: dict, key: str, severity: str, say: str, do: str, ids: list) -> None:
    """Keep a finding; a second one with the same key adds its entries to the first."""
    known = walk["found"].get(key)
    if known:
        known["entries"] += [one for one in ids if one not in known["entries"]]
        return
    walk["found"][key] = {
        "key": key,
        "severity": severity,
        "say": say,
        "do": do,
        "entries": list(ids),
        "answered": None,
    }


def serial(record: dict) -> str:
    return serials(record["entry"])


def malformed(walk: dict, record: dict, problems: list) -> None:
    say = f"{serial(record)} says something that cannot be read: {problems[0]['say']}"
    add(walk, f"malformed/{record['entry']['id']}", "look", say, "Correct the entry.", [record["entry"]["id"]])


def unknown_kind(walk: dict, record: dict) -> None:
    say = f"{serial(record)} was written by another version; it is kept and shown as it is."
    do = "Take the new version when it offers itself."
    add(walk, f"unknown_kind/{record['entry']['id']}", "note", say, do, [record["entry"]["id"]])


def bad_line(walk: dict, record: dict) -> None:
    say = f"A movement in {serial(record)} cannot be read and moves nothing."
    add(walk, f"bad_line/{record['entry']['id']}", "look", say, "Correct the entry.", [record["entry"]["id"]])


def watch(walk: dict, record: dict, place: str, sums: dict) -> None:
    """After each movement: below zero, over the brim, or stronger than a still can give."""
    if not place.startswith(("vessel/", "still/")):
        return
    entry_id = record["entry"]["id"]
    if sums["ethanol_mg"] < 0 or sums["liquid_mg"] < 0:
        walk["low"].setdefault(place, []).append(entry_id)
    elif sums["ethanol_mg"] > STRONGEST_SHARE * sums["liquid_mg"] and sums["liquid_mg"] > 100000:
        name = place.split("/")[1]
        say = f"{name} is stronger in the book than any still can give ({strongest(walk)})."
        add(walk, f"too_strong/{place}", "look", say, "Gauge it again; look for a wrong strength.", [entry_id])
    if is_over(walk, place, sums):
        walk["over"].setdefault(place, []).append(entry_id)


def is_over(walk: dict, place: str, sums: dict) -> bool:
    """Whether a place holds more than its capacity at 20 °C; the volume is only reckoned where it might."""
    where, tag = place.split("/", 1)
    known = walk["state"]["vessels" if where == "vessel" else "stills"].get(tag)
    if not known or sums["liquid_mg"] / 1e6 / LIGHTEST_KG_L <= known["capacity_l"]:
        return False
    try:
        volume = view(sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"])["volume_l"]
    except ReckonError:
        return False
    return volume is not None and volume > known["capacity_l"] * 1.001


def before_lines(walk: dict, record: dict) -> None:
    """What can only be seen before the entry moves anything: the book it took its figures from."""
    said = record["entry"]["said"]
    worker = BEFORE.get(record["entry"]["kind"])
    if worker:
        worker(walk, record, said)
    for place, book in taken_sums(record["entry"]["kind"], said):
        now = walk["state"]["places"].get(place)
        now = only_sums(now) if now else {"ethanol_mg": 0, "liquid_mg": 0, "extract_mg": 0}
        if now != only_sums(book):
            stale(walk, record, place, now["ethanol_mg"] - book["ethanol_mg"])


def stale(walk: dict, record: dict, place: str, off_mg: int) -> None:
    entry_id, name = record["entry"]["id"], place.split("/")[1]
    much = alcohol_of(off_mg, walk["units"])
    say = f"{serial(record)} rests on a figure for {name} that has changed since, by {much}."
    do = f"See what was struck or came later; gauge {name} and settle, or correct the entry."
    add(walk, f"rests_on/{entry_id}", "note", say, do, [entry_id])


def gauged(walk: dict, record: dict, said: dict) -> None:
    """A gauge off the book by more than both are sure of; the newest gauge of a vessel counts."""
    place = f"vessel/{said['vessel']}"
    walk["found"].pop(walk["gauge_keys"].pop(place, None), None)
    book = walk["state"]["places"].get(place) or {"ethanol_mg": 0, "liquid_mg": 0, "extract_mg": 0}
    try:
        sums = gauge_sums(said["gauge"], book)
    except ReckonError as error:
        malformed(walk, record, [{"say": error.say}])
        return
    off = sums["ethanol_mg"] - book["ethanol_mg"]
    square = gauge_square(said["gauge"], sums, share_of(walk, place, book)) + walk["pm2"].get(place, 0.0)
    if float(off) * float(off) <= square:
        return
    way = "over" if off > 0 else "under"
    sure = bare_alcohol(math.floor(math.sqrt(square) + 0.5), walk["units"])
    much = alcohol_of(abs(off), walk["units"])
    say = f"{said['vessel']} gauged {much} {way} the book; gauge and book are good to ±{sure}."
    key = f"gauge_off/{record['entry']['id']}"
    walk["gauge_keys"][place] = key
    add(walk, key, "look", say, "Gauge it again, then settle with a cause.", [record["entry"]["id"]])


def settled(walk: dict, record: dict, said: dict) -> None:
    """A difference beyond what gauge and book are sure of wants a cause."""
    place = f"vessel/{said['vessel']}"
    walk["found"].pop(walk["gauge_keys"].pop(place, None), None)
    try:
        sums = gauge_sums(said["gauge"], said["book"])
    except ReckonError:
        return
    off = float(sums["ethanol_mg"] - said["book"]["ethanol_mg"])
    square = gauge_square(said["gauge"], sums, share_of(walk, place, said["book"])) + walk["pm2"].get(place, 0.0)
    if off * off > square and said.get("cause") in (None, "", "unexplained"):
        say = f"{said['vessel']} was settled by {alcohol_of(int(off), walk['units'])} without a cause."
        do = "Say what became of it, in a correction of the entry."
        add(walk, f"settle_cause/{record['entry']['id']}", "look", say, do, [record["entry"]["id"]])


def after_lines(walk: dict, record: dict, moved: list) -> None:
    """What can be seen once the entry has moved its liquid."""
    worker = AFTER.get(record["entry"]["kind"])
    if worker:
        worker(walk, record, record["entry"]["said"], moved)
    findings_book.unknown_tags(walk, record, add)


def transferred(walk: dict, record: dict, said: dict, moved: list) -> None:
    """What came through a transfer cannot be stronger than what it came from, beyond what the gauges are sure of."""
    if said["by"] != "receiver" or not moved or said["book"]["liquid_mg"] < 0:
        return
    line, left = moved[0], walk["state"]["places"].get(f"vessel/{said['from']}")
    liquid = left["liquid_mg"] + line["liquid_mg"]
    share = (left["ethanol_mg"] + line["ethanol_mg"]) / liquid if liquid > 0 else 0.0
    if line["liquid_mg"] > 0 and line["ethanol_mg"] / line["liquid_mg"] > share + 0.01:
        say = f"What {serial(record)} brought into {said['to']} is stronger than {said['from']} was."
        key = f"too_strong/{record['entry']['id']}"
        add(walk, key, "look", say, "Gauge both again; look for a wrong strength.", [record["entry"]["id"]])


def strongest(walk: dict) -> str:
    return strength_words(STRONGEST_ABV, walk["units"])


def off_the_still(walk: dict, record: dict, said: dict, moved: list) -> None:
    for line in moved:
        if line["from"].startswith("still/") and line["ethanol_mg"] > STRONGEST_SHARE * line["liquid_mg"]:
            say = f"What {serial(record)} took off the still is stronger than any still can give ({strongest(walk)})."
            key = f"too_strong/{record['entry']['id']}"
            add(walk, key, "look", say, "Gauge the receiver again.", [record["entry"]["id"]])


def names_a_fill(walk: dict, record: dict, said: dict, moved: list) -> None:
    """What names or gauges a filling rests on the cut that opened it; that cut may have been struck."""
    entry = record["entry"]
    group = entry.get("group")
    run = walk["state"]["runs"].get(group) if isinstance(group, str) else None
    if run is not None and fill_of(walk, run, said["fill"] if "fill" in said else said["cut"]) is None:
        say = f"{serial(record)} is about a filling of {said['receiver']} that is not in the book, or was struck."
        add(walk, f"rests_on/{entry['id']}", "look", say, "Look at the cuts of the run and correct it.", [entry["id"]])


def gauged_late(walk: dict, record: dict, said: dict, moved: list) -> None:
    off_the_still(walk, record, said, moved)
    names_a_fill(walk, record, said, moved)


def started(walk: dict, record: dict, said: dict, moved: list) -> None:
    """A start with stop items open: a red finding until a person answers it."""
    if not said["open_stops"]:
        return
    count = len(said["open_stops"])
    words = "; ".join(item["words"] for item in said["open_stops"])
    how = "was already running" if said["already_running"] else "was started"
    say = f"Still {said['still']} {how} with {count} stop item{'s' if count > 1 else ''} open: {words}."
    do = "Answer it: what was done about each, and by whom."
    add(walk, f"started_open/{record['entry']['id']}", "stop", say, do, [record["entry"]["id"]])


def ticked(walk: dict, record: dict, said: dict, moved: list) -> None:
    entry_id = record["entry"]["id"]
    if said["state"] == "passed" and said["stop"]:
        say = f"Stop item passed over: {said['words']}."
        add(walk, f"stop_passed/{entry_id}", "stop", say, "Answer it: what was done instead.", [entry_id])


def ended(walk: dict, record: dict, said: dict, moved: list) -> None:
    group = record["entry"].get("group")
    run = walk["state"]["runs"].get(group) if isinstance(group, str) else None
    if run is None or run["difference"] is None:
        return
    off, sure = run["difference"]["ethanol_mg"], run["difference"]["pm_mg"]
    if abs(off) > sure:
        way = "more than was charged" if off > 0 else "missing"
        much, good = alcohol_of(abs(off), walk["units"]), bare_alcohol(sure, walk["units"])
        say = f"{run_name(run)} ended with {much} {way}; the balance is good to ±{good}."
        do = "Look for an ungauged receiver, a wrong charge or a loss, and correct it."
        add(walk, f"run_difference/{run['id']}", "look", say, do, [record["entry"]["id"]])


def run_name(run: dict) -> str:
    return run["name"] or f"The run in {run['still']}"


BEFORE = {"gauge": gauged, "settle": settled}
AFTER = {
    "transfer": transferred,
    "cut": off_the_still,
    "fill_gauge": gauged_late,
    "fraction": names_a_fill,
    "drain": off_the_still,
    "start": started,
    "tick": ticked,
    "end": ended,
}


def gather(walk: dict) -> None:
    """What each entry that is due bears on the book as a whole."""
    findings_book.gather(walk, add)
    for entry_id in walk["due"]:
        record = walk["state"]["entries"][entry_id]
        entry = record["entry"]
        if record["live"] and entry.get("kind") == "answer" and isinstance(entry.get("said"), dict):
            key = entry["said"].get("finding")
            if isinstance(key, str):
                walk["answered"][key] = entry_id


def finish(walk: dict, marks: dict, now: int) -> None:
    """The findings about the book as a whole, then the answers, then the order: stops first, then by key."""
    state = walk["state"]
    if walk["unreadable"]:
        say = f"{walk['unreadable']} entries cannot be read at all."
        add(walk, "unreadable", "look", say, "Tell whoever looks after the app.", [])
    findings_book.finish(walk, marks, now, add)
    site = state["site"] or {}
    hearts_floor(walk, site.get("market"))
    for key in walk["answered"].keys() & walk["found"].keys():
        walk["found"][key]["answered"] = walk["answered"][key]
    rank = {"stop": 0, "look": 1, "note": 2}
    state["findings"] = sorted(walk["found"].values(), key=lambda one: (rank[one["severity"]], one["key"]))


def floor_of(market: object) -> float | None:
    """The market's minimum strength of distillation, %vol, from reckon's data; None where it has none."""
    entry = MARKETS["markets"].get(market) if isinstance(market, str) else None
    floor = entry.get("distilled_min_abv_pct") if entry else None
    return floor["value"] if floor else None


def asks_for_floor(run: dict) -> bool:
    """A strip is never neutral spirit, and neither is what is rectified again or sold as another spirit."""
    return run["sort"] == "column" and run["makes"] in (None, "neutral")


def hearts_floor(walk: dict, market: object) -> None:
    floor = floor_of(market)
    if floor is None:
        return
    for run in walk["state"]["runs"].values():
        for fill in run["fills"] if asks_for_floor(run) else ():
            if fill["fraction"] == "hearts" and fill["sums"] and not is_nothing(fill["sums"]):
                weak_hearts(walk, run, fill, floor, market)


def weak_hearts(walk: dict, run: dict, fill: dict, floor: float, market: str) -> None:
    sums = fill["sums"]
    law = MARKETS["markets"][market]
    abv = as_labelled(view(sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"])["abv_pct"], law)
    # Brought to hundredths first: whole milligrams may leave 95.9999999 of what was read as 96.0.
    hundredths = math.floor((abv or 0.0) * 100.0 + 0.5)
    if abv is not None and hundredths < floor * 100.0:
        by, unit = (2, "proof") if is_by_proof(law) else (1, "%vol")
        tenths = by * hundredths // 10
        strength = f"{tenths // 10}.{tenths % 10} {unit}, under {one_decimal(by * floor)}"
        say = f"Hearts of {run_name(run)} in {fill['receiver']} are {strength} ({market})."
        do = "It is not spirit for vodka in that market as it is: rectify it again, or sell it as something else."
        add(walk, f"hearts_weak/{fill['id']}", "look", say, do, [one for one in (fill["id"], fill["closed_by"]) if one])
