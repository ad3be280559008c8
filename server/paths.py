"""Where the files of the page stand: beside the package in the source tree, inside it in an installed wheel."""

from pathlib import Path

_here = Path(__file__).resolve().parent
_installed = _here / "_static"

STATIC = _installed if _installed.is_dir() else _here.parent / "static"
