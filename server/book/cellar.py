"""Spirit received, what went through a filter, and what is added to a vessel. static/book/cellar.js is the twin."""

from server.book import setup
from server.book.figures import alcohol_of, bare_alcohol
from server.book.findings import add
from server.book.gauges import NOTHING, gauge_sums, less
from server.book.order import ms_of
from server.book.plus_minus import empty_of, gauge_square, here, raise_by, root_mg, share_of, spread_settle, taken
from server.reckon import ReckonError


def nothing() -> dict:
    return {"received": {}}


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
        much = alcohol_of(abs(off["ethanol_mg"]), walk["units"])
        say = f"{said['movement_ref']} from {said['consignor']} came with {much} {way}"
        say += f" than its document says; the gauge is good to ±{bare_alcohol(root_mg(square), walk['units'])}."
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


def flavour(walk: dict, record: dict, said: dict, moved: list) -> None:
    for row in said["materials"]:
        try:
            raise_by(walk, f"vessel/{said['vessel']}", gauge_square(row["gauge"], gauge_sums(row["gauge"]), 0.0))
        except ReckonError:
            continue
    setup.name_contents(walk, said["vessel"], "spirit")


def sweeten(walk: dict, record: dict, said: dict, moved: list) -> None:
    setup.name_contents(walk, said["vessel"], "other")


def macerate_out(walk: dict, record: dict, said: dict, moved: list) -> None:
    """The vessel is as sure as its gauge; more in it than before the plants came out wants to be looked at."""
    place, before = f"vessel/{said['vessel']}", empty_of(walk, f"vessel/{said['vessel']}")
    spread_settle(walk, said, moved, record)
    setup.settle(walk, record, said)
    found = next((line for line in moved if line["to"] == place), None)
    if found and float(found["ethanol_mg"]) * float(found["ethanol_mg"]) > walk["pm2"][place] + before:
        much = alcohol_of(found["ethanol_mg"], walk["units"])
        say = f"{said['vessel']} gauged {much} more without its plants than with."
        do = "Gauge it again; look for a wrong gauge before they went in."
        add(walk, f"plants_over/{record['entry']['id']}", "look", say, do, [record["entry"]["id"]])


def send(walk: dict, record: dict, said: dict, moved: list) -> None:
    setup.taken_out(walk, record, said)
    taken(walk, said, f"vessel/{said['vessel']}", f"gone/{said['way']}", moved[0] if moved else None)


def customer_return(walk: dict, record: dict, said: dict, moved: list) -> None:
    """Bottles come back as spirit comes in: what the road kept, and when the report is due."""
    entry_id, count, each = record["entry"]["id"], int(said["count"]), said["per_bottle"]
    told = int(said.get("document_count") or count)
    if said.get("report_due") or told != count:
        document, own = ({name: each[name] * many for name in NOTHING} for many in (told, count))
        walk["state"]["received"][entry_id] = {
            "id": entry_id,
            "at": record["at"],
            "lot": said["lot"],
            "consignor": said["from"],
            "movement_ref": said.get("ref") or f"lot {said['lot']}",
            "document": document,
            "own": own,
            "transit_mg": less(own, document)["ethanol_mg"],
            "pm_mg": 0,
            "due_at": last_of_day(said.get("report_due")),
        }
    if told != count:
        say = f"{count} of {told} bottles of lot {said['lot']} came back from {said['from']}."
        do = "Count them again, look at the seals, and report the difference with the receipt."
        add(walk, f"transit/{entry_id}", "look", say, do, [entry_id])


def came_to(received: dict) -> str:
    """The place of a consignment: a vessel, or a bottled lot of which some came back."""
    return f"vessel/{received['vessel']}" if "vessel" in received else f"stock/{received['lot']}"


def finish(walk: dict, now: int) -> None:
    """Reports of receipt that are late; the answer of the finding says that it was sent."""
    for one in walk["state"]["received"].values():
        if one["due_at"] is not None and now > one["due_at"]:
            say = f"The report of receipt for {one['movement_ref']} was due."
            add(walk, f"report_due/{one['id']}", "look", say, "Send it, and answer with when it went.", [one["id"]])


FOLLOW = {
    "spirit_in": spirit_in,
    "filter": filtered,
    "flavour": flavour,
    "sweeten": sweeten,
    "macerate_out": macerate_out,
    "send": send,
    "customer_return": customer_return,
}
