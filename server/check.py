"""`glovebook check`: proves a book. Nothing is mended here; each fault is one sentence."""

import json
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from server import derived
from server.desk import must_exist
from server.envelope import Unreadable, entry_of
from server.schema import LOG_TRIGGERS
from server.store import GENESIS, Reader, SqliteError, record_hash

SHOWN = 20


def check_book(path: Path, say: Callable[[str], None]) -> int:
    """Check the whole book and say what was found; 0 when it is sound, 1 when anything is wrong with it."""
    must_exist(path)
    with Reader(path) as reader:
        faults = list(all_faults(reader))
        for fault in faults[:SHOWN]:
            say(f"WRONG: {fault}")
        if len(faults) > SHOWN:
            say(f"... and {len(faults) - SHOWN} more.")
        if not faults:
            say_what_it_holds(reader, say)
    if faults:
        say("The book is NOT sound. Copy the file away as it is, then go back to a backup that checks.")
    return 1 if faults else 0


def say_what_it_holds(reader: Reader, say: Callable[[str], None]) -> None:
    head, findings, marks = reader.head(), derived.state_of(reader)["findings"], reader.marks()
    say(f"The book is sound: {head['seq']} records, head {head['hash']}.")
    say(f"It shows {len(findings)} findings for a person to look at; those are no faults of the book.")
    for word, count in sorted(Counter(word for words in marks.values() for word in words).items()):
        say(f"{count} entries are marked {word}.")


def all_faults(reader: Reader) -> Iterator[str]:
    """Every fault, file first: what comes later is only worth asking where the file can be read."""
    yield from log_faults(reader)
    yield from rebuild_faults(reader)


def log_faults(reader: Reader) -> Iterator[str]:
    """What is wrong with the file and with the log in it. Nothing can make that good but a backup."""
    try:
        for fault in file_faults(reader):
            yield fault
            return
        yield from trigger_faults(reader)
        yield from chain_faults(reader)
        yield from column_faults(reader)
    except SqliteError as error:
        yield f"the file cannot be read to its end ({error})"


def rebuild_faults(reader: Reader) -> Iterator[str]:
    """Where what is kept beside the log is not what follows from it. The server works that out again when it starts."""
    try:
        yield from derived_faults(reader)
        derived.state_of(reader)
    except SqliteError as error:
        yield f"the file cannot be read to its end ({error})"
    except Exception as error:
        # An entry that our own folds trip over is to be told, not to end the check.
        yield f"what follows from the log cannot be worked out ({type(error).__name__}: {error})"


def file_faults(reader: Reader) -> Iterator[str]:
    for (line,) in reader.conn.execute("PRAGMA integrity_check"):
        if line != "ok":
            yield f"SQLite finds the file damaged: {line}"
    for row in reader.conn.execute("PRAGMA foreign_key_check"):
        yield f"table {row[0]} speaks of a record that is not there"


def trigger_faults(reader: Reader) -> Iterator[str]:
    """The guards against change are there, word for word."""
    found = {trigger.name: trigger.sql for trigger in reader.db.triggers}
    for name, sql in LOG_TRIGGERS.items():
        if found.get(name) != sql:
            yield f"the guard {name} is {'missing' if name not in found else 'not as it was made'}"


def chain_faults(reader: Reader) -> Iterator[str]:
    """Each record's hash holds the one before it; so one changed byte shows, and everything after it rests on it."""
    before, expected = GENESIS, 1
    for record in reader.records():
        if record["seq"] != expected:
            yield f"record {expected} is missing before record {record['seq']}"
        kept = [record[key] for key in ("seq", "sort", "id", "carrier", "received", "text")]
        if record["hash"] != record_hash(before, *kept):
            yield f"record {record['seq']} ({record['id']}) is not what its hash was made of"
        before, expected = record["hash"], record["seq"] + 1
    head = reader.head()
    if (head["seq"], head["hash"]) != (expected - 1, before):
        yield f"the log ends at record {expected - 1}, but its head says {head['seq']}"


def column_faults(reader: Reader) -> Iterator[str]:
    """The columns that we search by say what the text says."""
    site = reader.fact("site")
    for record in reader.records():
        if record["sort"] != "entry":
            continue
        try:
            entry = entry_of(record["text"])
        except Unreadable as error:
            yield f"record {record['seq']} is no entry: {error}"
            continue
        if any(record[key] != entry[key] for key in ("id", "device", "n", "kind")) or entry["site"] != site:
            yield f"record {record['seq']} is filed under something else than its text says"


def derived_faults(reader: Reader) -> Iterator[str]:
    """Lines and sums worked out again from the log give what is kept beside it."""
    kept = reader.marks()
    marks = derived.marks_from_log(reader)
    for id_ in sorted(kept.keys() | marks.keys()):
        if kept.get(id_) != marks.get(id_):
            yield f"entry {id_} is marked {kept.get(id_, [])}, and its lines worked out again give {marks.get(id_, [])}"
    upto = reader.places_upto()
    if upto is None:
        return  # the server has not worked them out yet: nothing to compare
    entries = [json.loads(text) for text in reader.texts(upto)]
    places, shown = derived.places_of(derived.folded(entries, marks)), reader.places()
    for place in sorted(places.keys() | shown.keys()):
        if places.get(place) != shown.get(place):
            yield f"{place} holds {places.get(place)} mg by the log, and {shown.get(place)} in the table of places"
