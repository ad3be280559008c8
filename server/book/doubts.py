"""Questions that a figure raises: asked once, never in the way. static/book/doubts.js is the twin.

Limits are common practice, no source: 5 %vol within half an hour, 2 K less in the kettle, 8 K between two jars.
"""

from server.book.doubts_after import after
from server.book.doubts_steps import stock_doubts
from server.book.figures import kelvin_words, pct_words, units_of, volume_words
from server.book.instruments import tool_doubts
from server.book.kinds import declarations, kind_of
from server.book.readings import reading_values
from server.book.shapes import check_said
from server.book.waste import waste_doubts
from server.reckon.units import number_of, to_base

CLOSE_MS = 30 * 60000
FUTURE_MS = 2 * 60000
JUMP_PCT = 5.0
KETTLE_K = 2.0
JAR_K = 8.0
UNIT_WORDS = {
    "C": "°C",
    "F": "°F",
    "abv": "%vol",
    "glass": "on the glass",
    "glass_proof": "proof on the glass",
    "pct": "%",
}


def doubts(kind: str, said: object, context: dict) -> list[dict]:
    """What to ask before it is written: a list of {field, say}; empty for what cannot be read at all.

    context: {"state"} the fold; and where known "run" (a run of it), "at" (when it happened, ms), "now" (ms)
    """
    if kind_of(kind) is None or check_said(kind, said):
        return []
    at, now = context.get("at"), context.get("now")
    found = unusual(kind_of(kind)["fields"], said, "")
    found += too_much(kind, said, context["state"])
    found += after(kind, kind_of(kind)["v"], said, context["state"])
    found += stock_doubts(kind, said, context["state"])
    found += waste_doubts(kind, said, context["state"])
    found += tool_doubts(said, context["state"], at if at is not None else now)
    if kind == "reading" and context.get("run"):
        found += reading_doubts(said, context)
    if at is not None and now is not None and at - now > FUTURE_MS:
        found.append({"field": "happened", "say": "That time has not come yet: sure?"})
    return found


GAUGE_FIELDS = (
    {"name": "volume", "sort": "number", "quantity": "volume"},
    {"name": "temperature", "sort": "number", "quantity": "bulk_temperature"},
    {"name": "weight", "sort": "number", "quantity": "mass"},
    {"name": "gross", "sort": "number", "quantity": "mass"},
    {"name": "dip", "sort": "number", "quantity": "dip"},
    {"name": "ullage", "sort": "number", "quantity": "dip"},
    {"name": "strength", "sort": "number", "quantity": "strength"},
    {"name": "strength_temperature", "sort": "number", "quantity": "jar_temperature"},
    {"name": "extract", "sort": "number", "quantity": "extract"},
)


def unusual(fields, said: dict, path: str) -> list[dict]:
    """Numbers inside the hard limits and outside the usual ones."""
    found = []
    for field in fields:
        value, name = said.get(field["name"]), path + field["name"]
        if value is None:
            continue
        if field["sort"] == "number" and field.get("quantity", "any") != "any":
            found += outside(field["quantity"], value, name)
        elif field["sort"] == "gauge":
            found += unusual(GAUGE_FIELDS, value, name + ".")
        elif field["sort"] == "group":
            found += unusual(field["fields"], value, name + ".")
        elif field["sort"] == "one_of":
            found += unusual(chosen(field["choices"], value), value, name + ".")
        elif field["sort"] == "repeat" and "one_of" in field:
            for place, one in enumerate(value):
                found += unusual(chosen(field["one_of"], one), one, f"{name}.{place}.")
        elif field["sort"] == "repeat" and "fields" in field:
            for place, one in enumerate(value):
                found += unusual(field["fields"], one, f"{name}.{place}.")
    return found


def chosen(choices: list, value: dict) -> list:
    return next((choice["fields"] for choice in choices if value.get(choice["has"]) is not None), [])


def outside(quantity: str, value: dict, name: str) -> list[dict]:
    declared = declarations()["quantities"][quantity]
    by_unit = declared.get("sure_by_unit")
    low, high = by_unit[value["unit"]] if by_unit else declared["sure"]
    number = number_of(value["typed"]) if by_unit else to_base(value)
    if low <= number <= high:
        return []
    return [
        {"field": name, "say": f"{value['typed']} {UNIT_WORDS.get(value['unit'], value['unit'])} is unusual: sure?"}
    ]


def too_much(kind: str, said: dict, state: dict) -> list[dict]:
    """A volume read in a vessel that is more than it holds."""
    if kind == "gauge":
        tag, typed, field = said["vessel"], said["gauge"].get("volume"), "gauge.volume"
    elif kind == "reading":
        tag, typed, field = said.get("receiver"), said.get("level"), "level"
    elif kind == "drain":
        tag, typed, field = said["receiver"], said["gauge_before"].get("volume"), "gauge_before.volume"
    else:
        return []
    vessel = state["vessels"].get(tag)
    if not typed or not vessel or to_base(typed) <= vessel["capacity_l"]:
        return []
    full = volume_words(vessel["capacity_l"], units_of(state["site"]))
    return [{"field": field, "say": f"{tag} holds {full} when full: sure?"}]


def last_with(run: dict, name: str, at: int) -> dict | None:
    return next((one for one in reversed(run["readings"]) if one[name] is not None and one["at"] < at), None)


def span(ms: int) -> str:
    minutes = ms // 60000
    return f"{minutes} minute{'' if minutes == 1 else 's'}"


def reading_doubts(said: dict, context: dict) -> list[dict]:
    """A reading against the ones before it in its run."""
    run, values, units = context["run"], reading_values(said), units_of(context["state"]["site"])
    at = context.get("at") if context.get("at") is not None else context.get("now") or 0
    found = []

    def compare(name: str, field: str, is_odd, say) -> None:
        before = last_with(run, name, at)
        if before and values[name] is not None and is_odd(values[name] - before[name], at - before["at"], before):
            found.append({"field": field, "say": say(values[name] - before[name], before)})

    def ago(before: dict) -> str:
        return f"than {span(at - before['at'])} ago: sure?"

    def warmer(by: float) -> str:
        return f"{kelvin_words(abs(by), units)} {'warmer' if by > 0 else 'cooler'}"

    compare(
        "abv_pct",
        "strength",
        lambda by, ms, _: abs(by) >= JUMP_PCT and ms <= CLOSE_MS,
        lambda by, before: f"{pct_words(abs(by), units)} {'more' if by > 0 else 'less'} {ago(before)}",
    )
    compare(
        "kettle_c",
        "kettle",
        lambda by, _, __: by < -KETTLE_K and not run["paused"],
        lambda by, before: f"The kettle is {warmer(by)} {ago(before)}",
    )
    compare(
        "level_l",
        "level",
        lambda by, _, before: by < 0 and before["receiver"] == values["receiver"],
        lambda by, before: f"{volume_words(-by, units)} less in the receiver {ago(before)}",
    )
    compare(
        "strength_temperature_c",
        "strength_temperature",
        lambda by, ms, _: abs(by) > JAR_K and ms <= CLOSE_MS,
        lambda by, before: f"The jar is {warmer(by)} {ago(before)}",
    )
    return found
