"""`glovebook check`: proves a book, each fault in one sentence; --mend works out anew what stands beside the log."""

import json
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

from sqlite_utils import Database

from server import derived, past
from server.check_openings import opening_faults
from server.desk import must_be_book
from server.envelope import Unreadable, entry_of
from server.reader import Reader
from server.schema import LOG_TRIGGERS, steps
from server.store import GENESIS, SqliteError, Store, record_hash
from server.troubles import of_sqlite

SHOWN = 20
DAMAGED = "The book is NOT sound. Copy the file away as it is, then go back to a backup that checks."
BESIDE = (
    "The log itself is sound; what is worked out from it and kept beside it is NOT sound. Stop the server if it runs, "
    "then `glovebook check --mend` works that out anew."
)


def check_book(path: Path, say: Callable[[str], None]) -> int:
    """Check the whole book and say what was found; 0 when it is sound, 1 when anything is wrong with it."""
    try:
        must_be_book(path)
    except (SqliteError, UnicodeDecodeError, LookupError) as error:
        return told([of_sqlite(error, path)], DAMAGED, say)
    with Reader(path) as reader:
        faults = list(log_faults(reader))
        if faults:
            return told(faults, DAMAGED, say)
        faults = list(rebuild_faults(reader))
        if faults:
            return told(faults, BESIDE, say)
        say_what_it_holds(reader, say)
    return 0


def told(faults: list[str], what_to_do: str, say: Callable[[str], None]) -> int:
    for fault in faults[:SHOWN]:
        say(f"WRONG: {fault}")
    if len(faults) > SHOWN:
        say(f"... and {len(faults) - SHOWN} more.")
    say(what_to_do)
    return 1


def mend(path: Path) -> None:
    """Work out anew what stands beside the log. The log itself is never touched."""
    must_be_book(path)
    with Store(path) as book:
        mend_beside(book)


def mend_beside(book: Store) -> None:
    derived.rebuild_marks(book)
    book.write(past.begin_anew).result()
    derived.refresh(book)


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
    # Bytes that are no text are told by the hash that they spoil.
    reader.conn.text_factory = lambda raw: raw.decode("utf-8", "backslashreplace")
    try:
        for fault in file_faults(reader):
            yield fault
            return
        yield from table_faults(reader)
        yield from trigger_faults(reader)
        yield from chain_faults(reader)
        yield from column_faults(reader)
    except SqliteError as error:
        yield f"the file cannot be read to its end ({error})"
    except Exception as error:  # a fact that is gone or no number, a column under another name: no end of the check
        yield f"what the book says of itself cannot be read ({type(error).__name__}: {error})"


def rebuild_faults(reader: Reader) -> Iterator[str]:
    """Where what is kept beside the log is not what follows from it. `mend` works that out anew."""
    try:
        marks = derived.marks_from_log(reader)
        yield from derived_faults(reader, marks)
        yield from opening_faults(reader, marks)
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


def table_faults(reader: Reader) -> Iterator[str]:
    """All tables and indexes of this version are there; a book of an earlier version gets its new ones when served."""
    if steps.pending(reader.db):
        return
    for name in sorted(names_wanted() - names_in(reader.db)):
        yield f"{name} is missing among its tables"


@cache
def names_wanted() -> frozenset[str]:
    wanted = Database(memory=True)
    steps.apply(wanted)
    return frozenset(names_in(wanted))


def names_in(db: Database) -> set[str]:
    return set(db.table_names()) | {index.name for table in db.tables for index in table.indexes}


def trigger_faults(reader: Reader) -> Iterator[str]:
    """The guards against change are there, word for word, and nothing else does anything of its own."""
    found = {trigger.name: trigger.sql for trigger in reader.db.triggers}
    for name, sql in LOG_TRIGGERS.items():
        if found.get(name) != sql:
            yield f"the guard {name} is {'missing' if name not in found else 'not as it was made'}"
    for name in sorted(found.keys() - LOG_TRIGGERS.keys()):
        yield f"somebody put a trigger into it, {name!r:.60}, which changes the book by itself"


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


def derived_faults(reader: Reader, marks: dict[str, list[str]]) -> Iterator[str]:
    """Lines and sums worked out again from the log give what is kept beside it."""
    kept = reader.marks()
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
