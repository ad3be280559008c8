"""The book as it is read: a connection of its own that can only read, from any thread, while the writer goes on."""

import json
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from sqlite_utils import Database
from sqlite_utils.utils import sqlite3

GENESIS = "0" * 64  # stands for the record before the first
CHUNK = 500  # names in one question


def chunks(values: Iterable) -> Iterator[list]:
    """Names or numbers in order, as many at a time as one question takes."""
    rows = sorted(values)
    return (rows[at : at + CHUNK] for at in range(0, len(rows), CHUNK))


def marks_for(count: int) -> str:
    return ",".join("?" * count)


def is_shut(path: Path) -> bool:
    """Whether nobody can be writing: a book on a stick that cannot be written to, with no journal beside it.

    SQLite would want to make files beside it. With a journal that holds records it must not be read without that.
    """
    journal = path.with_name(path.name + "-wal")
    return not os.access(path.parent, os.W_OK) and not (journal.exists() and journal.stat().st_size)


class Reader:
    """A connection that can only read; it sees one state of the book from its first look to its end."""

    def __init__(self, path: Path | str):
        uri = Path(path).resolve().as_uri() + ("?mode=ro&immutable=1" if is_shut(Path(path)) else "?mode=ro")
        self.conn = sqlite3.connect(uri, uri=True, isolation_level=None, check_same_thread=False)
        self.db = Database(self.conn)

    def __enter__(self) -> "Reader":
        self.conn.execute("BEGIN")
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        self.conn.close()

    def fact(self, key: str) -> str:
        return self.db["facts"].get(key)["value"]

    def fact_or(self, key: str, otherwise: str | None) -> str | None:
        row = next(iter(self.db["facts"].rows_where("key = ?", [key])), None)
        return row["value"] if row else otherwise

    def head(self) -> dict:
        """The newest record of the log: {seq, hash}; seq 0 before the first."""
        seq, hash_ = self.fact("head").split(" ")
        return {"seq": int(seq), "hash": hash_}

    def hash_at(self, seq: int) -> str | None:
        row = next(iter(self.db["log"].rows_where("seq = ?", [seq], select="hash")), None)
        return row["hash"] if row else (GENESIS if seq == 0 else None)

    def records(self, since: int = 0) -> Iterator[dict]:
        """The whole log after a number, in order, as it is kept."""
        return self.db["log"].rows_where("seq > ?", [since], order_by="seq")

    def texts(self, upto: int = 2**62) -> Iterator[str]:
        rows = self.db["log"].rows_where("sort = 'entry' AND seq <= ?", [upto], order_by="seq", select="text")
        return (row["text"] for row in rows)

    def page(self, since: int, limit: int, size: int) -> tuple[list[dict], bool]:
        """Entries after a number, at most `limit` and `size` bytes but at least one; and whether more follow."""
        sql = "SELECT seq, id, text FROM log WHERE seq > ? AND sort = 'entry' ORDER BY seq LIMIT ?"
        return self._bounded(self.db.query(sql, [since, limit + 1]), limit, size)

    def _bounded(self, rows: Iterable[dict], limit: int, size: int) -> tuple[list[dict], bool]:
        found, total = [], 0
        for row in rows:
            total += len(row["text"].encode())
            if len(found) == limit or (found and total > size):
                return found, True
            marks = self.db["marks"].rows_where("id = ?", [row["id"]], select="mark", order_by="mark")
            found.append({"seq": row["seq"], "text": row["text"], "marks": [mark["mark"] for mark in marks]})
        return found, False

    def texts_after(self, since: int, limit: int) -> list[tuple[int, str]]:
        """The next entries of the log after a number, oldest first: (number, text)."""
        sql = "SELECT seq, text FROM log WHERE seq > ? AND sort = 'entry' ORDER BY seq LIMIT ?"
        return [(row["seq"], row["text"]) for row in self.db.query(sql, [since, limit])]

    def with_serial(self, serial: str) -> list[int]:
        """Numbers of the entries that people know by a serial, as K-142: one, unless two devices share letters."""
        letters, _, n = serial.upper().partition("-")
        if not letters.isascii() or not letters.isalpha() or not n.isdecimal() or len(n) > 15:
            return []
        # From one device with these letters to the next, since each may have a million entries.
        sql = (
            "WITH RECURSIVE named (device) AS (SELECT min(device) FROM log WHERE device > ? UNION ALL "
            "SELECT (SELECT min(log.device) FROM log WHERE log.device > named.device) FROM named "
            "WHERE named.device < ?) SELECT seq FROM named JOIN log ON log.device = named.device AND log.n = ? "
            "WHERE named.device < ? ORDER BY seq LIMIT 5"
        )
        return [row["seq"] for row in self.db.query(sql, [f"{letters}.", f"{letters}/", int(n), f"{letters}/"])]

    def numbered(self, numbers: list[int], limit: int, size: int) -> tuple[list[dict], bool]:
        """The entries under these numbers, in their order, bounded as `page` is."""
        among = f"seq IN ({marks_for(len(numbers))})"
        rows = {row["seq"]: row for row in self.db["log"].rows_where(among, numbers, select="seq, id, text")}
        return self._bounded((rows[seq] for seq in numbers if seq in rows), limit, size)

    def numbers(self) -> Iterator[tuple[str, int]]:
        """Every device and running number in the log, in order, each once."""
        sql = "SELECT DISTINCT device, n FROM log WHERE sort = 'entry' ORDER BY device, n"
        return ((row["device"], row["n"]) for row in self.db.query(sql))

    def marks(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for row in self.db["marks"].rows_where(order_by="id, mark"):
            found.setdefault(row["id"], []).append(row["mark"])
        return found

    def floor_setups(self) -> list[str]:
        """Ids of the set-ups that came from a device of the floor."""
        return [row["id"] for row in self.db["floor_setups"].rows]

    def persons(self) -> set[str]:
        """Every name that was ever set up as a person of the house."""
        said = (json.loads(row["text"])["said"] for row in self.db["log"].rows_where("kind = 'person'", select="text"))
        return {one["name"] for one in said if isinstance(one.get("name"), str)}

    def places(self) -> dict[str, tuple[int, int, int]]:
        rows = self.db["places"].rows
        return {row["place"]: (row["ethanol_mg"], row["liquid_mg"], row["extract_mg"]) for row in rows}

    def places_upto(self) -> int | None:
        """The number of the record that the places stand for; None before they were worked out."""
        upto = self.fact_or("places", None)
        return None if upto is None else int(upto)

    def first_received(self) -> str | None:
        """When the first record came; None in an empty book."""
        return next((row["received"] for row in self.db["log"].rows_where("seq = 1", select="received")), None)

    def newest(self, kind: str) -> str | None:
        """The text of the entry of a kind that came last."""
        found = self.db["log"].rows_where("kind = ?", [kind], order_by="seq desc", limit=1, select="text")
        return next((row["text"] for row in found), None)
