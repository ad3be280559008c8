"""`glovebook restore`: a backup becomes the book again, in an empty place, under a new epoch.

The new epoch makes every phone compare what it holds with what the book has, and send again what the book lacks,
others' entries included. The restore itself is a record of the chain and names the head that it went on from.
"""

import json
import os
import secrets
import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from server import devices, store
from server.backup import copy, flush, flush_folder
from server.backups import backups_in
from server.check import SHOWN, log_faults, mend_beside, rebuild_faults
from server.desk import Problem, by_the_clock, must_be_book
from server.lock import Lock
from server.reader import Reader
from server.store import SqliteError, Store, now_utc
from server.troubles import words

BESIDE = ("-wal", "-shm", "-journal")  # what SQLite keeps beside a database; left beside another one it would spoil it


def restore_book(source: Path, book: Path, old_to: Path | None = None, say: Callable[[str], None] = print) -> dict:
    """Prove the copy, put the old book aside, and make the copy the book.

    old_to: where the book that is there now goes; without it only an empty place is taken
    returns: {seq, hash} of the new head; raises Problem with what to do
    """
    check_places(source, book, old_to)
    book.parent.mkdir(parents=True, exist_ok=True)
    lock = Lock(book)
    part = book.with_name(f".{book.name}.{secrets.token_hex(4)}.part")
    try:
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        copy(source, part)
        _refuse(part, log_faults)
        head = continued(part, source.name, since_of(book), say)
        flush(part)
        move_away(book, old_to)
        os.replace(part, book)
        flush_folder(book.parent)
    except (OSError, SqliteError) as error:
        raise Problem(f"{source} could not be restored: {words(error, source)} The copy is untouched.") from None
    finally:
        for left in [part, *(Path(f"{part}{end}") for end in (*BESIDE, ".lock"))]:
            left.unlink(missing_ok=True)
        lock.release()
    return head


def check_places(source: Path, book: Path, old_to: Path | None) -> None:
    """Raises Problem, NoBook or BookTooNew where this copy cannot become that book; nothing is touched."""
    if source.is_dir():
        found = backups_in(source, book)
        newest = f"the newest is {found[max(found)]}" if found else f"none in it is called as those of {book.name} are"
        raise Problem(f"{source} is a folder. Give the file of one backup; {newest}.")
    if not source.is_file():
        raise Problem(f"There is no copy at {source}. Give the file that `glovebook backup` made.")
    if source.resolve() == book.resolve():
        raise Problem(f"{source} is the book itself. Give the file that `glovebook backup` made.")
    with suppress(SqliteError):  # a damaged one is proved, and told, later
        must_be_book(source)
    if files_of(book) and old_to is None:
        raise Problem(
            f"There is a book at {book} already, and it stays as it is. Say with --old-to where to put it, as --old-to "
            f"{book.with_name('old-' + book.name)}, or restore to another place with --book."
        )
    if old_to is not None and (old_to.is_dir() or files_of(old_to)):
        raise Problem(f"{old_to} exists already, and nothing is overwritten. Give a file that does not exist yet.")


def files_of(book: Path) -> list[Path]:
    """The book's file and what lies beside it; the book itself last, so that it moves when the others have."""
    return [path for path in [*(Path(f"{book}{end}") for end in BESIDE), book] if path.exists()]


def move_away(book: Path, old_to: Path | None) -> None:
    before = os.umask(0o077)  # on another disk it is copied, and nobody else may read it meanwhile either
    try:
        for path in files_of(book):
            old_to.parent.mkdir(parents=True, exist_ok=True)
            shutil.move(path, Path(f"{old_to}{str(path).removeprefix(str(book))}"))
    finally:
        os.umask(before)


@dataclass(frozen=True)
class Since:
    """What the book that goes knew of devices and the copy does not: the last letters, and who lost which rights."""

    letters: int
    taken: list[dict]


def since_of(book: Path) -> Since:
    return Since(told_by(book, devices.last_letters, 0), told_by(book, devices.taken_from, []))


def told_by(book: Path, asked: Callable, otherwise: object) -> object:
    """What the book that goes says; otherwise where it cannot be read, and the leap of the letters alone must do."""
    if not book.is_file():
        return otherwise
    try:
        with Reader(book) as reader:
            return asked(reader.conn)
    except SqliteError:
        return otherwise


def continued(part: Path, name: str, since: Since, say: Callable[[str], None]) -> dict:
    """Write the record of the restore and give the book its new epoch; then prove it whole, as this version has it.

    An entry that our own workings trip over is told and keeps no house from its log: it is whole all the same.
    """
    with Store(part) as opened:
        record = opened.write(go_on_from, name, since).result()
        with opened.read() as reader:
            is_behind = any(rebuild_faults(reader))  # made by other rules, as an earlier version has them, or spoilt
        if is_behind:
            mended(opened)
    _refuse(part, log_faults)
    with Reader(part) as reader:
        for fault in islice(rebuild_faults(reader), SHOWN):
            say(f"WARNING: Beside the log, {fault}. The log itself is restored whole; `glovebook check` tells more.")
    say(f"The copy holds {record['old_head']['seq']} records, the newest received {by_the_clock(record['newest'])}.")
    with Reader(part) as reader:
        return reader.head()


def mended(opened: Store) -> None:
    try:
        mend_beside(opened)
    except (OSError, SqliteError):
        raise
    except Exception:
        return  # what it leaves wrong is told


def go_on_from(conn, name: str, since: Since) -> dict:
    """Inside one transaction: the record, the epoch, letters that no phone got after the copy was made, and rights."""
    before = store.facts(conn)
    seq, hash_ = before["head"].split(" ")
    record = {
        "restored": now_utc(), "from": name, "old_head": {"seq": int(seq), "hash": hash_}, "old_epoch": before["epoch"],
        "epoch": secrets.token_hex(8), "newest": store.last_received(conn),
        "letters_after": devices.leap(conn, since.letters),
    }  # fmt: skip
    devices.take_again(conn, since.taken)
    store.append(conn, "restore", f"restore-{record['epoch']}", json.dumps(record), "desk")
    store.set_fact(conn, "epoch", record["epoch"])
    return record


def _refuse(part: Path, faults: Callable) -> None:
    with Reader(part) as reader:
        for fault in faults(reader):
            raise Problem(f"The copy is not sound: {fault}. Nothing was changed; try an older copy.")
