"""The declared kinds of entry, and whether what a person said has the declared shape.

The declarations stand in static/book/kinds.json and are read by both languages; static/book/kinds.js is the twin.
"""

import json
import re
from functools import cache

from server.paths import STATIC
from server.reckon import ReckonError
from server.reckon.units import based, number_of

TAG = re.compile(r"^[A-Za-z0-9][A-Za-z0-9_-]{0,11}$")
TIME = re.compile(r"^([01][0-9]|2[0-3]):[0-5][0-9]$")
DATE = re.compile(r"^(19|20)[0-9]{2}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$")
MONTH = re.compile(r"^(19|20)[0-9]{2}-(0[1-9]|1[0-2])$")
CAUSE = re.compile(r"^[A-Za-z0-9][A-Za-z0-9 _-]{0,29}$")
TAGGED = ("vessel", "still", "lot", "stock", "instrument")  # what is named by a tag; other things by an entry's id
SUMS = ("ethanol_mg", "liquid_mg", "extract_mg")
SAFE = 2**53 - 1


@cache
def declarations() -> dict:
    """The whole of kinds.json: quantities, words, kinds."""
    return json.loads((STATIC / "book" / "kinds.json").read_text(encoding="utf-8"))


def kind_of(name: object) -> dict | None:
    """The declaration of a kind, or None for a kind that this version does not know."""
    return declarations()["kinds"].get(name) if isinstance(name, str) else None


def is_set_up(name: object) -> bool:
    """Whether entries of this kind say what the house consists of, which is the office's to say."""
    return bool((kind_of(name) or {}).get("office"))


def choices_of(field: dict) -> list:
    """The words to pick from: a list, or the name of a list under `words`."""
    choices = field.get("choices", [])
    return declarations()["words"][choices] if isinstance(choices, str) else choices


def is_int(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and -SAFE <= value <= SAFE


def is_sums(value: object) -> bool:
    """True for whole milligrams under exactly the three names."""
    return isinstance(value, dict) and all(is_int(value.get(name)) for name in SUMS)


def problem(field: str, given: object, expected: str, say: str) -> dict:
    return {"field": field, "given": shown(given), "expected": expected, "say": say}


def shown(given: object) -> str:
    """What was given, short enough to stand in a sentence."""
    if given is None:
        return "nothing"
    if isinstance(given, str):
        return given[:40]
    if isinstance(given, bool):
        return "yes" if given else "no"
    if isinstance(given, int):
        return str(given)
    if isinstance(given, dict) and isinstance(given.get("typed"), str):
        unit = given.get("unit")
        return f"{given['typed'][:12]} {unit[:12] if isinstance(unit, str) else ''}".strip()
    return "something unreadable"


def check_said(kind: str, said: object) -> list[dict]:
    """What is wrong with the shape of `said`: a list of {field, given, expected, say}; empty when nothing is.

    An unknown kind gives an empty list: a newer version wrote it, and it is kept as it is.
    """
    declared = kind_of(kind)
    if declared is None:
        return []
    if not isinstance(said, dict):
        return [problem("said", said, "an object", "What was said cannot be read. Enter it again.")]
    fields = [*declared["fields"], *declarations()["common"]]
    return check_fields(fields, said, "", said)


def is_readable(entry: dict) -> bool:
    """Whether an entry is of a kind and version known here and says what its kind declares."""
    declared = kind_of(entry.get("kind"))
    known = declared is not None and is_int(entry.get("v")) and entry["v"] == declared["v"]
    return known and not check_said(entry["kind"], entry.get("said"))


def check_fields(fields: list, said: dict, path: str, whole: dict) -> list[dict]:
    found = []
    for field in fields:
        name = path + field["name"]
        value = said.get(field["name"])
        if value is None:
            if wanted(field, said):
                found.append(problem(name, None, field["ask"], f"{field['ask']} Nothing was given; fill it in."))
        else:
            found.extend(CHECKS[field["sort"]](field, value, name, said))
    return found


def wanted(field: dict, said: dict) -> bool:
    """Whether a field must be there, given its `optional`, its `when`, `unless` and `with`."""
    has = [name for name in field.get("unless", field.get("with", ())) if said.get(name) is not None]
    if field.get("optional") or ("unless" in field and has) or ("with" in field and not has):
        return False
    return all(said.get(other) in values for other, values in field.get("when", {}).items())


def bad(field: dict, value: object, name: str, expected: str) -> list[dict]:
    return [problem(name, value, expected, f"{field['ask']} {shown(value)} was given; give {expected}.")]


def check_text(field: dict, value: object, name: str, said: dict) -> list[dict]:
    longest = field.get("max", 200)
    if not isinstance(value, str) or not value.strip() or len(value) > longest:
        return bad(field, value, name, f"words of 1 to {longest} letters")
    return []


def check_choice(field: dict, value: object, name: str, said: dict) -> list[dict]:
    choices = choices_of(field)
    return [] if value in choices else bad(field, value, name, "one of " + ", ".join(choices))


def check_ticks(field: dict, value: object, name: str, said: dict) -> list[dict]:
    choices = choices_of(field)
    if not isinstance(value, list) or not all(word in choices for word in value):
        return bad(field, value, name, "some of " + ", ".join(choices))
    return []


def check_pattern(pattern: re.Pattern, expected: str):
    def check(field: dict, value: object, name: str, said: dict) -> list[dict]:
        fits = isinstance(value, str) and pattern.fullmatch(value) is not None
        return [] if fits else bad(field, value, name, expected)

    return check


check_tag = check_pattern(TAG, "a tag of 1 to 12 letters, digits, - or _")
check_time = check_pattern(TIME, "a time as 06:00")
check_date = check_pattern(DATE, "a date as 2026-11-27")
check_month = check_pattern(MONTH, "a month as 2026-11")
check_cause = check_pattern(CAUSE, "a short word")


def check_ref(field: dict, value: object, name: str, said: dict) -> list[dict]:
    if field["of"] in TAGGED:
        return check_tag(field, value, name, said)
    return check_text({**field, "max": 60}, value, name, said)


def check_bool(field: dict, value: object, name: str, said: dict) -> list[dict]:
    return [] if isinstance(value, bool) else bad(field, value, name, "yes or no")


def check_sums(field: dict, value: object, name: str, said: dict) -> list[dict]:
    return [] if is_sums(value) else bad(field, value, name, "the book's sums in whole milligrams")


def check_number(field: dict, value: object, name: str, said: dict) -> list[dict]:
    """A typed number with a unit of its quantity, or a bare number where the field has no quantity."""
    if "quantity" in field:
        return check_typed(field, value, name)
    low, high = field.get("min", 0), field.get("max", SAFE)
    expected = f"{'a whole number' if field.get('whole') else 'a number'} from {low} to {high}"
    number = isinstance(value, (int, float)) and not isinstance(value, bool) and low <= value <= high
    return [] if number and (not field.get("whole") or value == int(value)) else bad(field, value, name, expected)


def check_count(field: dict, value: object, name: str, said: dict) -> list[dict]:
    """Pieces: a bare whole number."""
    return check_number({"min": 0, "max": 1_000_000_000, **field, "whole": True}, value, name, said)


def check_typed(field: dict, value: object, name: str) -> list[dict]:
    if not isinstance(value, dict) or not isinstance(value.get("typed"), str) or not isinstance(value.get("unit"), str):
        return bad(field, value, name, "a number with its unit")
    try:
        number = number_of(value["typed"])
        for beside in BESIDE:
            if value.get(beside) is not None:
                number_of(value[beside])
    except ReckonError as error:
        return [problem(name, value["typed"], error.expected, error.say)]
    if value.get("instrument") is not None and not isinstance(value["instrument"], str):
        return bad(field, value["instrument"], name, "the tag of an instrument")
    if field["quantity"] == "any":
        return []
    quantity = declarations()["quantities"][field["quantity"]]
    if value["unit"] not in quantity["units"]:
        return bad(field, value, name, "a unit of " + ", ".join(quantity["units"]))
    if "limits_by_unit" in quantity:
        low, high = quantity["limits_by_unit"][value["unit"]]
        base = ""
    else:
        low, high = quantity["limits"]
        base = " " + quantity["units"][0] if field["quantity"].endswith(("volume", "mass")) else ""
        number = based(number, value["unit"])  # as it was typed: a correction makes nothing impossible
    return [] if low <= number <= high else bad(field, value, name, f"{low} to {high}{base}")


def check_group(field: dict, value: object, name: str, said: dict) -> list[dict]:
    if not isinstance(value, dict):
        return bad(field, value, name, "an object")
    return check_fields(field["fields"], value, name + ".", value)


def check_one_of(field: dict, value: object, name: str, said: dict) -> list[dict]:
    if isinstance(value, dict):
        for choice in field.get("choices", field.get("one_of")):
            if value.get(choice["has"]) is not None:
                return check_fields(choice["fields"], value, name + ".", value)
    known = ", ".join(choice["has"] for choice in field.get("choices", field.get("one_of")))
    return bad(field, value, name, "one of " + known)


def check_repeat(field: dict, value: object, name: str, said: dict) -> list[dict]:
    most = field.get("max", 100)
    if not isinstance(value, list) or len(value) > most:
        return bad(field, value, name, f"a list of at most {most}")
    found = []
    for at, one in enumerate(value):
        here = f"{name}.{at}"
        if "one_of" in field:
            found.extend(check_one_of(field, one, here, said))
        elif "fields" in field:
            found.extend(check_group(field, one, here, said))
        else:
            found.extend(CHECKS[field["of"]](field, one, here, said))
    return found


BESIDE = ("correction", "plus_minus")  # what an instrument puts beside a typed number, as text in its unit
AMOUNT = (("volume", "volume"), ("temperature", "bulk_temperature"), ("weight", "mass"), ("dip", "dip"))
AMOUNT += (("ullage", "dip"), ("gross", "mass"), ("tare", "mass"))
STRENGTH = (("strength", "strength"), ("strength_temperature", "jar_temperature"), ("extract", "extract"))


def check_gauge(field: dict, value: object, name: str, said: dict) -> list[dict]:
    """A gauge: an amount read or by book, a strength read or by book."""
    if not isinstance(value, dict):
        return bad(field, value, name, "a gauge")
    if field.get("or_balance") and value.get("by_balance") is True:
        return []
    found = []
    for key, quantity in AMOUNT + STRENGTH:
        if value.get(key) is not None:
            ask = {"ask": key.replace("_", " ").capitalize() + ":", "quantity": quantity}
            found.extend(check_typed(ask, value[key], f"{name}.{key}"))
    if value.get("meter") is not None:
        found.extend(check_meter({"ask": "Meter:"}, value["meter"], f"{name}.meter", said))
    return found or check_gauge_whole(field, value, name, said)


def check_meter(field: dict, value: object, name: str, said: dict) -> list[dict]:
    """A meter before and after."""
    if not isinstance(value, dict):
        return bad(field, value, name, "what the meter showed before and after")
    ends = (("start", "Meter before:"), ("end", "Meter after:"))
    asked = [({"ask": ask, "quantity": "meter"}, value.get(end), f"{name}.{end}") for end, ask in ends]
    return [one for ask in asked for one in check_typed(*ask)]


def check_strapping(field: dict, value: object, name: str, said: dict) -> list[dict]:
    """The rows of a strapping table that a dip lies between, frozen with it."""
    if is_strapping(value) and (said.get("ullage") is None or is_number(value.get("reference_cm"))):
        return []
    return bad(field, value, name, "two rows of the vessel's strapping table")


def is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < SAFE


def is_strapping(value: object) -> bool:
    """The table's id and two rows of [cm, litres], rising in cm."""
    rows = value.get("rows") if isinstance(value, dict) else None
    if not isinstance(rows, list) or len(rows) != 2 or not isinstance(value.get("id"), str):
        return False
    if not all(isinstance(row, list) and len(row) == 2 and all(map(is_number, row)) for row in rows):
        return False
    return rows[0][0] <= rows[1][0] and rows[0][1] >= 0 and rows[1][1] >= 0


def check_gauge_whole(field: dict, value: dict, name: str, said: dict) -> list[dict]:
    found = []
    has = {key for key in value if value[key] is not None}
    if {"volume", "weight"} <= has:
        found += bad(field, None, f"{name}.weight", "a volume or a weight, not both")
    ways = [way for way in ("volume", "weight", "gross", "meter", "ullage") if way in has]
    ways += ["dip"] if "dip" in has and not {"volume", "weight"} & has else []
    if len(ways) > 1 and not {"volume", "weight"} <= has:
        found += bad(field, None, f"{name}.{ways[1]}", "one way to the amount, not several")
    if {"dip", "ullage"} & set(ways):
        found += check_strapping({"ask": "Strapping table:"}, value.get("strapping"), f"{name}.strapping", value)
    if {"volume", "dip", "ullage", "meter"} & set(ways) and "temperature" not in has:
        found += bad(field, None, f"{name}.temperature", "the temperature of the bulk")
    jar = declarations()["quantities"]["strength"]["jar"]
    if "strength" in has and value["strength"]["unit"] in jar and "strength_temperature" not in has:
        found += bad(field, None, f"{name}.strength_temperature", "the temperature in the jar")
    if not (ways and "strength" in has):
        books = (value.get("book"), said.get(field.get("book", "book")), said.get("before"))
        book = next((one for one in books if one is not None), None)
        if not is_sums(book):
            found += bad(field, book, f"{name}.book", "the book's sums, since not everything was read")
    return found


def check_signed(field: dict, value: object, name: str, said: dict) -> list[dict]:
    """A person and how they signed; entries from before PINs were asked for name the person alone."""
    person = value.get("person") if isinstance(value, dict) and value.get("how") in ("pin", "none") else value
    if check_text({**field, "max": 60}, person, name, said):
        return bad(field, value, name, "a person, and pin or none")
    return []


CHECKS = {
    "text": check_text,
    "choice": check_choice,
    "ticks": check_ticks,
    "tag": check_tag,
    "time": check_time,
    "cause": check_cause,
    "ref": check_ref,
    "bool": check_bool,
    "sums": check_sums,
    "number": check_number,
    "count": check_count,
    "date": check_date,
    "month": check_month,
    "gauge": check_gauge,
    "meter": check_meter,
    "strapping": check_strapping,
    "group": check_group,
    "one_of": check_one_of,
    "repeat": check_repeat,
    "signed": check_signed,
}
