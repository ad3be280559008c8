"""Tables into the book: vessels, stills, people, opening stocks, lots and strapping tables from CSV.

All of a file or nothing. Each row becomes what a person would have said, and is held to the same checks. A head names
its unit: "capacity [hL]".
"""

import csv
import io
import json
import time

from server import devices, sync
from server.book.compose import compose
from server.book.fold import fold
from server.book.kinds import check_said
from server.reckon import ReckonError
from server.store import Store

UNITS = {
    "L": "L", "l": "L", "hL": "hL", "hl": "hL", "gal": "usgal", "kg": "kg", "lb": "lb", "cm": "cm", "mm": "mm",
    "°C": "C", "C": "C", "°F": "F", "F": "F", "%vol": "abv", "% vol": "abv", "proof": "proof", "% glass": "glass",
    "%": "pct", "g/L": "g_L",
}  # fmt: skip
MOST_BYTES, MOST_ROWS = 1024 * 1024, 2000


class ImportFault(Exception):
    """What is wrong with a file; `faults` are sentences, each with its line and column."""

    def __init__(self, faults: list[str]):
        super().__init__("\n".join(faults))
        self.faults = faults


def text(*path: str):
    return lambda said, cell, unit: put(said, path, cell)


def number(*path: str):
    return lambda said, cell, unit: put(said, path, {"typed": cell.replace(" ", ""), "unit": unit or ""})


def whole(*path: str):
    return lambda said, cell, unit: put(said, path, int(cell) if cell.isdecimal() else cell)


def put(said: dict, path: tuple, value: object) -> None:
    for key in path[:-1]:
        said = said.setdefault(key, {})
    said[path[-1]] = value


# Of each table: the kind, and its columns as (head with an example of its unit, an example, where it goes).
TABLES = {
    "vessels": ("vessel", (
        ("tag", "H-2", text("tag")), ("sort", "tank", text("sort")), ("capacity [L]", "500", number("capacity_l")),
        ("room [L]", "20", number("room_l")), ("account", "storage", text("account")))),
    "stills": ("still", (
        ("tag", "Pot", text("tag")), ("sort", "pot", text("sort")), ("capacity [L]", "600", number("capacity_l")),
        ("plates", "", whole("plates")))),
    "people": ("person", (("name", "Ines", text("name")),)),
    "openings": ("opening", (
        ("vessel", "H-2", text("vessel")), ("holds", "spirit", text("holds")),
        ("volume [L]", "412", number("gauge", "volume")), ("temperature [°C]", "17.5", number("gauge", "temperature")),
        ("weight [kg]", "", number("gauge", "weight")), ("strength [%vol]", "96.1", number("gauge", "strength")),
        ("strength temperature [°C]", "", number("gauge", "strength_temperature")))),
    "lots": ("lot", (
        ("lot", "R-118", text("lot")), ("sort", "rye", text("sort")), ("name", "", text("name")),
        ("supplier", "Mill by the weir", text("supplier")), ("supplier lot", "", text("supplier_lot")),
        ("mass [kg]", "2400", number("mass")), ("count", "", whole("count")),
        ("moisture [%]", "13.5", number("moisture")),
        ("starch [%]", "58", number("starch")), ("sugar [%]", "", number("sugar")), ("bin", "", text("bin")))),
    "strappings": ("strapping", (
        ("vessel", "H-2", text("vessel")), ("dip [cm]", "10", number("dip")),
        ("volume [L]", "48.5", number("volume")))),
}  # fmt: skip
NAMED = {"vessels": "tag", "stills": "tag", "people": "name", "lots": "lot"}
KNOWN = {"vessels": "vessels", "stills": "stills", "people": "persons", "lots": "lots"}


def template(name: str) -> str:
    """A file to fill in: the heads and one example."""
    columns = TABLES[name][1]
    out = io.StringIO()
    csv.writer(out).writerows([[head for head, _, _ in columns], [example for _, example, _ in columns]])
    return out.getvalue()


def read_rows(raw: bytes) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Heads, and rows with the number of their line. Comma, semicolon or tab between cells."""
    if len(raw) > MOST_BYTES:
        raise ImportFault([f"The file has {len(raw)} bytes; at most {MOST_BYTES} are read at once. Part it."])
    try:
        told = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise ImportFault([f"Line {line}: the file is not UTF-8. Save it as CSV UTF-8 and try again."]) from None
    first = told.split("\n", 1)[0]
    between = max(";\t,", key=first.count)
    try:
        reader = csv.reader(io.StringIO(told, newline=""), delimiter=between, strict=True)
        rows = [(reader.line_num, [cell.strip() for cell in row]) for row in reader]
    except csv.Error as error:
        raise ImportFault([f"The file cannot be read as CSV: {error}. Look at the quotation marks."]) from None
    rows = [(line, row) for line, row in rows if any(row)]
    if len(rows) < 2:
        raise ImportFault(["The file has no row under its heads. `glovebook import --template` prints one to fill in."])
    if len(rows) > MOST_ROWS + 1:
        raise ImportFault([f"The file has {len(rows) - 1} rows; at most {MOST_ROWS} are read at once. Part it."])
    return rows[0][1], rows[1:]


def columns_of(name: str, heads: list[str]) -> list[tuple]:
    """For each column of the file: (head, where it goes, unit)."""
    known = {split_head(head)[0]: (head, goes) for head, _, goes in TABLES[name][1]}
    faults, found = [], []
    for head in heads:
        word, unit = split_head(head)
        if word not in known:
            faults.append(f"Line 1: there is no column {head!r}; there are {', '.join(sorted(known))}.")
        elif unit is None and "[" in known[word][0]:
            faults.append(f"Line 1, column {word}: which unit? Write it as {known[word][0]}.")
        elif unit is not None and unit not in UNITS:
            faults.append(f"Line 1, column {word}: the unit {unit} is not known. Known are {', '.join(UNITS)}.")
        elif word in [split_head(one)[0] for one, _, _ in found]:
            faults.append(f"Line 1: the column {word} is there twice.")
        else:
            found.append((head, known[word][1], UNITS.get(unit)))
    if faults:
        raise ImportFault(faults)
    return found


def split_head(head: str) -> tuple[str, str | None]:
    """ "capacity [hL]" -> ("capacity", "hL")."""
    word, _, unit = head.partition("[")
    return word.strip().lower(), unit.rstrip("] ").strip() if unit else None


def said_of(name: str, raw: bytes) -> list[tuple[int, str, dict]]:
    """What the file says: (line, kind, said), each held to the checks of its kind."""
    heads, rows = read_rows(raw)
    columns, kind = columns_of(name, heads), TABLES[name][0]
    faults, found = [], []
    for line, cells in rows:
        if len(cells) > len(columns):
            faults.append(f"Line {line}: {len(cells)} cells under {len(columns)} heads.")
            continue
        said: dict = {}
        for (_, goes, unit), cell in zip(columns, cells, strict=False):
            if cell:
                goes(said, cell, unit)
        found.append((line, kind, said))
    if name == "strappings":
        found = by_vessel(found)
    for line, _, said in found:
        faults += [f"Line {line}, column {column_of(one['field'])}: {one['say']}" for one in check_said(kind, said)]
    if faults:
        raise ImportFault(faults)
    return found


def column_of(field: str) -> str:
    return field.split(".")[-1].removesuffix("_l").replace("_", " ")


def by_vessel(rows: list) -> list:
    """The rows of a strapping table under the vessel that they are of, at the line of the first."""
    found: dict[str, tuple] = {}
    for line, kind, said in rows:
        tag, row = said.get("vessel"), {key: value for key, value in said.items() if key != "vessel"}
        found.setdefault(str(tag), (line, kind, {"vessel": tag, "rows": []}))[2]["rows"].append(row)
    return list(found.values())


def against_book(name: str, rows: list, state: dict) -> None:
    """What the book already has is not set up twice; an opening needs its vessel, and that nothing stands in it."""
    faults, seen = [], set()
    for line, _, said in rows:
        mark = said.get(NAMED.get(name, "vessel"))
        if mark in seen:
            faults.append(f"Line {line}: {mark} is in the file twice.")
        elif name in KNOWN and mark in state[KNOWN[name]]:
            faults.append(f"Line {line}: {mark} is in the book already. Take the line out, or change it in the app.")
        elif name in ("openings", "strappings") and mark not in state["vessels"]:
            faults.append(f"Line {line}: there is no vessel {mark} in the book. Import the vessels first.")
        elif name == "openings" and state["places"].get(f"vessel/{mark}", {}).get("liquid_mg", 0) != 0:
            faults.append(f"Line {line}: the book has something in {mark} already. Gauge it in the app instead.")
        seen.add(mark)
    if faults:
        raise ImportFault(faults)


def import_table(book: Store, name: str, raw: bytes, by: str, dry: bool = False) -> int:
    """Write a file's rows as entries, all in one transaction, from a device of the office made for it.

    by: the person, as the book knows them; returns how many entries; raises ImportFault and then nothing is written
    """
    rows = said_of(name, raw)
    with book.read() as reader:
        state = fold([sync.judge(text_, reader.fact("site")).entry for text_ in reader.texts()])
        site = reader.fact("site")
    if state["persons"] and by not in state["persons"]:
        raise ImportFault([f"The book knows nobody called {by}. Known are {', '.join(sorted(state['persons']))}."])
    against_book(name, rows, state)
    try:
        entries = [entry_for(kind, said, site, by) for _, kind, said in rows]
    except ReckonError as error:
        raise ImportFault([error.say]) from None
    if not dry:
        write(book, entries)
    return len(entries)


def entry_for(kind: str, said: dict, site: str, by: str) -> dict:
    context = {"now": int(time.time() * 1000), "site": site, "by": by, "clock": 0}
    return compose(kind, said, context)


def write(book: Store, entries: list[dict]) -> None:
    paired = book.write(devices.pair, None, False, "office").result()
    numbered = [{**entry, "device": paired["device"], "n": n} for n, entry in enumerate(entries, 1)]
    texts = [json.dumps(entry, ensure_ascii=False, separators=(",", ":")) for entry in numbered]
    verdict = sync.take(book, texts, paired["device"])
    book.write(devices.revoke, paired["device"]).result()  # its token was never given to anybody
    if len(verdict["taken"]) != len(texts):
        raise ImportFault([one["say"] for one in verdict["refused"]])
