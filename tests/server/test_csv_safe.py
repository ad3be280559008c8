"""Fields that a spreadsheet could take for formulas; the list is that of OWASP's page "CSV Injection"."""

import csv
import io
import json
import time

import pytest
from formulas import FORMULAS
from hypothesis import given
from hypothesis import strategies as st
from often import often

from server import sync
from server.csv_safe import cell
from server.office import exports
from server.office.tables import TABLES
from server.store import Store

from .conftest import SITE, entry_text


@pytest.mark.parametrize("text", FORMULAS)
def test_what_could_be_a_formula_begins_with_an_apostrophe(text):
    assert cell(text).startswith("'") and cell(text).replace("'", "") == text.replace("'", "")


def as_parted(rows: list[list[str]], sign: str) -> list[str]:
    """The cells of a file of ours as a spreadsheet has them that parts cells by another sign."""
    out = io.StringIO(newline="")
    csv.writer(out).writerows([cell(text) for text in row] for row in rows)
    return [one for row in csv.reader(io.StringIO(out.getvalue(), newline=""), delimiter=sign) for one in row]


@pytest.mark.parametrize("sign", [";", "\t"])
@pytest.mark.parametrize("text", [*FORMULAS, "@x", "=1"])
def test_a_cell_that_is_parted_in_its_middle_begins_no_formula(text, sign):
    """Where a decimal has a comma, a spreadsheet parts the cells of a CSV by semicolons. OWASP's page: "take care of
    the field separator and quotes, as attackers could use this to start a new cell"."""
    for before in ("x;", "x\t", "x\n", "x\r", "x,y;", 'say ""\n', "; ; "):
        for one in as_parted([["a", f"{before}{text};y", "b"]], sign):
            assert not one.lstrip().startswith(("=", "+", "-", "@")) or cell(one) == one, (before, one)


def test_a_long_text_of_nothing_costs_little():
    began = time.process_time()
    cell("x" + "\n" * 64_000)
    cell(";" * 64_000)
    assert time.process_time() - began < 5  # without a bound it took 12 s


def test_json_in_a_cell_is_not_parted(tmp_path):
    said = {"note": "x;=1+1;y", "typed": "62,4"}
    with Store(tmp_path / "book.db", site=SITE) as book:
        sync.take(book, [entry_text(said=said)], "A.00000000")
    rows = list(TABLES["entries"].rows(exports.read_book(tmp_path / "book.db")))
    assert ";" not in rows[0][-1] and json.loads(rows[0][-1]) == said


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
    assert [[text.replace("'", "") for text in row] for row in found] == [
        [text.replace("'", "") for text in row] for row in rows
    ]
