"""The book as tables, and tables into the book: read back by csv, sqlite3 and DuckDB, which know nothing of ours."""

import csv
import json
import sqlite3
import time
from pathlib import Path

import duckdb
import pytest

from server import devices, sync
from server.__main__ import main
from server.book.compose import compose
from server.book.fold import fold
from server.office import exports, tables
from server.reader import Reader
from server.store import Store

from .conftest import SITE

LITRE_PA = 0.78924  # kg/L, ethanol at 20 °C: OIML R 22 (1973), table of general formula at p = 100 %


def typed(text: str, unit: str) -> dict:
    return {"typed": text, "unit": unit}


def small_book(path, site: str = SITE, name: str = "Ledger", kg: int = 40):
    """A vessel with 100 kg of spirit, `kg` of them ethanol; 10 kg are lost, and somebody is called like a formula."""
    book = Store(path, site=site)
    device = book.write(devices.pair).result()["device"]
    units = {"volume": "L", "mass": "kg", "temperature": "C", "strength": "abv", "alcohol": "LPA"}
    clock = {"zone": "Europe/Vienna", "day_start": "06:00", "shifts": ["06:00"]}
    sums = {"ethanol_mg": kg * 10**6, "liquid_mg": 100 * 10**6, "extract_mg": 0}
    tenth = {key: value // 10 for key, value in sums.items()}
    said = [
        ("site", {"name": name, "market": "EU", "units": units, **clock}),
        ("person", {"name": "=Ines"}),
        ("vessel", {"tag": "T-1", "sort": "tank", "capacity_l": typed("500", "L"), "account": "storage"}),
        ("opening", {"vessel": "T-1", "gauge": {"book": sums}, "holds": "spirit"}),
        ("loss", {"vessel": "T-1", "cause": "spillage", "by": "amount", "gauge": {"book": tenth}, "book": sums}),
    ]
    texts = []
    for n, (kind, words) in enumerate(said, 1):
        now = int(time.time() * 1000) + n
        context = {"site": site, "device": device, "n": n, "by": "=Ines", "clock": 0, "now": now}
        texts.append(json.dumps(compose(kind, words, context)))
    assert not sync.take(book, texts, device)["refused"]
    book.close()
    return path


def rows_of(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_csv_reads_back_with_units_in_the_heads_and_no_formula(tmp_path):
    book = exports.read_book(small_book(tmp_path / "book.db"))
    exports.to_csv(book, tmp_path / "csv")
    place = next(row for row in rows_of(tmp_path / "csv" / "places.csv") if row["place"] == "vessel/T-1")
    assert int(place["ethanol_mg [mg]"]) == 36_000_000
    assert abs(float(place["pure_alcohol_l [L at 20 °C]"]) - 36 / LITRE_PA) < 0.001
    entries = rows_of(tmp_path / "csv" / "entries.csv")
    assert {row["by"] for row in entries} == {"'=Ines"}
    assert json.loads(entries[2]["said"])["capacity_l"] == typed("500", "L")
    about = {(row["table"], row["column"]): row for row in rows_of(tmp_path / "csv" / "about.csv")}
    for name in tables.TABLES:
        heads = rows_of(tmp_path / "csv" / f"{name}.csv")
        assert about[name, ""]["about"]
        for head in heads[0] if heads else ():
            assert about[name, head.split(" [")[0]]["about"], (name, head)
    with pytest.raises(exports.ExportProblem):
        exports.to_csv(book, tmp_path / "csv")


def test_the_account_in_the_tables_adds_up_with_plain_sql(tmp_path):
    book = exports.read_book(small_book(tmp_path / "book.db"))
    db = sqlite3.connect(exports.to_sqlite(book, tmp_path / "tables.sqlite3"))
    wrong = db.execute(
        "SELECT month, group_name, sum(CASE way WHEN 'out' THEN -ethanol_mg WHEN 'closing' THEN -ethanol_mg "
        "ELSE ethanol_mg END) AS off FROM account GROUP BY month, level, group_name HAVING off != 0"
    ).fetchall()
    assert wrong == []
    assert db.execute("SELECT cause, round(pure_alcohol_l, 3) FROM losses_by_month").fetchall() == [("spillage", 5.068)]
    views = {name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'view'")}
    assert views == {name for (name,) in db.execute("SELECT name FROM about WHERE about LIKE 'View.%'")}
    assert all(db.execute(f"SELECT count(*) FROM {view}").fetchone() for view in views)
    db.close()


def queries() -> list[str]:
    """The queries that the README shows."""
    block = (Path(__file__).resolve().parents[2] / "README.md").read_text().split("```sql")[1].split("```")[0]
    return [query for query in block.split(";") if query.strip()]


def test_two_houses_are_added_up_by_duckdb(tmp_path):
    for site, name, kg in (("s-one", "Upper house", 40), ("s-two", "Lower house", 20)):
        book = exports.read_book(small_book(tmp_path / f"{site}.db", site, name, kg))
        exports.to_parquet(book, tmp_path / "group" / site, site)
    files = f"'{tmp_path}/group/*/account.parquet'"
    for query in queries():
        assert duckdb.sql(query.replace("'group/", f"'{tmp_path}/group/")).columns[0] == "site_name", query
    asked = f"SELECT site_name, sum(ethanol_mg) FROM read_parquet({files}) WHERE level = 'stage' AND way = 'out' "
    lost = duckdb.sql(asked + "GROUP BY ALL ORDER BY 1").fetchall()
    assert lost == [("Lower house", 2_000_000), ("Upper house", 4_000_000)]


def test_the_command_writes_all_three(tmp_path, capsys):
    book = small_book(tmp_path / "book.db")
    places = ["--csv", tmp_path / "c", "--sqlite", tmp_path / "s.db", "--parquet", tmp_path / "p"]
    assert main([str(word) for word in ("export", "--book", book, *places)]) == 0
    assert len(capsys.readouterr().out.splitlines()) == 3
    assert main(["export", "--book", str(book), "--csv", str(tmp_path / "c")]) == 1
    assert "is there already" in capsys.readouterr().err


def state_of(path) -> dict:
    with Reader(path) as reader:
        return fold([json.loads(text) for text in reader.texts()])
