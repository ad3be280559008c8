"""Backups that nobody has to think of: one a night, proved, the old ones thinned out, and told when they fail.

A copy is made and proved by `glovebook backup` in a child of its own, so that working the whole book out again takes no
time from the phones that the server answers meanwhile.
"""

import argparse
import logging
import os
import re
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from server.backup import STAMP, named
from server.desk import Problem
from server.reader import Reader

log = logging.getLogger("glovebook")

LOOK_SECONDS = 60
RETRY = timedelta(hours=1)
LATE = timedelta(days=2)
CHILD_SECONDS = 3600
BEFORE_KEPT = 2


@dataclass(frozen=True)
class Plan:
    """Where and when copies are made, and how many stay: the newest of each day, of each week, of each month."""

    folder: Path
    hour: int = 3
    days: int = 7
    weeks: int = 5
    months: int = 12


def plan_of(options: argparse.Namespace) -> Plan:
    """The plan that the options of `serve` give."""
    if not 0 <= options.backup_hour <= 23:
        raise Problem(f"The hour {options.backup_hour} is none of 0 to 23. For three at night give --backup-hour 3.")
    if min(options.backups_kept) < 0 or options.backups_kept[0] < 1:
        raise Problem("Give three counts with --backups-kept, of days (at least 1), weeks and months, as 7 5 12.")
    return Plan(options.backups or beside(options.book), options.backup_hour, *options.backups_kept)


def how_it_is_kept(plan: Plan, book: Path) -> list[str]:
    """What `serve` prints about the backups."""
    words = [f"A backup is made each night after {plan.hour}:00 in {plan.folder.resolve()}."]
    if plan.folder != beside(book) and not plan.folder.is_dir():
        words.append("WARNING: there is no such folder. Make it, or plug its disk in; until then there are no backups.")
    elif is_same_disk(book, plan.folder):
        words.append(
            "WARNING: that is the disk of the book, and a dead disk takes both along. Name a folder on another disk or "
            "on a stick with --backups."
        )
    return words


def beside(book: Path) -> Path:
    """The folder for backups when none was named."""
    return book.parent / "backups"


def backups_in(folder: Path, book: Path) -> dict[datetime, Path]:
    """The backups of a book in a folder, by the time in their names; other files are nobody's to touch."""
    pattern = re.compile(rf"{re.escape(book.stem)}-(\d{{8}}-\d{{6}}){re.escape(book.suffix)}")
    found = {}
    for path in folder.iterdir() if folder.is_dir() else ():
        match = pattern.fullmatch(path.name)
        if match:
            try:
                found[datetime.strptime(match[1], STAMP)] = path
            except ValueError:
                continue  # a name of the right shape that is no date
    return found


def kept(times: list[datetime], plan: Plan) -> set[datetime]:
    """Which of these backups stay. The newest always does."""
    stay = set()
    for count, period in (
        (plan.days, lambda at: at.date()),
        (plan.weeks, lambda at: at.isocalendar()[:2]),
        (plan.months, lambda at: (at.year, at.month)),
    ):
        newest = {}
        for at in sorted(times):
            newest[period(at)] = at
        stay |= {newest[key] for key in sorted(newest)[-count:]} if count else set()
    return stay | set(sorted(times)[-1:])


def thin_out(book: Path, plan: Plan) -> None:
    """Take away what the plan no longer keeps, and all but the newest copies from before a change of the tables."""
    found = backups_in(plan.folder, book)
    stay = kept(list(found), plan)
    spare = [path for at, path in found.items() if at not in stay]
    spare += sorted(plan.folder.glob(f"{book.stem}-????????-??????-before{book.suffix}"))[:-BEFORE_KEPT]
    for path in spare:
        path.unlink(missing_ok=True)


def make_in_child(book: Path, target: Path) -> None:
    """One backup by a process of its own; raises Problem with what that said."""
    line = [sys.executable, "-m", "server", "backup", str(target), "--book", str(book.resolve())]
    root = Path(__file__).resolve().parent.parent
    try:
        done = subprocess.run(
            line, cwd=root, capture_output=True, text=True, timeout=CHILD_SECONDS, stdin=subprocess.DEVNULL
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        raise Problem(f"The backup could not be made: {error}.") from None
    words = done.stderr.strip().splitlines()
    if done.returncode:
        raise Problem(words[-1] if words else "The backup ended without a word.")
    for line in words:
        log.warning("%s", line)


class Keeper:
    """Makes the backups of a book that is being served, in a thread of its own; `told()` says how they stand."""

    def __init__(self, book: Path, plan: Plan, now: Callable[[], datetime] = datetime.now, make=make_in_child):
        self._book, self.plan, self._now, self._make = book, plan, now, make
        self._tried: datetime | None = None
        self._trouble: str | None = None
        self._newest: datetime | None = None
        self._first: datetime | None = None  # when the book got its first record
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._run, name="backups", daemon=True)

    def start(self) -> "Keeper":
        self._see()
        self._thread.start()
        return self

    def close(self) -> None:
        self._ended.set()
        if self._thread.is_alive():
            self._thread.join(LOOK_SECONDS)

    def _run(self) -> None:
        while not self._ended.wait(LOOK_SECONDS):
            self.look()

    def look(self) -> None:
        """Make a backup if one is due. A failure is logged, told to the phones, and tried again in an hour."""
        self._see()
        if not self._is_due():
            return
        self._tried = self._now()
        try:
            self._make_one()
            self._trouble = None
            log.info("Backup made and proved in %s", self.plan.folder)
        except (Problem, OSError) as problem:
            self._trouble = str(problem)
            log.error("BACKUP FAILED: %s", problem)
        self._see()

    def _make_one(self) -> None:
        if self.plan.folder == beside(self._book):
            self.plan.folder.mkdir(exist_ok=True, mode=0o700)
        if not self.plan.folder.is_dir():
            raise Problem(f"There is no folder {self.plan.folder} for the backups. Is its disk plugged in?")
        self._make(self._book, named(self._book, self.plan.folder))
        thin_out(self._book, self.plan)

    def _see(self) -> None:
        try:
            self._newest = max(backups_in(self.plan.folder, self._book), default=None)
            with Reader(self._book) as reader:
                first = reader.first_received()
            self._first = datetime.fromisoformat(first).astimezone().replace(tzinfo=None) if first else None
        except Exception as error:  # a stick pulled out while its names are read must not end the thread
            log.warning("The backups cannot be looked through: %s", error)

    def _is_due(self) -> bool:
        """At the hour, each night; a machine that is off at night makes it up when it is on again."""
        now = self._now()
        hour = now.replace(hour=self.plan.hour, minute=0, second=0, microsecond=0)
        last_hour = hour if hour <= now else hour - timedelta(days=1)
        is_old = self._newest is None or self._newest < last_hour
        is_rested = self._tried is None or not (self._tried <= now < self._tried + RETRY)
        return self._first is not None and is_old and is_rested

    def told(self) -> dict:
        """{at: time of the last good backup or null, late: older than two days, say: what is wrong or null}"""
        now = self._now()
        since = self._newest or self._first
        is_late = since is not None and now - since > LATE
        at = self._newest and self._newest.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        return {"at": at, "late": is_late, "say": self._trouble}


def is_same_disk(book: Path, folder: Path) -> bool:
    """Whether a dead disk would take book and backups along together."""
    there = folder if folder.exists() else folder.parent
    try:
        return os.stat(book.parent).st_dev == os.stat(there).st_dev
    except OSError:
        return False
