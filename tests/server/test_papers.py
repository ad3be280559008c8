"""What the server says of the papers and plots of any time of a large book is what the whole book says."""

import json

import pytest
from large import arrivals, months_of, take

from server import derived, openings, papers
from server.book.done import NAMES
from server.book.order import at_of
from server.book.periods import bounds_of

from .test_openings import book, whole  # noqa: F401


@pytest.mark.parametrize("seed", range(8))
def test_what_was_done_is_kept_as_the_whole_book_has_it(book, seed):  # noqa: F811
    for batch in arrivals(seed):
        take(book, batch)
        openings.bring_up(book, max(at_of(one) for one in batch))
    derived.rebuild_marks(book)
    now = max(at_of(one) for batch in arrivals(seed) for one in batch)
    known = openings.bring_up(book, now)
    assert known.cut is not None
    check_parts(book, known, whole(book))


def plain(value):
    return json.loads(json.dumps(value))


def check_parts(book, known, state) -> None:  # noqa: F811
    with book.read() as reader:
        for sort, name in NAMES.items():
            found = papers.things(reader, known, sort, -(2**62), 2**62)
            assert plain(found) == plain(state[name]), sort
            assert papers.things_named(reader, known, sort, list(found)) == found
        for month in months_of([record["entry"] for record in state["entries"].values()]):
            span = bounds_of(month, state["site"])
            check_findings(papers.findings(reader, known, *span), state, span)
            right = [one for one in state["differences"]["each"] if span[0] <= one["at"] < span[1]]
            assert plain(papers.differences(reader, known, *span)) == plain(right), month


def check_findings(here: list, state: dict, span: tuple) -> None:
    begin, until = span
    ats = {one: record["at"] for one, record in state["entries"].items()}
    right = [one for one in state["findings"] if any(begin <= ats.get(id_, -1) < until for id_ in one["entries"])]
    assert [one["key"] for one in here] == [one["key"] for one in right]
    for one, other in zip(here, right, strict=True):
        assert one == other
