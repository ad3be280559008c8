"""The words by which an entry is found, and those that a person asks for. Twin of static/book/searchWords.js.

A word is in small letters without accents. Tags, lots and numbers stay whole (h-2, 17.5), and the longer parts of a
tag are words too. A day stands as 2026-11-03 and, for every year, as --11-03; who wrote it, as by:ines; what
it takes back, as strikes:id. An entry's serial is no word, since each would be another one: it is looked up by itself.
"""

import re
import unicodedata
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from server.book.kinds import is_int, is_sums, kind_of
from server.book.order import at_of
from server.book.strikes import target_of

LONGEST, MOST_WORDS, MOST_TERMS, DEEPEST = 40, 300, 8, 8
_WORD = re.compile(r"[^\W_]+(?:[-.][^\W_]+)*")
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
_ID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_DAY = re.compile(r"(?:[0-9]{4}-[0-9]{2}|--[0-9]{2})(?:-[0-9]{2})?")
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def words_of(entry: dict) -> list[str]:
    """Every word under which an entry is found, each once, at most MOST_WORDS of at most LONGEST letters."""
    return list(dict.fromkeys(_all_words(entry)))[:MOST_WORDS]


def _all_words(entry: dict) -> Iterator[str]:
    day = day_of(entry)
    if day:
        yield from (day, f"-{day[4:]}")
    kind = entry.get("kind")
    yield from split(f"{(kind_of(kind) or {}).get('title', '')} {kind}")
    for word in split(entry.get("by") or ""):
        yield from (word, f"by:{word}")
    yield from _said(entry.get("said"), 0)
    if target_of(entry):
        yield f"strikes:{target_of(entry)}"
        yield from _said(entry["strikes"].get("reason"), 0)


def day_of(entry: dict) -> str | None:
    """The calendar day where it was written, as 2026-11-03; None for a time that cannot be read."""
    at, offset = at_of(entry), entry.get("offset_min")
    if not at:
        return None
    try:
        moment = _EPOCH + timedelta(milliseconds=at + (offset if is_int(offset) else 0) * 60_000)
    except OverflowError:
        return None
    return moment.date().isoformat()


def _said(value: object, depth: int) -> Iterator[str]:
    """Words in what was said: texts, typed numbers, counts. Ids and the book's own sums are nobody's words."""
    if isinstance(value, str):
        if not _ID.fullmatch(value):
            yield from split(value)
    elif is_int(value) or (isinstance(value, float) and value.is_integer() and is_int(int(value))):
        yield str(int(value))  # 350.0, which is 350 in the other language
    elif depth < DEEPEST and isinstance(value, dict) and not is_sums(value):
        yield from _said(value["typed"], depth) if isinstance(value.get("typed"), str) else ()
        for key, inner in value.items():
            if key not in ("typed", "unit"):
                yield from _said(inner, depth + 1)
    elif depth < DEEPEST and isinstance(value, list):
        for inner in value:
            yield from _said(inner, depth + 1)


def split(text: str) -> Iterator[str]:
    """The words of a text, and the parts of those that are put together with a hyphen or a point."""
    for word in whole_words(text):
        yield word
        if not _NUMBER.fullmatch(word):
            parts = re.split("[-.]", word)
            yield from (part for part in parts if len(parts) > 1 and len(part) > 1)


def whole_words(text: str) -> list[str]:
    return [plain_number(word)[:LONGEST] for word in _WORD.findall(_COMMA.sub(".", plain_letters(text)))]


def plain_letters(text: str) -> str:
    """Small letters without accents."""
    if text.isascii():
        return text.lower()
    parts = unicodedata.normalize("NFKD", text)
    return "".join(sign for sign in parts if not unicodedata.category(sign).startswith("M")).lower()


def plain_number(word: str) -> str:
    """17.50 as 17.5, 96.0 as 96: a number is found however many zeros were typed."""
    return word.rstrip("0").rstrip(".") if "." in word and _NUMBER.fullmatch(word) else word


def terms_of(asked: str) -> list[list[str]]:
    """What must all be found: each a list of words of which one must begin a word of the entry; at most MOST_TERMS."""
    found = []
    for piece in asked.split():
        ways = [one for way in piece.split("|") for one in _ways(way)]
        if "|" in piece:
            found += [ways] if ways else []
        else:
            found += [[one] for one in ways]
    return found[:MOST_TERMS]


def _ways(piece: str) -> list[str]:
    if _DAY.fullmatch(piece):
        return [piece]
    if piece.lower().startswith("by:"):
        return [f"by:{word}" for word in whole_words(piece[3:])]
    return whole_words(piece)
