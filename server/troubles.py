"""What went wrong with a file, in words for the person at the desk: which file, why, and what to do next."""

import errno
from pathlib import Path

NO_RIGHT = (
    "is not this person's to use. Run the command as the one who serves the book (sudo -u glovebook "
    "/opt/glovebook/bin/glovebook ..., where the system starts it), or name another place."
)
FULL = "The disk is full. Make room on it and try again; nothing that was in the book is lost."
CLOSED = "stands on a disk or in a folder that cannot be written to. Name another place."
_OF_SYSTEM = {
    errno.EACCES: NO_RIGHT,
    errno.EPERM: NO_RIGHT,
    errno.EROFS: CLOSED,
    errno.ENOENT: "is not there. Look at how it is written, and whether its disk is plugged in.",
    errno.ENOTDIR: "cannot be there, since a part of that path is a file and no folder.",
    errno.EISDIR: "is a folder; the name of a file is wanted.",
}
_OF_SQLITE = {
    "file is not a database": "is no book of Glovebook, or its beginning is damaged. Look at the name of the file; if "
    "it was the book, go back to a backup that checks.",
    "unable to open database file": "cannot be opened by this person, or stands in a folder that cannot be written to. "
    "Copy it with the files whose names begin as its own does, and name the copy with --book.",
    "database disk image is malformed": "is damaged. Keep it as it is, and go back to a backup that checks.",
    "attempt to write a readonly database": CLOSED,
    "database is locked": "is in use by another program. Close that one and try again.",
}


def of_system(error: OSError) -> str:
    """Whole sentences; the file that the error names stands first in them."""
    if error.errno == errno.ENOSPC:
        return FULL
    file = error.filename2 or error.filename or "A file"
    return f"{file} {_OF_SYSTEM.get(error.errno) or f'cannot be used: {error.strerror or error}.'}"


def words(error: Exception, book: Path | str) -> str:
    """What the system or SQLite said, as whole sentences."""
    return of_system(error) if isinstance(error, OSError) else of_sqlite(error, book)


def of_sqlite(error: Exception, book: Path | str) -> str:
    """The same of what SQLite said of a book."""
    if "disk is full" in str(error):
        return FULL
    known = _OF_SQLITE.get(str(error))
    return f"{book} {known}" if known else f"{book} cannot be read or written: {error}. `glovebook check` tells more."
