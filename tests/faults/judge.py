"""What must hold once everything works again, and what does not."""

import json
import re
from collections import Counter

from faults.house import House

from server import derived
from server.check import derived_faults, log_faults


def judged(history: dict, told: dict, house: House) -> list[str]:
    """Every promise that this history broke, as sentences."""
    for phone in told["phones"]:
        phone["entries"] = told["phones"][0]["entries"] if phone["entries"] is None else phone["entries"]
    with house.book.read() as reader:
        records = [record for record in reader.records() if record["sort"] == "entry"]
        kept = {record["id"]: record["text"] for record in records}
        state = derived.state_of(reader)
        places = {name: list(sums) for name, sums in derived.places_of(state).items()}
        listed = {row["device"]: row for row in reader.db["devices"].rows}
        faults = [*log_faults(reader), *derived_faults(reader, derived.marks_from_log(reader))]
    wrong = [f"check: {fault}" for fault in faults]
    wrong += claims_broken(told, kept, state)
    wrong += once_only(kept)
    for name, phone in enumerate(told["phones"]):
        wrong += [f"phone {name}: {words}" for words in phone_broken(phone, kept, places)]
    wrong += needless_touch(told, listed)
    # Who copies a file into place by hand, and not by `restore`, takes from the server what it knew of letters.
    wrong += [] if house.is_by_hand else letters_twice(house.given)
    wrong += [f"two phones got the name {name}" for name, times in Counter(house.given).items() if times > 1]
    if not told["calm"]:
        wrong.append("the phones did not come to rest within an hour")
    return wrong


def claims_broken(told: dict, kept: dict, state: dict) -> list[str]:
    """Every entry that a phone showed as saved is at the server as it was, or its phone was wiped and the gap shows."""
    wrong = []
    held = {id_ for phone in told["phones"] for id_ in phone["entries"]}
    for claim in told["claims"]:
        name = f"{claim['by']} ({claim['id']})"
        if claim["id"] in kept:
            if kept[claim["id"]] != claim["text"]:
                wrong.append(f"{name} is at the server with other bytes")
        elif not claim.get("wiped") or claim["id"] in held:
            wrong.append(f"{name} was shown as saved and is not at the server")
        elif claim["sent"] and claim["restores"] == told["restores"]:
            wrong.append(f"{name} was shown as sent before its phone was wiped, and is not at the server")
        elif not gap_shows(json.loads(claim["text"]), state):
            wrong.append(f"{name} went with its phone, and nothing tells of the gap")
    return wrong


def gap_shows(entry: dict, state: dict) -> bool:
    """A finding for a number that is missing before others; of what a phone wrote last, only its silence can tell."""
    numbers = {one["entry"]["n"] for one in state["entries"].values() if one["entry"]["device"] == entry["device"]}
    if not numbers or entry["n"] > max(numbers) or entry["n"] in numbers:
        return True
    first = max((n for n in numbers if n < entry["n"]), default=0) + 1
    return f"gap/{entry['device']}/{first}" in {finding["key"] for finding in state["findings"]}


def once_only(kept: dict) -> list[str]:
    """One press of Save is one entry, however often it was tried."""
    by = [json.loads(text)["by"] for text in kept.values()]
    return [f"{name} is at the server {by.count(name)} times" for name in sorted(set(by)) if by.count(name) > 1]


def phone_broken(phone: dict, kept: dict, places: dict) -> list[str]:
    wrong = []
    if phone["outbox"]:
        wrong.append(f"{phone['outbox']} entries still wait")
    wrong += [f"{row['id']} was refused: {row['why']}" for row in phone["refused"]]
    if phone["entries"] != kept:
        lacks, more = kept.keys() - phone["entries"].keys(), phone["entries"].keys() - kept.keys()
        wrong.append(f"holds other entries than the server: lacks {sorted(lacks)}, has {sorted(more)} more")
    wrong += [f"a tab shows {len(ids)} entries, not {len(kept)}" for ids in phone["shown"] if ids != sorted(kept)]
    if phone["places"] is not None:
        held = {name: sums for name, sums in phone["places"].items() if any(sums)}  # an empty place is no place
        wrong += [] if held == places else [f"derives other places than the server: {held} and {places}"]
    if phone["trouble"]:
        wrong.append(phone["trouble"])
    return wrong


def needless_touch(told: dict, listed: dict) -> list[str]:
    """A person paired anew only a phone that the server did not know or had revoked."""
    return [
        f"{one['device']} had to be paired anew for nothing"
        for one in told["touched"]
        if one["device"] in listed and not listed[one["device"]]["revoked"]
    ]


def letters_twice(given: list[str]) -> list[str]:
    letters = [re.match(r"[A-Z]+", device)[0] for device in given]
    return [f"two phones got the letters {one}" for one in sorted(set(letters)) if letters.count(one) > 1]
