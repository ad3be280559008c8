"""Many small histories in which things go wrong; none may cost an entry. `python -m tests.faults SEED` repeats one."""

import json
import re
import subprocess
import sys
from collections import Counter

import pytest
from harness import ROOT

CORES = 2
IN_CI = 1_000
LONG = 100_000
# Every fault that must really have struck: in a thousand histories each does some ten times at least.
STRUCK = [
    "answer lost after commit", "request repeated", "request reordered", "request cut", "server killed in commit",
    "database or disk is full", "database is locked", "restored from a backup", "two phones with one identity",
    "storage wiped", "quota exceeded", "IndexedDB connection lost", "two tabs", "new version in the middle",
    "token revoked", "clock ten years off", "client one version behind",
]  # fmt: skip


def led(first: int, count: int) -> tuple[list[str], Counter[str]]:
    """What the histories of these seeds broke, and how often each fault struck; led by a child for each core."""
    share = count // CORES
    children = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.faults", str(first + core * share), "--count", str(share)],
            cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )
        for core in range(CORES)
    ]  # fmt: skip
    broken, struck = [], Counter()
    for child, words in [(child, child.communicate()[0]) for child in children]:
        struck += Counter(json.loads(next(iter(re.findall("^struck: (.*)$", words, re.MULTILINE)), "{}")))
        if child.returncode != 0 or f"{share} passed, 0 failed" not in words:
            broken.append(words)
    return broken, struck


def test_no_history_costs_an_entry(chrome_path):
    broken, struck = led(1, IN_CI)
    assert not broken, "\n".join(broken)
    assert [name for name in STRUCK if struck[name] < 5] == [], struck


@pytest.mark.long
def test_no_history_of_very_many_costs_an_entry(chrome_path):
    broken, struck = led(IN_CI + 1, LONG)
    assert not broken, "\n".join(broken)
    assert [name for name in STRUCK if struck[name] < 500] == [], struck
