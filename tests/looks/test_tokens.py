"""Contrast of the tokens in all three themes, and no colour outside tokens.css.

The contrast formula and its limits are those of WCAG 2.2 (relative luminance; 1.4.6 enhanced contrast of text 7:1;
1.4.11 non-text contrast 3:1), https://www.w3.org/TR/WCAG22/.
"""

import re
from itertools import product
from pathlib import Path

import pytest

STYLES = Path(__file__).resolve().parents[2] / "static" / "styles"
TOKENS = (STYLES / "tokens.css").read_text()
THEMES = {
    "day": r":root",
    "night": r'\[data-theme="night"\]',
    "dim": r'\[data-theme="dim"\]',
    "sheet": r':root:not\(\[data-theme\]\) \.sheet, \[data-theme="day"\] \.sheet',
}
TEXT = [("ink", "plate"), ("ink-2", "plate"), ("on", "act"), ("ink", "key"), ("copper", "plate")]


def tokens(theme: str) -> dict[str, str]:
    """Colours of a theme; the danger sheet takes from the day what it does not say itself."""
    block = re.search(rf"^{THEMES[theme]} \{{(.*?)\}}", TOKENS, re.S | re.M).group(1)
    found = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", block))
    return (tokens("day") | found) if theme == "sheet" else found


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_formula_gives_the_printed_extreme():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)  # WCAG 2.2, "contrast ratio": 1 to 21


@pytest.mark.parametrize(("theme", "pair"), list(product(["day", "night", "dim"], TEXT)), ids=str)
def test_text_has_seven_to_one(theme, pair):
    colours = tokens(theme)
    assert contrast(colours[pair[0]], colours[pair[1]]) >= 7


@pytest.mark.parametrize("pair", [("ink", "plate"), ("ink-2", "plate"), ("on", "act")], ids=str)
def test_text_of_the_danger_sheet_has_seven_to_one(pair):
    colours = tokens("sheet")
    assert contrast(colours[pair[0]], colours[pair[1]]) >= 7


@pytest.mark.parametrize("theme", ["day", "night", "dim", "sheet"])
def test_rules_can_be_seen(theme):
    colours = tokens(theme)
    assert contrast(colours["rule"], colours["plate"]) >= 3


def test_dim_shows_no_red():
    """A still house at night: red is never the strongest part of a colour, so that nothing shines red."""
    for name, colour in tokens("dim").items():
        red, green = int(colour[1:3], 16), int(colour[3:5], 16)
        assert red < green, name


def test_colours_stand_in_the_tokens_only():
    literal = re.compile(r"#[0-9a-fA-F]{3,8}\b|\brgba?\(|\bhsla?\(")
    for sheet in STYLES.glob("*.css"):
        if sheet.name != "tokens.css":
            assert not literal.findall(sheet.read_text()), sheet.name


def test_drawings_and_parts_use_tokens_for_colour():
    literal = re.compile(r"""(?:fill|stroke)=["'](?!none|currentColor|var\(|url\()[^$"']+["']""")
    for part in (STYLES.parent / "parts").glob("*.js"):
        assert not literal.findall(part.read_text()), part.name
