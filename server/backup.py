"""`glovebook backup`: a copy of the book, taken while it is in use and proved before it gets its name."""

import os
import secrets
from pathlib import Path

from server.check import chain_faults, file_faults, trigger_faults
from server.desk import Problem, must_exist
from server.store import Reader, SqliteError


def backup_book(book: Path, target: Path) -> dict:
    """Copy, prove, then name. Never overwrites.

    returns: the head of the copy, {seq, hash}; raises Problem with what to do
    """
    must_exist(book)
    if target.exists():
        raise Problem(f"{target} exists already, and a backup never overwrites. Give another name.")
    part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        copy(book, part)
        head = proved(part)
        flush(part)
        give_name(part, target)
    except (OSError, SqliteError) as error:
        raise Problem(f"The backup to {target} failed: {error}. The book itself is untouched.") from None
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


def proved(part: Path) -> dict:
    with Reader(part) as reader:
        for faults in (file_faults, trigger_faults, chain_faults):
            for fault in faults(reader):
                raise Problem(f"The copy is not sound: {fault}. It was thrown away; run `glovebook check` on the book.")
        return reader.head()


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
    if os.name == "posix":
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
