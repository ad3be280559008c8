"""The whole book for other programs: a folder of CSV, an SQLite file with documented views, Parquet for a group's sums.

Everything is written beside its final name and renamed when whole; nothing that is there is overwritten. Parquet is
written by DuckDB, an optional extra (`pip install glovebook[group]`).
"""

import csv
import json
import os
import tempfile
from pathlib import Path

from sqlite_utils import Database

from server import csv_safe
from server.office.tables import TABLES, Book, head, type_of
from server.reader import Reader
from server.troubles import FULL


class ExportProblem(Exception):
    """Something that the person who exports can put right; the message says how."""


def read_book(path: Path) -> Book:
    with Reader(path) as reader:
        return Book.of(reader.texts(), reader.marks())


def unused(target: Path) -> Path:
    """A place that does not exist yet, its folder made; raises ExportProblem."""
    if target.exists():
        raise ExportProblem(f"{target} is there already. Name a place that does not exist yet.")
    target.parent.mkdir(parents=True, exist_ok=True)
    return target


def plain(value: object) -> object:
    return int(value) if isinstance(value, bool) else csv_safe.cell(value)


def to_csv(book: Book, folder: Path) -> list[Path]:
    """One file a table, RFC 4180, UTF-8 with the mark that spreadsheets look for, and `about.csv` with every column."""
    target = unused(folder)
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".export-") as beside:
        made = Path(beside) / "tables"
        made.mkdir()
        for name, table in TABLES.items():
            write_csv(made / f"{name}.csv", [head(column) for column in table.columns], table.rows(book))
        write_csv(made / "about.csv", ("table", "column", "unit", "about"), about_rows())
        os.replace(made, target)
    return sorted(target.glob("*.csv"))


def write_csv(path: Path, heads: list, rows) -> None:
    with path.open("w", encoding="utf-8-sig", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(heads)
        writer.writerows([plain(cell) for cell in row] for row in rows)


def about_rows():
    for name, table in TABLES.items():
        yield name, "", "", table.about
        yield from ((name, column, unit, says) for column, unit, says in table.columns)


VIEWS = {
    "stock_now": ("Bottles and pure alcohol in stock.",
                  "SELECT lot, product, in_stock, pure_alcohol_l FROM bottled JOIN places ON place = 'stock/' || lot"),
    "losses_by_month": ("What was lost in each book month, by cause.",
                        "SELECT month, substr(other, 6) AS cause, sum(pure_alcohol_l) AS pure_alcohol_l FROM account "
                        "WHERE level = 'stage' AND way = 'out' AND other LIKE 'lost/%' GROUP BY month, other"),
    "yield_by_run": ("Hearts or low wines of each ended run as a share of its charge.",
                     "SELECT run, sort, charged_pure_alcohol_l, CASE sort WHEN 'strip' THEN low_wines_pure_alcohol_l "
                     "ELSE hearts_pure_alcohol_l END / charged_pure_alcohol_l AS share FROM runs "
                     "WHERE ended IS NOT NULL AND charged_pure_alcohol_l > 0"),
    "in_and_out": ("What came into the house and what left it in each book month.",
                   "SELECT month, way, other, sum(pure_alcohol_l) AS pure_alcohol_l FROM account WHERE level = 'stage' "
                   "AND other LIKE '%/%' AND way IN ('in', 'out') GROUP BY month, way, other"),
}  # fmt: skip


def to_sqlite(book: Book, target: Path) -> Path:
    """One file of plain tables; `about` documents every table, column and view."""
    unused(target)
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".export-") as beside:
        made = Path(beside) / "book.sqlite3"
        db = Database(made)
        for name, table in TABLES.items():
            types = {column[0]: type_of(column) for column in table.columns}
            db[name].create(types)
            db[name].insert_all(dict(zip(types, row, strict=True)) for row in table.rows(book))
        for name, (_, sql) in VIEWS.items():
            db.create_view(name, sql)
        rows = [*about_rows(), *((name, "", "", f"View. {says}") for name, (says, _) in VIEWS.items())]
        db["about"].insert_all(dict(zip(("name", "column", "unit", "about"), row, strict=True)) for row in rows)
        db.close()
        os.replace(made, target)
    return target


DUCKDB = {str: "VARCHAR", int: "BIGINT", float: "DOUBLE", bool: "BOOLEAN"}


def to_parquet(book: Book, folder: Path, site: str) -> list[Path]:
    """One file a table, each row with the site's id and name, so that several houses' files can be read as one."""
    try:
        import duckdb
    except ImportError:
        say = "Parquet needs DuckDB: pip install 'glovebook[group]'. CSV and SQLite need nothing."
        raise ExportProblem(say) from None
    target = unused(folder)
    site_name = (book.state["site"] or {}).get("name")
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".export-") as beside, duckdb.connect() as db:
        made = Path(beside) / "tables"
        made.mkdir()
        for name, table in TABLES.items():
            lines = Path(beside) / f"{name}.json"
            types = {"site_id": str, "site_name": str, **{column[0]: type_of(column) for column in table.columns}}
            with lines.open("w", encoding="utf-8") as out:
                for row in table.rows(book):
                    told = dict(zip(types, (site, site_name, *row), strict=True))
                    out.write(json.dumps(told, ensure_ascii=False) + "\n")
            columns = {column: DUCKDB[type_] for column, type_ in types.items()}
            read = db.read_json(str(lines), format="newline_delimited", columns=columns)
            try:
                read.write_parquet(str(made / f"{name}.parquet"))
            except duckdb.IOException as error:
                is_full = "No space left" in str(error)
                raise ExportProblem(FULL if is_full else f"{target} could not be written: {error}") from None
        os.replace(made, target)
    return sorted(target.glob("*.parquet"))
