"""The server of a history: the real store, app, backup and restore, on a machine whose disk and power can fail."""

import random
import shutil
from collections import Counter
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import contextmanager, suppress
from pathlib import Path

from sqlite_utils.utils import sqlite3

from server import devices
from server.app import Office, build_app
from server.backup import backup_book
from server.restore import restore_book
from server.store import Store

SITE = "s-faults"
NAME = "still.example"
ALL_PAGES = 2**30


class Killed(Exception):
    """The process died at this point; what is in its files stays."""


class MortalStore(Store):
    """A store whose process may die before, after or in the middle of writing a commit.

    A dead one leaves its two files as they were at that moment; `left` is the folder with them.
    """

    death: dict | None = None
    left: Path | None = None
    tally: Counter[str]  # of what really struck; the house's

    @contextmanager
    def _transaction(self):
        if self.left:
            raise Killed
        death = self.death if self.death and self.death["after"] <= 0 else None
        if self.death:
            self.death["after"] -= 1
        try:
            with super()._transaction():
                yield
                if death:
                    before = self._wal_bytes()
                    if death["when"] == "before":
                        self._leave(before)
        except sqlite3.OperationalError as error:
            self.tally[str(error)] += 1
            raise
        if death:
            after = self._wal_bytes()
            torn = random.Random(death["cut"]).randint(min(before, after), after)
            self._leave(torn if death["when"] == "torn" else after)

    def _wal_bytes(self) -> int:
        wal = Path(f"{self.path}-wal")
        return wal.stat().st_size if wal.exists() else 0

    def _leave(self, wal_bytes: int) -> None:
        """Keep the files as a dead process leaves them: the database, and so much of what was written before it."""
        self.tally["server killed in commit"] += 1
        self.left = self.path.with_name("left")
        self.left.mkdir()
        shutil.copyfile(self.path, self.left / self.path.name)
        wal = Path(f"{self.path}-wal")
        if wal.exists():
            (self.left / wal.name).write_bytes(wal.read_bytes()[:wal_bytes])
        raise Killed


class AtOnce:
    """In place of the writer's thread: work is done where it is asked for, one piece after the other."""

    def submit(self, work: Callable, *words: object) -> Future:
        done = Future()
        try:
            done.set_result(work(*words))
        except Exception as error:
            done.set_exception(error)
        return done

    def shutdown(self) -> None:
        pass


class ThreadlessStore(MortalStore):
    """Its work costs no change of threads, which is a quarter of what a history costs."""

    _thread = property(lambda _: AtOnce(), lambda _, thread: thread.shutdown())


class House:
    def __init__(self, folder: Path, template: Path, has_threads: bool = True):
        """has_threads: whether the server works in threads of its own, as it does where it serves"""
        folder.mkdir()
        self.has_threads = has_threads
        self.folder, self.path = folder, folder / "book.db"
        shutil.copyfile(template, self.path)
        self.copies: list[Path] = []
        self.tally: Counter[str] = Counter()
        self.given: list[str] = []  # every device that was ever paired, by what the phones were told
        self.book: MortalStore | None = None
        self.is_by_hand = False  # a copy was put back without the command
        self.blocker = None
        self.up()

    def up(self) -> None:
        if self.book is None:
            store = MortalStore if self.has_threads else ThreadlessStore
            self.book = store(self.path, site=SITE)
            self.book.tally = self.tally
            self.app = build_app(Office(self.book, "key"), frozenset({NAME}))

    def down(self) -> None:
        """Ended in order, or the end of a process that died."""
        if self.book is None:
            return
        self.unlock()
        left = self.book.left
        self.book.close()
        self.book = None
        if left:
            for path in self.folder.glob("book.db*"):
                path.unlink()
            for path in left.iterdir():
                path.rename(self.folder / path.name)
            left.rmdir()

    @property
    def is_dead(self) -> bool:
        return self.book is None or self.book.left is not None

    def do(self, asked: dict) -> dict:
        """One thing that befalls the server, or that the office does at it."""
        what = asked.pop("do")
        return getattr(self, f"do_{what}")(**asked) or {"done": True}

    def do_code(self) -> dict:
        code = self.book.write(devices.new_code, "office").result()
        return {"code": code["code"]}

    def do_revoke(self, device: str) -> None:
        self._tried(devices.revoke, device)

    def do_kill(self, when: str, after: int, cut: int) -> None:
        if not self.is_dead:
            self.book.death = {"when": when, "after": after, "cut": cut}

    def do_down(self) -> None:
        self.down()

    def do_up(self) -> None:
        if self.is_dead:
            self.down()
            self.up()

    def do_full(self) -> None:
        self._pragma("max_page_count = 1")  # SQLite raises it to what is used already, and then has no room for more

    def do_room(self) -> None:
        self._pragma(f"max_page_count = {ALL_PAGES}")

    def do_lock(self) -> None:
        if self.blocker is None and not self.is_dead:
            self._pragma("busy_timeout = 1")
            self.blocker = sqlite3.connect(str(self.path), isolation_level=None, check_same_thread=False)
            self.blocker.execute("BEGIN IMMEDIATE")

    def do_unlock(self) -> None:
        self.unlock()

    def do_backup(self) -> None:
        self.do_up()
        self.copies.append(self.folder / f"copy-{len(self.copies)}.db")
        backup_book(self.path, self.copies[-1])

    def do_restore(self, which: int) -> dict:
        """By the command, after the process ended in whatever way."""
        return self._put_back(which, lambda copy, old: restore_book(copy, self.path, old, say=lambda _: None))

    def do_restore_by_hand(self, which: int) -> dict:
        def by_hand(copy: Path, _: Path) -> None:
            for path in self.folder.glob("book.db*"):
                path.unlink()
            shutil.copyfile(copy, self.path)
            self.is_by_hand = True

        return self._put_back(which, by_hand)

    def _put_back(self, which: int, way) -> dict:
        if not self.copies:
            return {"done": False}
        self.down()
        old = self.folder / f"old-{len(list(self.folder.glob('old-*.db')))}.db"
        way(self.copies[which % len(self.copies)], old)
        self.tally["restored from a backup"] += 1
        self.up()
        return {"done": True}

    def do_heal(self) -> None:
        self.unlock()
        self.do_room()
        if not self.is_dead:
            self.book.death = None
        self.do_up()

    def unlock(self) -> None:
        if self.blocker is not None:
            self.blocker.close()
            self.blocker = None

    def _pragma(self, words: str) -> None:
        if not self.is_dead:
            self.book._thread.submit(lambda: self.book._conn.execute(f"PRAGMA {words}").fetchall()).result()

    def _tried(self, work, *words) -> None:
        if not self.is_dead:
            with suppress(Killed, sqlite3.Error):
                self.book.write(work, *words).result()
