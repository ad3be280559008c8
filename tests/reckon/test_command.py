"""The command: a line in, a line out, in order, whatever a line holds."""

import io
import json

import pytest

from server.reckon import reckon
from server.reckon.command import LINE_BYTES, run

GOOD = {"want": "strength", "abv_pct": 40}


def answers(*lines: bytes) -> list[dict]:
    given = io.TextIOWrapper(io.BytesIO(b"\n".join(lines) + b"\n"))
    out = io.BytesIO()
    stdout = io.TextIOWrapper(out)  # named, or it would close its bytes on its way out
    run(given, stdout)
    return [json.loads(line) for line in out.getvalue().splitlines()]


@pytest.mark.parametrize(
    ("bad", "word"),
    [
        (b"", "one JSON object"),
        (b"strength", "one JSON object"),
        (b'{"want": "strength", "abv_pct": 40', "one JSON object"),
        (b'{"want": "strength", "abv_pct": NaN}', "NaN"),
        (b'{"want": "strength", "abv_pct": -Infinity}', "-Infinity"),
        (b'{"want": "strength", "abv_pct": 40, "abv_pct": 50}', "twice"),
        (b'{"want": "strength", "abv_pct": 1e999}', "too large"),
        (b'{"want": "strength", "abv_pct": ' + b"9" * 5000 + b"}", "too large"),
        (b'{"want": "strength", "abv_pct": "\xff"}', "one JSON object"),
        (b"[" * 50000, "one JSON object"),
        (b'"' + b"x" * (3 * LINE_BYTES) + b'"', "bytes long"),
        (b"[]", "a list"),
    ],
    ids=lambda part: str(part)[:40],
)
def test_a_bad_line_is_answered_and_the_next_one_too(bad, word):
    first, second, third = answers(json.dumps(GOOD).encode(), bad, json.dumps(GOOD).encode())
    assert first == third == reckon(GOOD)
    assert set(second["error"]) == {"field", "given", "expected", "say"} and word in second["error"]["say"]


def test_answers_come_in_order_and_without_a_last_newline():
    out = io.StringIO()
    run(io.StringIO("\n".join(json.dumps(GOOD | {"abv_pct": abv}) for abv in range(50))), out)
    assert [json.loads(line)["abv_pct"] for line in out.getvalue().splitlines()] == list(range(50))


def test_numbers_come_back_as_they_are():
    assert answers(b'{"want": "strength", "abv_pct": 62.40000000000001}')[0]["abv_pct"] == 62.40000000000001


def test_half_a_character_does_not_stop_it():
    assert answers(b'{"want": "\\ud800"}')[0]["error"]["given"] == "\ud800"
