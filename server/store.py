"""The book at rest: one SQLite file, one connection that writes, in one thread; readers look on read-only.

SQL stands only here and in reader.py, schema.py, past.py, devices.py and pins.py. sqlite-utils opens, migrates and
reads; the log is written by plain SQL in `BEGIN IMMEDIATE ... COMMIT`, since a helper that ignores a broken row would
acknowledge what it lost. One writer also keeps clear of the WAL-reset fault of SQLite 3.7.0 to 3.51.2, which needs two
connections that write or checkpoint.
"""

import hashlib
import json
import os
import secrets
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from sqlite_utils import Database
from sqlite_utils.utils import sqlite3

from server.lock import Lock
from server.reader import GENESIS, Reader
from server.schema import steps

REFUSED_KEPT = 500
NUMBER_TWICE = "number_twice"  # two entries under one device and running number
FLOOR_SETUP = "floor_setup"  # set up from a device of the floor
SqliteError = sqlite3.Error


class BookTooNew(Exception):
    """The book has tables that this version does not know: writing into it could spoil it."""


class NoBook(Exception):
    """The file is a database of another program: writing into it would spoil it."""


def must_be_ours(db: Database, path: Path) -> None:
    """Raises NoBook or BookTooNew; a database without any tables is a book that was never begun."""
    tables = set(db.table_names()) - {"_sqlite_migrations"}
    if tables and not {"facts", "log"} <= tables:
        raise NoBook(f"{path} is a database, but no book of Glovebook. Look at the name of the file.")
    unknown = {step.name for step in steps.applied(db)} - {step.name for step in steps.pending(Database(memory=True))}
    if unknown:
        raise BookTooNew(f"The book {path} was used by a newer Glovebook ({', '.join(unknown)}). Install that one.")


def now_utc() -> str:
    """The server's time as entries have it: UTC, three decimals, Z."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def record_hash(before: str, seq: int, sort: str, id_: str, carrier: str, received: str, text: str) -> str:
    """The hash that chains a record to the one before it, over everything that the record holds."""
    record = json.dumps([before, seq, sort, id_, carrier, received, text], ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(record.encode("ascii")).hexdigest()


class Store:
    """An open book. `write(work, ...)` runs work in the writer's thread in one transaction; `read()` lends a reader."""

    def __init__(
        self, path: Path | str, site: str | None = None, before_change: Callable[[Path], object] | None = None
    ):
        """Open the book, or begin one. site: id of a new book's site; a book that exists keeps its own.

        before_change: called with the path of a book that holds records before a new version changes its tables
        """
        self.path = Path(path)
        self._before_change = before_change
        self.path.parent.mkdir(parents=True, exist_ok=True)
        self.lock = Lock(self.path)
        self._thread = ThreadPoolExecutor(1, thread_name_prefix="writer")
        try:
            self._thread.submit(self._open, site).result()
        except BaseException:
            self._thread.shutdown()
            self.lock.release()
            raise

    def _open(self, site: str | None) -> None:
        if not self.path.exists():
            os.close(os.open(self.path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))  # nobody else's to read
        self._conn = sqlite3.connect(str(self.path), isolation_level=None, check_same_thread=False)
        must_be_ours(Database(self._conn), self.path)
        for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", "busy_timeout = 5000"):
            self._conn.execute(f"PRAGMA {pragma}").fetchall()
        self._migrate(Database(self._conn))
        first = {"site": site or f"s-{secrets.token_hex(8)}", "epoch": secrets.token_hex(8), "head": f"0 {GENESIS}"}
        with self._transaction():
            for key, value in first.items():
                self._conn.execute("INSERT INTO facts VALUES (?, ?) ON CONFLICT (key) DO NOTHING", (key, value))

    def _migrate(self, db: Database) -> None:
        if steps.pending(db) and self._before_change and db["log"].exists() and db["log"].count:
            self._before_change(self.path)
        steps.apply(db)

    def close(self) -> None:
        self._thread.submit(self._conn.close).result()
        self._thread.shutdown()
        self.lock.release()

    def __enter__(self) -> "Store":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def write(self, work: Callable, *arguments: object) -> Future:
        """Run `work(connection, *arguments)` in the one writing thread, in one transaction of its own."""
        return self._thread.submit(self._in_transaction, work, arguments)

    def _in_transaction(self, work: Callable, arguments: tuple) -> object:
        with self._transaction():
            return work(self._conn, *arguments)

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        self._conn.execute("BEGIN IMMEDIATE")
        try:
            yield
            self._conn.execute("COMMIT")
        except BaseException:
            if self._conn.in_transaction:
                self._conn.execute("ROLLBACK")
            raise

    def read(self) -> Reader:
        return Reader(self.path)


# What the writer's thread does inside its transaction. Each takes the writing connection first.


def append(conn, sort: str, id_: str, text: str, carrier: str, entry: dict | None = None) -> int:
    """Add one record at the end of the log, chained to the one before; returns its number."""
    (head,) = conn.execute("SELECT value FROM facts WHERE key = 'head'").fetchone()
    last, before = head.split(" ")
    seq, received = int(last) + 1, now_utc()
    hash_ = record_hash(before, seq, sort, id_, carrier, received, text)
    device, n, kind = (entry["device"], entry["n"], entry["kind"]) if entry else (None, None, None)
    added = conn.execute(
        "INSERT INTO log (seq, sort, id, device, n, kind, carrier, received, text, hash) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING",
        (seq, sort, id_, device, n, kind, carrier, received, text, hash_),
    ).rowcount
    if added != 1:
        raise sqlite3.IntegrityError(f"the log holds {id_} already")
    conn.execute("UPDATE facts SET value = ? WHERE key = 'head'", (f"{seq} {hash_}",))
    return seq


def facts(conn) -> dict[str, str]:
    return dict(conn.execute("SELECT key, value FROM facts").fetchall())


def set_fact(conn, key: str, value: str) -> None:
    conn.execute("INSERT OR REPLACE INTO facts VALUES (?, ?)", (key, value))


def last_received(conn) -> str | None:
    (received,) = conn.execute("SELECT max(received) FROM log").fetchone()
    return received


def kept(conn, id_: str) -> tuple[int, str] | None:
    """Number and text of a record that the log holds under this id."""
    return conn.execute("SELECT seq, text FROM log WHERE id = ?", (id_,)).fetchone()


def others_with_number(conn, device: str, n: int, id_: str) -> list[str]:
    found = conn.execute("SELECT id FROM log WHERE device = ? AND n = ? AND id <> ?", (device, n, id_))
    return [row[0] for row in found]


def mark(conn, id_: str, word: str) -> None:
    conn.execute("INSERT INTO marks VALUES (?, ?) ON CONFLICT DO NOTHING", (id_, word))


def mark_floor_setup(conn, id_: str) -> None:
    conn.execute("INSERT INTO floor_setups VALUES (?)", (id_,))
    mark(conn, id_, FLOOR_SETUP)


def keep_refused(conn, text: str, carrier: str, why: str) -> None:
    """Keep what was refused, once, and no more than the newest few hundred: it never fills the disk."""
    text_hash = hashlib.sha256(text.encode()).hexdigest()
    conn.execute(
        "INSERT INTO refused (text_hash, carrier, at, why, text) VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
        (text_hash, carrier, now_utc(), why, text),
    )
    conn.execute("DELETE FROM refused WHERE number <= (SELECT max(number) FROM refused) - ?", (REFUSED_KEPT,))


def replace_places(conn, upto: int, places: dict[str, tuple[int, int, int]]) -> None:
    conn.execute("DELETE FROM places")
    conn.executemany("INSERT INTO places VALUES (?, ?, ?, ?)", [(name, *sums) for name, sums in places.items()])
    conn.execute("INSERT OR REPLACE INTO facts VALUES ('places', ?)", (str(upto),))


def replace_marks(conn, upto: int, marks: dict[str, list[str]]) -> None:
    """Put these marks in place of those of all records up to a number; entries that came meanwhile keep theirs."""
    conn.execute("DELETE FROM marks WHERE id IN (SELECT id FROM log WHERE seq <= ?)", (upto,))
    conn.executemany("INSERT INTO marks VALUES (?, ?)", [(id_, word) for id_, words in marks.items() for word in words])
    conn.execute(
        "INSERT INTO marks SELECT id, ? FROM log WHERE EXISTS (SELECT 1 FROM log AS other "
        "WHERE other.device = log.device AND other.n = log.n AND other.id <> log.id) ON CONFLICT DO NOTHING",
        (NUMBER_TWICE,),
    )
