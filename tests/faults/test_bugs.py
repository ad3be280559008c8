"""The simulator finds what it is there to find: bugs put in on purpose, each caught by some history."""

import pytest
from faults.run import one, opened, stage

from server import sync

MOST = 600  # the rarest is caught by one in eighty

BUGS = {
    "saved is said before the transaction is complete": (
        "storage", "/data/db.js", "  await done; // 'complete': an earlier 'success' is not yet on disk\n", "",
    ),
    "a request that a proxy turned away empties the outbox": (
        "network", "/data/sync.js", "      if (!isForEntries(problem) || !batch.entries.length) throw problem;\n",
        "      if (isForEntries(problem)) await db.write(STORES, (tx) => tx.objectStore('outbox').clear());\n"
        "      throw problem;\n",
    ),
    "the cursor moves before the data that it covers": (
        "death", "/data/sync.js", "function takeIn(db, entries, { json, measured }) {\n",
        "async function takeIn(db, entries, { json, measured }) {\n"
        "  await db.write(['meta'], (tx) => tx.objectStore('meta').put(json.since, 'since'));\n",
    ),
    "a tab does not read what a tab of the version before tells it": (
        "version", "/data/book.js", "readSince(tx, shownTurn, more)", "readSince(tx, shownTurn)",
    ),
    "a second try carries a new id": (
        "storage", "/data/book.js", "unsettled.get(key) ?? uuid7(Date.now())", "uuid7(Date.now())",
    ),
}  # fmt: skip

# Histories that once cost an entry, its sight or a second pairing: seed -> what mended it, taken out again
MENDED = {
    1023: ("/data/device.js", "  else if (unkept) await keep();\n", ""),
    32011: ("/data/lately.js", "ids: isTold ?", "ids: isTold ? [] : known >= 0 ?"),
    41649: ("/data/outbox.js", "isTrial ? await dueAgain(tx) : waiting", "waiting"),
}


@pytest.fixture(scope="module")
def line(chrome_path):
    with stage() as line:
        yield line


def caught(line, trouble: str, bugs=()) -> bool:
    """Whether any history with this sort of trouble breaks a promise."""
    with opened(line, bugs):
        return any(one(line, seed, trouble=[trouble]).wrong for seed in range(1, MOST + 1))


@pytest.mark.parametrize("name", BUGS)
def test_a_bug_in_the_page_is_caught(line, name):
    trouble, *bug = BUGS[name]
    assert caught(line, trouble, [bug]), f"not found in {MOST} histories"


def test_a_history_that_once_failed_passes_and_fails_without_what_mended_it(line):
    for bugs, is_wrong in ([], False), (list(MENDED.values()), True):
        with opened(line, bugs):
            broken = {seed: one(line, seed).wrong for seed in MENDED}
        assert [seed for seed in MENDED if bool(broken[seed]) != is_wrong] == [], (bugs, broken)


def test_phones_that_are_not_told_of_a_restore_are_caught(line, monkeypatch):
    monkeypatch.setattr(sync, "is_other_history", lambda *_: False)
    assert caught(line, "restore"), f"not found in {MOST} histories"


def test_a_page_that_dies_in_a_transaction_does_not_hold_up_the_next_one(line):
    with opened(line):
        outcome = one(line, 1012, trouble=["version", "tabs", "death"])
    assert (outcome.wrong, outcome.has_ended) == ([], True)
