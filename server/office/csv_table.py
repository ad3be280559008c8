"""A table from elsewhere as rows of what would be said: CSV read strictly, each fault named by line and column.

What tables there are, and where their columns go, stands in static/book/imports.json; the page reads it too.
"""

import csv
import io
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass

from server.book.kinds import shown
from server.book.shapes import check_said
from server.paths import STATIC
from server.reckon.refusal import figure
from server.reckon.units import number_of

_DECLARED = json.loads((STATIC / "book" / "imports.json").read_text(encoding="utf-8"))
TABLES, UNITS = _DECLARED["tables"], _DECLARED["units"]
MOST_BYTES, MOST_ROWS, MOST_FAULTS = 1024 * 1024, 2000, 100
_THOUSANDS = re.compile(r"[-−]?[1-9][0-9]{0,2}([.,])[0-9]{3}")  # or three decimals
_DECIMALS = re.compile(r"[-−]?[0-9]*([.,])[0-9]*")
_WHOLE_DIGITS = 12  # more are no count of anything, and Python does not turn 5000 of them into a number


@dataclass(frozen=True)
class Fault:
    line: int  # of the file, from 1
    column: str  # the head it stands under; empty where the whole line is meant
    say: str

    def __str__(self) -> str:
        return f"Line {self.line}{f', column {self.column}' if self.column else ''}: {self.say}"


class ImportFault(Exception):
    """What is wrong with a file: its faults in the order of its lines."""

    def __init__(self, faults: list[Fault]):
        self.faults = sorted(faults, key=lambda fault: fault.line)[:MOST_FAULTS]
        super().__init__("\n".join(map(str, self.faults)))


@dataclass(frozen=True)
class Row:
    """One thing that the file says; `lines`: of the file, one for each row of a strapping table."""

    lines: list[int]
    kind: str
    said: dict

    @property
    def line(self) -> int:
        return self.lines[0]

    def fault(self, table: str, field: str, say: str) -> Fault:
        """What is wrong with a field of what is said, as `rows.2.dip`, at its line and under its head."""
        *path, last = field.split(".")
        at = int(path[1]) if len(path) > 1 and path[1].isdecimal() and int(path[1]) < len(self.lines) else 0
        heads = [column["head"] for column in TABLES[table]["columns"] if column["to"][-1] == last]
        return Fault(self.lines[at], "".join(heads), say)


def template(name: str) -> str:
    """A file to fill in: the heads and some examples."""
    columns = TABLES[name]["columns"]
    examples = zip(*(one["examples"] for one in columns), strict=True)
    out = io.StringIO()
    csv.writer(out).writerows([[whole_head(one) for one in columns], *examples])
    return out.getvalue()


def whole_head(column: dict) -> str:
    return f"{column['head']} [{column['unit']}]" if "unit" in column else column["head"]


def rows_said(name: str, raw: bytes) -> list[Row]:
    """What the file says, each row held to the checks of its kind; ImportFault with every fault."""
    heads, cells = read_rows(raw)
    columns = columns_of(name, heads)
    faults = [Fault(line, f"{len(columns) + 1}", f"{len(row)} cells stand under {len(columns)} heads.")
              for line, row in cells if len(row) > len(columns)]  # fmt: skip
    faults += unclear(cells, columns)
    rows = [Row([line], TABLES[name]["kind"], said_by(row, columns)) for line, row in cells]
    if "rows" in TABLES[name]:
        rows = gathered(name, rows)
    problems = [(row, problem) for row in rows for problem in check_said(row.kind, row.said)]
    faults += [row.fault(name, problem["field"], problem["say"]) for row, problem in problems]
    if faults:
        raise ImportFault(faults)
    return rows


def unclear(cells: list, columns: list) -> list[Fault]:
    """Numbers such as 1,250: twelve hundred and fifty, or one and a quarter? Another number of the file may show it."""
    numbers = [
        (line, column["head"], "".join(cell.split()))
        for line, row in cells
        for (column, _), cell in zip(columns, row, strict=False)
        if column["is"] == "number"
    ]
    found = [(line, head, text, _THOUSANDS.fullmatch(text)) for line, head, text in numbers]
    clear = (_DECIMALS.fullmatch(text) for _, _, text, sign in found if not sign)
    decimal = {sign[1] for sign in clear if sign}
    doubtful = [one for one in found if one[3] and one[3][1] not in decimal]
    return [Fault(line, head, two_ways(text, sign[1])) for line, head, text, sign in doubtful]


def two_ways(text: str, sign: str) -> str:
    """What such a number may be, and how to write it."""
    whole, part = text.replace(sign, ""), figure(number_of(text))
    say = f"{text} may be {whole} or {part}. Write it without a sign for the thousands;"
    return f"{say} or, if these are decimals, with one more: {text}0."



def read_rows(raw: bytes) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Heads, and rows with the number of their first line. Comma, semicolon or tab between cells."""
    if len(raw) > MOST_BYTES:
        raise fault_of(1, f"the file has {len(raw)} bytes; at most {MOST_BYTES} are read at once. Part it.")
    try:
        told = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise fault_of(line, "it is not in UTF-8. Save the file as CSV UTF-8 and try again.") from None
    rows = [(line, row) for line, row in lines_of(told) if any(row)]
    if len(rows) < 2:
        raise fault_of(1, "there is no row under the heads. Begin with the template, which has examples.")
    if len(rows) > MOST_ROWS + 1:
        say = f"there are {len(rows) - 1} rows; at most {MOST_ROWS} are read at once. Part the file here."
        raise fault_of(rows[MOST_ROWS + 1][0], say)
    return rows[0][1], rows[1:]


def fault_of(line: int, say: str) -> ImportFault:
    return ImportFault([Fault(line, "", say)])


def lines_of(told: str) -> Iterator[tuple[int, list[str]]]:
    first = told.split("\n", 1)[0]
    reader = csv.reader(io.StringIO(told, newline=""), delimiter=max(";\t,", key=first.count), strict=True)
    before = 0
    try:
        for row in reader:
            yield before + 1, [cell.strip() for cell in row]
            before = reader.line_num
    except csv.Error as error:
        raise fault_of(before + 1, f"it cannot be read as CSV: {error}. Look at the quotation marks.") from None


def columns_of(name: str, heads: list[str]) -> list[tuple[dict, str | None]]:
    """For each column of the file its declaration and its unit."""
    known = {column["head"]: column for column in TABLES[name]["columns"]}
    faults, found = [], []
    for head in heads:
        word, unit = split_head(head)
        column = known.get(word)
        if column is None:
            say = f"there is no such column; there are {', '.join(map(whole_head, known.values()))}."
            faults.append(Fault(1, shown(head), say))
        elif unit is None and "unit" in column:
            faults.append(Fault(1, word, f"which unit? Write it as {whole_head(column)}."))
        elif unit is not None and unit not in UNITS:
            faults.append(Fault(1, word, f"the unit {shown(unit)} is not known. Known are {', '.join(UNITS)}."))
        elif any(column is one for one, _ in found):
            faults.append(Fault(1, word, "this column is there twice."))
        else:
            found.append((column, UNITS.get(unit)))
    if faults:
        raise ImportFault(faults)
    return found


def split_head(head: str) -> tuple[str, str | None]:
    """ "capacity [hL]" -> ("capacity", "hL")."""
    word, _, unit = head.partition("[")
    return word.strip().lower(), unit.rstrip("] ").strip() if unit else None


def said_by(cells: list[str], columns: list[tuple[dict, str | None]]) -> dict:
    """A row as it would be said; what is empty was not said."""
    said: dict = {}
    for (column, unit), cell in zip(columns, cells, strict=False):
        if cell:
            *path, last = column["to"]
            into = said
            for key in path:
                into = into.setdefault(key, {})
            into[last] = value_of(column, cell, unit)
    return said


def value_of(column: dict, cell: str, unit: str | None) -> object:
    if column["is"] == "number":
        return {"typed": "".join(cell.split()), "unit": unit or ""}
    is_whole = column["is"] == "whole" and cell.isascii() and cell.isdecimal() and len(cell) <= _WHOLE_DIGITS
    return int(cell) if is_whole else cell


def gathered(name: str, rows: list[Row]) -> list[Row]:
    """The rows of one name together in one entry, where the first of them stands."""
    named, under = TABLES[name]["named"], TABLES[name]["rows"]
    found: dict[object, Row] = {}
    for row in rows:
        tag = row.said.get(named)
        one = found.setdefault(tag, Row([], row.kind, {named: tag, under: []}))
        one.lines.append(row.line)
        one.said[under].append({key: value for key, value in row.said.items() if key != named})
    return list(found.values())
