"""The words by which an entry is found: the same in both languages, so that a phone and the server find alike."""

from datetime import UTC, datetime

from demo_site.season import build
from server.book.search_words import terms_of, words_of

WORDS_OF_ALL = """async ([entries, asked]) => {
  const { termsOf, wordsOf } = await import('/book/searchWords.js');
  return [entries.map((entry) => wordsOf(entry).sort()), asked.map(termsOf)];
}"""

TEXTS = [
    "Zoë's Mühle, Straße 4", "İzmir ıŋ", "ﬁne ½ ² Ⅳ", "17,50 L", "96.0", "1.2.3", "a.b-c..d--e", "x" * 90, "ПРИВЕТ",
    "日本 酒", "duty_paid", "e\u0301e\u0300", "😀 K-142", "0,5,7", "007", "ΟΔΟΣ", "",
    "0192f0c1-0000-7000-8000-000000000000",
]  # fmt: skip
ASKED = [
    *TEXTS, "K-142", "by:Zoë by: 2026-11-03 --11", "2026-1", "mar|--03 today|2026-11-30", "| a| |", "a b c d e f g h i",
]  # fmt: skip
ODD = [  # kind, when, offset
    ("loss", "2026-11-03T23:40:00.000Z", 60), ("no_such", "2026-02-30T00:00:00.000Z", -60),
    ("site", "9999-12-31T23:59:00.000Z", None), ("tick", "0001-01-01T00:00:00.000Z", 1.5), ("lab", 5, "60"),
    ("lab", "9999-12-31T23:59:00.000Z", 1), ("lab", "0001-01-01T00:00:00.000Z", -1),
]  # fmt: skip


def odd_entries() -> list[dict]:
    sums = {"ethanol_mg": 1, "liquid_mg": 2, "extract_mg": 3}
    deep = {"list": [[{"typed": "1,10", "unit": "L"}], 5, 5.5, 350.0, True, None, {"typed": 7}]}
    said = {"text": TEXTS, "deep": deep, "book": sums}
    named = ("kind", "happened", "offset_min")
    return [dict(zip(named, one, strict=True)) | {"by": "Zoë B", "clock": 0, "said": said} for one in ODD]


def test_the_words_are_the_same_in_both_languages(page_at_origin):
    season = build("x", ["A.3f9a1c2e", "B.5d20e7f4", "C.19c4d0aa"], datetime(2026, 11, 27, 9, 30, tzinfo=UTC))
    entries = season + odd_entries()
    words, terms = page_at_origin.evaluate(WORDS_OF_ALL, [entries, ASKED])
    for entry, there in zip(entries, words, strict=True):
        assert sorted(words_of(entry)) == sorted(there), entry
    for asked, there in zip(ASKED, terms, strict=True):
        assert terms_of(asked) == there, asked
    assert all(len(one) > 4 for one in words[: len(season)])


def test_terms_and_words_by_hand():
    assert terms_of("by:Zoë  17,50 Mar|--03 h-2") == [["by:zoe"], ["17.5"], ["mar", "--03"], ["h-2"]]
    entry = {"kind": "tick", "by": "Ines", "happened": "2026-11-03T23:40:00.000Z", "offset_min": 60, "clock": 0,
             "said": {"tag": "L26-220", "book": {"ethanol_mg": 1, "liquid_mg": 2, "extract_mg": 3}}}  # fmt: skip
    kind = {"check", "tick"}
    assert set(words_of(entry)) - kind == {"2026-11-04", "--11-04", "ines", "by:ines", "l26-220", "l26", "220"}
