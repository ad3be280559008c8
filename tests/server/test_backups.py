"""Backups by night: when they are due, which stay, what is told when they fail."""

import os
import subprocess
import sys
from argparse import Namespace
from datetime import datetime, timedelta

import pytest

from server import backups, sync
from server.backups import Keeper, Plan, backups_in, beside, how_it_is_kept, kept, make_in_child, plan_of, thin_out
from server.check import check_book
from server.desk import Problem
from server.reader import Reader
from server.schema import steps
from server.store import Store

from .conftest import SITE, entry_text

NOON = datetime(2026, 11, 24, 12)


def touch(book, target):
    target.write_bytes(b"")


class Clock:
    def __init__(self, now):
        self.now = now

    def __call__(self):
        return self.now


@pytest.fixture
def path(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        sync.take(book, [entry_text(n=1), entry_text(n=2)], "A.00000000")
    return tmp_path / "book.db"


def keeper(path, now, plan=None, make=touch, monkeypatch=None):
    clock = Clock(now)
    one = Keeper(path, plan or Plan(beside(path)), clock, make)
    if monkeypatch:
        monkeypatch.setattr(backups, "named", lambda book, folder: folder / f"book-{clock.now:{backups.STAMP}}.db")
    return one, clock


def test_a_night_makes_one_backup_and_a_machine_that_was_off_makes_it_up(path, monkeypatch):
    one, clock = keeper(path, NOON, monkeypatch=monkeypatch)
    for hours in range(0, 72, 1):
        if not 12 <= hours < 24:  # off from midnight to noon
            clock.now = NOON + timedelta(hours=hours)
            one.look()
    made = sorted(backups_in(beside(path), path))
    assert [at - NOON for at in made] == [timedelta(hours=hours) for hours in (0, 24, 39, 63)]


def test_an_empty_book_is_not_backed_up(tmp_path):
    Store(tmp_path / "book.db", site=SITE).close()
    one, _ = keeper(tmp_path / "book.db", NOON)
    one.look()
    assert not beside(tmp_path / "book.db").exists() and one.told() == {"at": None, "late": False, "say": None}


def test_the_newest_of_each_day_week_and_month_stays():
    plan = Plan("anywhere", days=7, weeks=5, months=12)
    times = [NOON - timedelta(hours=8 * step) for step in range(3 * 800)]  # three a day for 800 days
    stay = kept(times, plan)
    days = sorted({at.date() for at in stay}, reverse=True)
    assert days[:7] == [(NOON - timedelta(days=back)).date() for back in range(7)]
    sundays = [at.date() for at in stay if at.isoweekday() == 7]
    assert {NOON.date() - timedelta(days=2 + 7 * back) for back in range(4)} <= set(sundays)
    months = {(at.year, at.month) for at in stay}
    assert len(months) == 12 and min(months) == (2025, 12)
    assert len(stay) <= 7 + 5 + 12 and max(times) in stay
    assert kept([NOON - timedelta(days=4000)], plan), "the newest stays, however old"


def test_only_backups_of_this_book_are_thinned_out(path):
    folder = beside(path)
    folder.mkdir()
    ours = [f"book-2026010{day}-030000.db" for day in range(1, 10)]
    before = [f"book-2026010{day}-120000-before.db" for day in range(1, 5)]
    others = ["other-20260101-030000.db", "book-20260101.db", "book-20269999-999999.db", "notes.txt", "book-x.db"]
    for name in [*ours, *before, *others]:
        (folder / name).touch()
    thin_out(path, Plan(folder, days=2, weeks=1, months=0))
    left = {found.name for found in folder.iterdir()}
    assert left == {*ours[-2:], *before[-2:], *others}


def test_a_failure_is_told_and_tried_again_in_an_hour(path, caplog, monkeypatch):
    def fail(book, target):
        raise Problem("The disk is full.")

    one, clock = keeper(path, NOON, make=fail, monkeypatch=monkeypatch)
    one.look()
    assert one.told()["say"] == "The disk is full." and "BACKUP FAILED: The disk is full." in caplog.text
    one._make = touch
    clock.now += timedelta(minutes=59)
    one.look()
    assert one.told()["at"] is None
    clock.now += timedelta(minutes=1)
    one.look()
    assert one.told()["say"] is None and one.told()["at"] is not None


def test_after_two_days_without_a_good_one_the_site_hears_of_it(path):
    with Reader(path) as reader:
        first = datetime.fromisoformat(reader.first_received()).astimezone().replace(tzinfo=None)
    one, clock = keeper(path, first + timedelta(hours=47), make=lambda *_: (_ for _ in ()).throw(Problem("No.")))
    one.look()
    assert one.told()["late"] is False
    clock.now = first + timedelta(hours=49)
    assert one.told()["late"] is True
    beside(path).mkdir(exist_ok=True)
    (beside(path) / f"book-{clock.now:{backups.STAMP}}.db").touch()
    one.look()
    assert one.told()["late"] is False


def test_a_stick_that_is_not_plugged_in_is_told_and_no_folder_is_made_in_its_place(path, tmp_path):
    plan = Plan(tmp_path / "stick" / "glovebook")
    one, _ = keeper(path, NOON, plan)
    one.look()
    assert "Is its disk plugged in?" in one.told()["say"] and not plan.folder.exists()
    assert any("no such folder" in words for words in how_it_is_kept(plan, path))


def test_the_same_disk_is_warned_of(path):
    assert any("a dead disk takes both" in words for words in how_it_is_kept(Plan(beside(path)), path))


def test_a_real_backup_by_a_child_is_whole_and_reaches_the_phones(client, phone, book):
    phone.sync(phone.write(), phone.write())
    client.office = None
    one = Keeper(book.path, Plan(beside(book.path)))
    one.look()
    (copy,) = backups_in(beside(book.path), book.path).values()
    assert check_book(copy, lambda _: None) == 0
    object.__setattr__(client.app.state.office, "keeper", one)
    told = phone.sync().json["backup"]
    assert told["late"] is False and told["say"] is None
    age = datetime.now().astimezone() - datetime.fromisoformat(told["at"])
    assert timedelta(0) <= age < timedelta(minutes=1)
    assert [path for path in beside(book.path).iterdir()] == [copy]


def test_what_the_child_says_of_a_failure_is_handed_on(path, tmp_path):
    with pytest.raises(Problem, match="already, and a backup never overwrites"):
        (tmp_path / "there.db").touch()
        make_in_child(path, tmp_path / "there.db")


@pytest.mark.parametrize(
    "options", [{"backup_hour": 24}, {"backup_hour": -1}, {"backups_kept": [0, 5, 12]}, {"backups_kept": [7, -1, 12]}]
)
def test_a_plan_that_cannot_be_kept_is_refused(path, options):
    good = {"backup_hour": 3, "backups_kept": [7, 5, 12], "backups": None, "book": path}
    assert plan_of(Namespace(**good)) == Plan(beside(path))
    with pytest.raises(Problem):
        plan_of(Namespace(**(good | options)))


def test_a_new_version_copies_the_book_before_it_changes_the_tables(path, monkeypatch):
    monkeypatch.setattr(steps, "_migrations", [*steps._migrations, steps._Migration("more", lambda db: None)])
    from server import desk

    desk.ask(path, "devices")
    desk.ask(path, "devices")  # done once
    (copy,) = beside(path).glob("book-*-before.db")
    monkeypatch.undo()
    assert check_book(copy, lambda _: None) == 0


@pytest.mark.skipif(os.name != "posix", reason="a file in place of a folder")
def test_tables_are_not_changed_when_the_copy_before_it_fails(path, monkeypatch):
    monkeypatch.setattr(steps, "_migrations", [*steps._migrations, steps._Migration("more", lambda db: None)])
    beside(path).write_text("a file where the folder should be")
    from server import desk

    with pytest.raises(OSError):
        desk.ask(path, "devices")
    monkeypatch.undo()
    with Store(path) as book, book.read() as reader:
        assert "more" not in [step.name for step in steps.applied(reader.db)]


def test_serve_says_where_the_backups_go(server):
    assert f"{server.book.parent / 'backups'}" in server.log()
    said = subprocess.run(
        [sys.executable, "-m", "server", "serve", "--book", str(server.book), "--backup-hour", "30"],
        cwd=server.root, capture_output=True, text=True, timeout=20,
    )  # fmt: skip
    assert said.returncode == 1 and "none of 0 to 23" in said.stderr
