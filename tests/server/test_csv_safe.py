"""Fields that a spreadsheet could take for formulas; the list is that of OWASP's page "CSV Injection"."""

import csv
import io

import pytest
from formulas import FORMULAS
from hypothesis import given
from hypothesis import strategies as st
from often import often

from server.csv_safe import cell


@pytest.mark.parametrize("text", FORMULAS)
def test_what_could_be_a_formula_begins_with_an_apostrophe(text):
    assert cell(text) == f"'{text}"


@pytest.mark.parametrize(
    "value", [0, -3, -3.5, 1e300, None, True, "-3.5", "+4", "12", "", "a=b", "T-1", "Ines", "62,4 %", "1-2"]
)
def test_numbers_and_plain_words_stay_as_they_are(value):
    assert cell(value) == value


@often(200)
@given(st.lists(st.lists(st.text(st.characters(blacklist_categories=["Cs"])), min_size=2, max_size=4), max_size=4))
def test_every_text_comes_back_whole(rows):
    out = io.StringIO(newline="")
    csv.writer(out).writerows([cell(text) for text in row] for row in rows)
    found = list(csv.reader(io.StringIO(out.getvalue(), newline=""), strict=True))
    assert found == [[cell(text) for text in row] for row in rows]
    assert [[text.removeprefix("'") for text in row] for row in found] == [
        [text.removeprefix("'") for text in row] for row in rows
    ]
