"""The account of a month: small books and a season worked by hand."""

from datetime import UTC, datetime

import pytest
from book.ledger_book import LEDGERS, entries_of, load

from server.book.account import account, known_of
from server.book.compose import compose
from server.book.fold import fold
from server.book.gauges import NOTHING, add, less


def ms(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp() * 1000)


def kg(ethanol: float, liquid: float) -> dict:
    return {"ethanol_mg": int(ethanol * 1e6), "liquid_mg": int(liquid * 1e6), "extract_mg": 0}


class Pen:
    """Writes entries of one phone, one after the other."""

    def __init__(self, letters: str = "A"):
        self.device, self.entries = f"{letters}.00000001", []

    def write(self, kind: str, said: dict, at: str, **more) -> dict:
        n = len(self.entries) + 1
        context = {"site": "x", "device": self.device, "n": n, "by": "Ines", "now": ms(at), "clock": 0}
        self.entries.append(compose(kind, said, {**context, "id": f"{self.device[0]}-{n:03d}", **more}))
        return self.entries[-1]


def house(pen: Pen) -> None:
    units = {"volume": "L", "mass": "kg", "temperature": "C", "strength": "abv", "alcohol": "LPA"}
    clock = {"zone": "Europe/Vienna", "day_start": "06:00", "shifts": ["06:00"]}
    pen.write("site", {"name": "Hand", "market": "EU", "units": units, **clock}, "2026-09-01T08:00:00")
    for tag, where in (("T-1", "storage"), ("H-1", "production"), ("W-1", "waste")):
        said = {"tag": tag, "sort": "tank", "capacity_l": {"typed": "500", "unit": "L"}, "account": where}
        pen.write("vessel", said, "2026-09-01T08:00:00")


def by_hand() -> list[dict]:
    """October: 100 kg with 40 kg of ethanol open in T-1; 10 kg are lost. November: a half goes to the waste vessel."""
    pen = Pen()
    house(pen)
    opened = {"vessel": "T-1", "gauge": {"book": kg(40, 100)}, "holds": "spirit"}
    pen.write("opening", opened, "2026-10-05T10:00:00")
    lost = {"vessel": "T-1", "cause": "spillage", "by": "amount", "gauge": {"book": kg(4, 10)}, "book": kg(40, 100)}
    pen.write("loss", lost, "2026-10-31T22:00:00")
    # 1 November 04:30 UTC is 05:30 in Vienna: the book day of 31 October still, so it is October's.
    sample = {"vessel": "T-1", "why": "laboratory", "gauge": {"book": kg(0.4, 1)}, "book": kg(36, 90)}
    pen.write("sample", sample, "2026-11-01T04:30:00")
    half = {"from": "T-1", "to": "W-1", "by": "amount", "gauge": {"book": kg(17.8, 44.5)}, "book": kg(35.6, 89)}
    pen.write("transfer", half, "2026-11-03T10:00:00")
    return pen.entries


def in_kg(row: dict) -> dict:
    named = {f"+{one['other']}": one["ethanol_mg"] / 1e6 for one in row["in"]}
    named |= {f"-{one['other']}": one["ethanol_mg"] / 1e6 for one in row["out"]}
    return {"opening": row["opening"]["ethanol_mg"] / 1e6, **named, "closing": row["closing"]["ethanol_mg"] / 1e6}


def test_two_months_by_hand():
    october = account(by_hand(), "2026-10")["rows"]
    lines = {"+found/opening": 40.0, "-lost/spillage": 4.0, "-sampled/laboratory": 0.4}
    assert set(october) == {"storage"}
    assert in_kg(october["storage"]) == {"opening": 0.0, **lines, "closing": 35.6}
    november = account(by_hand(), "2026-11")["rows"]
    assert in_kg(november["storage"]) == {"opening": 35.6, "-waste": 17.8, "closing": 17.8}
    assert in_kg(november["waste"]) == {"opening": 0.0, "+storage": 17.8, "closing": 17.8}
    assert in_kg(account(by_hand(), "2026-11", "house")["rows"]["house"]) == {"opening": 35.6, "closing": 35.6}


def test_a_tank_put_into_another_account_moves_what_it_holds():
    pen = Pen()
    pen.entries = by_hand()
    pen.write("duty", {"place": {"vessel": "T-1"}, "status": "paid", "account": "processing"}, "2026-11-04T10:00:00")
    rows = account(pen.entries, "2026-11")["rows"]
    assert in_kg(rows["storage"]) == {"opening": 35.6, "-processing": 17.8, "-waste": 17.8, "closing": 0.0}
    assert in_kg(rows["processing"]) == {"opening": 0.0, "+storage": 17.8, "closing": 17.8}


def gauged(row: dict) -> dict:
    """The figures beside the closing, in kg of ethanol."""
    return {name: row["counted"][name]["ethanol_mg"] / 1e6 for name in ("gauged", "difference", "rest")}


def test_what_was_gauged_stands_beside_the_closing():
    """T-1 closes with 35.6 kg; read on 2 November with 35.0, after 1.0 more had gone out in November: 36.0 at the end.

    H-1 is settled on the 30th from 5.0 to 4.8 and gets 0.5 after that, so it is gauged with 5.3 and agrees. What waits
    in W-1 nobody gauged near the end: the gauge of the 6th is too late to speak for October.
    """
    pen = Pen()
    pen.entries = by_hand()[:-1]
    pen.write("opening", {"vessel": "H-1", "gauge": {"book": kg(5, 10)}, "holds": "hearts"}, "2026-10-06T10:00:00")
    settled = {"vessel": "H-1", "gauge": {"book": kg(4.8, 9.6)}, "book": kg(5, 10)}
    pen.write("settle", settled, "2026-10-30T10:00:00")
    more = {"from": "T-1", "by": "amount", "book": kg(35.6, 89)}
    pen.write("transfer", {**more, "to": "H-1", "gauge": {"book": kg(0.5, 1)}}, "2026-10-30T12:00:00")
    pen.write("transfer", {**more, "to": "W-1", "gauge": {"book": kg(0.6, 1.5)}}, "2026-10-30T13:00:00")
    pen.write("sample", {"vessel": "T-1", "why": "taste", "gauge": {"book": kg(1, 2.5)}, "book": kg(34.5, 86)},
              "2026-11-02T08:00:00")  # fmt: skip
    pen.write("gauge", {"vessel": "T-1", "gauge": {"book": kg(33, 82)}}, "2026-11-02T09:00:00")
    pen.write("gauge", {"vessel": "W-1", "gauge": {"book": kg(9, 9)}}, "2026-11-06T09:00:00")
    rows = account(pen.entries, "2026-10")["rows"]
    # T-1: 35.6 - 0.5 - 0.6 = 34.5 by the book, 33 + 1 = 34 gauged; 34 - (-0.5) = 34.5.
    assert gauged(rows["storage"]) == {"gauged": 34.0, "difference": -0.5, "rest": 0.0}
    assert gauged(rows["production"]) == {"gauged": 5.3, "difference": 0.0, "rest": 0.0}
    assert gauged(rows["waste"]) == {"gauged": 0.0, "difference": 0.0, "rest": 0.6}
    (place,) = rows["storage"]["counted"]["places"]
    assert place["place"] == "vessel/T-1" and place["id"] == pen.entries[-2]["id"]
    whole = account(pen.entries, "2026-10", "house")["rows"]["house"]
    assert gauged(whole) == {"gauged": 39.3, "difference": -0.5, "rest": 0.6}


def test_bottles_counted_after_the_end_speak_for_it():
    """40 of 100 bottles are sent on 1 November; the count of the 2nd finds 58 where the book has 60: two missing."""
    each = {"ethanol_mg": 220_000, "liquid_mg": 660_000, "extract_mg": 0}
    pen = Pen()
    house(pen)
    pen.write("opening", {"vessel": "T-1", "gauge": {"book": kg(40, 120)}, "holds": "spirit"}, "2026-10-05T10:00:00")
    label = {"lot": "L-1", "product": "Rye", "vessel": "T-1", "size_ml": 700}
    said = {**label, "label_abv": {"typed": "40", "unit": "abv"}, "count": 100, "book": kg(40, 120)}
    filled = {**said, "gauge_before": {"book": kg(40, 120)}, "gauge_after": {"book": kg(18, 54)}}
    pen.write("bottling", filled, "2026-10-20T10:00:00")
    sent = {"lot": "L-1", "count": 40, "way": "duty_paid", "per_bottle": each}
    pen.write("dispatch", sent, "2026-11-01T12:00:00")
    count = {"lot": "L-1", "counted": 58, "book_count": 60, "per_bottle": each}
    pen.write("stocktake", count, "2026-11-02T12:00:00")
    row = account(pen.entries, "2026-10")["rows"]["processing"]["counted"]
    assert row["difference"] == less(NOTHING, add(each, each))
    november = account(pen.entries, "2026-11")["rows"]["processing"]
    assert november["counted"]["difference"] == NOTHING and november["counted"]["gauged"] == november["closing"]


def test_what_is_used_run_off_and_bottled_is_named():
    """A tank charged into a still, run off and bottled: by account across, in the house within."""
    pen = Pen()
    house(pen)
    still = {"tag": "S", "sort": "column", "capacity_l": {"typed": "500", "unit": "L"}}
    pen.write("still", still, "2026-09-01T09:00:00")
    pen.write("opening", {"vessel": "T-1", "gauge": {"book": kg(40, 100)}, "holds": "feints"}, "2026-10-05T10:00:00")
    parts = [{"vessel": "T-1", "by": "all", "book": kg(40, 100)}]
    charge = pen.write("charge", {"run": "R", "still": "S", "sort": "column", "parts": parts}, "2026-10-06T10:00:00",
                       group="A-run")  # fmt: skip
    rows = account(pen.entries, "2026-10")["rows"]
    out = {(one["other"], one["how"]): one["ethanol_mg"] / 1e6 for one in rows["storage"]["out"]}
    assert out == {("production", "used"): 40.0}
    (within,) = account(pen.entries, "2026-10", "house")["rows"]["house"]["within"]
    assert within["how"] == "used" and within["entries"] == [{"id": charge["id"], **kg(40, 100)}]


def closed_october() -> tuple[list, dict]:
    """October closed on 2 November, before the transfer; then a loss of 31 October comes from another phone."""
    entries = by_hand()
    rows = account(entries, "2026-10")["rows"]
    closing = [{"account": name, "sums": row["closing"]} for name, row in rows.items()]
    pen = Pen()
    pen.entries = entries
    said = {"month": "2026-10", "known": known_of(entries), "closing": closing}
    close = pen.write("close", said, "2026-11-04T12:00:00")
    late = Pen("B")
    spilt = {"vessel": "T-1", "cause": "spillage", "by": "amount", "gauge": {"book": kg(2, 5)}, "book": kg(36, 90)}
    late.write("loss", spilt, "2026-10-31T23:00:00")
    return [*pen.entries, *late.entries], close


def test_what_comes_after_the_closing_is_carried_and_changes_nothing_sealed():
    entries, close = closed_october()
    october, spilt = account(entries, "2026-10"), less(NOTHING, kg(2, 5))
    assert october["sealed"]["id"] == close["id"]
    assert october["rows"] == account(by_hand(), "2026-10")["rows"]
    assert october["late"] == {"storage": {**spilt, "entries": [{"id": "B-001", **spilt}]}}
    november = account(entries, "2026-11")["rows"]["storage"]
    assert november["opening"] == {**kg(35.6, 89)}
    assert november["adjusted"] == {**spilt, "entries": [{"id": "B-001", **spilt}]}
    assert november["closing"] == kg(15.8, 39.5)
    keys = [finding["key"] for finding in fold(entries)["findings"]]
    assert "late_closed/2026-10/B-001" in keys


def test_a_strike_after_the_closing_is_late_too():
    entries, _ = closed_october()
    pen = Pen()
    pen.entries = [entry for entry in entries if entry["device"][0] == "A"]
    lost = next(entry for entry in pen.entries if entry["kind"] == "loss")
    pen.write("strike", {}, "2026-11-05T09:00:00", strikes={"id": lost["id"], "reason": "it was water"})
    row = account(pen.entries, "2026-11")["rows"]["storage"]
    assert row["adjusted"] == {**kg(4, 10), "entries": [{"id": lost["id"], **kg(4, 10)}]}
    assert row["closing"] == add(kg(17.8, 44.5), kg(4, 10))
    assert in_kg(account(pen.entries, "2026-10")["rows"]["storage"])["closing"] == 35.6


SEASON = load(LEDGERS[0].parent / "70_season.json")


def as_worked(row: dict) -> dict:
    """A row of the account in kg of ethanol, as the ledger's months tell it."""
    kilos = lambda sums: sums["ethanol_mg"] / 1e6  # noqa: E731
    named = {way: {} for way in ("in", "out", "within")}
    for way, flows in named.items():
        for one in row[way]:
            name = one["how"] if way == "within" else one["other"]
            flows[name] = flows.get(name, 0) + kilos(one)
    beside = {name: kilos(row["counted"][name]) for name in ("gauged", "difference", "rest")} if row["counted"] else {}
    late = {"adjusted": kilos(row["adjusted"])} if row["adjusted"]["entries"] else {}
    return {"opening": kilos(row["opening"]), **late, **named, "closing": kilos(row["closing"]), "counted": beside}


def test_a_season_worked_by_hand():
    entries = entries_of(SEASON)
    for month, levels in SEASON["months"].items():
        for level, groups in levels.items():
            rows = account(entries, month, level)["rows"]
            assert set(rows) == set(groups), (month, level)
            for group, figures in groups.items():
                told = as_worked(rows[group])
                for name, figure in figures.items():
                    assert told[name] == pytest.approx(figure, abs=1e-9), (month, level, group, name)
