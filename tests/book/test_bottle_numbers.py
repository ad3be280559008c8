"""What stands on a bottle against what is in it: sugar that hides strength, sugar as a limit counts it, duty."""

import json

import pytest
from book.test_runs import NONE, Pen, typed

from server.book.bottle_checks import labelled_lpa
from server.book.fold import fold
from server.office.tables import Book, sending_rows
from server.reckon.tables import MARKETS

FOLD = "async (entries) => JSON.stringify((await import('/book/fold.js')).fold(entries))"
DUTY = """async ([state, from, until]) => (await import('/pages/account-duty.js')).dutyOf(state, from, until)"""
GALLON_L = 3.785411784  # NIST Handbook 44: 231 cubic inches
US = {"volume": "usgal", "mass": "lb", "temperature": "F", "strength": "proof", "alcohol": "PG"}
EU = {"volume": "L", "mass": "kg", "temperature": "C", "strength": "abv", "alcohol": "LPA"}


def bottled(market: str, extract: str, label: dict, **more) -> Pen:
    """A house that fills a tank of sweet spirit into 1000 bottles of 750 mL and sends 600 of them out duty paid."""
    pen, by = Pen(), {"zone": "UTC", "day_start": "06:00", "shifts": []}
    pen.write("site", {"name": "House", "market": market, "units": US if market == "US" else EU, **by}, 0)
    pen.write("vessel", {"tag": "T-1", "sort": "tank", "capacity_l": typed("2000", "L"), "account": "processing"}, 1)
    strength = {"strength": label, "extract": typed(extract, "g_L")}
    gauge = {"volume": typed("1000", "L"), "temperature": typed("20", "C"), **strength}
    pen.write("opening", {"vessel": "T-1", "gauge": gauge, "holds": "spirit"}, 2)
    book = {name: fold(pen.entries)["places"]["vessel/T-1"][name] for name in NONE}
    said = {"lot": "L-1", "product": "Vodka", "vessel": "T-1", "size_ml": 750, "label_abv": label, "count": 1000}
    pen.write("bottling", {**said, "gauge_before": gauge, "book": book, **more}, 3)
    each = fold(pen.entries)["stock"]["L-1"]["per_bottle"]
    pen.write("dispatch", {"lot": "L-1", "count": 600, "way": "duty_paid", "per_bottle": each}, 4)
    return pen


@pytest.fixture
def both(page_at_origin):
    """The book folded in both languages, which must agree."""

    def fold_both(pen: Pen) -> dict:
        state, there = fold(pen.entries), json.loads(page_at_origin.evaluate(FOLD, pen.entries))
        assert there["findings"] == state["findings"] and there["stock"] == state["stock"]
        return state

    return fold_both


def says(state: dict, key: str) -> list[str]:
    return [one["say"] for one in state["findings"] if one["key"].startswith(key)]


def test_a_strength_check_is_put_right_for_the_sugar_in_the_bottle(both):
    """27 CFR 30.32(b): 0.4 proof hidden by each 100 mg of solids in 100 mL; dissolved sugar hides up to half more.

    So a spirit of 40.0 % vol with 5 g/L shows 38.5 to 39.0 on the glass, and is not off its label.
    """
    for shown in ("38.6", "38.9"):
        check = {"strength": typed(shown, "glass"), "strength_temperature": typed("20", "C")}
        state = both(bottled("EU", "5", typed("40", "abv"), strength_checks=[check]))
        assert state["stock"]["L-1"]["checks"][0]["strengths_pct"] == [pytest.approx(40.0, abs=0.25)], shown
        assert says(state, "label_strength/") == []


@pytest.mark.parametrize(("extract", "is_over"), [("7.5", False), ("7.7", True)])
def test_sugar_is_counted_as_the_invert_sugar_it_comes_to(both, extract, is_over):
    """Regulation (EU) 2019/787, Annex I, 15(e): 8 g/L "expressed as invert sugar"; 342.3 g of sucrose take up 18.015 g
    of water and are 360.3 g of it (standard molar masses), so 7.6 g/L of sucrose are the limit."""
    found = says(both(bottled("EU", extract, typed("40", "abv"))), "sweetening/")
    assert bool(found) == is_over, found
    assert MARKETS["markets"]["EU"]["sweetening_max_g_l"]["per_extract"] == pytest.approx(360.312 / 342.297, abs=5e-5)


def test_us_duty_goes_by_wine_gallons_times_proof(both, page_at_origin):
    """26 USC 5002(a)(10), (11) and 5001(a)(1): $13.50 for each gallon at 60 °F of 100 proof, or its equivalent.

    600 bottles of 750 mL are 118.877 gallons, at 80 proof 95.102 proof gallons.
    """
    pen = bottled("US", "0", typed("80", "proof"), contents_c=typed("60", "F"))
    rate = {"amount": 13.5, "currency": "USD", "per": "PG", "source": "26 USC 5001(a)(1)"}
    pen.write("duty_rate", rate, -1)
    gallons = 600 * 0.750 / GALLON_L * 80 / 100
    told = page_at_origin.evaluate(DUTY, [both(pen), 0, 9e12])
    assert told["sums"]["USD"] == pytest.approx(gallons * 13.5, rel=1e-6)
    (sent,) = sending_rows(Book.of(json.dumps(one) for one in pen.entries))
    assert sent[-1] == pytest.approx(told["lpa"], rel=1e-12)
    assert sent[-1] == pytest.approx(600 * 0.7500 * 0.4 * 1.9018030 / (GALLON_L / 2), rel=1e-6)


def test_elsewhere_a_label_counts_at_20_c():
    """Directive 92/83/EEC, Article 21: pure alcohol at 20 °C; 420 L of 40 % vol are 168 L."""
    assert labelled_lpa(420.0, 40.0, MARKETS["markets"]["EU"]) == pytest.approx(168.0, rel=1e-12)


@pytest.mark.parametrize(("value", "is_over"), [("0.5", False), ("0.54", True)])
def test_a_result_over_its_limit_is_said_with_its_digits(both, value, is_over):
    """Regulation (EU) 2019/787, Article 5(d)(v): furfural 0.5 g/hL of 100 % vol alcohol."""
    pen = bottled("EU", "0", typed("40", "abv"))
    results = [{"what": "furfural", "value": typed(value, "g_hL")}]
    pen.write("lab", {"place": {"stock": "L-1"}, "laboratory": "Lab", "results": results}, 5)
    said = ["lot L-1 has 0.54 g/hL of furfural; the limit is 0.5 (EU)."] if is_over else []
    assert says(both(pen), "residue/") == said


@pytest.mark.parametrize(
    ("drink", "extract", "label", "expected"),
    [
        (None, "20", "40", ["sweetening"]),
        ("flavoured vodka", "94.9", "40", []),  # 99.9 g/L as invert sugar
        ("flavoured vodka", "95.1", "37", ["label_strength", "label_weak", "sweetening"]),
        ("macerated spirit", "150", "41.4", []),
        ("macerated spirit", "0", "41.6", ["label_strength"]),
        ("another spirit drink", "150", "40.4", ["label_strength"]),
        ("another spirit drink", "150", "30", ["label_strength"]),
    ],
)
def test_what_a_drink_is_by_law_brings_its_own_limits(both, drink, extract, label, expected):
    """Regulation (EU) 2019/787 Annex I: 15(e) 8 g/L; 31(b) 37.5 % vol, 31(d) "less than 100 g/L as invert sugar".

    Regulation (EU) 1169/2011 Annex XII: ±1.5 % vol with macerated fruit or parts of plants (3), else ±0.3 (4).
    """
    more = {} if drink is None else {"drink": drink}
    pen = bottled("EU", extract, typed("40", "abv"), **more, label_abv=typed(label, "abv"))
    found = {one["key"].split("/")[0] for one in both(pen)["findings"]}
    assert sorted(found & {"label_strength", "label_weak", "sweetening"}) == expected


@pytest.mark.parametrize(
    ("market", "volume", "warm", "strength", "amount"),
    [
        ("EU", typed("100", "L"), typed("20", "C"), typed("40", "abv"), 40.0),
        # HMRC Alcoholic products technical guide, section 11: the strength is cut to one decimal, 40.09 becomes 40.0
        ("GB", typed("100", "L"), typed("20", "C"), typed("40.09", "abv"), 40.0),
        # 26 USC 5002(a)(11): a gallon at 60 F of 100 proof is a proof gallon; so are 100 of them 100
        ("US", typed("100", "usgal"), typed("60", "F"), typed("100", "proof"), 100.0),
    ],
)
def test_spirit_sent_in_bulk_pays_by_its_gauge(both, page_at_origin, market, volume, warm, strength, amount):
    """And the table of sendings has it without bottles, with the litres and the pure alcohol of its gauge."""
    pen = bottled(market, "0", typed("80", "proof") if market == "US" else typed("40", "abv"))
    gauge = {"volume": volume, "temperature": warm, "strength": strength}
    pen.write("opening", {"vessel": "T-2", "gauge": gauge, "holds": "spirit"}, 5)
    book = {name: fold(pen.entries)["places"]["vessel/T-2"][name] for name in NONE}
    sent = {"vessel": "T-2", "by": "all", "book": book, "way": "duty_paid", "to": "Bonded store", "ref": "MV-1"}
    pen.write("send", sent, 6)
    pen.write("duty_rate", {"amount": 1, "currency": "coin", "per": "PG" if market == "US" else "LPA"}, -1)
    told = page_at_origin.evaluate(DUTY, [both(pen), 0, 9e12])
    (bulk,) = [row for row in told["rows"] if "vessel" in row]
    assert (bulk["vessel"], bulk["duty"]) == ("T-2", pytest.approx(amount, rel=3e-5))
    lot, vessel, *_, way, to, ref, bottles, litres, lpa = [*sending_rows(Book.of(map(json.dumps, pen.entries)))][-1][1:]
    assert (lot, vessel, way, to, ref, bottles) == (None, "T-2", "duty_paid", "Bonded store", "MV-1", None)
    assert litres == pytest.approx(378.5 if market == "US" else 100, rel=0.01)
    assert lpa == pytest.approx(bulk["lpa"], rel=0.003)
