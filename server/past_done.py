"""What openings let go, at rest: the SQL of server/papers.py. It follows from the log, as the openings do.

Moments are in ms, as in past.py.
"""

import json
from collections.abc import Iterable

from server.reader import Reader, chunks, marks_for


def add_done(conn, cut: int, rows: list[dict]) -> None:
    values = [(one["sort"], one["key"], cut, one["begun"], one["ended"], json.dumps(one["what"])) for one in rows]
    conn.executemany("INSERT OR REPLACE INTO done VALUES (?, ?, ?, ?, ?, ?)", values)


def done_between(reader: Reader, sort: str, begin: int, until: int) -> list[tuple[str, object]]:
    """(key, what) of a sort, of all that reaches into a time, in the order in which it was let go."""
    sql = "SELECT key, body FROM done WHERE sort = ? AND ended >= ? AND begun < ? ORDER BY cut, begun, key"
    return [(row["key"], json.loads(row["body"])) for row in reader.db.query(sql, [sort, begin, until])]


def done_by_key(reader: Reader, sort: str, keys: Iterable[str]) -> list[tuple[str, object]]:
    found = []
    for some in chunks(set(keys)):
        sql = f"SELECT key, body FROM done WHERE sort = ? AND key IN ({marks_for(len(some))}) ORDER BY cut, key"
        found += [(row["key"], json.loads(row["body"])) for row in reader.db.query(sql, [sort, *some])]
    return found


def moments_by_id(reader: Reader, ids: Iterable[str]) -> dict[str, int]:
    """When some entries happened, ms."""
    found = {}
    for some in chunks(set(ids)):
        sql = f"SELECT id, at FROM log JOIN moments USING (seq) WHERE id IN ({marks_for(len(some))})"
        found |= {row["id"]: row["at"] for row in reader.db.query(sql, some)}
    return found


def of_group(reader: Reader, group: str, begin: int, until: int) -> list[dict]:
    """Rows of the entries of a run, a mash or a round of checks, struck ones too, in a time."""
    sql = """SELECT seq, id, text FROM moments JOIN log USING (seq) WHERE at >= ? AND at < ?
        AND json_extract(text, '$.group') = ?"""
    return list(reader.db.query(sql, [begin, until, group]))


def of_other_kinds(reader: Reader, begin: int, until: int, kinds: tuple) -> list[dict]:
    """Rows of the entries of a time that are of none of some kinds."""
    sql = f"""SELECT seq, id, text FROM moments JOIN log USING (seq) WHERE at >= ? AND at < ?
        AND kind NOT IN ({marks_for(len(kinds))})"""
    return list(reader.db.query(sql, [begin, until, *kinds]))
