"""Spirit received, filters, and what is added to a vessel. static/book/cellar.js is the twin.

Filter limits are common practice, no source: carbon at least 10 minutes of contact, sheets to be changed at 1.5 bar,
hold-up at most 1.5 % of the pure alcohol.
"""

from server.book import setup
from server.book.figures import alcohol_of, bare_alcohol, one_decimal, serials
from server.book.findings import add
from server.book.gauges import gauge_sums, less
from server.book.order import ms_of
from server.book.plus_minus import empty_of, gauge_square, here, raise_by, root_mg, share_of
from server.reckon import ReckonError, view
from server.reckon.units import to_base

LEAST_CONTACT_MIN = 10.0
MOST_PRESSURE_KPA = 150.0
MOST_HOLD_UP = 0.015


def nothing() -> dict:
    return {"received": {}, "filters": {}}


def last_of_day(date: str | None) -> int | None:
    """The last millisecond of a date as written, or None for none, and for a day that its month has not."""
    return ms_of(f"{date}T23:59:59.999Z") if date else None


def spirit_in(walk: dict, record: dict, said: dict, moved: list) -> None:
    tag, entry_id = said["vessel"], record["entry"]["id"]
    setup.name_contents(walk, tag, said["holds"])
    try:
        document, own = gauge_sums(said["document"]), gauge_sums(said["gauge"])
    except ReckonError:
        return
    square = gauge_square(said["gauge"], own, 0.0)
    raise_by(walk, f"vessel/{tag}", square)
    off = less(own, document)
    walk["state"]["received"][entry_id] = {
        "id": entry_id,
        "at": record["at"],
        "vessel": tag,
        "consignor": said["consignor"],
        "movement_ref": said["movement_ref"],
        "document": document,
        "own": own,
        "transit_mg": off["ethanol_mg"],
        "pm_mg": root_mg(square),
        "due_at": last_of_day(said.get("report_due")),
    }
    if float(off["ethanol_mg"]) * float(off["ethanol_mg"]) > square:
        way = "more" if off["ethanol_mg"] > 0 else "less"
        much = alcohol_of(abs(off["ethanol_mg"]), walk["alcohol"])
        say = f"{said['movement_ref']} from {said['consignor']} came with {much} {way}"
        say += f" than its document says; the gauge is good to ±{bare_alcohol(root_mg(square), walk['alcohol'])}."
        do = "Gauge it again, look at the seals, and report the difference with the receipt."
        add(walk, f"transit/{entry_id}", "look", say, do, [entry_id])


def filtered(walk: dict, record: dict, said: dict, moved: list) -> None:
    source, target = f"vessel/{said['from']}", f"vessel/{said['to']}"
    setup.name_contents(walk, said["to"], walk["state"]["holds"].get(said["from"]))
    setup.name_contents(walk, said["from"], None)
    square = gauge_square(said["gauge_to"], here(walk, target), share_of(walk, target, said["book_to"]))
    came = empty_of(walk, source) + empty_of(walk, target)
    raise_by(walk, target, square)
    raise_by(walk, "lost/filter", came + square)
    if said.get("gauge_from_after"):
        left = gauge_square(said["gauge_from_after"], here(walk, source), share_of(walk, source, said["book_from"]))
        raise_by(walk, source, left)
        setup.gauged(walk, record, said["from"])
    elif said["by"] == "part":
        raise_by(walk, source, came + square)
    setup.gauged(walk, record, said["to"])
    keep_filter(walk, record, said, moved)


def base_of(typed: dict | None) -> float | None:
    return to_base(typed) if typed else None


def keep_filter(walk: dict, record: dict, said: dict, moved: list) -> None:
    entry_id, bed, flow = record["entry"]["id"], base_of(said.get("bed_volume")), base_of(said.get("flow"))
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
        "filtered_l": litres,
        "lost_mg": sum(line["ethanol_mg"] for line in moved if line["to"] == "lost/filter"),
        "flow_l_h": flow,
        "contact_min": bed / flow * 60.0 if bed is not None and flow else None,
        "bed_volumes": litres / bed if bed and litres is not None else None,
        "pressure_kpa": before - after if before is not None and after is not None else None,
    }
    walk["state"]["filters"][entry_id] = one
    passed = sum(line["ethanol_mg"] for line in moved)
    filter_findings(walk, record, one, passed)


def filtered_l(said: dict, moved: list) -> float | None:
    """Litres at 20 °C that reached the other vessel."""
    line = next((one for one in moved if one["to"] == f"vessel/{said['to']}"), None)
    if line is None:
        return 0.0
    try:
        return view(line["ethanol_mg"], line["liquid_mg"], line["extract_mg"])["volume_20c_l"]
    except ReckonError:
        return None


def filter_findings(walk: dict, record: dict, one: dict, passed_mg: int) -> None:
    serial, ids = serials(record["entry"]), [one["id"]]
    if one["lost_mg"] > MOST_HOLD_UP * passed_mg:
        much = alcohol_of(one["lost_mg"], walk["alcohol"])
        say = f"{serial} left {much} in the filter, more than 1.5 % of what went through."
        add(
            walk,
            f"hold_up/{one['id']}",
            "look",
            say,
            "Push it out with water; look for a leak.",
            ids,
        )
    if one["medium"] == "carbon" and one["contact_min"] is not None and one["contact_min"] < LEAST_CONTACT_MIN:
        say = f"{serial} had {one_decimal(one['contact_min'])} minutes of contact with the carbon; 10 are usual."
        add(walk, f"contact/{one['id']}", "note", say, "Run it slower, or once more, if the nose asks for it.", ids)
    if one["medium"] == "sheets" and one["pressure_kpa"] is not None and one["pressure_kpa"] > MOST_PRESSURE_KPA:
        say = f"{serial} had {one_decimal(one['pressure_kpa'] / 100.0)} bar across the sheets; they are changed at 1.5."
        add(walk, f"sheets/{one['id']}", "look", say, "Change the sheets; never open a filter under pressure.", ids)


def flavour(walk: dict, record: dict, said: dict, moved: list) -> None:
    for row in said["materials"]:
        try:
            raise_by(walk, f"vessel/{said['vessel']}", gauge_square(row["gauge"], gauge_sums(row["gauge"]), 0.0))
        except ReckonError:
            continue
    setup.name_contents(walk, said["vessel"], "spirit")


def sweeten(walk: dict, record: dict, said: dict, moved: list) -> None:
    setup.name_contents(walk, said["vessel"], "other")


def finish(walk: dict, now: int) -> None:
    """Reports of receipt that are late; the answer of the finding says that it was sent."""
    for one in walk["state"]["received"].values():
        if one["due_at"] is not None and now > one["due_at"]:
            say = f"The report of receipt for {one['movement_ref']} was due."
            add(walk, f"report_due/{one['id']}", "look", say, "Send it, and answer with when it went.", [one["id"]])


FOLLOW = {"spirit_in": spirit_in, "filter": filtered, "flavour": flavour, "sweeten": sweeten}
