"""Finding entries in the whole book: an index of words beside it, in a file that may be thrown away at any time.

The index (SQLite's FTS5, without the texts) stands in `<book>.search`, so that neither the book nor its backups carry
it. It follows the log by number and catches up before each answer; one that stood for another history begins anew.
"""

import json
import logging
import os
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlite_utils.utils import sqlite3

from server.book.search_words import terms_of, words_of
from server.reader import Reader
from server.store import Store

log = logging.getLogger("glovebook")

FOUND = 50  # entries in an answer
FOUND_BYTES = 256 * 1024
PORTION = 500  # entries that are read into the index at once
AT_ONCE_SECONDS = 0.25  # how long an answer waits for the index to catch up
LAST = "\U0010ffff"  # comes after every letter
VERSION = "1"  # of the words: another one begins the index anew
MOST_WORDS = 40  # that a beginning is spelt out into: reading "re" OR "reading" goes from one entry to the next
TABLES = """
CREATE TABLE facts (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE spelt (word TEXT PRIMARY KEY) STRICT, WITHOUT ROWID;
CREATE VIRTUAL TABLE known USING fts5 (
    words, content = '', detail = none, prefix = '2 3 4',
    tokenize = "unicode61 remove_diacritics 0 tokenchars '-.:'");
"""


class Search:
    """The index of one book. Safe from several threads; `start` lets it catch up in one of its own."""

    def __init__(self, book: Store):
        self._book = book
        self._path = book.path.with_name(book.path.name + ".search")
        self._lock, self._ended = threading.Lock(), threading.Event()
        self._conn: sqlite3.Connection | None = None
        self._thread: threading.Thread | None = None

    def start(self) -> "Search":
        self._thread = threading.Thread(target=self._catch_up_wholly, name="search", daemon=True)
        self._thread.start()
        return self

    def close(self) -> None:
        self._ended.set()
        if self._thread:
            self._thread.join()
        with self._lock:
            if self._conn:
                self._conn.close()
                self._conn = None

    def find(self, asked: str, before: int | None = None) -> dict:
        """Entries that hold every word asked for, the newest to come first: {entries, more, searched, of}.

        Each entry has `taken_back`: whether another one strikes or corrects it.
        asked: as a person's words are put by `terms_of`; before: the number of the last entry of the answer before
        searched, of: numbers of the newest record in the index and in the book; `searched` is less while it catches up
        """
        terms = terms_of(asked)
        with self._book.read() as reader:
            of = reader.head()["seq"]
            with self._lock:
                searched = self._catch_up(reader, time.monotonic() + AT_ONCE_SECONDS)
                numbers = self._numbers(terms, before) if terms else []
            first = reader.with_serial(asked.strip()) if before is None else []
            numbers = first + [number for number in numbers if number not in first]
            entries, more = reader.numbered(numbers, FOUND, FOUND_BYTES)
            with self._lock:
                for entry in entries:
                    entry["taken_back"] = self._is_taken_back(json.loads(entry["text"])["id"])
        return {"entries": entries, "more": more, "searched": searched, "of": of}

    def _numbers(self, terms: list[list[str]], before: int | None) -> list[int]:
        query = " AND ".join(f"({' OR '.join(way for word in term for way in self._ways(word))})" for term in terms)
        sql = "SELECT rowid FROM known WHERE known MATCH ? AND rowid < ? ORDER BY rowid DESC LIMIT ?"
        try:
            return [row[0] for row in self._conn.execute(sql, (query, before or 2**62, FOUND + 1))]
        except sqlite3.OperationalError as problem:  # a letter that this SQLite takes for a gap between words
            log.info("A search was not understood: %s", type(problem).__name__)
            return []

    def _is_taken_back(self, id_: str) -> bool:
        """Whether an entry strikes or corrects this one; that may be taken back in its turn."""
        sql = "SELECT 1 FROM known WHERE known MATCH ? LIMIT 1"
        return self._conn.execute(sql, (f'"strikes:{id_.replace(chr(34), "")}"',)).fetchone() is not None

    def _ways(self, word: str) -> list[str]:
        """The words that begin with this one, each quoted. Where they are too many, FTS5 gathers them by itself."""
        sql = "SELECT word FROM spelt WHERE word >= ? AND word < ? LIMIT ?"
        found = self._conn.execute(sql, (word, word + LAST, MOST_WORDS + 1)).fetchall() if len(word) > 1 else []
        if len(found) > MOST_WORDS:
            return [f'"{word}" *']
        return [f'"{one}"' for (one,) in found] or [f'"{word}"']

    def _catch_up_wholly(self) -> None:
        behind = True
        while behind and not self._ended.is_set():
            try:
                with self._book.read() as reader, self._lock:
                    behind = self._catch_up(reader, time.monotonic()) < reader.head()["seq"]
                    if not behind:
                        self._conn.execute("INSERT INTO known (known) VALUES ('optimize')")  # one piece is read quicker
            except Exception:
                log.exception("The index for searching could not be made")
                return
            time.sleep(0.001)  # whoever waits for the lock comes first

    def _catch_up(self, reader: Reader, until: float) -> int:
        """Read on, at least one portion, until a moment; returns the number of the newest record that was read."""
        self._open(reader)
        upto, head = int(self._fact("upto")), reader.head()["seq"]
        while upto < head:
            rows = reader.texts_after(upto, PORTION)
            found = [(seq, " ".join(words_of(json.loads(text)))) for seq, text in rows]
            upto = rows[-1][0] if len(rows) == PORTION else head
            with self._transaction():
                self._conn.executemany("INSERT INTO known (rowid, words) VALUES (?, ?)", found)
                words = {(word,) for _, text in found for word in text.split()}
                self._conn.executemany("INSERT INTO spelt VALUES (?) ON CONFLICT DO NOTHING", words)
                self._note(upto=upto, hash=reader.hash_at(upto))
            if time.monotonic() >= until:
                break
        return upto

    def _open(self, reader: Reader) -> None:
        """Open the index, or begin one: where there is none, where it is spoilt, where it stands for another book."""
        try:
            if self._conn is None and self._path.exists():
                self._conn = connected(self._path)
            if self._conn and self._stands_for(reader):
                return
        except (sqlite3.DatabaseError, TypeError, ValueError):
            log.warning("The index for searching was spoilt and is made anew")
        if self._conn:
            self._conn.close()
        for end in ("", "-wal", "-shm"):
            Path(f"{self._path}{end}").unlink(missing_ok=True)
        self._conn = connected(self._path)
        with self._transaction():
            for table in TABLES.split(";\n"):
                self._conn.execute(table)
            self._note(version=VERSION, epoch=reader.fact("epoch"), upto=0, hash=reader.hash_at(0))

    def _stands_for(self, reader: Reader) -> bool:
        known = self._fact("version"), self._fact("epoch"), self._fact("hash")
        return known == (VERSION, reader.fact("epoch"), reader.hash_at(int(self._fact("upto"))))

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        self._conn.execute("BEGIN")
        try:
            yield
            self._conn.execute("COMMIT")
        except BaseException:
            self._conn.execute("ROLLBACK")
            raise

    def _fact(self, key: str) -> str | None:
        row = self._conn.execute("SELECT value FROM facts WHERE key = ?", (key,)).fetchone()
        return row and row[0]

    def _note(self, **facts: object) -> None:
        self._conn.executemany("INSERT OR REPLACE INTO facts VALUES (?, ?)", [(k, str(v)) for k, v in facts.items()])


def connected(path: Path) -> sqlite3.Connection:
    if not path.exists():
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))  # the words of the book are nobody else's to read
    conn = sqlite3.connect(str(path), isolation_level=None, check_same_thread=False)
    for pragma in ("journal_mode = WAL", "synchronous = NORMAL"):
        conn.execute(f"PRAGMA {pragma}").fetchall()
    return conn
