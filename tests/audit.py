"""`python tests/audit.py`: known faults of what Glovebook stands on at run time, where `pip-audit` cannot ask.

pip-audit asks PyPI for one version of a package; an index in between may not pass that on, and then nothing is audited.
This asks for the package as a whole, which tells the faults of its newest version, and says of every other that it was
not audited. It ends with 0 only when all of them were, and no fault is known.
"""

import json
import sys
import urllib.request
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "server"))
from pip._internal.models.index import PyPI
from test_dependencies import needed


def asked(name: str) -> dict:
    with urllib.request.urlopen(f"{PyPI.pypi_url}/{name}/json", timeout=30) as answer:
        return json.load(answer)


def judged(name: str, here: str) -> tuple[bool, str]:
    """Whether it is clean, and a line of words."""
    try:
        told = asked(name)
        newest, faults = told["info"]["version"], told["vulnerabilities"]
    except (OSError, ValueError, KeyError) as problem:
        return False, f"{name} {here}: NOT audited, the index gave no list ({problem})"
    if newest != here:
        return False, f"{name} {here}: NOT audited, the newest is {newest}; upgrade and ask again"
    known = ", ".join(fault["id"] for fault in faults if not fault.get("withdrawn"))
    return not known, f"{name} {here}: {known or 'no known fault'}"


def main() -> int:
    found = [judged(name, one.version) for name, one in sorted(needed().items())]
    for _, words in found:
        print(words)
    return 0 if all(is_clean for is_clean, _ in found) else 1


if __name__ == "__main__":
    sys.exit(main())
