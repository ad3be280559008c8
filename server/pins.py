"""What proves a person's PIN: kept beside the book, never in it, and given to every paired device.

The device makes k = PBKDF2-HMAC-SHA256(PIN, salt, rounds) and the verifier SHA-256(k). The server never sees a PIN;
whoever changes one shows the old k, which a verifier does not give away.
"""

import hashlib
import hmac

from server.store import now_utc

PINS_KEPT = 200  # a house has eight people; a device gone wrong fills nothing


class Unproven(Exception):
    """There is a PIN already, and what came along does not prove it."""


class TooMany(Exception):
    """More people have a PIN than any house has."""


def set_pin(conn, asked: dict, device: str) -> None:
    """Keep a person's first verifier, or another one for who proves the one before. Raises Unproven or TooMany.

    asked: {person, salt, rounds, verifier, was}, `was` being the old k in hex, or None for a first PIN
    """
    row = conn.execute("SELECT verifier FROM pins WHERE person = ?", (asked["person"],)).fetchone()
    if row and not proves(asked["was"], row[0]):
        raise Unproven
    if not row and conn.execute("SELECT count(*) FROM pins").fetchone()[0] >= PINS_KEPT:
        raise TooMany
    conn.execute(
        "INSERT OR REPLACE INTO pins (person, salt, rounds, verifier, set_at, device) VALUES (?, ?, ?, ?, ?, ?)",
        (asked["person"], asked["salt"], asked["rounds"], asked["verifier"], now_utc(), device),
    )


def proves(k_hex: str | None, verifier: str) -> bool:
    return k_hex is not None and hmac.compare_digest(hashlib.sha256(bytes.fromhex(k_hex)).hexdigest(), verifier)


def reset_pin(conn, person: str) -> bool:
    """Forget a person's PIN, so that they set a new first one."""
    return conn.execute("DELETE FROM pins WHERE person = ?", (person,)).rowcount > 0


def listed(reader) -> list[dict]:
    """Every verifier, as devices keep it: {person, salt, rounds, verifier, set_at, device}."""
    return list(reader.db["pins"].rows_where(order_by="person"))
