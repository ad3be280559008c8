"""The recall: a small house worked by hand, the demo's season, random books, and the same answer in the browser."""

import json
import time

from book.ledger_book import entries_of, id_of
from book.test_same_book import random_book
from book.trace_book import BOOKS, demo, lot, row
from book.trace_book import random_book as moving_book
from hypothesis import given
from often import often

from server.book.fold import fold
from server.book.recall import GROUPS, recall
from server.book.recall_start import REACHES
from server.book.trace import trace
from server.book.trace_answers import trace_forward

KG = 1_000_000

IN_BROWSER = """async (asked) => {
  const { fold } = await import('/book/fold.js');
  const { recall } = await import('/book/recall.js');
  return asked.map(([entries, starts]) => {
    const state = fold(entries);
    return JSON.stringify(starts.map((start) => recall(state, start)));
  });
}"""


def by_hand() -> list[dict]:
    """Two lots of rye in two mashes, blended in T; C gets a part before the second came in, U more than the book had.

    M1 (lot 26-1) gives 60 kg and M2 (lot 26-2) 40 kg. T has 60 of M1, of which 10 go to C; then 40 of M2 come in.
    B-1 gets 30 of the blend, of which 10 are sent to the shop and 2 come back. V has 5 of its own and gives U 8, so
    that 3 of it are of nobody's; what makes V good again is 20 of the blend.
    """
    mash = {"water_source": "spring", "vessel": "F1"}
    return [
        lot("l1", "26-1", "rye", "60"),
        lot("l2", "26-2", "rye", "60"),
        lot("l3", "G-1", "bottle"),
        row("K1", kind="mash", group="self", said=mash | {"name": "M1", "materials": [kilos("26-1", 100)]}),
        washed("W1", "K1", "M1", 60),
        row("t1", ("vessel/F1", "vessel/T", 60)),
        row("t2", ("vessel/T", "vessel/C", 10)),
        row("K2", kind="mash", group="self", said=mash | {"name": "M2", "materials": [kilos("26-2", 100)]}),
        washed("W2", "K2", "M2", 40),
        row("t3", ("vessel/F1", "vessel/T", 40)),
        row("b1", ("vessel/T", "stock/B-1", 30), kind="bottling", said=BOTTLING | {"lot": "B-1", "count": 300}),
        row("d1", ("stock/B-1", "gone/duty_paid", 10), kind="dispatch", said=SENT | {"count": 100}),
        row("r1", ("gone/returned", "stock/B-1", 2), kind="customer_return", said=CAME_BACK | {"count": 20}),
        row("o1", ("found/opening", "vessel/V", 5), kind="opening"),
        row("t4", ("vessel/V", "vessel/U", 8)),
        row("t5", ("vessel/T", "vessel/V", 20)),
        row("t6", ("vessel/T", "lost/spillage", 1)),
        row("K3", kind="mash", group="self", said=mash | {"name": "M3", "materials": [kilos("26-2", 50)]}),
    ]


SUMS = {"ethanol_mg": KG // 10, "liquid_mg": KG, "extract_mg": 0}
READ = {"book": {"ethanol_mg": 89 * KG, "liquid_mg": 890 * KG, "extract_mg": 0}}
LABEL = {"size_ml": 500, "label_abv": {"typed": "40", "unit": "abv"}, "product": "Rye", "vessel": "T"}
BOTTLING = LABEL | {"gauge_before": READ, "book": READ["book"], "materials": [{"lot": "G-1", "count": 300}]}
SENT = {"lot": "B-1", "way": "duty_paid", "to": "Shop", "per_bottle": SUMS}
CAME_BACK = {"lot": "B-1", "from": "Shop", "why": "label", "per_bottle": SUMS}
GRAVITIES = {"original": {"typed": "15", "unit": "plato"}, "final": {"typed": "0", "unit": "plato"}}


def kilos(tag: str, kg: float) -> dict:
    return {"lot": tag, "mass": {"typed": str(kg), "unit": "kg"}}


def washed(name: str, mash: str, word: str, kg: float) -> dict:
    volume = {"typed": "900", "unit": "L"}
    said = {"vessel": "F1", "name": word, "volume": volume, "temperature": {"typed": "28", "unit": "C"}, **GRAVITIES}
    return row(name, ("made/ferment", "vessel/F1", kg), kind="wash", group=mash, said=said)


def statuses(found: dict) -> dict:
    """What is affected or unknown, with its kg."""
    rows = [(one["place"], one) for one in found["places"] + found["stock"]]
    rows += [(f"{one['entry'][-2:]} {one['to']}", one) for one in found["rows"]]
    return {name: (one["status"], one["ethanol_mg"] / KG) for name, one in rows if one["status"] != "not"}


def asked(of: str, reach: str | None = None, entries: list | None = None) -> dict:
    return recall(fold(entries or entries_of({"entries": by_hand()})), {"of": of, "reach": reach})


def test_a_raw_lot_by_hand():
    """26-2: the blend in T whole (60 - 10 + 40 - 30 - 20 - 1 = 39), all of B-1, V; C was filled before; U may be."""
    found = asked("lot/26-2")
    sold = {"d1 gone/duty_paid": ("affected", 10.0), "r1 gone/returned": ("affected", -2.0)}
    held = {"vessel/T": ("affected", 39.0), "vessel/V": ("affected", 17.0), "vessel/U": ("unknown", 8.0)}
    ended = {"t6 lost/spillage": ("affected", 1.0)}
    assert statuses(found) == held | {"stock/B-1": ("affected", 22.0)} | sold | ended
    sums = {name: {word: sums["ethanol_mg"] / KG for word, sums in found["totals"][name].items()} for name in GROUPS}
    assert sums["held"] == {"not": 10.0, "unknown": 8.0, "affected": 56.0, "all": 74.0}
    assert sums["sent"] == {"not": 0.0, "unknown": 0.0, "affected": 8.0, "all": 8.0}
    counts = {"filled": 300, "found": 0, "here": 220, "sent": 80, "destroyed": 0}
    assert found["stock"][0]["bottles"] == counts
    assert [one["name"] for one in found["mashes"]] == ["M3"]  # mashed, not gauged: no alcohol in the account yet
    assert found["materials"][0]["lot"] == "26-2" and found["materials"][0]["left"] == 750 * KG
    assert "vessel/C" in statuses(asked("lot/26-1"))


def test_from_a_bottle_its_own_bottles_its_tank_or_all_it_was_made_of():
    bottles = {"stock/B-1", "d1 gone/duty_paid", "r1 gone/returned"}
    assert set(statuses(asked("stock/B-1", "bottling"))) == bottles
    # The tank's fill began with M1 and was never empty since: C too was filled from it.
    tank = {"vessel/T", "vessel/C", "vessel/V", "vessel/U", "t6 lost/spillage"}
    assert set(statuses(asked("stock/B-1", "tank"))) == bottles | tank
    assert set(statuses(asked("stock/B-1", "sources"))) == bottles | tank
    assert set(statuses(asked("lot/G-1"))) == bottles  # the glass is suspect, not the tank it was filled from
    assert asked("stock/B-1", "sources")["things"] == ["lot/26-1", "lot/26-2"]


def test_from_a_vessel_a_water_and_a_wash():
    assert set(statuses(asked("vessel/V"))) == {"vessel/V"}  # filled by t5 after it had stood below nothing
    assert set(statuses(asked("vessel/C"))) == {"vessel/C"}
    assert asked("water/spring")["totals"]["held"]["affected"]["ethanol_mg"] == 66 * KG
    assert statuses(asked(id_of("W2"))) == statuses(asked("lot/26-2"))
    assert statuses(asked("lot/none")) == {} and statuses(asked("stock/none", "tank")) == {}


def is_sound(state: dict, of: str) -> None:
    """The sums of a recall are those of the book, and nothing that the trace finds is missing from it."""
    walk = trace(state)
    found = recall(state, {"of": of}, walk)
    sums = {sort: 0 for sort in ("vessel", "still", "stock", "gone", "lost", "sampled")}
    for place, at in state["places"].items():
        sort = place.split("/")[0]
        if sort in sums:
            sums[sort] += at["ethanol_mg"]
    totals = {name: found["totals"][name]["all"]["ethanol_mg"] for name in GROUPS}
    assert totals["held"] == sums["vessel"] + sums["still"] and totals["stock"] == sums["stock"]
    assert totals["sent"] == sums["gone"] and totals["ended"] >= sums["lost"] + sums["sampled"]
    for name in GROUPS:
        parts = [found["totals"][name][word]["ethanol_mg"] for word in ("affected", "not", "unknown")]
        assert sum(parts) == totals[name]
    status = {one["place"]: one["status"] for one in found["places"] + found["stock"]}
    ends = {(one["entry"], one["from"], one["to"]): one["status"] for one in found["rows"]}
    forward = trace_forward(walk, of)
    for one in forward["held"]:
        assert one["mg"] < 1 or status[one["place"]] == "affected", one
    for one in forward["consignments"]:
        assert one["mg"] < 1 or ends[one["entry"], one["from"], one["place"]] == "affected", one


@given(BOOKS)
@often(60)
def test_of_any_random_book_the_sums_are_the_books_and_the_trace_misses_nothing(rows):
    state = fold(moving_book(rows))
    for source in trace(state)["sources"]:
        if not source.startswith(("found/", "unknown/")):
            is_sound(state, source)


def test_of_the_demos_season_every_lot_and_bottling_adds_up_in_seconds():
    state = fold(demo())
    walk = trace(state)
    lots = [f"lot/{tag}" for tag in state["lots"]]
    for of in lots:
        is_sound(state, of)
    asked_for = [*lots, *(f"stock/{tag}" for tag in state["stock"])]
    for of in asked_for:
        began = time.process_time()
        found = recall(state, {"of": of, "reach": "sources"}, walk)
        assert time.process_time() - began < 5
        for one in found["stock"]:
            counts = one["bottles"]
            assert counts["filled"] + counts["found"] == counts["here"] + counts["sent"] + counts["destroyed"]
    assert len(asked_for) > 30


def test_the_browser_recalls_the_same(page_at_origin):
    starts = [{"of": of, "reach": reach} for of in ("lot/26-2", "stock/B-1", "vessel/V") for reach in REACHES]
    season = [{"of": "lot/RY-2", "reach": None}, {"of": "lot/CA-1", "reach": None}, {"of": "vessel/S-3", "reach": None}]
    asked_there = [[entries_of({"entries": by_hand()}), starts], [demo(), season]]
    for book in map(random_book, range(3)):
        asked_there.append([book, [{"of": f"lot/{tag}", "reach": None} for tag in fold(book)["lots"]]])
    for (entries, wanted), text in zip(asked_there, page_at_origin.evaluate(IN_BROWSER, asked_there), strict=True):
        state = fold(entries)
        assert json.loads(text) == json.loads(json.dumps([recall(state, start) for start in wanted]))
