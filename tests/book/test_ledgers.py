"""The small ledgers: hand-worked sums and findings, in Python and in the real browser alike."""

import json

import pytest
from book.ledger_book import LEDGERS, SUMS, entries_of, id_of, load, with_ids

from server.book.fold import fold

FOLD_ALL = """async (books) => {
  const { fold } = await import('/book/fold.js');
  return books.map(({ entries, marks }) => JSON.stringify(fold(entries, { marks })));
}"""


def marks_of(ledger: dict) -> dict:
    return {id_of(name): marks for name, marks in ledger.get("marks", {}).items()}


def folded(ledger: dict) -> dict:
    return fold(entries_of(ledger), marks_of(ledger))


def triple(sums: dict) -> list:
    return [sums[name] for name in SUMS]


@pytest.mark.parametrize("path", LEDGERS, ids=lambda path: path.stem)
def test_ledger_comes_out_as_worked_by_hand(path):
    ledger = load(path)
    state, expect = folded(ledger), ledger["expect"]
    within = expect.get("within_mg", 0)
    for place, sums in expect["places"].items():
        got = triple(state["places"][place])
        assert all(abs(one - other) <= within for one, other in zip(got, sums, strict=True)), (place, got, sums)
    keys = sorted(finding["key"] for finding in state["findings"])
    assert keys == sorted(with_ids({"keys": expect["findings"]})["keys"])
    if "holds" in expect:
        assert state["holds"] == expect["holds"]
    if "live" in expect:
        named = [id_of(row["id"]) for row in ledger["entries"]]
        assert sorted(one for one in named if state["entries"][one]["live"]) == sorted(map(id_of, expect["live"]))
    check_part(state, with_ids(expect.get("state", {})))
    for name, figures in expect.get("runs", {}).items():
        check_run(state["runs"][id_of(name)], figures)


def check_part(got, wanted, path: str = "state") -> None:
    """Every figure that the ledger names is in the state; those with a fraction to the digits that it gives."""
    if isinstance(wanted, dict):
        for key, value in wanted.items():
            check_part(got[key], value, f"{path}/{key}")
    elif isinstance(wanted, list):
        for place, (one, value) in enumerate(zip(got, wanted, strict=True)):
            check_part(one, value, f"{path}/{place}")
    elif isinstance(wanted, float):
        assert abs(got - wanted) < 0.5 * 10.0 ** -len(str(wanted).split(".")[1]), (path, got, wanted)
    else:
        assert got == wanted, (path, got, wanted)


def check_run(run: dict, figures: dict) -> None:
    assert triple(run["charge"]) == figures["charge"]
    assert triple(run["left"]) == figures["left"]
    assert run["off_mg"] == figures["off_mg"]
    assert run["fractions"] == figures["fractions"]
    assert run["difference"]["ethanol_mg"] == figures["difference_mg"]


@pytest.mark.parametrize("path", LEDGERS, ids=lambda path: path.stem)
def test_all_places_together_hold_nothing(path):
    places = folded(load(path))["places"].values()
    assert [sum(place[name] for place in places) for name in SUMS] == [0, 0, 0]


def test_answer_quiets_the_red_finding():
    ledger = load(next(path for path in LEDGERS if path.stem == "15_already_running"))
    findings = {finding["key"]: finding for finding in folded(ledger)["findings"]}
    started = findings[f"started_open/{id_of('5')}"]
    assert started["severity"] == "stop" and started["answered"] == id_of("6")
    assert findings[f"stop_passed/{id_of('4')}"]["answered"] is None


def test_the_browser_folds_every_ledger_to_the_same_state(page_at_origin):
    books = [{"entries": entries_of(ledger), "marks": marks_of(ledger)} for ledger in map(load, LEDGERS)]
    told = page_at_origin.evaluate(FOLD_ALL, books)
    for path, book, text in zip(LEDGERS, books, told, strict=True):
        assert json.loads(text) == json.loads(json.dumps(fold(book["entries"], book["marks"]))), path.stem
