"""Differences of a place and month together: how sure they are, and when many small ones of one sign are said."""

import math

from book.test_runs import NONE, Pen, typed

from server.book.fold import fold

DAY = 1440


def short_by(count: int, share: float = 0.004, ways: str = "-") -> dict:
    """T-1 with 1000 L of 50 %vol, gauged anew every day and settled, each time so much less or more than before."""
    pen, litres, book = Pen(), 1000.0, NONE
    pen.write("vessel", {"tag": "T-1", "sort": "tank", "capacity_l": typed("2000", "L"), "account": "storage"}, 0)
    pen.write("opening", {"vessel": "T-1", "gauge": read(litres), "holds": "spirit"}, 1)
    for n in range(count):
        book = {name: fold(pen.entries)["places"]["vessel/T-1"][name] for name in NONE}
        litres *= 1 - share if ways[n % len(ways)] == "-" else 1 + share
        said = {"vessel": "T-1", "gauge": read(litres), "book": book, "cause": "gauging"}
        pen.write("settle", said, n * 60 + 2)
    return fold(pen.entries)


def read(litres: float) -> dict:
    return {"volume": typed(f"{litres:.2f}", "L"), "temperature": typed("20", "C"), "strength": typed("50", "abv")}


def said_of(state: dict) -> list[str]:
    return [one["say"] for one in state["findings"] if one["key"].startswith("differences/")]


def test_together_they_are_as_sure_as_the_root_of_their_squares():
    # Each gauge of 500 LPA: level 0.5 % and 0.3 K of 0.1 % per K, in quadrature 2.504 LPA; 0.2 %vol of 1000 L is 2 LPA.
    # Together 3.205 LPA; a settle rests on the gauge before and on its own, so root 2 of that: 4.53 LPA.
    # The strength's part goes by a density that is good to 2 %, as the model says.
    state = short_by(4)
    each, (total,) = state["differences"]["each"], state["differences"]["sums"]
    assert abs(each[0]["pm_mg"] / 1e6 / 0.78924 - 4.53) < 0.05
    assert total["pm_mg"] == round(math.sqrt(sum(one["pm_mg"] ** 2 for one in each)))
    assert total["off_mg"] == sum(one["off_mg"] for one in each)
    assert all(abs(one["off_mg"]) < one["pm_mg"] for one in each), "each alone is within what its gauges are sure of"


def test_many_small_ones_of_one_sign_are_said_and_those_of_both_signs_are_not():
    # Each is 0.4 % of 500 LPA short, 2 LPA; n of them 2n against root n of 4.53: beyond it from six on.
    assert said_of(short_by(4)) == []
    (say,) = said_of(short_by(7))
    assert say.startswith("T-1 was 13.8 LPA short in November 2025, in 7 differences that go one way"), say
    assert said_of(short_by(8, ways="-+")) == []


def test_a_struck_difference_counts_no_more():
    state = short_by(3)
    ids = [one["id"] for one in state["differences"]["each"]]
    entries = [record["entry"] for record in state["entries"].values()]
    strike = {**entries[-1], "id": "e99", "n": 99, "kind": "strike", "said": {}, "lines": []}
    strike["strikes"] = {"id": ids[1], "reason": "slip"}
    assert [one["id"] for one in fold([*entries, strike])["differences"]["each"]] == [ids[0], ids[2]]
