"""Many small histories in which things go wrong; none may cost an entry. `python -m tests.faults SEED` repeats one."""

from collections import Counter

import pytest
from faults.ranges import RANGE, Led, all_led

CORES = 2
IN_CI = 1_000
LONG = 100_000
# Every fault that must really have struck: in a thousand histories each does some ten times at least.
STRUCK = [
    "answer lost after commit", "request repeated", "request reordered", "request cut", "server killed in commit",
    "database or disk is full", "database is locked", "restored from a backup", "two phones with one identity",
    "storage wiped", "quota exceeded", "IndexedDB connection lost", "two tabs", "new version in the middle",
    "token revoked", "clock ten years off", "client one version behind", "two versions in two tabs",
]  # fmt: skip


def none_fails(first: int, count: int, at_least: int) -> None:
    """at_least: how often each fault must have struck in so many histories."""
    led, struck = 0, Counter()
    for each in all_led(first, count, CORES):
        led, struck = led + each.count, struck + each.struck
        assert not each.failed, "\n".join(word for words in each.failed.values() for word in words)
    assert led == count
    assert [name for name in STRUCK if struck[name] < at_least] == [], struck


def test_no_history_costs_an_entry(chrome_path):
    none_fails(0, IN_CI, at_least=5)


def test_a_long_run_goes_on_from_what_a_file_has(tmp_path):
    whole = [Led(at, RANGE, 40.0, {str(at + 3): ["lost"]}, Counter({"two tabs": 2})) for at in (0, RANGE, 2 * RANGE)]
    kept = tmp_path / "led.jsonl"
    kept.write_text("".join(one.line() for one in whole[:2]) + whole[2].line()[:30])
    assert list(all_led(0, 2 * RANGE, 1, kept)) == whole[:2], "nothing is led again"
    assert not list(all_led(7, 0, 1, kept)), "what was not asked for is not told of"


@pytest.mark.long
def test_no_history_of_very_many_costs_an_entry(chrome_path):
    none_fails(0, LONG, at_least=500)
