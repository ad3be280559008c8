"""`glovebook backup`: a copy of the book, taken while it is in use and proved before it gets its name."""

import os
import secrets
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from server.check import chain_faults, file_faults, log_faults, rebuild_faults
from server.desk import Problem, must_be_book
from server.reader import Reader
from server.store import SqliteError
from server.troubles import words

STAMP = "%Y%m%d-%H%M%S"  # the machine's own time, as a person reads it in the folder


def backup_book(book: Path, target: Path, warn: Callable[[str], None] = lambda words: None) -> dict:
    """Copy, prove, then name. Never overwrites.

    warn: told what is wrong beside the log, which keeps no copy from being good
    returns: the head of the copy, {seq, hash}; raises Problem with what to do
    """
    return _copied(book, target, lambda part: proved(part, warn))


def backup_before_change(book: Path, folder: Path) -> Path:
    """A copy of a book whose tables a new version is about to change: file and chain are proved, no more."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    target = folder / f"{book.stem}-{datetime.now().strftime(STAMP)}-before{book.suffix}"
    _copied(book, target, proved_chain)
    return target


def named(book: Path, folder: Path) -> Path:
    """The name of a backup taken now."""
    return folder / f"{book.stem}-{datetime.now().strftime(STAMP)}{book.suffix}"


def _copied(book: Path, target: Path, prove: Callable[[Path], dict]) -> dict:
    must_be_book(book)
    if target.exists():
        raise Problem(f"{target} exists already, and a backup never overwrites. Give another name.")
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        copy(book, part)
        head = prove(part)
        flush(part)
        give_name(part, target)
    except (OSError, SqliteError) as error:
        said = words(error, book) if target.parent.is_dir() else f"there is no folder {target.parent}. Make it first."
        raise Problem(f"The backup to {target} failed: {said} The book itself is untouched.") from None
    finally:
        part.unlink(missing_ok=True)
    return head


def copy(book: Path, part: Path) -> None:
    """One step, one state of the book: the backup API in several steps begins anew at each write and may never end."""
    reader = Reader(book)
    try:
        reader.conn.execute("VACUUM INTO ?", (str(part),))
    finally:
        reader.close()


def proved(part: Path, warn: Callable[[str], None]) -> dict:
    with Reader(part) as reader:
        _refuse(log_faults(reader))
        for fault in rebuild_faults(reader):
            warn(f"Beside the log, {fault}. The copy is good; `glovebook check --mend` works this out anew.")
        return reader.head()


def proved_chain(part: Path) -> dict:
    with Reader(part) as reader:
        _refuse(file_faults(reader))
        _refuse(chain_faults(reader))
        return reader.head()


def _refuse(faults) -> None:
    for fault in faults:
        raise Problem(f"The copy is not sound: {fault}. It was thrown away; run `glovebook check` on the book.")


def flush(part: Path) -> None:
    file = os.open(part, os.O_RDWR)
    try:
        os.fsync(file)
    finally:
        os.close(file)


def give_name(part: Path, target: Path) -> None:
    """Take the name first, so that two backups at once cannot replace each other; FAT has no links to do it with."""
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    try:
        os.replace(part, target)
    except OSError:
        target.unlink()
        raise
    flush_folder(target.parent)


def flush_folder(path: Path) -> None:
    """A new name is only safe once its folder is on disk; Windows does that by itself."""
    if os.name != "posix":
        return
    folder = os.open(path, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
