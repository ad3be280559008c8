"""Strapping tables that nobody types row by row: read from text, and calculated from a shape."""

import math
from itertools import pairwise

import pytest

SHAPES = "/pages/strapping-shapes.js"
LITRES = """async ([path, diameter, length, depths]) => {
  const { lyingL, uprightL } = await import(path);
  return depths.map((depth) => [lyingL(diameter, length, depth), uprightL(diameter, depth)]);
}"""
READ = "async ([path, text]) => (await import(path)).rowsOfText(text)"
CHECK = "async ([path, rows]) => (await import(path)).faultsOfRows(rows, null)"
SHAPE = "async ([path, asked]) => (await import(path)).rowsOfShape(asked)"


def chords_l(diameter: float, length: float, depth: float, slices: int = 20000) -> float:
    """Litres in a lying cylinder by adding slices: the width of a circle at a height is 2 sqrt(h (d - h)).

    Simpson's rule over the angle (h = d (1 - cos a) / 2), so that the steep ends of the circle are smooth: an
    integration that knows nothing of the formula it checks.
    """
    top = math.acos(1 - 2 * depth / diameter)
    step = top / slices

    def part(at: int) -> float:
        height = diameter * (1 - math.cos(at * step)) / 2
        width = 2 * math.sqrt(max(0.0, height * (diameter - height)))
        return width * diameter * math.sin(at * step) / 2

    total = part(0) + part(slices) + sum((4 if at % 2 else 2) * part(at) for at in range(1, slices))
    return total * step / 3 * length / 1000


def test_a_lying_cylinder_is_the_sum_of_its_slices(page_at_origin):
    diameter, length = 118.4, 236.0
    depths = [0.0, 0.5, 7.3, 29.6, 59.2, 88.8, 111.1, 118.4]
    told = page_at_origin.evaluate(LITRES, [SHAPES, diameter, length, depths])
    for depth, (lying, upright) in zip(depths, told, strict=True):
        assert lying == pytest.approx(chords_l(diameter, length, depth), rel=1e-7, abs=1e-9), depth
        assert upright == pytest.approx(math.pi * (diameter / 2) ** 2 * depth / 1000)
    whole = math.pi * (diameter / 2) ** 2 * length / 1000
    # Half full is half of it; a quarter of the depth holds 19.550 % (1/3 - sqrt(3)/(4 pi), by elementary geometry).
    assert told[4][0] == pytest.approx(whole / 2)
    assert told[3][0] / whole == pytest.approx(1 / 3 - math.sqrt(3) / (4 * math.pi))
    assert told[7][0] == pytest.approx(whole)


def test_a_calculated_table_holds_between_its_rows(page_at_origin):
    rows = page_at_origin.evaluate(SHAPE, [SHAPES, {"shape": "lying", "diameter": 120.0, "length": 240.0}])
    figures = [(float(cm), float(litres)) for cm, litres in rows]
    assert figures[0] == (0.0, 0.0) and figures[-1] == (120.0, pytest.approx(2714.34, abs=0.005))
    for (low, a), (high, b) in pairwise(figures):
        true = chords_l(120.0, 240.0, (low + high) / 2, 400)
        off = abs((a + b) / 2 - true)
        assert off < 0.0003 * figures[-1][1], (low, high)
        assert low < 1 or off < 0.07 * true, (low, high)  # the last of a tank is not told as two thirds more than it is
    upright = page_at_origin.evaluate(SHAPE, [SHAPES, {"shape": "upright", "diameter": 80.0, "length": 100.0}])
    assert len(upright) == 11 and upright[-1] == ["100", "502.65"]


def simpson(part, top: float, slices: int = 2000) -> float:
    """The integral of a smooth function from 0 to top, by Simpson's rule."""
    step = top / slices
    total = part(0.0) + part(top) + sum((4 if at % 2 else 2) * part(at * step) for at in range(1, slices))
    return total * step / 3


def segment(radius: float, height: float) -> float:
    """The part of a circle below a height over its lowest point."""
    height = min(max(height, 0.0), 2 * radius)
    half = math.sqrt(max(0.0, height * (2 * radius - height)))
    return radius**2 * math.acos(1 - height / radius) - (radius - height) * half if radius > 0 else 0.0


def turned_l(depth_of_end: float, radius: float, depth: float) -> float:
    """Litres in both ends of a lying vessel, by slices across its length: circles that shrink along an ellipse."""

    def part(angle: float) -> float:  # the slice at a sin(angle) along the axis has the radius r cos(angle)
        across = radius * math.cos(angle)
        return segment(across, depth - (radius - across)) * depth_of_end * math.cos(angle)

    return 2 * simpson(part, math.pi / 2) / 1000


def bowl_l(bottom: float, radius: float, depth: float) -> float:
    """Litres in a round bottom by level slices: at a height h its circle is that of the ellipse."""
    return simpson(lambda h: math.pi * radius**2 * (1 - (1 - h / bottom) ** 2), min(depth, bottom)) / 1000


ENDS = {"ellipsoid": 0.25, "ball": 0.5}


@pytest.mark.parametrize("end", ENDS)
def test_rows_of_dished_ends_are_the_sum_of_their_slices(page_at_origin, end):
    """Slices the other way round than the formula goes; whole, a 2:1 end holds pi D^3 / 24 (solid geometry)."""
    wide, long = 118.4, 236.0
    deep = ENDS[end] * wide
    lying = page_at_origin.evaluate(SHAPE, [SHAPES, {"shape": "lying", "end": end, "diameter": wide, "length": long}])
    for cm, litres in [(float(cm), float(litres)) for cm, litres in lying][::5]:
        true = chords_l(wide, long, cm, 2000) + turned_l(deep, wide / 2, cm)
        assert litres == pytest.approx(true, abs=0.006, rel=2e-6), cm
    whole = math.pi * wide**3 / {"ellipsoid": 24, "ball": 12}[end] / 1000
    cylinder = math.pi * (wide / 2) ** 2 * long / 1000
    assert float(lying[-1][1]) == pytest.approx(cylinder + 2 * whole, abs=0.006)
    asked = {"shape": "upright", "end": end, "diameter": wide, "length": long}
    upright = [(float(cm), float(litres)) for cm, litres in page_at_origin.evaluate(SHAPE, [SHAPES, asked])]
    for cm, litres in upright:
        straight = math.pi * (wide / 2) ** 2 * max(0.0, cm - deep) / 1000
        assert litres == pytest.approx(bowl_l(deep, wide / 2, cm) + straight, abs=0.006), cm
    assert upright[-1] == (pytest.approx(deep + long, abs=0.006), pytest.approx(whole + cylinder, abs=0.2))
    for (low, a), (high, b) in pairwise(row for row in upright if row[0] <= deep):
        assert abs((a + b) / 2 - bowl_l(deep, wide / 2, (low + high) / 2)) < 0.001 * whole, (low, high)


def test_a_ball_is_the_sum_of_its_slices(page_at_origin):
    rows = page_at_origin.evaluate(SHAPE, [SHAPES, {"shape": "ball", "diameter": 120.0}])
    figures = [(float(cm), float(litres)) for cm, litres in rows]
    assert figures[-1] == (120.0, pytest.approx(math.pi * 120**3 / 6000, abs=0.006))  # pi D^3 / 6
    for (low, a), (high, b) in pairwise(figures):
        for cm, litres in ((high, b), ((low + high) / 2, (a + b) / 2)):
            near = 0.006 if cm == high else 0.0011 * figures[-1][1]
            assert litres == pytest.approx(turned_l(60.0, 60.0, cm), abs=near), cm


TEXTS = [
    ("cm;L\n0;4\n84,5;412,6\n", [["0", "4"], ["84,5", "412,6"]]),
    ("0,4\n84.5,412.6", [["0", "4"], ["84.5", "412.6"]]),
    ("0\t4\r\n84,5\t412,6\r\n\r\n", [["0", "4"], ["84,5", "412,6"]]),
    ('"Dip","Volume"\n"1.5","20"', [["1.5", "20"]]),
    ("10 12\n20 30.5", [["10", "12"], ["20", "30.5"]]),
]


@pytest.mark.parametrize(("text", "rows"), TEXTS)
def test_two_columns_are_read_whatever_parts_them(page_at_origin, text, rows):
    assert page_at_origin.evaluate(READ, [SHAPES, text]) == {"rows": rows, "faults": []}


def test_what_cannot_be_read_is_said_by_its_line(page_at_origin):
    told = page_at_origin.evaluate(READ, [SHAPES, "cm;L\n0;4\nx;5\n7\n8;-1\n9;1;2"])
    assert told["rows"] == [["0", "4"]]
    lines = [fault.split(":")[0] for fault in told["faults"]]
    assert lines == ["Line 3, “x;5”", "Line 4, “7”", "Line 5, “8;-1”", "Line 6, “9;1;2”"]
    assert "84.5" in told["faults"][0] and "1 column" in told["faults"][1] and "below nothing" in told["faults"][2]


def test_a_table_must_rise_from_dip_to_dip(page_at_origin):
    def faults(rows: list) -> list:
        return page_at_origin.evaluate(CHECK, [SHAPES, rows])

    assert faults([[10, 30], [0, 4], [20, 30]]) == []
    assert "10.0\u00a0cm stands there twice" in faults([[0, 4], [10, 30], [10, 31]])[0]
    assert "At 20.0\u00a0cm stand 25.0\u00a0L" in faults([[0, 4], [20, 25], [10, 30]])[0]


@pytest.mark.parametrize("text", ["10;1,250", "10\t1.250", "10 1,250", "dip;litres\n10;900\n20;1,250"])
def test_a_thousand_with_a_sign_is_not_taken_as_one_and_a_quarter(page_at_origin, text):
    """1,250 is twelve hundred and fifty to one and one and a quarter to the other (both signs: ISO 80000-1, 7.3.2)."""
    (fault,) = page_at_origin.evaluate(READ, [SHAPES, text])["faults"]
    assert "may be 1250 or 1.25; write it as 1250, or as 1" in fault


def test_another_number_of_the_text_shows_its_decimal_sign(page_at_origin):
    for text, row in (("10,5;1,250", ["10,5", "1,250"]), ("84.5,412.6\n85,1.250", ["85", "1.250"])):
        told = page_at_origin.evaluate(READ, [SHAPES, text])
        assert told["faults"] == [] and told["rows"][-1] == row
    assert page_at_origin.evaluate(READ, [SHAPES, "10.5;1,250"])["faults"] != []
    assert page_at_origin.evaluate(READ, [SHAPES, "10;0.125\n20;1250"])["faults"] == []
