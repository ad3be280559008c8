"""Tables into the book: vessels, stills, people, opening stocks, lots and strapping tables from CSV.

All of a file or nothing. Each row becomes what a person would have said, and is held to the same checks and to what the
book already has. `csv_table` reads the file.
"""

import json
import time

from server import devices, sync
from server.book.compose import compose
from server.office.csv_table import TABLES, Fault, ImportFault, Row, rows_said
from server.reckon import ReckonError
from server.store import Store
from server.years import Years


def rows_for(years: Years, name: str, raw: bytes) -> list[Row]:
    """What a file would write into this book; ImportFault with every fault, and no entry is ever written here."""
    rows = rows_said(name, raw)
    against_book(name, rows, years.state_with_lots())
    against_reckoning(name, rows)
    return rows


def against_book(name: str, rows: list[Row], state: dict) -> None:
    """What the book already has is not set up twice; an opening needs its vessel, and that nothing stands in it."""
    named, known = TABLES[name]["named"], TABLES[name].get("known")
    faults, seen = [], set()
    for row in rows:
        mark = row.said.get(named)
        held = state["places"].get(f"vessel/{mark}", {}).get("liquid_mg", 0)
        say = None
        if mark in seen:
            say = f"{mark} is in the file twice."
        elif named == "vessel" and mark not in state["vessels"]:
            say = f"there is no vessel {mark} in the book. Import the vessels first."
        elif known and mark in state[known]:
            what = f"a table of {mark}" if "rows" in TABLES[name] else mark
            say = f"{what} is in the book already. Take the line out, or change it in the app."
        elif name == "openings" and held != 0:
            say = f"the book has something in {mark} already. Gauge it in the app instead."
        seen.add(mark)
        faults += [Fault(row.line, named, say)] if say else []
    if faults:
        raise ImportFault(faults)


def against_reckoning(name: str, rows: list[Row]) -> None:
    """Numbers that are right one by one and cannot be worked out together, as a strength that no such liquid has."""
    faults = []
    for row in rows:
        try:
            entry_for(row, "s", "")
        except ReckonError as error:
            faults.append(row.fault(name, error.field, error.say))
    if faults:
        raise ImportFault(faults)


def import_table(book: Store, name: str, raw: bytes, by: str, dry: bool = False) -> int:
    """Write a file's rows as entries, all in one transaction, from a device of the office made for it.

    by: the person, as the book knows them; returns how many entries; raises ImportFault and then nothing is written
    """
    rows = rows_for(Years(book), name, raw)
    with book.read() as reader:
        site, persons = reader.fact("site"), reader.persons()
    if persons and by not in persons:
        say = f"the book knows nobody called {by}. Say with --by who imports: one of {', '.join(sorted(persons))}."
        raise ImportFault([Fault(1, "", say)])
    if not dry:
        write(book, [entry_for(row, site, by) for row in rows])
    return len(rows)


def entry_for(row: Row, site: str, by: str) -> dict:
    """The entry that says this row, without device and number; raises ReckonError where it cannot be worked out."""
    return compose(row.kind, row.said, {"now": int(time.time() * 1000), "site": site, "by": by, "clock": 0})


def write(book: Store, entries: list[dict]) -> None:
    """All in one transaction, from a device that is paired for it and revoked; raises ImportFault."""
    paired = book.write(devices.pair, None, False, "office").result()
    numbered = [{**entry, "device": paired["device"], "n": n} for n, entry in enumerate(entries, 1)]
    texts = [json.dumps(entry, ensure_ascii=False, separators=(",", ":")) for entry in numbered]
    verdict = sync.take(book, texts, paired["device"])
    book.write(devices.revoke, paired["device"]).result()  # its token was never given to anybody
    if len(verdict["taken"]) != len(texts):
        raise ImportFault([Fault(1, "", one["say"]) for one in verdict["refused"]])
