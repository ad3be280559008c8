"""Many small histories in which things go wrong; none may cost an entry. `python -m tests.faults SEED` repeats one."""

import subprocess
import sys

import pytest
from harness import ROOT

CORES = 2
ONE_IN_CI = 60  # a history takes 1.25 s of one core, and the whole of the tests has 14 minutes
LONG = 100_000


def led(first: int, count: int) -> list[str]:
    """What the histories of these seeds broke, led by a child for each core."""
    share = count // CORES
    children = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.faults", str(first + core * share), "--count", str(share)],
            cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )
        for core in range(CORES)
    ]  # fmt: skip
    told = [child.communicate()[0] for child in children]
    good = [
        child.returncode == 0 and f"{share} passed, 0 failed" in words
        for child, words in zip(children, told, strict=True)
    ]
    return [words for words, is_good in zip(told, good, strict=True) if not is_good]


def test_no_history_costs_an_entry(chrome_path):
    broken = led(1, ONE_IN_CI)
    assert not broken, "\n".join(broken)


@pytest.mark.long
def test_no_history_of_very_many_costs_an_entry(chrome_path):
    broken = led(ONE_IN_CI + 1, LONG)
    assert not broken, "\n".join(broken)
