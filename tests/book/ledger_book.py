"""Small books written as short rows, so that a person can read them: rows become entries with ids and numbers."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

from server.book.compose import iso_of
from server.book.lines import lines_of

LEDGERS = sorted((Path(__file__).resolve().parent.parent / "ledgers").glob("*.json"))
START = datetime(2026, 11, 23, 6, 0, tzinfo=UTC)
SUMS = ("ethanol_mg", "liquid_mg", "extract_mg")


def load(path: Path) -> dict:
    return json.loads(path.read_text(encoding="utf-8"))


def id_of(name: str) -> str:
    """A readable id: the row's own short name, filled up to the length of a UUID."""
    return f"01940000-0000-7000-8000-{name:0>12}"


def entries_of(ledger: dict) -> list[dict]:
    """The rows as entries.

    A row: {"id", "kind", "said"} and, where wanted, "at" (minutes after the start), "device", "n", "by", "group",
    "uses", "strikes" (ids as in the rows), "clock", "written_after" (minutes), "lines" (else worked out).
    """
    numbers: dict[str, int] = {}
    return [entry_of(row, place, numbers) for place, row in enumerate(house_of(ledger) + ledger["entries"])]


def house_of(ledger: dict) -> list[dict]:
    """Set-up rows for the vessels and stills (litres) that a ledger names at its head."""
    rows = []
    if "market" in ledger:
        units = {"volume": "L", "mass": "kg", "temperature": "C", "strength": "abv", "alcohol": "LPA"}
        clock = {"zone": "Europe/Vienna", "day_start": "06:00", "shifts": ["06:00", "14:00", "22:00"]}
        rows.append(("site", {"name": "Ledger", "market": ledger["market"], "units": units, **clock}))
    for tag, litres in ledger.get("vessels", {}).items():
        capacity = {"typed": str(litres), "unit": "L"}
        rows.append(("vessel", {"tag": tag, "sort": "tank", "capacity_l": capacity, "account": "production"}))
    for tag, litres in ledger.get("stills", {}).items():
        rows.append(("still", {"tag": tag, "sort": "column", "capacity_l": {"typed": str(litres), "unit": "L"}}))
    return [
        {"id": f"s{place}", "kind": kind, "said": said, "at": place - 100, "device": "S.00000000"}
        for place, (kind, said) in enumerate(rows)
    ]


def entry_of(row: dict, place: int, numbers: dict) -> dict:
    device = row.get("device", "A.00000001")
    numbers[device] = row.get("n", numbers.get(device, 0) + 1)
    happened = START + timedelta(minutes=row.get("at", place))
    written = happened + timedelta(minutes=row.get("written_after", 0))
    group, strikes = row.get("group"), row.get("strikes")
    entry = {
        "id": id_of(row["id"]),
        "v": row.get("v", 1),
        "kind": row["kind"],
        "site": "ledger",
        "device": device,
        "n": numbers[device],
        "by": row.get("by", "Ines"),
        "happened": iso_of(int(happened.timestamp() * 1000)),
        "offset_min": 60,
        "written": iso_of(int(written.timestamp() * 1000)),
        "clock": row.get("clock", 0),
        "group": id_of(row["id"] if group == "self" else group) if group else None,
        "said": with_ids(row["said"]),
        "uses": [id_of(one) for one in row.get("uses", [])],
        "lines": [],
        "strikes": {"id": id_of(strikes), "reason": row.get("reason", "slip")} if strikes else None,
        "tables": "0000000000000000",
    }
    entry["lines"] = [line_of(line) for line in row["lines"]] if "lines" in row else lines_of(entry) or []
    return entry


def line_of(row: list) -> dict:
    """A hand-written line: [from, to, ethanol, liquid, extract] in mg."""
    return dict(zip(("from", "to", *SUMS), row, strict=True))


def with_ids(said: dict) -> dict:
    """Short names of other rows inside what was said ("#7") become ids."""

    def swap(value):
        if isinstance(value, str) and value.startswith("#"):
            return id_of(value[1:])
        if isinstance(value, str) and "/#" in value:
            head, tail = value.split("/#")
            name, *rest = tail.split("/", 1)
            return "/".join([head, id_of(name), *rest])
        if isinstance(value, list):
            return [swap(one) for one in value]
        return {swap(key): swap(one) for key, one in value.items()} if isinstance(value, dict) else value

    return swap(said)
