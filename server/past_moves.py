"""The movements of a large book, at rest: the SQL of server/years.py. They follow from the log, as the openings do.

Moments are in ms, as in past.py.
"""

import json

from server.book.gauges import NOTHING
from server.reader import Reader

COLUMNS = "number, id, at, origin, goal, from_key, to_key, ethanol_mg, liquid_mg, extract_mg"
# Both sides of every move before a moment; what a place was last stands last.
STOOD = """
    SELECT place, key, sum(ethanol_mg) AS ethanol_mg, sum(liquid_mg) AS liquid_mg, sum(extract_mg) AS extract_mg,
        max(turn) AS last
    FROM (
        SELECT goal AS place, to_key AS key, ethanol_mg, liquid_mg, extract_mg, 2 * number + 1 AS turn
        FROM moves WHERE at < :until AND to_key IS NOT NULL
        UNION ALL
        SELECT origin, from_key, -ethanol_mg, -liquid_mg, -extract_mg, 2 * number
        FROM moves WHERE at < :until AND from_key IS NOT NULL
    ) GROUP BY place, key ORDER BY last"""


def add_moves(conn, moves: list[dict]) -> None:
    keys = ("id", "at", "from", "to", "from_key", "to_key", *NOTHING)
    rows = [[one[key] if not key.endswith("_key") else packed(one[key]) for key in keys] for one in moves]
    conn.executemany(f"INSERT INTO moves ({COLUMNS}) VALUES (NULL, ?, ?, ?, ?, ?, ?, ?, ?, ?)", rows)


def packed(key: dict | None) -> str | None:
    return None if key is None else json.dumps(key)


def unpacked(text: str | None) -> dict | None:
    return None if text is None else json.loads(text)


def moves_between(reader: Reader, begin: int, until: int) -> list[dict]:
    """The moves of a time, as the ledger has them, in the order of the book."""
    sql = f"SELECT {COLUMNS} FROM moves WHERE at >= ? AND at < ? ORDER BY number"
    return [move_of(row) for row in reader.db.query(sql, [begin, until])]


def move_of(row: dict) -> dict:
    about = {"id": row["id"], "at": row["at"], "from": row["origin"], "to": row["goal"]}
    keys = {"from_key": unpacked(row["from_key"]), "to_key": unpacked(row["to_key"])}
    return {**about, **keys, **{name: row[name] for name in NOTHING}}


def stood_at(reader: Reader, until: int) -> list[dict]:
    """All that moved before a moment, as one move into each place for each key that it had, of no entry."""
    about = {"id": "", "at": until - 1, "from": "", "from_key": None}
    return [
        {**about, "to": row["place"], "to_key": json.loads(row["key"]), **{name: row[name] for name in NOTHING}}
        for row in reader.db.query(STOOD, {"until": until})
    ]


def first_at(reader: Reader) -> int | None:
    """When something first moved, of what says a time."""
    return next(reader.db.query("SELECT min(at) AS at FROM moves WHERE at > 0"))["at"]


def moves_at(reader: Reader, place: str, since: int) -> list[dict]:
    """The moves into and out of a place after a moment."""
    sql = f"SELECT {COLUMNS} FROM moves WHERE at > ? AND (origin = ? OR goal = ?) ORDER BY number"
    return [move_of(row) for row in reader.db.query(sql, [since, place, place])]
