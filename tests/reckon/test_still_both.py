"""Both languages give the same to 1e-9 and refuse in the same words, for the wants that make no lines in the book."""

import pytest
from reckon.asked_still import WANTS, corners, questions
from reckon.both import here, in_page, near

SEED = 20261125
COUNT = {"run": 40, "ladder": 100}


def answered(page, asked: list) -> int:
    """How many of the questions were answered, failing on the first on which the languages differ."""
    calls = [["reckon", one] for one in asked]
    ours, theirs = here(calls), in_page(page, calls)
    for question, mine, other in zip(asked, ours, theirs, strict=True):
        assert near(mine, other), f"{question}: Python {mine}, page {other}"
    return sum("error" not in answer for answer in ours)


@pytest.mark.parametrize("want", WANTS)
def test_seeded_questions(page_at_origin, want):
    asked = questions(want, COUNT.get(want, 300), SEED)
    assert answered(page_at_origin, asked) > len(asked) / 3, "the mix of good and bad questions has gone astray"


@pytest.mark.parametrize("want", WANTS)
def test_bad_values_at_every_key(page_at_origin, want):
    asked = corners(want, SEED)
    assert answered(page_at_origin, asked) < len(asked) / 2


def test_near_is_not_far():
    bits = ("3ff0000000000000", "3ff0000000000009", "3ff0000100000000")
    one, close, far = ({"a": ["#" + one]} for one in bits)
    assert near(one, close) and not near(one, far) and not near(one, {"a": []}) and not near(one, {"b": one["a"]})
