"""Both languages give the same bits and the same words: seeded questions and corners, in the page's own browser."""

import math
import random
import struct

from reckon.asked import Asker, corners
from reckon.both import here, in_page, revived

from server.reckon import tables

SEED = 20261124
# fmt: off
TYPED = [
    "62,4", "62.4", "-3", "−3", "0", "-0", ",5", "5,", "007", "", "1e5", "1.2.3", "٣", " 5", "5 ", "+5", "12345678901",
    "123456789012", "1234567890123", "0,0000000001", "99999999,999", "−", ",", "5\n", "NaN", "0x10", "１",
]
# fmt: on


def compare(page, asked: list) -> list:
    """Both answers to every call, failing on the first that differs; the answers, to be counted."""
    ours, theirs = here(asked), in_page(page, asked)
    for call, mine, other in zip(asked, ours, theirs, strict=True):
        assert mine == other, f"{call}: Python {mine}, page {other}"
    return ours


def refused(answers: list) -> int:
    return sum(isinstance(answer, dict) and "error" in answer for answer in answers)


def test_seeded_questions(page_at_origin):
    asker = Asker(SEED)
    asked = [["reckon", asker.question()] for _ in range(3000)]
    answers = compare(page_at_origin, asked)
    assert 500 < refused(answers) < 2000, "the mix of good and bad questions has gone astray"


def test_corners(page_at_origin):
    asked = [["reckon", request] for request in corners()]
    assert refused(compare(page_at_origin, asked)) > 300


def test_mixture_for_the_book(page_at_origin):
    asker = Asker(SEED + 1)
    liquids = [asker.liquid() for _ in range(300)]
    asked = [["mixture", asker.spoilt(liquid) if at % 5 == 0 else liquid] for at, liquid in enumerate(liquids)]
    asked += [["mixture", bad] for bad in (None, 5, [], "40")]
    assert refused(compare(page_at_origin, asked)) < 150


def test_view_of_sums(page_at_origin):
    chance = random.Random(SEED + 2)
    asked = [["view", 0, 0, 0, 20], ["view", 5, 1, 0, 20], ["view", -5, -10, -1, 20], ["view", 1, "2", 0, 20]]
    asked += [["view", 0, 10**9, 0, t] for t in (0, 20, 40, 40.5, 85, 100, 101, -1)]
    asked += [["view", 10**9, 10**9, 0, -20], ["view", 1, 10**9, 0, 50]]
    asked += [["view", 0, 10**9, 10**9, 20], ["view", 2**60, 1, 0, 0]]
    for _ in range(500):
        liquid = chance.randint(1, 5 * 10**9)
        ethanol = chance.randint(0, liquid)
        asked.append(["view", ethanol, liquid, chance.randint(0, liquid - ethanol), chance.uniform(-21, 41)])
    compare(page_at_origin, asked)


def test_rounding_to_milligrams(page_at_origin):
    chance = random.Random(SEED + 3)
    kilos = [0, -0.0, 0.0000005, 0.0000015, -0.0000005, 1e-12, 2.5e-6, 9e9, 9.1e9, "@nan", None, True]
    kilos += [chance.uniform(-10, 5000) for _ in range(300)]
    compare(page_at_origin, [["to_mg", kg] for kg in kilos])


def test_typed_numbers_and_units(page_at_origin):
    units = [*tables.UNITS, "stone", "toString", "", None, 5]
    asked = [["number_of", text] for text in [*TYPED, None, 5, True, [], "😀" * 12]]
    asked += [["to_base", {"typed": text, "unit": unit}] for text in TYPED[:4] for unit in units]
    asked += [["to_base", bad] for bad in (None, 5, "5", [], {}, {"typed": "5"})]
    asked += [["from_base", value, unit] for value in (0, 20, 62.4, -40, 1234.5678) for unit in units]
    compare(page_at_origin, asked)


def test_figures_in_sentences(page_at_origin):
    chance = random.Random(SEED + 4)
    bits = [struct.unpack(">d", chance.randbytes(8))[0] for _ in range(1000)]
    plain = [round(chance.uniform(-100, 100), places) for places in range(8) for _ in range(50)]
    compare(page_at_origin, [["figure", x] for x in [*plain, *(x for x in bits if math.isfinite(x))]])


def test_both_name_the_tables_alike(page_at_origin):
    assert page_at_origin.evaluate("async () => (await import('/reckon/tables.js')).TABLES") == tables.TABLES


def test_no_answer_holds_a_number_that_is_none():
    asker = Asker(SEED)
    for _ in range(3000):
        for answer in here([["reckon", asker.question()]]):
            values = [value for value in answer.values() if isinstance(value, str) and value.startswith("#")]
            # The eleven bits of the exponent are all set in infinity and in what is not a number.
            assert all(int(value[1:4], 16) & 0x7FF != 0x7FF for value in values)


def test_specials_are_what_they_say():
    assert revived([["reckon", {"a": ["@inf", "@-inf"]}]])[0][1]["a"] == [float("inf"), float("-inf")]
