"""`glovebook check` finds what was changed behind the book's back, and `glovebook backup` proves its copy."""

import random
import shutil
import threading

import pytest
from sqlite_utils.utils import sqlite3

from server import backup, derived, sync
from server.backup import backup_book
from server.check import check_book, mend
from server.desk import Problem
from server.reader import Reader
from server.store import BookTooNew, NoBook, Store

from .conftest import SITE, entry_text

OPENING = {
    "vessel": "H-2",
    "gauge": {"weight": {"typed": "80", "unit": "kg"}, "strength": {"typed": "62,4", "unit": "abv"}},
    "holds": "hearts",
}


def check(path):
    said = []
    return check_book(path, said.append), "\n".join(said)


@pytest.fixture
def path(tmp_path):
    """A closed book with five entries and what follows from them."""
    with Store(tmp_path / "book.db", site=SITE) as book:
        lines = sync.lines_of({"kind": "opening", "v": 1, "said": OPENING})
        assert lines
        opening = entry_text(n=5, kind="opening", said=OPENING, lines=lines)
        sync.take(book, [*[entry_text(n=n) for n in range(1, 5)], opening], "A.00000000")
        derived.rebuild_marks(book)
        derived.refresh(book)
    return tmp_path / "book.db"


def behind_its_back(path, *statements):
    """Change the book as a stranger with a database tool could, guards off."""
    conn = sqlite3.connect(str(path), isolation_level=None)
    triggers = conn.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in triggers:
        conn.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        assert conn.execute(statement).rowcount != 0, statement
    for _, sql in triggers:
        conn.execute(sql)
    conn.close()


def test_a_sound_book_is_sound_and_unchanged_by_the_check(path):
    before = path.read_bytes()
    code, said = check(path)
    assert code == 0 and "sound: 5 records" in said and "findings" in said
    assert path.read_bytes() == before


def test_marks_are_told_and_are_no_faults(path):
    with Store(path) as book:
        sync.take(book, [entry_text(n=n, kind="unknown") for n in (6, 7)], "A.00000000")
    code, said = check(path)
    assert code == 0 and "2 entries are marked kind_unknown." in said


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("UPDATE log SET text = replace(text, 'Ines', 'Inez') WHERE seq = 3", "record 3"),
        ("UPDATE log SET received = '2026-01-01T00:00:00.000Z' WHERE seq = 1", "record 1"),
        ("UPDATE log SET carrier = 'B.00000000' WHERE seq = 5", "record 5"),
        ("UPDATE log SET sort = 'restore' WHERE seq = 2", "record 2"),
        ("UPDATE log SET hash = lower(hex(randomblob(32))) WHERE seq = 4", "record 4"),
        ("DELETE FROM log WHERE seq = 2", "record 2 is missing"),
        ("DELETE FROM log WHERE seq = 4", "record 4 is missing"),
        ("UPDATE log SET n = 77 WHERE seq = 3", "filed under something else"),
        ("UPDATE log SET kind = 'gauge' WHERE seq = 3", "filed under something else"),
        ("INSERT INTO marks SELECT id, 'lines_differ' FROM log WHERE seq = 3", "lines worked out again"),
        ("UPDATE places SET ethanol_mg = ethanol_mg + 1 WHERE place = 'vessel/H-2'", "vessel/H-2"),
        ("DELETE FROM places", "vessel/H-2"),
    ],
)
def test_a_change_behind_its_back_is_found(path, statement, told):
    behind_its_back(path, statement)
    code, said = check(path)
    assert code == 1 and told in said and "NOT sound" in said


def test_a_cut_off_tail_is_found(path):
    behind_its_back(
        path, "DELETE FROM places", "DELETE FROM facts WHERE key = 'places'", "DELETE FROM log WHERE seq = 5"
    )
    code, said = check(path)
    assert code == 1 and "ends at record 4, but its head says 5" in said


@pytest.mark.parametrize("name", ["log_no_update", "log_no_delete", "log_first_stays", "log_in_order"])
def test_a_missing_guard_is_found(path, name):
    conn = sqlite3.connect(str(path))
    conn.execute(f"DROP TRIGGER {name}")
    conn.close()
    code, said = check(path)
    assert code == 1 and name in said


@pytest.mark.parametrize("what", ["TABLE pins", "INDEX log_kind"])
def test_a_missing_table_or_index_is_found(path, what):
    conn = sqlite3.connect(str(path))
    conn.execute(f"DROP {what}")
    conn.close()
    code, said = check(path)
    assert code == 1 and f"{what.split()[1]} is missing" in said


def test_a_damaged_file_is_found(path):
    content = bytearray(path.read_bytes())
    content[len(content) // 2 :] = bytes(len(content) - len(content) // 2)
    path.write_bytes(content)
    code, said = check(path)
    assert code == 1 and "WRONG" in said


def test_a_forgotten_table_can_be_worked_out_again(path):
    behind_its_back(path, "DELETE FROM places", "INSERT INTO marks SELECT id, 'lines_differ' FROM log")
    with Store(path) as book:
        derived.rebuild_marks(book)
        derived.refresh(book)
    assert check(path)[0] == 0


def test_what_stands_beside_the_log_is_worked_out_anew_by_mending(path):
    behind_its_back(path, "DELETE FROM places", "INSERT INTO marks SELECT id, 'lines_differ' FROM log")
    with Reader(path) as reader:
        before = reader.head()
    code, said = check(path)
    assert code == 1 and "The log itself is sound" in said and "check --mend" in said
    mend(path)
    assert check(path)[0] == 0
    with Reader(path) as reader:
        assert reader.head() == before


def test_mending_does_not_touch_a_damaged_log(path):
    behind_its_back(path, "UPDATE log SET text = replace(text, 'Ines', 'Inez') WHERE seq = 3")
    mend(path)
    code, said = check(path)
    assert code == 1 and "record 3" in said and "go back to a backup" in said


def content_of(path) -> dict:
    """The rows of each table, by plain SQL; None for those that cannot be read."""
    conn, found = sqlite3.connect(path.as_uri() + "?mode=ro", uri=True), {}
    for (name,) in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall():
        try:
            found[name] = conn.execute(f'SELECT * FROM "{name}" ORDER BY 1').fetchall()
        except (sqlite3.Error, UnicodeDecodeError):
            found[name] = None
    conn.close()
    return found


# What is not of the log and does not follow from it: nothing in the book says what it was before.
UNPROVED = ("devices", "codes", "pins", "refused", "facts", "_sqlite_migrations")


def test_one_flipped_bit_anywhere_is_found_or_changes_nothing(path, tmp_path):
    """A bit that rots on a disk or a stick; most of a young book's file is empty, so bits are drawn from the rest."""
    raw, right = path.read_bytes(), content_of(path)
    dice, places = random.Random(1), [at for at, byte in enumerate(raw) if byte]
    found = 0
    for at in dice.sample(places, 80):
        flipped = bytearray(raw)
        flipped[at] ^= 1 << dice.randrange(8)
        (tmp_path / "flipped.db").write_bytes(flipped)
        try:
            code, said = check(tmp_path / "flipped.db")
        except (BookTooNew, NoBook) as problem:
            code, said = 1, str(problem)
        found += code
        if code == 0:
            now = content_of(tmp_path / "flipped.db")
            changed = {name for name in right if right[name] != now.get(name)}
            assert changed <= set(UNPROVED), (at, changed)
        assert code == 0 or said, at
    assert found > 40


def test_marks_of_entries_that_come_during_a_rebuild_stay(path, monkeypatch):
    with Store(path) as book:

        def meanwhile(reader):
            late = [entry_text(n=1), entry_text(n=50, kind="unknown")]
            sync.take(book, late, "A.00000000")
            return {"an id with no marks, so that there is something to write": []}

        monkeypatch.setattr(derived, "marks_from_log", meanwhile)
        derived.rebuild_marks(book)
        monkeypatch.undo()
        derived.refresh(book)
    assert check(path)[0] == 0


def test_a_backup_taken_while_entries_come_in_is_whole(path, tmp_path):
    stop, taken = threading.Event(), []
    with Store(path) as book:

        def go_on():
            n = 100
            while not stop.is_set():
                sync.take(book, [entry_text(n=n + index) for index in range(20)], "A.00000000")
                n += 20
                taken.append(n)

        writer = threading.Thread(target=go_on)
        writer.start()
        heads = []
        for number in range(5):
            with book.read() as reader:
                before = reader.head()["seq"]
            head = backup_book(path, tmp_path / f"copy-{number}.db")
            assert head["seq"] >= before
            heads.append(head)
        stop.set()
        writer.join()
    assert taken and check(path)[0] == 0
    for number, head in enumerate(heads):
        with Reader(tmp_path / f"copy-{number}.db") as reader:
            assert reader.head() == head
        assert check(tmp_path / f"copy-{number}.db")[0] == 0
    assert not [name for name in tmp_path.iterdir() if name.name.endswith(".part")]


def test_a_backup_never_overwrites(path, tmp_path):
    target = tmp_path / "copy.db"
    target.write_text("something dear")
    with pytest.raises(Problem, match="never overwrites"):
        backup_book(path, target)
    assert target.read_text() == "something dear"


def test_a_backup_of_a_spoilt_book_is_refused(path, tmp_path):
    behind_its_back(path, "UPDATE log SET text = replace(text, 'Ines', 'Inez') WHERE seq = 3")
    with pytest.raises(Problem, match="record 3"):
        backup_book(path, tmp_path / "copy.db")
    assert sorted(name.name for name in tmp_path.iterdir() if "copy" in name.name) == []


def test_a_backup_that_cannot_be_finished_leaves_nothing(path, tmp_path, monkeypatch):
    def no_room(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup.os, "replace", no_room)
    with pytest.raises(Problem, match="The disk is full"):
        backup_book(path, tmp_path / "copy.db")
    assert not [name for name in tmp_path.iterdir() if "copy" in name.name]
    with pytest.raises(Problem, match="failed"):
        backup_book(path, tmp_path / "no" / "such" / "folder.db")


def test_a_backup_opens_as_a_book(path, tmp_path):
    backup_book(path, tmp_path / "copy.db")
    shutil.copy(tmp_path / "copy.db", tmp_path / "again.db")
    with Store(tmp_path / "again.db") as book:
        assert sync.take(book, [entry_text(n=6)], "A.00000000")["taken"][0]["seq"] == 6


def test_there_must_be_a_book(tmp_path):
    for work in (lambda: check(tmp_path / "none.db"), lambda: backup_book(tmp_path / "none.db", tmp_path / "copy.db")):
        with pytest.raises(Problem, match="no book"):
            work()


def test_a_large_book_is_worked_out_again_less_often(path, monkeypatch):
    rests = []

    class Ended(threading.Event):
        def wait(self, timeout=None):
            rests.append(timeout)
            return len(rests) > 2

    spent = iter([0.0, 0.01, 0.01, 4.01])  # the first working out takes 10 ms, the second 4 s
    monkeypatch.setattr(derived.time, "thread_time", lambda: next(spent))
    refresher = object.__new__(derived.Refresher)
    refresher._woken, refresher._ended = threading.Event(), Ended()
    monkeypatch.setattr(refresher._woken, "wait", lambda: None)
    refresher._try = lambda work: None
    refresher._run()
    assert rests == [2.0, 2.0, 80.0]
