"""The book as tables, and tables into the book: read back by csv, sqlite3 and DuckDB, which know nothing of ours."""

import csv
import io
import json
import sqlite3
import time
from pathlib import Path

import duckdb
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from server import devices, sync
from server.__main__ import main
from server.book.compose import compose
from server.book.fold import fold
from server.office import exports, imports, tables
from server.store import Reader, Store

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


VESSELS = "tag;sort;capacity [hL];account\nH-2;tank;5,5;storage\nD-1;waste;0,4;waste\n"
OPENINGS = "vessel,holds,volume [L],temperature [°C],strength [%vol]\nH-2,spirit,412,17.5,96.1\n"
STRAPPING = "vessel,dip [cm],volume [L]\nH-2,0,0\nH-2,10,48.5\nH-2,20,97\n"


def test_a_house_comes_in_from_its_tables(tmp_path, capsys):
    path = tmp_path / "book.db"
    for name, told in (("vessels", VESSELS), ("openings", OPENINGS), ("strappings", STRAPPING)):
        (tmp_path / name).write_text(told, encoding="utf-8")
        words = ["import", name, str(tmp_path / name), "--book", str(path)]
        assert main([*words, "--dry-run"]) == 0 and "would be written" in capsys.readouterr().out
        assert main(words) == 0, capsys.readouterr().err
    state = state_of(path)
    assert state["vessels"]["H-2"]["capacity_l"] == 550.0 and state["vessels"]["D-1"]["account"] == "waste"
    # 412 L at 17.5 °C of 96.1 % vol: the mass of ethanol is 412 * 0.961 * 0.78924 kg, put right by the expansion from
    # 20 °C, 0.26 % at this strength (OIML R 22); within 0.1 %.
    assert abs(state["places"]["vessel/H-2"]["ethanol_mg"] / 1e6 - 412 * 0.961 * LITRE_PA * 1.0026) < 0.35
    assert state["strappings"]["H-2"]["rows"] == [[0.0, 0.0], [10.0, 48.5], [20.0, 97.0]]
    assert not [one for one in state["findings"] if one["severity"] != "note"], state["findings"]


@pytest.mark.parametrize(
    ("name", "told", "says"),
    [
        ("vessels", "tag,sort,capacity,account\nH-2,tank,5,storage\n", "which unit? Write it as capacity [L]"),
        ("vessels", "tag,sort,capacity [L],account\nH-2,barrel,5,storage\n", "Line 2, column sort"),
        ("vessels", "tag,sort,capacity [L],account\nH-2,tank,1.2.3,storage\n", "Line 2, column capacity"),
        ("vessels", "tag,colour\nH-2,red\n", "there is no column 'colour'"),
        ("vessels", "tag,sort,capacity [L],account\nH-2,tank,5,storage\nH-2,tank,5,storage\n", "twice"),
        ("openings", OPENINGS, "there is no vessel H-2"),
        ("lots", "lot,sort,supplier,mass [kg]\nR-1,rye,,5\n", "Line 2, column supplier"),
    ],
)
def test_a_fault_is_named_by_line_and_column_and_nothing_is_written(tmp_path, capsys, name, told, says):
    (tmp_path / "file.csv").write_text(told, encoding="utf-8")
    assert main(["import", name, str(tmp_path / "file.csv"), "--book", str(tmp_path / "book.db")]) == 1
    error = capsys.readouterr().err
    assert says in error and "Nothing was written" in error
    assert state_of(tmp_path / "book.db")["order"] == []


def test_every_template_can_be_filled_in(tmp_path, capsys):
    for name in imports.TABLES:
        assert main(["import", name]) == 0
        told = capsys.readouterr().out
        assert told == imports.template(name)
        rows = list(csv.reader(io.StringIO(told)))
        assert len(rows) == 2 and len(rows[0]) == len(rows[1])
        assert imports.said_of(name, told.encode())


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    with Store(tmp_path_factory.mktemp("import") / "book.db", site=SITE) as book:
        yield book


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    name=st.sampled_from(list(imports.TABLES)),
    raw=st.binary(max_size=200),
    cells=st.lists(st.text(max_size=9), max_size=8),
)
def test_no_file_is_taken_in_part_or_trips_the_import(empty, name, raw, cells):
    out = io.StringIO()
    heads = imports.template(name).splitlines()[0]
    csv.writer(out).writerow(cells)
    for file in (raw, (heads + "\n" + out.getvalue()).encode("utf-8", "replace")):
        try:
            imports.import_table(empty, name, file, "Ines", dry=True)
        except imports.ImportFault as fault:
            assert fault.faults and all(one.endswith(".") for one in fault.faults)
    with empty.read() as reader:
        assert not list(reader.texts())
