"""The bodies of requests, field by field: what may be asked, with a sentence for what may not."""

import base64
import re
from collections.abc import Mapping

from server.body import HALF_PAIR
from server.book.periods import MONTH
from server.book.recall_start import REACHES
from server.devices import ROLES
from server.errors import Refused
from server.office.csv_table import TABLES
from server.papers_asked import OF_MONTH, OF_PLOT
from server.sync import BATCH

_DEVICE = re.compile(r"[A-Z]{1,3}\.[0-9a-f]{8}")
_HASH = re.compile(r"[0-9a-f]{64}")
_SALT = re.compile(r"[0-9a-f]{32}")
_WHOLE = 2**53 - 1
_ROUNDS = (600_000, 10_000_000)  # the least is what the page uses; the most keeps a slow phone from hanging


def pairing_asked(body: dict) -> dict:
    """{code, was} of a pairing; both may be left out."""
    code, was = body.get("code"), body.get("was")
    if code is not None:
        _check(isinstance(code, str) and len(code) <= 20, "code", None, "six digits as text")
        code = re.sub(r"[\s-]", "", code)
    _check(was is None or _is_device(was), "was", was, "a device like K.3f9a1c2e, or null")
    return {"code": code, "was": was}


def code_asked(body: dict) -> str:
    """The role that a code gives; floor when it is left out."""
    return _role(body.get("role", "floor"))


def name_asked(body: dict) -> str:
    """The whole name of a device, or its letters."""
    name = body.get("device")
    _check(_is_text(name, 20), "device", name, "a device like K.3f9a1c2e, or its letters")
    return name


def role_asked(body: dict) -> tuple[str, str]:
    return name_asked(body), _role(body.get("role"))


def _role(role: object) -> str:
    _check(role in ROLES, "role", role, "floor or office")
    return role


def person_asked(body: dict) -> str:
    person = body.get("person")
    _check(_is_text(person, 30) and person.strip(), "person", person, "a name of 1 to 30 letters")
    return person


def pin_asked(body: dict) -> dict:
    """{person, salt, rounds, verifier, was} of a PIN that is set; `was` is null for a first one. No PIN is in it."""
    salt, rounds, verifier, was = (body.get(name) for name in ("salt", "rounds", "verifier", "was"))
    _check(isinstance(salt, str) and _SALT.fullmatch(salt), "salt", None, "16 bytes as 32 hex digits")
    _check(_is_whole(rounds) and _ROUNDS[0] <= rounds <= _ROUNDS[1], "rounds", rounds,
           f"a whole number from {_ROUNDS[0]} to {_ROUNDS[1]}")  # fmt: skip
    _check(isinstance(verifier, str) and _HASH.fullmatch(verifier), "verifier", None, "32 bytes as 64 hex digits")
    is_old = was is None or (isinstance(was, str) and _HASH.fullmatch(was))
    _check(is_old, "was", None, "32 bytes as 64 hex digits, or null")
    return {"person": person_asked(body), "salt": salt, "rounds": rounds, "verifier": verifier, "was": was}


def search_asked(query: Mapping[str, str]) -> tuple[str, int | None]:
    """The words to search for, and the number of the last entry of the answer before this one."""
    asked, before = query.get("q", ""), query.get("before")
    _check(_is_text(asked, 200), "q", asked, "words of 1 to 200 letters")
    is_number = before is None or (before.isascii() and before.isdecimal() and len(before) <= 15)
    _check(is_number, "before", before, "the number of an entry")
    return asked, None if before is None else int(before)


def account_asked(query: Mapping[str, str]) -> str:
    month = query.get("month", "")
    _check(MONTH.fullmatch(month), "month", month, "a book month, as 2026-11")
    return month


def paper_asked(query: Mapping[str, str]) -> tuple[str, list]:
    """("month", [month, what]), ("of", [id]) or ("plot", [what, begin, until]) with times in ms."""
    what = query.get("what", "")
    if "of" in query:
        _check(_is_text(query["of"], 200), "of", query["of"], "the id of an entry, a run, a mash or a round of checks")
        return "of", [query["of"]]
    if "month" in query:
        _check(what in OF_MONTH, "what", what, "one of " + ", ".join(OF_MONTH))
        return "month", [account_asked(query), what]
    _check(what in OF_PLOT, "what", what, "one of " + ", ".join(OF_PLOT))
    times = [query.get(name, "") for name in ("from", "until")]
    is_right = all(one.isascii() and one.isdecimal() and len(one) <= 15 for one in times)
    _check(is_right, "from", times[0], "two times in ms")
    return "plot", [what, *map(int, times)]


def trace_asked(query: Mapping[str, str]) -> tuple[str | None, str | None]:
    """(a place to trace back from, a source to follow): one of the two."""
    place, source = query.get("place"), query.get("source")
    _check((place is None) != (source is None), "place", place, "a place, or a source")
    _check(_is_text(source if place is None else place, 200), "place", place, "the name of a place, or of a source")
    return place, source


def recall_asked(query: Mapping[str, str]) -> dict:
    of, reach = query.get("of", ""), query.get("reach")
    _check(_is_text(of, 200), "of", of, "a lot, a water, a place or an entry")
    _check(reach is None or reach in REACHES, "reach", reach, "one of " + ", ".join(REACHES))
    return {"of": of, "reach": reach}


def table_asked(body: dict) -> tuple[str, bytes]:
    """{table, file} of an import: the table's name, and the file's bytes in base64."""
    name, packed = body.get("table"), body.get("file")
    _check(isinstance(name, str) and name in TABLES, "table", name, "one of " + ", ".join(TABLES))
    try:
        raw = base64.b64decode(packed, validate=True) if isinstance(packed, str) else None
    except ValueError:  # also for what is not ASCII
        raw = None
    _check(raw is not None, "file", None, "the bytes of a file in base64")
    return name, raw


def sync_asked(body: dict) -> dict:
    """The fields of a sync, each in its shape; the entries themselves are judged one by one, later."""
    _check(_is_whole(body.get("v")) and body["v"] == 1, "v", body.get("v"), "1, the version of this exchange")
    _check(_is_text(body.get("site"), 40), "site", body.get("site"), "the id of a site")
    _check(_is_device(body.get("device")), "device", body.get("device"), "a device like K.3f9a1c2e")
    epoch = body.get("epoch")
    _check(epoch is None or _is_text(epoch, 40), "epoch", epoch, "the epoch of the last answer, or null")
    since = body.get("since", 0)
    _check(_is_whole(since), "since", since, "the number of the last answer, or 0")
    entries = body.get("entries", [])
    _check(isinstance(entries, list), "entries", type(entries).__name__, "a list of texts")
    if len(entries) > BATCH:
        raise Refused(413, "entries", len(entries), f"at most {BATCH} entries",
                      f"{len(entries)} entries are more than the {BATCH} that are taken at once. Send fewer.")
    have = body.get("have", False)
    _check(isinstance(have, bool), "have", have, "true or false")
    opening = body.get("opening")
    _check(opening is None or _is_text(opening, 40), "opening", opening, "the id of an opening, or null")
    asked = {"site": body["site"], "device": body["device"], "epoch": epoch, "since": since, "entries": entries,
             "have": have, "head": _head(body.get("head"))}  # fmt: skip
    return {**asked, "opening": opening} if "opening" in body else asked


def _head(head: object) -> dict | None:
    """The newest record that the device knows of, {seq, hash}; a device need not say it."""
    if head is None:
        return None
    is_right = isinstance(head, dict) and _is_whole(head.get("seq")) and isinstance(head.get("hash"), str)
    _check(is_right and _HASH.fullmatch(head["hash"]), "head", head, "the head of the last answer, or null")
    return {"seq": head["seq"], "hash": head["hash"]}


def _check(is_right: object, name: str, given: object, expected: str) -> None:
    if not is_right:
        raise Refused(400, name, given, expected, f"The field {name} must be {expected}. Nothing was taken.")


def _is_text(value: object, longest: int) -> bool:
    """Half of a character pair is no text: SQLite would not take it."""
    return isinstance(value, str) and 1 <= len(value) <= longest and not HALF_PAIR.search(value)


def _is_device(value: object) -> bool:
    return isinstance(value, str) and _DEVICE.fullmatch(value) is not None


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _WHOLE
