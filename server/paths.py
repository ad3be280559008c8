"""Where things stand: the files of the page, and the book when no other place is named."""

import os
import sys
from pathlib import Path

_here = Path(__file__).resolve().parent
_installed = _here / "_static"

# Beside the package in the source tree, inside it in an installed wheel.
STATIC = _installed if _installed.is_dir() else _here.parent / "static"


def default_book() -> Path:
    """The book's file for the person who is logged in, by the custom of their system."""
    if sys.platform == "win32":
        base = Path(os.environ.get("APPDATA") or Path.home() / "AppData" / "Roaming")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    return base / "glovebook" / "book.db"
