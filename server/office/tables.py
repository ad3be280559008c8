"""The book as tables: what each is about, its columns with their units, its rows.

One declaration serves CSV, SQLite and Parquet. A column: (name, unit or "", what it says); times are UTC, as entries
have them. Rows are tuples in the order of the columns.
"""

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from server.book.account import account_of, books_of
from server.book.bottle_checks import labelled_lpa, market_of
from server.book.ledger import ledger
from server.book.periods import month_after, month_of
from server.book.shapes import is_readable
from server.reckon import ReckonError, view
from server.reckon.liquid import lpa_l

SUMS = (
    ("ethanol_mg", "mg", "pure alcohol, by mass"),
    ("liquid_mg", "mg", "all of the liquid, alcohol and extract included"),
    ("extract_mg", "mg", "what would stay if it were boiled away"),
)
LPA = ("pure_alcohol_l", "L at 20 °C", "litres of pure alcohol")


@dataclass(frozen=True)
class Table:
    about: str
    columns: tuple
    rows: Callable[["Book"], Iterable[tuple]]


@dataclass(frozen=True)
class Book:
    """What the rows are made from: the entries, their fold, every movement, the server's marks."""

    entries: list
    state: dict
    moves: list
    marks: dict

    @classmethod
    def of(cls, texts: Iterable[str], marks: dict | None = None) -> "Book":
        entries = [json.loads(text) for text in texts]
        followed = ledger(entries, marks)
        return cls(entries, followed["state"], followed["moves"], marks or {})


def time_of(ms: int | None) -> str | None:
    return None if ms is None else datetime.fromtimestamp(ms / 1000, UTC).isoformat(timespec="seconds")[:19] + "Z"


def lpa(ethanol_mg: int) -> float:
    """L of pure alcohol at 20 °C."""
    return lpa_l(ethanol_mg / 1e6)


def serial(entry: dict) -> str:
    return f"{str(entry.get('device')).split('.')[0]}-{entry.get('n')}"


def sums_of(row: dict) -> tuple:
    return row["ethanol_mg"], row["liquid_mg"], row["extract_mg"], lpa(row["ethanol_mg"])


def in_order(book: Book) -> Iterable[dict]:
    return (book.state["entries"][entry_id] for entry_id in book.state["order"])


def entry_rows(book: Book) -> Iterable[tuple]:
    for record in in_order(book):
        one = record["entry"]
        strikes = one.get("strikes") or {}
        yield (
            one["id"], serial(one), one.get("kind"), time_of(record["at"]), one.get("written"), one.get("by"),
            one.get("device"), one.get("n"), one.get("group"), record["live"], record["struck_by"], strikes.get("id"),
            strikes.get("reason"), ", ".join(book.marks.get(one["id"], [])) or None,
            # The same JSON without a semicolon, which would part the cell in some countries' spreadsheets.
            json.dumps(one.get("said"), ensure_ascii=False, sort_keys=True).replace(";", "\\u003b"),
        )  # fmt: skip


def line_rows(book: Book) -> Iterable[tuple]:
    for record in in_order(book):
        one = record["entry"]
        for number, line in enumerate(one.get("lines") or []):
            about = (one["id"], number + 1, serial(one), one.get("kind"), time_of(record["at"]), record["live"])
            yield (*about, line["from"], line["to"], *sums_of(line))


def place_rows(book: Book) -> Iterable[tuple]:
    state = book.state
    for place, sums in sorted(state["places"].items()):
        if place.split("/")[0] in ("vessel", "still", "stock"):
            stands = state["accounts"].get(place, {})
            tag = place.split("/", 1)[1]
            yield (place, state["holds"].get(tag), stands.get("account"), stands.get("status"), *sums_of(sums),
                   strength(sums), time_of(sums["last"]))  # fmt: skip


def strength(sums: dict) -> float | None:
    """% vol at 20 °C; None where there is no such liquid, as in an empty place."""
    try:
        return view(sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"])["abv_pct"]
    except ReckonError:
        return None


def vessel_rows(book: Book) -> Iterable[tuple]:
    for tag, one in sorted(book.state["vessels"].items()):
        yield tag, one["sort"], one["capacity_l"], one["room_l"], one["account"], one["retired"]


def run_rows(book: Book) -> Iterable[tuple]:
    for run in sorted(book.state["runs"].values(), key=lambda run: run["opened_at"]):
        times = (time_of(run[name]) for name in ("opened_at", "started_at", "first_drop_at", "ended_at"))
        parts = {name: run["fractions"].get(name, 0) for name in FRACTIONS}
        over = run["balance"]["difference_mg"] if run["balance"] else None
        yield (run["id"], run["name"], run["still"], run["sort"], run["by"], *times, lpa(run["charge"]["ethanol_mg"]),
               *(lpa(parts[name]) for name in FRACTIONS), None if over is None else lpa(over))  # fmt: skip


FRACTIONS = ("foreshots", "heads", "hearts", "tails", "feints", "low wines")


def reading_rows(book: Book) -> Iterable[tuple]:
    names = ("kettle_c", "head_c", "dephlegmator_out_c", "condenser_out_c", "abv_pct", "level_l")
    for run in book.state["runs"].values():
        for one in run["readings"]:
            yield (one["id"], run["id"], run["name"], time_of(one["at"]), one["by"], one.get("receiver"),
                   *(one.get(name) for name in names))  # fmt: skip


def fill_rows(book: Book) -> Iterable[tuple]:
    for run in book.state["runs"].values():
        for one in run["fills"]:
            sums = one["sums"]
            yield (one["id"], run["id"], run["name"], one["receiver"], one["fraction"], time_of(one["opened_at"]),
                   time_of(one["closed_at"]), *(sums_of(sums) if sums else (None,) * 4),
                   strength(sums) if sums else None)  # fmt: skip


def lot_rows(book: Book) -> Iterable[tuple]:
    for tag, one in sorted(book.state["lots"].items()):
        by = 1e6 if one["counted_in"] == "mg" else 1
        amounts = (one[name] / by for name in ("came", "used", "left"))
        yield (tag, one["sort"], one["name"], one["supplier"], one["supplier_lot"], time_of(one["at"]),
               "kg" if by != 1 else "pieces", *amounts, lpa(one["expected_mg"]))  # fmt: skip


def stock_rows(book: Book) -> Iterable[tuple]:
    for tag, one in sorted(book.state["stock"].items()):
        sent = sum(row["count"] for row in one["dispatched"])
        back = sum(row["count"] for row in one["returned"])
        yield (tag, one["product"], one["size_ml"], one["label_abv_pct"], one["vessel"], time_of(one["bottled_at"]),
               one["made"], sent, back, one["rejected"], one["broken"], one["count"])  # fmt: skip


def sending_rows(book: Book) -> Iterable[tuple]:
    market, _ = market_of(book.state)
    for tag, one in sorted(book.state["stock"].items()):
        for row in one["dispatched"]:
            litres = row["count"] * one["size_ml"] / 1000.0
            label = one["label_abv_pct"]
            yield (row["id"], tag, None, time_of(row["at"]), row["way"], row["to"], row["ref"], row["count"], litres,
                   None if label is None else labelled_lpa(litres, label, market))  # fmt: skip
    yield from bulk_rows(book)


def bulk_rows(book: Book) -> Iterable[tuple]:
    """Spirit that left in bulk: by its gauge, without bottles."""
    for record in in_order(book):
        entry = record["entry"]
        if entry.get("kind") != "send" or not record["live"] or not is_readable(entry):
            continue
        said = entry["said"]
        for line in entry["lines"]:
            litres = view(line["ethanol_mg"], line["liquid_mg"], line["extract_mg"])["volume_20c_l"]
            yield (entry["id"], None, said["vessel"], time_of(record["at"]), said["way"], said["to"], said.get("ref"),
                   None, litres, lpa(line["ethanol_mg"]))  # fmt: skip


def finding_rows(book: Book) -> Iterable[tuple]:
    for one in book.state["findings"]:
        yield one["key"], one["severity"], one["say"], one["do"], ", ".join(one["entries"]), one["answered"]


def account_rows(book: Book) -> Iterable[tuple]:
    """Every month, by stage and by account: opening, each flow, closing."""
    for month in months_of(book):
        books = books_of(book.entries, month, book.marks, {"state": book.state, "moves": book.moves})
        for level in ("stage", "account"):
            for group, row in account_of(books, level)["rows"].items():
                about = (month, level, group)
                yield (*about, "opening", None, *sums_of(row["opening"]))
                if row["adjusted"]["entries"]:
                    yield (*about, "came late", None, *sums_of(row["adjusted"]))
                for way in ("in", "out"):
                    yield from ((*about, way, flow["other"], *sums_of(flow)) for flow in row[way])
                yield (*about, "closing", None, *sums_of(row["closing"]))


def months_of(book: Book) -> list[str]:
    if not book.moves:
        return []
    site = book.state["site"]
    moments = [one["at"] for one in book.moves]
    month, last, found = month_of(min(moments), site), month_of(max(moments), site), []
    while month <= last:
        found.append(month)
        month = month_after(month)
    return found


ENTRY = ("entry_id", "", "the entry's id")
SERIAL = ("serial", "", "letters of the device and its running number, as people say it")
HAPPENED = ("happened", "UTC", "when it happened, the device's clock put right")
LIVE = ("counts", "", "whether it counts: 0 where it was struck or corrected")
RUN = (("run_id", "", "the run's id"), ("run", "", "its name"))

TABLES = {
    "entries": Table("Everything that was said, in the order of the book.", (
        ENTRY, SERIAL, ("kind", "", "what kind of entry it is"), HAPPENED, ("written", "UTC", "when it was written"),
        ("by", "", "the person"), ("device", "", "the device"), ("n", "", "the device's running number"),
        ("group_id", "", "the run, mash or bottling that it belongs to"), LIVE,
        ("struck_by", "", "the entry that struck or corrected it"), ("strikes", "", "the entry that it strikes"),
        ("reason", "", "why it strikes"), ("marks", "", "what the server found in it"),
        ("said", "", "what was said, as JSON: numbers as typed, with their units")), entry_rows),
    "lines": Table("Every movement of liquid that an entry booked.", (
        ENTRY, ("line", "", "which of the entry's lines"), SERIAL, ("kind", "", "kind of the entry"), HAPPENED, LIVE,
        ("from_place", "", "where it came from"), ("to_place", "", "where it went"), *SUMS, LPA), line_rows),
    "places": Table("What the book has in each place inside the house now.", (
        ("place", "", "vessel, still or bottled lot"), ("holds", "", "what it holds"), ("account", "", "its account"),
        ("duty", "", "its duty status"), *SUMS, LPA, ("strength_pct", "% vol at 20 °C", "its strength"),
        ("last_moved", "UTC", "when something moved there last")), place_rows),
    "vessels": Table("The vessels as set up.", (
        ("vessel", "", "its tag"), ("sort", "", "what sort"), ("capacity_l", "L", "what it holds when full"),
        ("room_l", "L", "litres to keep free"), ("account", "", "its account"),
        ("retired", "", "1 where it is no longer used")), vessel_rows),
    "runs": Table("The runs of the stills.", (
        *RUN, ("still", "", "the still"), ("sort", "", "strip or column"), ("by", "", "who charged it"),
        ("opened", "UTC", "when it was charged"), ("started", "UTC", "when heat went on"),
        ("first_drop", "UTC", "when the first drop came"), ("ended", "UTC", "when it ended"),
        ("charged_pure_alcohol_l", "L at 20 °C", "pure alcohol charged"),
        *((f"{name.replace(' ', '_')}_pure_alcohol_l", "L at 20 °C", f"of it in {name}") for name in FRACTIONS),
        ("difference_pure_alcohol_l", "L at 20 °C", "booked as the run's difference")), run_rows),
    "readings": Table("The readings of the runs.", (
        ENTRY, *RUN, HAPPENED, ("by", "", "the person"), ("receiver", "", "the open receiver"),
        ("kettle_c", "°C", "kettle"), ("head_c", "°C", "head"), ("dephlegmator_out_c", "°C", "dephlegmator water out"),
        ("condenser_out_c", "°C", "condenser water out"), ("strength_pct", "% vol at 20 °C", "true strength"),
        ("level_l", "L", "level in the receiver")), reading_rows),
    "fills": Table("What each receiver got from a run.", (
        ENTRY, *RUN, ("receiver", "", "the receiver"), ("fraction", "", "the fraction"),
        ("opened", "UTC", "when the spout went there"), ("closed", "UTC", "when it left"), *SUMS, LPA,
        ("strength_pct", "% vol at 20 °C", "its strength")), fill_rows),
    "lots": Table("Lots of raw material and dry goods.", (
        ("lot", "", "its mark"), ("sort", "", "what it is"), ("name", "", "its name"), ("supplier", "", "the supplier"),
        ("supplier_lot", "", "the supplier's mark"), ("came_in", "UTC", "when"), ("counted_in", "", "kg or pieces"),
        ("came", "kg or pieces", "how much came"), ("used", "kg or pieces", "how much was used"),
        ("left_over", "kg or pieces", "how much is left"),
        ("expected_pure_alcohol_l", "L at 20 °C", "what all of it can give")), lot_rows),
    "bottled": Table("Bottled lots and what is left of them.", (
        ("lot", "", "its code"), ("product", "", "the product"), ("size_ml", "mL", "the bottle"),
        ("label_pct", "% vol", "on the label"), ("vessel", "", "the tank"), ("bottled", "UTC", "when"),
        ("filled", "bottles", "filled"), ("sent", "bottles", "sent out"), ("came_back", "bottles", "came back"),
        ("rejected", "bottles", "rejected"), ("broken", "bottles", "broken"),
        ("in_stock", "bottles", "left by the book")), stock_rows),
    "sendings": Table("Bottles that were sent out, and spirit in bulk.", (
        ENTRY, ("lot", "", "the bottled lot"), ("vessel", "", "where spirit in bulk came from"), HAPPENED,
        ("way", "", "duty paid, suspense, export ..."),
        ("sent_to", "", "to whom"), ("reference", "", "its paper"), ("bottles", "bottles", "how many"),
        ("volume_l", "L", "by the size of the bottle; in bulk by the gauge, at 20 °C"),
        ("label_pure_alcohol_l", "L at 20 °C", "by size and label strength; in bulk by the gauge")),
        sending_rows),
    "findings": Table("What is odd in the book, and how it was answered.", (
        ("finding", "", "its key"), ("severity", "", "stop, look or note"), ("says", "", "what it is"),
        ("to_do", "", "what to do"), ("entries", "", "the entries concerned"),
        ("answered_by", "", "the entry that answers it")), finding_rows),
    "account": Table("The account of every book month, by stage and by account of the house.", (
        ("month", "", "book month"), ("level", "", "stage or account"), ("group_name", "", "which"),
        ("way", "", "opening, came late, in, out, closing"), ("other", "", "where from, or where to"), *SUMS, LPA),
        account_rows),
}  # fmt: skip


WHOLE, TRUTH = {"n", "line"}, {"counts", "retired"}


def type_of(column: tuple) -> type:
    """What a column holds: its unit tells numbers from words."""
    name, unit, _ = column
    if name in TRUTH:
        return bool
    if name in WHOLE or unit in ("mg", "bottles"):
        return int
    return str if unit in ("", "UTC") else float


def head(column: tuple) -> str:
    """The name of a column with its unit, as CSV has it: "capacity_l [L]"."""
    name, unit, _ = column
    return f"{name} [{unit}]" if unit else name
