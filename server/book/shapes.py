"""Whether what a person said has the shape that its kind declares. static/book/shapes.js is the twin."""

import re

from server.book.kinds import SAFE, bad, choices_of, declarations, is_int, is_sums, kind_of, problem
from server.book.shapes_read import check_gauge, check_meter, check_strapping, check_typed

TAG = re.compile(r"^[A-Za-z0-9][A-Za-z0-9_-]{0,11}$")
TIME = re.compile(r"^([01][0-9]|2[0-3]):[0-5][0-9]$")
DATE = re.compile(r"^(19|20)[0-9]{2}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$")
MONTH = re.compile(r"^(19|20)[0-9]{2}-(0[1-9]|1[0-2])$")
CAUSE = re.compile(r"^[A-Za-z0-9][A-Za-z0-9 _-]{0,29}$")
TAGGED = ("vessel", "still", "lot", "stock", "instrument")  # what is named by a tag; other things by an entry's id


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
