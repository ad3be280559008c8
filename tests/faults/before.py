"""The page's code of the version before, as houses still have it on a phone: `python -m tests.faults.before REVISION`.

Writes before.zip from what the history of the sources has; do so when a version goes out to houses.
"""

import io
import json
import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
ARCHIVE = Path(__file__).with_name("before.zip")
PARTS = ["static/data", "static/book", "static/reckon", "static/parts"]  # the rest is taken from the version of now
KINDS = "book/kinds.json"
NOT_KNOWN = ("transfer", "lab", "sweeten")  # kinds taken out, so that it meets some that it does not know


def keep(revision: str) -> None:
    words = ["git", "archive", "--format=zip", revision, *PARTS]
    packed = subprocess.run(words, cwd=ROOT, check=True, capture_output=True).stdout
    ARCHIVE.write_bytes(packed)


def files() -> dict[str, bytes]:
    """Every file under its path in static/."""
    with zipfile.ZipFile(io.BytesIO(ARCHIVE.read_bytes())) as packed:
        found = {name.removeprefix("static/"): packed.read(name) for name in packed.namelist() if name[-1] != "/"}
    declared = json.loads(found[KINDS])
    for kind in NOT_KNOWN:
        del declared["kinds"][kind]
    return found | {KINDS: json.dumps(declared).encode()}


if __name__ == "__main__":
    keep(sys.argv[1])
