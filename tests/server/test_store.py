"""The book at rest: nothing in the log changes, one process writes, readers only read."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from server import store, sync
from server.lock import BookInUse
from server.paths import default_book
from server.schema import steps
from server.store import BookTooNew, Store

from .conftest import SITE, entry_text

REST = "kind, carrier, received, text, hash FROM log WHERE seq = 1"
ROOT = Path(__file__).resolve().parents[2]


def with_two(book):
    texts = [entry_text(n=1), entry_text(n=2)]
    sync.take(book, texts, "A.00000000")
    return texts


def run(book, sql, *values):
    return book.write(lambda conn: conn.execute(sql, values).rowcount).result()


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE log SET text = 'x'",
        "UPDATE log SET hash = 'x' WHERE seq = 2",
        "UPDATE OR IGNORE log SET seq = 9 WHERE seq = 2",
        "DELETE FROM log",
        "DELETE FROM log WHERE seq = 2",
        f"INSERT INTO log SELECT 9, sort, 'other', device, n, {REST}",
        f"REPLACE INTO log SELECT 1, sort, 'other', device, n, {REST}",
        f"INSERT INTO log SELECT 3, 'other', 'x', device, n, {REST}",
        "INSERT INTO marks VALUES ('not an id of the log', 'x')",
    ],
)
def test_the_log_refuses_change(book, sql):
    texts = with_two(book)
    with pytest.raises(sqlite3.IntegrityError):
        run(book, sql)
    with book.read() as reader:
        assert [record["text"] for record in reader.records()] == texts


@pytest.mark.parametrize("verb", ["REPLACE", "INSERT OR REPLACE", "INSERT OR IGNORE"])
def test_a_record_is_not_replaced_under_its_id(book, verb):
    texts = with_two(book)
    sql = f"{verb} INTO log SELECT 3, sort, id, device, n, kind, carrier, received, 'x', hash FROM log WHERE seq = 2"
    assert run(book, sql) == 0
    with book.read() as reader:
        assert [record["text"] for record in reader.records()] == texts


def test_the_writer_keeps_what_it_promises(book):
    def pragmas(conn):
        names = ("journal_mode", "synchronous", "foreign_keys")
        return [conn.execute(f"PRAGMA {name}").fetchone()[0] for name in names]

    assert book._thread.submit(pragmas, book._conn).result() == ["wal", 2, 1]  # 2: FULL


def test_a_reader_cannot_write_and_sees_one_state(book):
    with book.read() as reader:
        assert reader.head()["seq"] == 0
        with_two(book)
        assert reader.head()["seq"] == 0 and list(reader.records()) == []
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            reader.conn.execute("INSERT INTO facts VALUES ('x', 'y')")
    with book.read() as reader:
        assert reader.head()["seq"] == 2


def test_a_write_that_fails_leaves_nothing_of_itself(book):
    def work(conn):
        store.append(conn, "restore", "first", "{}", "desk")
        raise RuntimeError("in the middle")

    with pytest.raises(RuntimeError):
        book.write(work).result()
    with book.read() as reader:
        assert list(reader.records()) == [] and reader.head() == {"seq": 0, "hash": store.GENESIS}


def test_a_restore_is_a_record_of_the_chain_and_no_entry(book):
    texts = with_two(book)
    assert book.write(store.append, "restore", "r-1", '{"old_head": 2}', "desk").result() == 3
    with book.read() as reader:
        assert [record["sort"] for record in reader.records()] == ["entry", "entry", "restore"]
        assert list(reader.texts()) == texts
        assert [row["seq"] for row in reader.page(0, 10, 10**6)[0]] == [1, 2]


def test_one_process_writes_a_book(book):
    with pytest.raises(BookInUse, match="Stop that one first"):
        Store(book.path)
    child = subprocess.run(
        [sys.executable, "-m", "server", "serve", "--book", str(book.path), "--port", "0"],
        cwd=ROOT, capture_output=True, text=True, timeout=20,
    )  # fmt: skip
    assert child.returncode == 1 and "open in another Glovebook" in child.stderr and "Traceback" not in child.stderr


def test_a_book_that_was_closed_opens_again_as_it_was(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        texts = with_two(book)
        with book.read() as reader:
            epoch = reader.fact("epoch")
    with Store(tmp_path / "book.db", site="another") as book, book.read() as reader:
        assert (reader.fact("site"), reader.fact("epoch")) == (SITE, epoch)
        assert list(reader.texts()) == texts


@pytest.mark.skipif(os.name != "posix", reason="Windows has other rights")
def test_only_the_owner_reads_the_book(book):
    with_two(book)
    for path in book.path.parent.iterdir():
        assert path.stat().st_mode & 0o077 == 0, path.name


def test_each_step_of_the_schema_is_noted_as_run(book):
    with book.read() as reader:
        applied = [step.name for step in steps.applied(reader.db)]
    assert applied[:3] == ["the_log", "what_follows_from_the_log", "who_may_bring_entries"]
    assert applied[3:5] == ["what_a_device_may_do", "who_has_a_pin"]


def test_a_step_that_fails_leaves_the_book_as_it_was(tmp_path, monkeypatch):
    def half(db):
        db.execute("CREATE TABLE half (x)")
        raise RuntimeError("in the middle of a step")

    with Store(tmp_path / "book.db", site=SITE):
        pass
    monkeypatch.setattr(steps, "_migrations", [*steps._migrations, steps._Migration("half", half)])
    with pytest.raises(RuntimeError):
        Store(tmp_path / "book.db")
    monkeypatch.undo()
    with Store(tmp_path / "book.db") as book, book.read() as reader:
        assert "half" not in reader.db.table_names()


def test_a_book_of_a_newer_version_is_left_alone(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        run(book, "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('glovebook', 'later', 'x')")
    with pytest.raises(BookTooNew, match="newer"):
        Store(tmp_path / "book.db")


def test_a_file_that_is_no_book_is_told_and_left_alone(tmp_path):
    path = tmp_path / "book.db"
    path.write_bytes(b"my shopping list " * 100)
    child = subprocess.run(
        [sys.executable, "-m", "server", "serve", "--book", str(path), "--port", "0"],
        cwd=ROOT, capture_output=True, text=True, timeout=20,
    )  # fmt: skip
    assert child.returncode == 1 and "is no book of Glovebook" in child.stderr and "Traceback" not in child.stderr
    assert path.read_bytes() == b"my shopping list " * 100


def test_sql_stands_in_few_files_only():
    sql = re.compile(r"\b(SELECT|INSERT|UPDATE|DELETE|CREATE|PRAGMA|VACUUM|BEGIN)\b")
    found = {path.name for path in (ROOT / "server").rglob("*.py") if sql.search(path.read_text(encoding="utf-8"))}
    # check.py and backup.py ask the file itself: one PRAGMA each, and VACUUM INTO.
    # exports.py has the views that it writes into a file of its own, search.py the index that is one.
    others = {"check.py", "backup.py", "exports.py", "search.py"}
    ours = {"store.py", "reader.py", "schema.py", "past.py", "past_moves.py", "past_done.py", "devices.py", "pins.py"}
    assert found == ours | others


@pytest.mark.parametrize(
    ("platform", "variables", "expected"),
    [
        ("linux", {"XDG_DATA_HOME": "/data"}, "/data/glovebook/book.db"),
        ("linux", {"HOME": "/home/ines"}, "/home/ines/.local/share/glovebook/book.db"),
        ("darwin", {"HOME": "/Users/ines"}, "/Users/ines/Library/Application Support/glovebook/book.db"),
        ("win32", {"APPDATA": "/appdata"}, "/appdata/glovebook/book.db"),
    ],
)
def test_the_book_lies_where_the_system_keeps_such_things(monkeypatch, platform, variables, expected):
    monkeypatch.setattr(sys, "platform", platform)
    for name in ("XDG_DATA_HOME", "APPDATA"):
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    assert default_book().as_posix() == expected
