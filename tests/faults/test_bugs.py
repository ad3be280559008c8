"""The simulator finds what it is there to find: bugs put in on purpose, each caught within a few histories."""

import pytest
from faults.run import one, opened, stage

from server import sync

MOST = 40

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
        "death", "/data/sync.js", "    const isLacking = await db.write(STORES, async (tx) => {\n",
        "    await db.write(['meta'], (tx) => tx.objectStore('meta').put(json.since, 'since'));\n"
        "    const isLacking = await db.write(STORES, async (tx) => {\n",
    ),
    "a second try carries a new id": (
        "storage", "/data/book.js", "unsettled.get(key) ?? uuid7(Date.now())", "uuid7(Date.now())",
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def on_stage(playwright_driver, chrome_path):
    with stage(playwright_driver) as both:
        yield both


def caught(on_stage, trouble: str, bugs=()) -> bool:
    """Whether any of a few histories with this sort of trouble breaks a promise."""
    line, browser = on_stage
    page = opened(browser, line, list(bugs))
    try:
        return any(one(line, seed, trouble=[trouble]).wrong for seed in range(1, MOST + 1))
    finally:
        page.close()


@pytest.mark.parametrize("name", BUGS)
def test_a_bug_in_the_page_is_caught(on_stage, name):
    trouble, *bug = BUGS[name]
    assert caught(on_stage, trouble, [bug]), f"not found in {MOST} histories"


def test_phones_that_are_not_told_of_a_restore_are_caught(on_stage, monkeypatch):
    monkeypatch.setattr(sync, "is_other_history", lambda *_: False)
    assert caught(on_stage, "restore"), f"not found in {MOST} histories"
