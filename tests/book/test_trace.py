"""The trace: small books worked by hand, and what holds of random ones.

Every expected share here is worked by hand from the one assumption that a vessel is well mixed and that mass is
conserved; no figure comes from the code.
"""

import pytest
from book.ledger_book import entries_of, id_of
from book.trace_book import BOOKS, KG, LOTS, MASHED, random_book, row, strip, wash
from hypothesis import given
from often import often

from server.book.fold import fold
from server.book.trace import trace
from server.book.trace_answers import trace_back, trace_forward
from server.book.trace_paths import trace_paths

ALMOST = 1e-12


def followed(*rows) -> dict:
    return trace(fold(entries_of({"entries": list(rows)})))


def shares(walk: dict, place: str) -> dict:
    """Shares by the short name of the row, the unknown with them."""
    back = trace_back(walk, place)
    short = {id_of(one["id"][-12:].lstrip("0")): one["id"][-12:].lstrip("0") for one in back["sources"]}
    found = {short.get(one["id"], one["id"]): one["share"] for one in back["sources"]}
    return found | ({"unknown": back["unknown"]} if back["gaps"] else {})


def spread_of(forward: dict) -> float:
    return sum(one["mg"] for name in ("held", "consignments", "lost", "gaps") for one in forward[name])


def test_two_washes_blended_in_proportion_to_their_ethanol():
    walk = followed(
        wash("M1", "F1", 60),
        wash("M2", "F2", 40),
        row("t1", ("vessel/F1", "vessel/T", 30)),
        row("t2", ("vessel/F2", "vessel/T", 10)),
        row("t3", ("vessel/T", "vessel/B", 20)),
    )
    assert shares(walk, "vessel/T") == pytest.approx({"M1": 0.75, "M2": 0.25}, abs=ALMOST)
    assert shares(walk, "vessel/B") == pytest.approx({"M1": 0.75, "M2": 0.25}, abs=ALMOST)
    forward = trace_forward(walk, id_of("M1"))
    held = {one["place"]: (one["mg"] / KG, one["share"], one["of_place"]) for one in forward["held"]}
    assert held["vessel/F1"] == pytest.approx((30, 0.5, 1))
    assert held["vessel/T"] == held["vessel/B"] == pytest.approx((15, 0.25, 0.75))


def test_feints_are_carried_into_the_next_run():
    walk = followed(
        wash("M1", "F1", 100),
        row("R1", ("vessel/F1", "still/S", 100), kind="charge", group="self", said={"still": "S", "sort": "strip"}),
        row("c1", ("still/S", "vessel/H1", 70), group="R1"),
        row("c2", ("still/S", "vessel/P", 25), group="R1"),
        row("e1", ("still/S", "lost/stillage", 5), group="R1"),
        wash("M2", "F1", 75),
        row(
            "R2",
            ("vessel/F1", "still/S", 75),
            ("vessel/P", "still/S", 25),
            kind="charge",
            group="self",
            said={"still": "S", "sort": "column"},
        ),
        row("c3", ("still/S", "vessel/H2", 80), group="R2"),
    )
    assert shares(walk, "vessel/H1") == pytest.approx({"M1": 1})
    assert shares(walk, "vessel/H2") == pytest.approx({"M2": 0.75, "M1": 0.25}, abs=ALMOST)
    back = trace_back(walk, "vessel/H2")
    by_id = {one["id"]: one for one in back["sources"]}
    assert (by_id[id_of("M2")]["passes"], by_id[id_of("M1")]["passes"]) == (1, 2)
    assert back["passes"] == pytest.approx(1.25) and back["most_passes"] == 2
    paths = {(one["source"], one["before"], one["last"]): one["share"] for one in trace_paths(walk, "vessel/H2")}
    assert paths == pytest.approx(
        {(id_of("M2"), None, id_of("R2")): 0.75, (id_of("M1"), id_of("R1"), id_of("R2")): 0.25}, abs=ALMOST
    )
    # 100 kg of M1: 70 in H1, 5 stillage, 25 charged again, of which four fifths went to H2.
    forward = trace_forward(walk, id_of("M1"))
    held = {one["place"]: one["share"] for one in forward["held"]}
    assert held == pytest.approx({"vessel/H1": 0.7, "vessel/H2": 0.2, "still/S": 0.05})
    assert {one["place"]: one["share"] for one in forward["lost"]} == pytest.approx({"lost/stillage": 0.05})


def test_what_an_overdrawn_vessel_gave_is_unknown_and_what_comes_later_makes_it_good():
    rows = [
        wash("M1", "T", 30),
        row("t1", ("vessel/T", "vessel/B", 40)),
        wash("M2", "T", 25),
    ]
    walk = followed(*rows)
    assert shares(walk, "vessel/B") == pytest.approx({"M1": 0.75, "unknown": 0.25}, abs=ALMOST)
    assert shares(walk, "vessel/T") == {"M2": 1}
    assert trace_back(walk, "vessel/T")["mg"] == 15 * KG  # as the book has it: 30 - 40 + 25
    forward = trace_forward(walk, id_of("M2"))
    assert {one["place"]: one["mg"] / KG for one in forward["gaps"]} == {"vessel/T": 10}
    assert forward["maybe"] == ["vessel/B"]  # some of M2 may in truth be what B was given too early
    assert spread_of(forward) == pytest.approx(25 * KG)


def test_a_strike_changes_the_trace():
    rows = [wash("M1", "T", 30), wash("M2", "T", 10), row("t1", ("vessel/T", "vessel/B", 20))]
    assert shares(followed(*rows), "vessel/B") == pytest.approx({"M1": 0.75, "M2": 0.25})
    struck = followed(*rows, row("x", kind="strike", strikes="M2"))
    assert shares(struck, "vessel/B") == {"M1": 1}
    assert id_of("M2") not in struck["sources"]


def test_three_passes_are_counted():
    rows = [wash("M1", "V0", 50)]
    for n in range(3):
        rows += strip(f"R{n}", f"V{n}", f"V{n + 1}", 50)
    walk = followed(*rows, wash("M2", "V3", 50))
    back = trace_back(walk, "vessel/V3")
    assert {one["id"]: one["passes"] for one in back["sources"]} == {id_of("M1"): 3, id_of("M2"): 0}
    assert (back["passes"], back["most_passes"]) == (1.5, 3)
    last = {(one["before"], one["last"]) for one in trace_paths(walk, "vessel/V3")}
    assert last == {(None, None), (id_of("R1"), id_of("R2"))}


def test_a_wash_is_split_into_its_raw_lots_by_the_starch_they_brought():
    walk = followed(*LOTS, *MASHED)
    back = trace_back(walk, "vessel/F1")
    # 100 kg at 60 % and 400 kg at 15 % starch: 60 kg of starch each.
    assert {one["lot"]: one["share"] for one in back["lots"]} == pytest.approx({"26-1": 0.5, "26-2": 0.5})
    assert [one["id"] for one in back["touched"]] == ["lot/Y-1", "water/mains"]
    assert [one["name"] for one in back["sources"]] == ["M-1"]
    assert trace_forward(walk, "lot/26-1")["made_mg"] == 20 * KG
    # A lot that nobody took in promises nothing, so only the masses are left: 1 to 4.
    back = trace_back(followed(*LOTS[1:], *MASHED), "vessel/F1")
    assert {one["lot"]: one["share"] for one in back["lots"]} == pytest.approx({"26-1": 0.2, "26-2": 0.8})


def test_bottles_can_be_followed_out_and_back_and_add_up():
    rows = [
        wash("M1", "T", 60),
        wash("M2", "T", 20),
        row("f", ("vessel/T", "vessel/T2", 70), kind="filter", said={"materials": [{"lot": "C-9"}]}),
        row("w", ("water/mains", "vessel/T2", 0), lines=None) | {"lines": [["water/mains", "vessel/T2", 0, 9 * KG, 0]]},
        row("b", ("vessel/T2", "stock/B-17", 64), kind="bottling", said={"count": 640, "materials": [{"lot": "G-1"}]}),
        row("d1", ("stock/B-17", "gone/duty_paid", 20), kind="dispatch", said={"count": 200, "to": "Shop"}),
        row("d2", ("stock/B-17", "gone/export", 30), kind="dispatch", said={"count": 300}),
        row("r", ("gone/returned", "stock/B-17", 5), kind="customer_return", said={"count": 50}),
        row("s", ("stock/B-17", "lost/unexplained", 0.1), kind="stocktake"),
    ]
    walk = followed(*rows)
    back = trace_back(walk, "stock/B-17")
    assert shares(walk, "stock/B-17") == pytest.approx({"M1": 0.75, "M2": 0.25})
    assert (back["mg"], back["unknown"]) == (64 * KG, 0)
    assert {one["id"] for one in back["touched"]} == {"lot/C-9", "lot/G-1", "water/mains"}
    forward = trace_forward(walk, id_of("M2"))
    assert spread_of(forward) == pytest.approx(20 * KG, rel=ALMOST)
    (bottling,) = forward["bottlings"]
    wanted = {"filled": 640, "found": 0, "here": 189, "sent": 450, "lost": 1}
    assert bottling["bottles"] == pytest.approx(wanted, abs=1e-6)
    # Nobody can say from which sending the 50 came back: 5 of 50 kg from each, in proportion.
    assert [one["bottles"] for one in forward["consignments"]] == pytest.approx([180, 270])
    named = followed(*rows[:7], rows[7] | {"said": {"count": 50, "from": "Shop"}}, rows[8])
    sent = trace_forward(named, id_of("M2"))["consignments"]  # the shop sent them, and the shop had 200
    assert [one["bottles"] for one in sent] == pytest.approx([150, 300])
    assert trace_forward(walk, "lot/C-9")["touched"] == ["gone/duty_paid", "gone/export", "stock/B-17", "vessel/T2"]


def test_a_fill_gauged_after_the_end_comes_out_of_that_runs_difference():
    walk = followed(
        wash("M1", "V0", 50),
        *strip("R1", "V0", "V1", 50)[:1],
        row("e1", ("still/S", "lost/unexplained", 50), group="R1"),
        wash("M2", "V0", 50),
        *strip("R2", "V0", "V2", 50)[:1],
        row("e2", ("still/S", "lost/unexplained", 50), group="R2"),
        row("g", ("lost/unexplained", "vessel/H", 40), group="R1"),
    )
    assert shares(walk, "vessel/H") == {"M1": 1}


def test_delivered_spirit_and_openings_are_sources_by_name():
    walk = followed(
        row("o", ("found/opening", "vessel/T", 10), kind="opening"),
        row("i", ("bought/spirit", "vessel/T", 30), kind="spirit_in", said={"consignor": "Nordfeld"}),
        row("s", ("found/unexplained", "vessel/T", 10), kind="settle"),
    )
    back = trace_back(walk, "vessel/T")
    found = {(one["kind"], one["name"]): one["share"] for one in back["sources"]}
    wanted = {("spirit", "Nordfeld"): 0.6, ("opening", None): 0.2, ("found", "unexplained"): 0.2}
    assert found == pytest.approx(wanted, abs=ALMOST)
    assert back["without_lot"] == pytest.approx(1)


def test_a_filling_without_alcohol_is_no_bottling():
    """Found by the random books below: what came back under that code had no share of anything."""
    walk = followed(
        wash("M1", "V0", 50),
        row("x", ("vessel/V0", "lost/stillage", 50)),
        row("e", ("made/ferment", "stock/L", 0), ("lost/stillage", "stock/L", 1)),
    )
    assert sum(shares(walk, "stock/L").values()) == pytest.approx(1, abs=ALMOST)


@given(BOOKS)
@often(150)
def test_shares_add_up_to_one_and_forward_agrees_with_back(rows):
    state = fold(random_book(rows))
    walk = trace(state)
    for place, at in walk["places"].items():
        back = trace_back(walk, place)
        assert at["mg"] == state["places"][place]["ethanol_mg"]  # the trace holds what the book holds
        if at["mg"] <= 0:
            continue
        total = sum(one["share"] for one in back["sources"]) + back["unknown"]
        assert total == pytest.approx(1, abs=ALMOST)
        if place not in walk["bottled"]:
            assert sum(part[0] for part in at["parts"].values()) == pytest.approx(at["mg"], rel=1e-6)
            assert sum(one["share"] for one in back["lots"]) + back["without_lot"] == pytest.approx(1, abs=ALMOST)
    for source_id, source in walk["sources"].items():
        assert spread_of(trace_forward(walk, source_id)) == pytest.approx(source["made_mg"], rel=1e-9, abs=1e-3)


@given(BOOKS)
@often(150)
def test_the_paths_of_the_drawing_carry_the_shares_of_the_list(rows):
    walk = trace(fold(random_book(rows)))
    for place in walk["places"]:
        back = trace_back(walk, place)
        if walk["places"][place]["mg"] <= 0 and place not in walk["bottled"]:
            continue
        found: dict[str, float] = {}
        for path in trace_paths(walk, place):
            found[path["source"]] = found.get(path["source"], 0.0) + path["share"]
        wanted = {one["id"]: one["share"] for one in back["sources"] + back["gaps"]}
        if back["mg"] > 0:
            assert {key: found.get(key, 0.0) for key in wanted} == pytest.approx(wanted, abs=1e-6)
