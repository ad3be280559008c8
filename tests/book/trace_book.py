"""Books for the trace: hand-written lines, a mash of two lots, random moves, long weeks, the season of the demo."""

import random
from datetime import UTC, datetime

from book.ledger_book import entries_of
from hypothesis import strategies as st

from demo_site.season import build

KG = 1_000_000


def row(name: str, *lines, kind: str = "test_move", **more) -> dict:
    """A row of a ledger with hand-written lines (from, to, kg of ethanol); ten times as much liquid."""
    said = more.pop("said", {})
    moved = [[source, target, round(kg * KG), round(kg * KG) * 10, 0] for source, target, kg in lines]
    return {"id": name, "kind": kind, "said": said, "lines": moved, **more}


def wash(name: str, tank: str, kg: float, **more) -> dict:
    return row(name, ("made/ferment", f"vessel/{tank}", kg), kind="wash", said={"name": name}, **more)


def strip(name: str, tank: str, to: str, kg: float) -> list[dict]:
    """A run that loses nothing: charged from one vessel, run off into another."""
    said = {"run": name, "still": "S", "sort": "strip", "parts": []}
    return [
        row(name, (f"vessel/{tank}", "still/S", kg), kind="charge", said=said, group="self"),
        row(f"{name}c", ("still/S", f"vessel/{to}", kg), group=name),
    ]


def lot(name: str, tag: str, sort: str, starch: str | None = None) -> dict:
    said = {"lot": tag, "sort": sort, "supplier": "Low Field", "mass": {"typed": "900", "unit": "kg"}}
    return row(name, kind="lot", said=said | ({"starch": {"typed": starch, "unit": "pct"}} if starch else {}))


LOTS = [
    lot("l1", "26-1", "rye", "60"),
    lot("l2", "26-2", "potato", "15"),
    lot("l3", "Y-1", "yeast"),
]
MASH = {"name": "M-1", "vessel": "F1", "water_source": "mains"}
STRIP = {"still": "S", "sort": "strip"}


def kilos(tag: str, kg: float) -> dict:
    return {"lot": tag, "mass": {"typed": str(kg), "unit": "kg"}}


def typed(text: str, unit: str) -> dict:
    return {"typed": text, "unit": unit}


PITCH = {"vessel": "F1", "temperature": typed("28", "C"), "gravity": typed("15", "plato")}
MASHED = [
    row("K", kind="mash", group="self", said=MASH | {"materials": [kilos("26-1", 100), kilos("26-2", 400)]}),
    row("p", kind="pitch", group="K", said=PITCH | {"materials": [kilos("Y-1", 1)]}),
    row(
        "W",
        ("made/ferment", "vessel/F1", 40),
        kind="wash",
        group="K",
        said=PITCH
        | {"name": "M-1", "volume": typed("900", "L"), "original": typed("15", "plato"), "final": typed("0", "plato")},
    ),
]
PLACES = ["vessel/A", "vessel/B", "vessel/C", "still/S", "stock/L"]
ENDS = ["lost/stillage", "lost/unexplained", "gone/duty_paid", "sampled/laboratory"]
BIRTHS = ["made/ferment", "found/opening", "found/unexplained", "bought/spirit", "water/mains"]
MOVES = st.one_of(
    st.tuples(st.sampled_from(BIRTHS), st.sampled_from(PLACES), st.integers(0, 10**10)),
    st.tuples(st.sampled_from(PLACES), st.sampled_from(PLACES + ENDS), st.integers(0, 10**10)),
    st.tuples(st.sampled_from(ENDS), st.sampled_from(PLACES), st.integers(0, 10**9)),
)
BOOKS = st.lists(st.lists(MOVES, min_size=1, max_size=3), min_size=1, max_size=40)


def random_book(rows: list) -> list[dict]:
    said = [
        {"id": f"e{n}", "kind": "test_move", "said": {}, "lines": [[a, b, mg, mg * 2 + 1, 0] for a, b, mg in lines]}
        for n, lines in enumerate(rows)
    ]
    return entries_of({"entries": said})


def demo() -> list[dict]:
    return build("x", ["A.3f9a1c2e", "B.5d20e7f4"], datetime(2026, 11, 27, 15, 0, tzinfo=UTC))


def random_lines(dice: random.Random) -> list[tuple]:
    sources, ends = BIRTHS + PLACES * 3, PLACES * 2 + ENDS
    return [(dice.choice(sources), dice.choice(ends), dice.randrange(10**10)) for _ in range(dice.randint(1, 3))]


def long_book(size: int) -> list[dict]:
    """Weeks of two washes, two strips and a column run whose feints go into the next one; the hearts go to bottles."""
    rows, week = [], 0
    while len(rows) < size:
        for n in (1, 2):
            run = f"t{n}w{week}"
            rows += [wash(f"M{n}w{week}", f"F{n}", 100)]
            rows += [row(run, (f"vessel/F{n}", "still/P", 100), kind="charge", group="self", said=STRIP)]
            rows += [row(f"s{n}w{week}", ("still/P", "vessel/L", 95), ("still/P", "lost/stillage", 5), group=run)]
        charge = [("vessel/L", "still/C", 190), ("vessel/X", "still/C", 60 if week else 0)]
        hearts, lost = (175, 15) if week else (120, 10)
        rows += [
            row(f"c{week}", *charge, kind="charge", group="self", said=STRIP | {"sort": "column"}),
            row(f"h{week}", ("still/C", "vessel/H", hearts), group=f"c{week}"),
            row(
                f"f{week}",
                ("still/C", "vessel/X", 60),
                ("still/C", "lost/stillage", lost),
                group=f"c{week}",
            ),
            row(f"p{week}", ("vessel/H", "vessel/S", hearts)),
            row(
                f"b{week}", ("vessel/S", f"stock/B{week}", 150 if week else 100), kind="bottling", said={"count": 1500}
            ),
            row(
                f"g{week}",
                (f"stock/B{week}", "gone/duty_paid", 150 if week else 100),
                kind="dispatch",
                said={"count": 1500},
            ),
        ]
        week += 1
    return entries_of({"entries": rows[:size]})
