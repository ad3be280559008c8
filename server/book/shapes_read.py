"""The shape of what was read: typed numbers with units, meters, dips, gauges. static/book/shapesRead.js is the twin."""

from server.book.kinds import SAFE, bad, declarations, is_sums, problem
from server.reckon import ReckonError
from server.reckon.units import based, number_of

BESIDE = ("correction", "plus_minus")  # what an instrument puts beside a typed number, as text in its unit
AMOUNT = (("volume", "volume"), ("temperature", "bulk_temperature"), ("weight", "mass"), ("dip", "dip"))
AMOUNT += (("ullage", "dip"), ("gross", "mass"), ("tare", "mass"))
STRENGTH = (("strength", "strength"), ("strength_temperature", "jar_temperature"), ("extract", "extract"))


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
    return [] if field["quantity"] == "any" else check_limits(field, value, name, number)


def check_limits(field: dict, value: dict, name: str, number: float) -> list[dict]:
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
