"""Moments, openings and what was put away, at rest: the SQL of server/openings.py. All of it follows from the log.

Every moment (`at`, `begin`, `until`, `cut`) is in ms since 1970 UTC; a time reaches from `begin` to before `until`.
"""

import json
import secrets
from collections.abc import Iterable, Iterator

from server.book.strikes import about_of, target_of
from server.past_done import add_done
from server.past_moves import add_moves
from server.reader import Reader, chunks, marks_for
from server.store import set_fact


def last_moment(reader: Reader) -> int:
    """The number of the newest record whose moment is known."""
    return next(reader.db.query("SELECT coalesce(max(seq), 0) AS seq FROM moments"))["seq"]


def texts_after(reader: Reader, seq: int, limit: int) -> list[dict]:
    sql = "SELECT seq, id, text FROM log WHERE seq > ? AND sort = 'entry' ORDER BY seq LIMIT ?"
    return list(reader.db.query(sql, [seq, limit]))


def count(reader: Reader) -> int:
    return next(reader.db.query("SELECT count(*) AS n FROM moments"))["n"]


def first_moment(reader: Reader) -> int:
    """The first moment that can be one; what says none counts as the year 1970."""
    found = next(reader.db.query("SELECT min(at) AS at FROM moments WHERE at > 86400000"))["at"]
    return found or 0


def seqs_between(reader: Reader, begin: int, until: int, upto: int = 2**62) -> set[int]:
    sql = "SELECT seq FROM moments WHERE at >= ? AND at < ? AND seq <= ?"
    return {row["seq"] for row in reader.db.query(sql, [begin, until, upto])}


def linked_seqs(reader: Reader, ids: Iterable[str]) -> set[int]:
    """Numbers of the entries that strike some of these, or choose about them."""
    found = set()
    for some in chunks(ids):
        rows = reader.db.query(f"SELECT seq FROM links WHERE target IN ({marks_for(len(some))})", some)
        found.update(row["seq"] for row in rows)
    return found


def rows_of(reader: Reader, seqs: Iterable[int]) -> Iterator[dict]:
    for some in chunks(seqs):
        yield from reader.db.query(f"SELECT seq, id, text FROM log WHERE seq IN ({marks_for(len(some))})", some)


def rows_by_id(reader: Reader, ids: Iterable[str]) -> Iterator[dict]:
    """Rows of entries; the record of a restore is none."""
    for some in chunks(ids):
        sql = f"SELECT seq, id, text FROM log WHERE sort = 'entry' AND id IN ({marks_for(len(some))})"
        yield from reader.db.query(sql, some)


def moment_of(reader: Reader, id_: str) -> int | None:
    rows = reader.db.query("SELECT at FROM moments JOIN log USING (seq) WHERE id = ?", [id_])
    return next((row["at"] for row in rows), None)


def moment_of_number(reader: Reader, device: str, first: int, last: int) -> int | None:
    """The earliest moment of a device's entries with these numbers."""
    sql = "SELECT min(at) AS at FROM moments JOIN log USING (seq) WHERE device = ? AND n BETWEEN ? AND ?"
    return next(reader.db.query(sql, [device, first, last]))["at"]


def moments_of_numbers(reader: Reader, device: str, first: int, last: int, until: int, quiet: tuple) -> list[int]:
    """Moments before `until` of a device's entries with these numbers, without what is quiet and moves nothing."""
    sql = f"""SELECT at FROM log JOIN moments USING (seq) WHERE device = ? AND n BETWEEN ? AND ? AND at < ?
        AND (moves OR kind NOT IN ({marks_for(len(quiet))}))"""
    return [row["at"] for row in reader.db.query(sql, [device, first, last, until, *quiet])]


def of_kinds(reader: Reader, begin: int, until: int, kinds: tuple) -> list[dict]:
    """Rows of the entries of a time that are of some kinds."""
    sql = f"""SELECT seq, id, text FROM moments JOIN log USING (seq) WHERE at >= ? AND at < ?
        AND kind IN ({marks_for(len(kinds))})"""
    return list(reader.db.query(sql, [begin, until, *kinds]))


def links(reader: Reader) -> list[dict]:
    """Every strike, correction and choice: {id, device, n, target, at}; at: of the target, None where it is away."""
    sql = """SELECT log.id, log.device, log.n, links.target, moments.at FROM links JOIN log USING (seq)
        LEFT JOIN log AS struck ON struck.id = links.target LEFT JOIN moments ON moments.seq = struck.seq"""
    return list(reader.db.query(sql))


def with_links(reader: Reader, rows: Iterable[dict], upto: int) -> list[dict]:
    """Entries, parsed, with all that bear on them or that they bear on."""
    seen: dict[str, dict] = {}
    rows = list(rows)
    while rows:
        new = [json.loads(row["text"]) for row in rows if row["id"] not in seen and row["seq"] <= upto]
        seen.update({entry["id"]: entry for entry in new})
        targets = {one for entry in new for one in (target_of(entry), about_of(entry)) if one} - seen.keys()
        rows = [*rows_of(reader, linked_seqs(reader, [entry["id"] for entry in new])), *rows_by_id(reader, targets)]
        rows = [row for row in rows if row["id"] not in seen and row["seq"] <= upto]
    return list(seen.values())


def marks_of(reader: Reader, ids: set) -> dict[str, list[str]]:
    return {id_: words for id_, words in reader.marks().items() if id_ in ids}


def newest_opening(reader: Reader, upto: int = 2**62) -> dict | None:
    """upto: the latest cut that is asked for"""
    row = next(iter(reader.db["openings"].rows_where("cut <= ?", [upto], order_by="cut desc", limit=1)), None)
    return {"cut": row["cut"], **json.loads(row["body"])} if row else None


def newest_cut(reader: Reader) -> int | None:
    return next(reader.db.query("SELECT max(cut) AS cut FROM openings"))["cut"]


def opening_after(reader: Reader, at: int) -> dict | None:
    """The first opening that counts all that happened before a moment."""
    row = next(iter(reader.db["openings"].rows_where("cut >= ?", [at], order_by="cut", limit=1)), None)
    return {"cut": row["cut"], **json.loads(row["body"])} if row else None


def openings(reader: Reader) -> list[dict]:
    """All that are kept, the earliest first."""
    rows = reader.db["openings"].rows_where(order_by="cut")
    return [{"cut": row["cut"], **json.loads(row["body"])} for row in rows]


def moments(reader: Reader) -> dict[int, int]:
    """When each record happened, by its number, as far as that was noted."""
    return {row["seq"]: row["at"] for row in reader.db["moments"].rows}


STANDS = "cut <= :cut AND (back IS NULL OR back > :cut)"


def named(reader: Reader, cut: int, names: set[str]) -> list[dict]:
    """What was put away by the opening of a cut and has one of these names, with what that needs."""
    keys = set()
    for some in chunks(names):
        sql = f"SELECT DISTINCT sort, key FROM put_away_names WHERE name IN ({marks_for(len(some))})"
        keys |= {(row["sort"], row["key"]) for row in reader.db.query(sql, some)}
    found = {key: one for key in keys if (one := thing(reader, cut, *key))}
    for needed in [("lot", lot) for one in found.values() for lot in one.get("needs", ())]:
        one = found.get(needed) or thing(reader, cut, *needed)
        if one:
            found[needed] = one
    return [found[key] for key in sorted(found)]


def thing(reader: Reader, cut: int, sort: str, key: str) -> dict | None:
    """One thing that stands put away by the opening of a cut."""
    sql = f"SELECT body FROM put_away WHERE sort = :sort AND key = :key AND {STANDS}"
    rows = reader.db.query(sql, {"sort": sort, "key": key, "cut": cut})
    return next((json.loads(row["body"]) for row in rows), None)


def standing_away(reader: Reader, cut: int, sort: str) -> Iterator[dict]:
    """Everything of a sort that stands put away by the opening of a cut."""
    sql = f"SELECT body FROM put_away WHERE sort = :sort AND {STANDS}"
    return (json.loads(row["body"]) for row in reader.db.query(sql, {"sort": sort, "cut": cut}))


def keys_away(reader: Reader, cut: int, sort: str) -> set[str]:
    sql = f"SELECT key FROM put_away WHERE sort = :sort AND {STANDS}"
    return {row["key"] for row in reader.db.query(sql, {"sort": sort, "cut": cut})}


def moving(reader: Reader, since: int, upto: int) -> Iterator[dict]:
    """The entries that a trace needs, with what strikes them."""
    sql = """SELECT seq, id, text FROM moments JOIN log USING (seq) WHERE moves AND seq > ? AND seq <= ? ORDER BY seq"""
    return reader.db.query(sql, [since, upto])


def newest_given(reader: Reader) -> dict | None:
    """The opening that devices get: {id, cut, upto, is_good, walk, live, ids, things}."""
    row = next(iter(reader.db["given"].rows_where(order_by="number desc", limit=1)), None)
    return {**row, **json.loads(row["body"])} if row else None


def given_id(reader: Reader) -> str | None:
    """The id of the opening that devices get, while it is right."""
    sql = "SELECT id FROM given WHERE is_good AND number = (SELECT max(number) FROM given)"
    return next((row["id"] for row in reader.db.query(sql)), None)


def is_good(reader: Reader, id_: str) -> bool:
    return any(reader.db.query("SELECT 1 AS one FROM given WHERE id = ? AND is_good", [id_]))


def upto_of(reader: Reader, id_: str | None) -> int:
    """The number of the newest record that a device has by a good opening, carried or counted; 0 where it has none."""
    rows = reader.db.query("SELECT upto FROM given WHERE id = ? AND is_good", [id_])
    return next((row["upto"] for row in rows), 0)


# What the writer's thread does inside its transaction.


def add_moments(conn, rows: list[tuple[int, int, bool, list[str]]]) -> None:
    """rows: (seq, at, whether a trace needs the entry, ids that it bears on)"""
    conn.executemany("INSERT OR IGNORE INTO moments VALUES (?, ?, ?)", [(seq, at, moves) for seq, at, moves, _ in rows])
    links = [(target, seq) for seq, _, _, targets in rows for target in targets]
    conn.executemany("INSERT OR IGNORE INTO links VALUES (?, ?)", links)


def keep_opening(conn, cut: int, body: dict, away: list[dict], back: list[dict], beside: dict) -> None:
    """back: what the opening brought back of what stood put away; beside: its moves, and what it let go"""
    conn.execute("INSERT OR REPLACE INTO openings VALUES (?, ?)", (cut, json.dumps(body)))
    add_moves(conn, beside["moves"])
    add_done(conn, cut, beside["done"])
    set_fact(conn, "openings_mark", secrets.token_hex(8))
    for one in back:
        key = {"sort": one["sort"], "key": one["key"], "cut": cut}
        conn.execute(f"UPDATE put_away SET back = :cut WHERE sort = :sort AND key = :key AND {STANDS}", key)
    for one in away:
        key = (one["sort"], one["key"], cut)
        conn.execute("INSERT OR REPLACE INTO put_away VALUES (?, ?, ?, NULL, ?)", (*key, json.dumps(one)))
        names = [(name, *key) for name in one["names"]]
        conn.executemany("INSERT OR IGNORE INTO put_away_names VALUES (?, ?, ?, ?)", names)


def forget(conn, since: int) -> None:
    """Openings that count what came to be otherwise: all whose cut is after a moment."""
    for table in ("openings", "put_away", "put_away_names", "done"):
        conn.execute(f"DELETE FROM {table} WHERE cut > ?", (since,))
    conn.execute("DELETE FROM moves WHERE at >= (SELECT coalesce(max(cut), ?) FROM openings)", (-(2**62),))
    conn.execute("UPDATE put_away SET back = NULL WHERE back > ?", (since,))
    conn.execute("UPDATE given SET is_good = 0 WHERE cut > ?", (since,))


def begin_anew(conn) -> None:
    """Forget all of it, moments, links and moves too."""
    for table in ("moments", "links", "moves", "openings", "put_away", "put_away_names", "done"):
        conn.execute(f"DELETE FROM {table}")
    conn.execute("UPDATE given SET is_good = 0")


def give(conn, id_: str, cut: int, upto: int, body: dict, good_from: int) -> None:
    """Put another opening in the place of the one that devices get; those before stay good from a cut on."""
    conn.execute("UPDATE given SET body = '{}', is_good = is_good AND cut >= ?", (good_from,))
    conn.execute(
        "INSERT INTO given (id, cut, upto, is_good, body) VALUES (?, ?, ?, 1, ?)", (id_, cut, upto, json.dumps(body))
    )
