"""The frozen answers in both languages: they are our own and prove only that nothing moved."""

import json
from pathlib import Path

import pytest
from reckon.both import here, in_page, with_hex

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/reckon.json").read_text(encoding="utf-8"))


def test_there_are_some_hundreds_good_and_bad():
    refused = [vector for vector in VECTORS if "error" in vector["answer"]]
    assert len(VECTORS) > 300 and 50 < len(refused) < len(VECTORS) / 2
    assert len({vector["id"] for vector in VECTORS}) == len(VECTORS)


@pytest.mark.parametrize("vector", VECTORS, ids=lambda vector: vector["id"])
def test_python_answers_as_frozen(vector):
    assert here([["reckon", vector["request"]]]) == [with_hex(vector["answer"])], vector["comment"]


def test_the_page_answers_as_frozen(page_at_origin):
    answers = in_page(page_at_origin, [["reckon", vector["request"]] for vector in VECTORS])
    for vector, answer in zip(VECTORS, answers, strict=True):
        assert answer == with_hex(vector["answer"]), f"{vector['id']}: {vector['comment']}"
