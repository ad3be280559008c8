"""`glovebook restore`: only a proved copy, only into an empty place, and nothing that phones hold is lost by it."""

import errno
import json
import os
import shutil
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from server import derived, devices, openings, sync
from server.backup import backup_book
from server.check import check_book, mend
from server.desk import Problem
from server.lock import BookInUse
from server.reader import Reader
from server.restore import restore_book
from server.store import Store

from .conftest import SITE, Client, entry_text
from .test_check import behind_its_back


def quiet(_):
    pass


@pytest.fixture
def path(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        sync.take(book, [entry_text(n=1), entry_text(n=2)], "A.00000000")
    return tmp_path / "book.db"


@pytest.fixture
def copy(path, tmp_path):
    backup_book(path, tmp_path / "copy.db")
    return tmp_path / "copy.db"


def test_the_restore_is_a_record_that_names_the_old_head_under_a_new_epoch(path, copy, tmp_path):
    with Reader(path) as reader:
        old = {"head": reader.head(), "epoch": reader.fact("epoch"), "texts": list(reader.texts())}
    said = []
    head = restore_book(copy, tmp_path / "new" / "book.db", say=said.append)
    assert sorted(found.name for found in (tmp_path / "new").iterdir()) == ["book.db", "book.db.lock"]
    assert check_book(tmp_path / "new" / "book.db", quiet) == 0
    with Reader(tmp_path / "new" / "book.db") as reader:
        record = list(reader.records())[-1]
        assert (record["sort"], record["seq"]) == ("restore", 3) and reader.head() == head
        text = json.loads(record["text"])
        assert (text["old_head"], text["old_epoch"], text["from"]) == (old["head"], old["epoch"], "copy.db")
        assert reader.fact("epoch") == text["epoch"] != old["epoch"]
        assert (reader.fact("site"), list(reader.texts())) == (SITE, old["texts"])
    assert "2 records" in said[0]


def test_a_book_that_is_there_stays_unless_told_where_it_goes(path, copy, tmp_path):
    with pytest.raises(Problem, match="--old-to"):
        restore_book(copy, path, say=quiet)
    with pytest.raises(Problem, match="nothing is overwritten"):
        restore_book(copy, path, copy, say=quiet)
    path.with_name("book.db-wal").write_bytes(b"what SQLite had not yet folded in")
    old = tmp_path / "aside" / "old.db"
    kept = path.read_bytes()
    restore_book(copy, path, old, say=quiet)
    assert old.read_bytes() == kept and old.with_name("old.db-wal").read_bytes().startswith(b"what SQLite")
    assert not path.with_name("book.db-wal").exists() and check_book(path, quiet) == 0


def test_leftovers_of_another_book_are_no_empty_place(copy, tmp_path):
    (tmp_path / "new.db-wal").write_bytes(b"frames of another book")
    with pytest.raises(Problem, match="--old-to"):
        restore_book(copy, tmp_path / "new.db", say=quiet)


def test_a_book_that_is_open_stays(path, copy, tmp_path):
    with Store(path), pytest.raises(BookInUse, match="Stop that one first"):
        restore_book(copy, path, tmp_path / "old.db", say=quiet)
    assert check_book(path, quiet) == 0 and not (tmp_path / "old.db").exists()


@pytest.mark.parametrize("harm", ["changed", "cut", "no book", "empty"])
def test_a_copy_that_is_not_sound_changes_nothing(path, copy, tmp_path, harm):
    if harm == "changed":
        behind_its_back(copy, "UPDATE log SET text = replace(text, 'Ines', 'Inez') WHERE seq = 2")
    else:
        copy.write_bytes({"cut": copy.read_bytes()[:9000], "no book": b"a shopping list " * 99, "empty": b""}[harm])
    before = path.read_bytes()
    with pytest.raises(Problem, match=r"Nothing was changed|could not be restored|is empty"):
        restore_book(copy, path, tmp_path / "old.db", say=quiet)
    assert path.read_bytes() == before
    assert {found.name.split("-")[0] for found in tmp_path.iterdir()} <= {"book.db", "book.db.lock", "copy.db"}


def test_the_copy_must_be_there_and_another_file(path, tmp_path):
    with pytest.raises(Problem, match="no copy"):
        restore_book(tmp_path / "none.db", tmp_path / "new.db", say=quiet)
    with pytest.raises(Problem, match="the book itself"):
        restore_book(path, path, tmp_path / "old.db", say=quiet)
    with pytest.raises(Problem, match=r"none in it is called as those of new\.db"):
        restore_book(tmp_path, tmp_path / "new.db", say=quiet)
    for name in ("book-20261124-030000.db", "book-20261125-030000.db", "book-20261126-030000-before.db"):
        (tmp_path / name).touch()
    with pytest.raises(Problem, match=r"the newest is .*book-20261125-030000\.db\.$"):
        restore_book(tmp_path, tmp_path / "new" / "book.db", say=quiet)


def test_a_copy_with_the_marks_of_an_earlier_version_is_restored(copy, tmp_path):
    """A version that mends a kind's lines marks entries otherwise than the one that made the copy."""
    behind_its_back(copy, "INSERT INTO marks SELECT id, 'lines_differ' FROM log WHERE seq = 2")
    restore_book(copy, tmp_path / "new.db", say=quiet)
    assert check_book(tmp_path / "new.db", quiet) == 0
    with Reader(tmp_path / "new.db") as reader:
        assert reader.marks() == {}


def test_a_restored_book_can_be_backed_up_and_restored_again(copy, tmp_path):
    restore_book(copy, tmp_path / "one.db", say=quiet)
    backup_book(tmp_path / "one.db", tmp_path / "copy-2.db")
    restore_book(tmp_path / "copy-2.db", tmp_path / "two.db", say=quiet)
    with Reader(tmp_path / "two.db") as reader:
        assert [record["sort"] for record in reader.records()] == ["entry", "entry", "restore", "restore"]
    assert check_book(tmp_path / "two.db", quiet) == 0


def test_letters_given_since_the_backup_are_not_given_again(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        early = Client(book).pair().device
        backup_book(book.path, tmp_path / "copy.db")
        late = [Client(book).pair() for _ in range(30)]
    restore_book(tmp_path / "copy.db", tmp_path / "new.db", say=quiet)
    with Store(tmp_path / "new.db") as book:
        client = Client(book)
        letters = [client.pair(was=late[-1].device).device.split(".")[0], client.pair().device.split(".")[0]]
        known = {one.split(".")[0] for one in [early, *(phone.device for phone in late)]}
        assert len({*letters, *known}) == 2 + 31
        first = devices._number(letters[0])
        assert first == 1 + devices.LETTERS_LEAP + 1


def test_open_codes_of_the_backup_are_closed(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        book.write(devices.new_code).result()
        backup_book(book.path, tmp_path / "copy.db")
    restore_book(tmp_path / "copy.db", tmp_path / "new.db", say=quiet)
    with Reader(tmp_path / "new.db") as reader:
        assert reader.db["codes"].count == 0


def test_a_phone_paired_since_the_backup_pairs_anew_and_brings_everything_under_its_old_numbers(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        backup_book(book.path, tmp_path / "copy.db")
        phone = Client(book).pair()
        texts = [phone.write() for _ in range(3)]
        assert phone.sync(*texts).status == 200
    restore_book(tmp_path / "copy.db", tmp_path / "new.db", say=quiet)
    with Store(tmp_path / "new.db") as book:
        phone.client = client = Client(book)
        assert phone.sync().status == 401
        again = client.pair(was=phone.device)
        answer = again.sync(*texts, epoch=phone.epoch)
        assert [row["id"] for row in answer.json["taken"]] == [json.loads(text)["id"] for text in texts]
        assert answer.json["have"] == {phone.device: [[1, 3]]}
        assert again.device.split(".")[0] != phone.device.split(".")[0]


def test_letters_given_between_two_restores_of_one_copy_are_not_given_again(tmp_path, path, copy):
    given = []
    for number in range(2):
        restore_book(copy, path, tmp_path / f"old-{number}.db", say=quiet)
        with Store(path) as book:
            given.append(book.write(devices.pair).result()["device"].split(".")[0])
    assert given[0] != given[1]
    path.write_bytes(b"a dead disk" * 999)  # the old book tells nothing: it still makes room
    restore_book(copy, path, tmp_path / "old-dead.db", say=quiet)
    assert check_book(path, quiet) == 0


def test_letters_beyond_the_last_do_not_end_the_pairing(client, phone, write):
    phone.sync(write(device="ZZZ.3f9a1c2e"))
    again = client.pair()
    assert again.device.startswith("B.") and again.sync().status == 200


def test_a_copy_made_by_a_file_manager_while_the_book_was_closed_will_do(path, tmp_path):
    shutil.copy(path, tmp_path / "by-hand.db")
    restore_book(tmp_path / "by-hand.db", tmp_path / "new.db", say=quiet)
    assert check_book(tmp_path / "new.db", quiet) == 0


def test_the_record_of_a_restore_is_no_entry_that_has_a_paper(copy, tmp_path):
    restore_book(copy, tmp_path / "new.db", say=quiet)
    with Store(tmp_path / "new.db") as book:
        with book.read() as reader:
            record = list(reader.records())[-1]["id"]
        told = Client(book).ask("GET", f"/api/paper?of={record}")
        assert told.status == 200 and told.json["entries"] == []


def test_an_entry_that_the_workings_trip_over_keeps_no_house_from_its_log(path, copy, tmp_path, monkeypatch):
    def trips(*_, **__):
        raise ZeroDivisionError

    monkeypatch.setattr(openings, "ledger", trips)
    monkeypatch.setattr(derived, "fold", trips)
    said = []
    assert restore_book(copy, tmp_path / "new.db", say=said.append)["seq"] == 3
    assert said[0].startswith("WARNING: Beside the log, what follows from the log cannot be worked out (ZeroDivision")
    monkeypatch.undo()  # a version that can
    with Reader(path) as reader, Reader(tmp_path / "new.db") as restored:
        assert list(restored.texts()) == list(reader.texts())
    mend(tmp_path / "new.db")
    assert check_book(tmp_path / "new.db", quiet) == 0


@pytest.mark.parametrize("table", ["devices", "facts", "log"])
def test_a_copy_that_would_do_something_by_itself_is_no_book(copy, tmp_path, table):
    """A trigger could let in whoever put it there, once the book has its new epoch."""
    conn = sqlite3.connect(str(copy))
    conn.execute(f"CREATE TRIGGER more AFTER UPDATE ON {table} BEGIN DELETE FROM pins; END")
    conn.close()
    with pytest.raises(Problem, match="somebody put a trigger into it, 'more'"):
        restore_book(copy, tmp_path / "new.db", say=quiet)
    assert not (tmp_path / "new.db").exists()


@pytest.mark.skipif(os.name != "posix", reason="Windows has no such rights")
def test_nobody_else_reads_the_old_book_while_it_is_moved_to_another_disk(path, copy, tmp_path, monkeypatch):
    def other_disk(*_):
        raise OSError(errno.EXDEV, "Invalid cross-device link")

    def copied(there, here, **how):
        seen.append(Path(here).stat().st_mode)
        finish(there, here, **how)

    seen, finish = [], shutil.copystat
    monkeypatch.setattr(shutil.os, "rename", other_disk)
    monkeypatch.setattr(shutil, "copystat", copied)
    restore_book(copy, path, tmp_path / "aside" / "old.db", say=quiet)
    assert seen and not any(mode & 0o077 for mode in seen)
    assert (tmp_path / "aside" / "old.db").stat().st_mode & 0o777 == 0o600


def test_rights_that_were_taken_since_the_backup_do_not_come_back(tmp_path):
    path, copy = tmp_path / "book.db", tmp_path / "copy.db"
    with Store(path, site=SITE) as book:
        client = Client(book)
        office, lost, lowered, before = (client.pair() for _ in range(4))
        client.ask("POST", "/api/revoke", json={"device": before.device})
        backup_book(path, copy)
        client.ask("POST", "/api/revoke", json={"device": lost.device})
        client.ask("POST", "/api/role", json={"device": lowered.device, "role": "floor"})
        with book.read() as reader:
            rights = devices.listed(reader)
    restore_book(copy, path, tmp_path / "old.db", say=quiet)
    with Store(path) as book, book.read() as reader:
        assert devices.listed(reader) == rights
        assert devices.is_office(reader.conn, office.token) and not devices.is_office(reader.conn, lowered.token)
        assert devices.device_of(reader.conn, lost.token) is None
