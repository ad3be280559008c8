"""One process writes the book at a time; the others learn from the lock where it serves, and ask it to write."""

import contextlib
import json
import os
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None
    import msvcrt

_BYTE = 1 << 30  # Windows locks a stretch of bytes: one far behind the note, so that the note can be read


class BookInUse(Exception):
    """Another process has this book open for writing. `serving` is its note: {url, key}, or None."""

    def __init__(self, path: Path, serving: dict | None):
        super().__init__(f"The book {path} is open in another Glovebook on this machine. Stop that one first.")
        self.serving = serving


class Lock:
    """An exclusive lock beside the book, held while this object lives; it falls by itself when the process dies."""

    def __init__(self, book: Path):
        self.path = book.with_name(book.name + ".lock")
        self._file = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(self._file)
        except OSError:
            os.close(self._file)
            raise BookInUse(book, read_note(self.path)) from None
        os.ftruncate(self._file, 0)

    def note(self, serving: dict) -> None:
        """Say in the lock where this process serves, and the key by which the office's commands are known."""
        os.lseek(self._file, 0, os.SEEK_SET)
        os.write(self._file, json.dumps(serving).encode())

    def release(self) -> None:
        if self._file is None:
            return
        with contextlib.suppress(OSError):
            os.ftruncate(self._file, 0)
        os.close(self._file)
        self._file = None


def read_note(path: Path) -> dict | None:
    try:
        return json.loads(path.read_text())
    except (OSError, ValueError):
        return None


def _lock(file: int) -> None:
    if fcntl:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    else:
        os.lseek(file, _BYTE, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
