"""What the commands say of files that are no book, a book of a later version, and places without rights or room."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from server import reader, sync, troubles
from server.__main__ import main
from server.store import NoBook, Store

from .conftest import SITE, entry_text

ROOT = Path(__file__).resolve().parents[2]
READING = [("check",), ("pair",), ("devices",), ("revoke", "K"), ("export",)]
READING += [("backup", "TO"), ("export", "--csv", "TO")]


def run(capsys, *words):
    code = main([str(word) for word in words])
    told = capsys.readouterr()
    assert "Traceback" not in told.err and "Errno" not in told.err + told.out
    return code, told.out + told.err


@pytest.fixture
def path(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        sync.take(book, [entry_text(n=1, by="Łucja", said={"name": "Łucja \u2028😀"})], "A.00000000")
    return tmp_path / "book.db"


def of_another_program(path):
    conn = sqlite3.connect(str(path))
    conn.execute("CREATE TABLE songs (title TEXT)")
    conn.commit()
    conn.close()


def of_a_later_version(path):
    Store(path, site=SITE).close()
    conn = sqlite3.connect(str(path))
    conn.execute("INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('glovebook', 'later', 'x')")
    conn.commit()
    conn.close()


WRONG = {
    "text": (lambda path: path.write_text("a shopping list " * 99), "is no book of Glovebook"),
    "another": (of_another_program, "is a database, but no book of Glovebook"),
    "empty": (lambda path: path.write_bytes(b""), "is empty: no book was begun"),
    "folder": (lambda path: path.mkdir(), "is a folder. Name the book in it"),
    "later": (of_a_later_version, "was used by a newer Glovebook (later). Install that one."),
    "none": (lambda path: None, "There is no book at"),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_every_command_says_what_is_wrong_with_a_file_and_leaves_it_alone(wrong, tmp_path, capsys):
    path, (make, says) = tmp_path / "wrong.db", WRONG[wrong]
    make(path)
    before = path.read_bytes() if path.is_file() else None
    for words in READING:
        words = [str(tmp_path / "target.db") if word == "TO" else word for word in words]
        code, told = run(capsys, *words, "--book", path)
        assert code == 1 and says in told, (words, told)
        assert not (tmp_path / "target.db").exists(), words
        assert (path.read_bytes() if path.is_file() else None) == before, words
    code, told = run(capsys, "restore", path, "--book", tmp_path / "new.db")
    assert code == 1 and not (tmp_path / "new.db").exists()
    assert {"none": "There is no copy at", "folder": "is a folder. Give the file"}.get(wrong, says) in told


def test_another_programs_database_does_not_become_a_book(tmp_path):
    of_another_program(tmp_path / "songs.db")
    before = (tmp_path / "songs.db").read_bytes()
    with pytest.raises(NoBook):
        Store(tmp_path / "songs.db")
    assert (tmp_path / "songs.db").read_bytes() == before


def test_a_begun_file_without_tables_is_gone_on_with(tmp_path):
    """The power went when the file was there and nothing in it yet."""
    conn = sqlite3.connect(str(tmp_path / "book.db"))
    conn.execute("PRAGMA journal_mode = WAL")
    conn.close()
    with Store(tmp_path / "book.db", site=SITE) as book, book.read() as reader:
        assert reader.fact("site") == SITE


@pytest.mark.parametrize("letters", ["cp1252", "ascii"])
def test_names_that_a_machines_letters_do_not_have(path, tmp_path, letters):
    """A Windows console has the letters of its country; what is exported is the same bytes everywhere."""
    line = [sys.executable, "-m", "server"]
    usual = {"cwd": ROOT, "env": os.environ | {"PYTHONIOENCODING": letters}, "capture_output": True, "timeout": 20}
    told = subprocess.run([*line, "export", "--book", path], **usual)
    assert told.returncode == 0 and b"\r" not in told.stdout
    (record,) = [json.loads(one) for one in told.stdout.decode("utf-8").split("\n") if one]
    assert json.loads(record["text"])["said"] == {"name": "Łucja \u2028😀"}
    told = subprocess.run([*line, "reset-pin", "Łucja", "--book", path], **usual)
    assert told.returncode == 1 and b"ucja has no PIN" in told.stderr and b"Traceback" not in told.stderr
    told = subprocess.run([*line, "import", "vessels"], **usual)
    assert told.stdout.startswith(b"tag,sort") and b"\r\r" not in told.stdout


def test_a_book_on_a_disk_that_cannot_be_written_to_can_be_read(path, monkeypatch, capsys):
    """SQLite wants to make two files beside a book of this sort; on such a disk it is read without them."""
    asked, opened = os.access, []
    connect = sqlite3.connect
    monkeypatch.setattr(reader.os, "access", lambda at, way: way != os.W_OK and asked(at, way))
    monkeypatch.setattr(reader.sqlite3, "connect", lambda at, **more: opened.append(at) or connect(at, **more))
    assert run(capsys, "check", "--book", path)[0] == 0
    assert opened and {one.partition("?")[2] for one in opened if "file:" in one} == {"mode=ro&immutable=1"}
    path.with_name("book.db-wal").write_bytes(b"what was written and not yet folded in")
    assert not reader.is_shut(path)


def test_who_may_not_write_the_book_is_told_what_to_do(path, monkeypatch, capsys):
    def denied(*_):
        raise PermissionError(13, "Permission denied", "book.db.lock")

    monkeypatch.setattr("server.lock.os.open", denied)
    code, told = run(capsys, "pair", "--book", path)
    assert code == 1 and "book.db.lock is not this person's to use. Run the command as the one who" in told


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no disk that is always full")
@pytest.mark.parametrize("words", [("export",), ("check",), ("import", "vessels"), ("devices",)])
def test_a_full_disk_is_told_by_name(path, words):
    with open("/dev/full", "w") as full:
        line = [sys.executable, "-m", "server", *words, "--book", str(path)]
        told = subprocess.run(line, cwd=ROOT, stdout=full, stderr=subprocess.PIPE, text=True, timeout=20)
    assert told.returncode == 1 and told.stderr.strip() == troubles.FULL, told.stderr


def test_what_sqlite_says_is_put_into_words():
    known = ("database or disk is full", "database is locked", "file is not a database")
    for said in (*known, "database disk image is malformed"):
        words = troubles.of_sqlite(sqlite3.OperationalError(said), "book.db")
        assert said not in words and words.endswith(".")
    assert "disk I/O error" in troubles.of_sqlite(sqlite3.OperationalError("disk I/O error"), "book.db")
