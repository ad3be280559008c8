"""Filtrations and their beds, over every filtration of the same carbon. static/book/filters.js is the twin.

What is usual is common practice, no source, and an advisory that the house sets otherwise: 10 minutes of contact with
the carbon, 500 litres through each kilogram before it is changed, 1.5 bar across sheets, 1.5 % of the alcohol left in
the filter.
"""

from server.book.figures import alcohol_of, mass_words, one_decimal, pressure_words, serials, volume_words
from server.book.findings import add
from server.book.materials import mass_mg
from server.reckon import ReckonError, view
from server.reckon.units import to_base

USUAL = {"contact_min": 10.0, "carbon_l_kg": 500.0, "sheets_bar": 1.5, "hold_up_pct": 1.5}


def nothing() -> dict:
    return {"filters": {}, "beds": {}}


def limit_of(state: dict, name: str) -> float:
    """The house's own figure, or the usual one."""
    own = (state["site"] or {}).get(name)
    return float(own) if own else USUAL[name]


def base_of(typed: dict | None) -> float | None:
    return to_base(typed) if typed else None


def bed_l(said: dict) -> float | None:
    """Litres of bed: of all columns that stand one after the other, or the one that was said."""
    columns = said.get("columns") or ()
    if not columns:
        return base_of(said.get("bed_volume"))
    total = 0.0
    for column in columns:
        total = total + to_base(column["bed_volume"])
    return total


def keep(walk: dict, record: dict, said: dict, moved: list) -> None:
    entry_id, bed, flow = record["entry"]["id"], bed_l(said), base_of(said.get("flow"))
    minutes, litres = base_of(said.get("minutes")), filtered_l(said, moved)
    if flow is None and minutes and litres is not None:
        flow = litres / minutes * 60.0
    before, after = base_of(said.get("pressure_in")), base_of(said.get("pressure_out"))
    one = {
        "id": entry_id,
        "at": record["at"],
        "from": said["from"],
        "to": said["to"],
        "medium": said["medium"],
        "columns": len(said.get("columns") or ()) or None,
        "filtered_l": litres,
        "passed_mg": sum(line["ethanol_mg"] for line in moved),
        "lost_mg": sum(line["ethanol_mg"] for line in moved if line["to"] == "lost/filter"),
        "flow_l_h": flow,
        "contact_min": bed / flow * 60.0 if bed is not None and flow else None,
        "bed_volumes": litres / bed if bed and litres is not None else None,
        "pressure_kpa": before - after if before is not None and after is not None else None,
    }
    walk["state"]["filters"][entry_id] = one
    if said["medium"] == "carbon":
        carry_beds(walk, said, one)


def filtered_l(said: dict, moved: list) -> float | None:
    """Litres at 20 °C that reached the other vessel."""
    line = next((one for one in moved if one["to"] == f"vessel/{said['to']}"), None)
    if line is None:
        return 0.0
    try:
        return view(line["ethanol_mg"], line["liquid_mg"], line["extract_mg"])["volume_20c_l"]
    except ReckonError:
        return None


def carry_beds(walk: dict, said: dict, one: dict) -> None:
    """All of it went through every carbon that stood in its way, new in this filtration or there from before."""
    beds = walk["state"]["beds"]
    new = [(row["lot"], mass_mg(row.get("mass"))) for row in said.get("materials") or ()]
    there = [(column["lot"], 0) for column in said.get("columns") or () if column.get("lot") is not None]
    seen = set()
    for lot, mg in [*new, *there]:
        bed = beds.setdefault(lot, {"lot": lot, "mass_mg": 0, "filtered_l": 0.0, "filters": []})
        bed["mass_mg"] += mg
        if lot not in seen:
            bed["filtered_l"] = bed["filtered_l"] + (one["filtered_l"] or 0.0)
            bed["filters"].append(one["id"])
        seen.add(lot)


def finish(walk: dict) -> None:
    for one in walk["state"]["filters"].values():
        judge(walk, one, serials(walk["state"]["entries"][one["id"]]["entry"]))
    for bed in walk["state"]["beds"].values():
        spent(walk, bed)


def judge(walk: dict, one: dict, serial: str) -> None:
    """Hold-up, contact and pressure of one filtration against what the house goes by."""
    state, ids = walk["state"], [one["id"]]
    most, least, bar = (limit_of(state, name) for name in ("hold_up_pct", "contact_min", "sheets_bar"))
    if one["lost_mg"] > most / 100.0 * one["passed_mg"]:
        much = alcohol_of(one["lost_mg"], walk["units"])
        say = f"{serial} left {much} in the filter, more than {one_decimal(most)} % of what went through."
        add(walk, f"hold_up/{one['id']}", "look", say, "Push it out with water; look for a leak.", ids)
    if one["medium"] == "carbon" and one["contact_min"] is not None and one["contact_min"] < least:
        say = f"{serial} had {one_decimal(one['contact_min'])} minutes of contact with the carbon;"
        say += f" {one_decimal(least)} are usual."
        add(walk, f"contact/{one['id']}", "note", say, "Run it slower, or once more, if the nose asks for it.", ids)
    if one["medium"] == "sheets" and one["pressure_kpa"] is not None and one["pressure_kpa"] > bar * 100.0:
        say = f"{serial} had {pressure_words(one['pressure_kpa'], walk['units'])} across the sheets;"
        say += f" they are changed at {pressure_words(bar * 100.0, walk['units'])}."
        add(walk, f"sheets/{one['id']}", "look", say, "Change the sheets; never open a filter under pressure.", ids)


def spent(walk: dict, bed: dict) -> None:
    """Carbon through which more went than it is good for; its mass is what the filtrations took from the lot."""
    most, kg = limit_of(walk["state"], "carbon_l_kg"), bed["mass_mg"] / 1e6
    if kg <= 0.0 or bed["filtered_l"] <= most * kg:
        return
    units = walk["units"]
    each, one_kg = ("pound", to_base({"typed": "1", "unit": "lb"})) if units["mass"] == "lb" else ("kilogram", 1.0)
    through, least = volume_words(bed["filtered_l"] / kg * one_kg, units), volume_words(most * one_kg, units)
    say = f"{volume_words(bed['filtered_l'], units)} went through {mass_words(kg, units)} of carbon {bed['lot']},"
    say += f" {through} a {each}; it is changed at {least}."
    do = "Smell it against the unfiltered spirit; change the carbon, and flush the new one."
    add(walk, f"bed_spent/{bed['lot']}", "note", say, do, bed["filters"])


FOLLOW = {"filter": keep}
