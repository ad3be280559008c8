"""Which devices may bring entries: one-time codes, tokens, and letters that are handed out once.

Only hashes are kept. A token has 256 random bits, so its plain SHA-256 is enough; a code has six digits, and what
guards it is that it lives for fifteen minutes and bears five wrong tries, whoever makes them.
"""

import hashlib
import hmac
import re
import secrets
import time

from server.store import now_utc

CODE_SECONDS = 15 * 60
CODE_TRIES = 5
CODES_OPEN = 20


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()


def new_code(conn) -> str:
    """A code of six digits for one pairing."""
    code, salt = f"{secrets.randbelow(10**6):06d}", secrets.token_hex(8)
    now_ms = int(time.time() * 1000)
    conn.execute("DELETE FROM codes WHERE expires_ms <= ? OR tries >= ?", (now_ms, CODE_TRIES))
    conn.execute(
        "DELETE FROM codes WHERE salt IN (SELECT salt FROM codes ORDER BY expires_ms DESC LIMIT -1 OFFSET ?)",
        (CODES_OPEN - 1,),
    )
    conn.execute("INSERT INTO codes VALUES (?, ?, ?, 0)", (salt, _hash(salt + code), now_ms + CODE_SECONDS * 1000))
    return code


def spend_code(conn, code: str) -> bool:
    """Whether this code is open; it is then used up. A wrong one counts against every open code."""
    now_ms = int(time.time() * 1000)
    found = conn.execute(
        "SELECT salt, code_hash FROM codes WHERE expires_ms > ? AND tries < ?", (now_ms, CODE_TRIES)
    ).fetchall()
    for salt, code_hash in found:
        if hmac.compare_digest(code_hash, _hash(salt + code)):
            conn.execute("DELETE FROM codes WHERE salt = ?", (salt,))
            return True
    conn.execute("UPDATE codes SET tries = tries + 1")
    return False


def pair(conn, was: str | None = None, by_token: bool = False) -> dict:
    """A new device: {device, token}. The token is told once and only its hash is kept."""
    letters = next_letters(conn)
    device, token = f"{letters}.{secrets.token_hex(4)}", secrets.token_urlsafe(32)
    conn.execute(
        "INSERT INTO devices (device, letters, token_hash, was, paired, by_token) VALUES (?, ?, ?, ?, ?, ?)",
        (device, letters, _hash(token), was, now_utc(), int(by_token)),
    )
    return {"device": device, "token": token}


def next_letters(conn) -> str:
    """Letters that nobody had: A to Z, AA to AZ, BA ...; the log counts too, as it outlives a lost list of devices."""
    found = conn.execute("SELECT device FROM devices UNION SELECT was FROM devices UNION SELECT device FROM log")
    taken = [re.match(r"([A-Z]{1,3})\.", row[0]) for row in found if row[0]]
    highest = max((_number(match[1]) for match in taken if match), default=0)
    return _letters(highest + 1)


def _number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


def _letters(number: int) -> str:
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def device_of(reader, token: str) -> str | None:
    """The device that holds this token, unless it was revoked."""
    found = reader.db["devices"].rows_where("token_hash = ? AND revoked IS NULL", [_hash(token)], select="device")
    return next((row["device"] for row in found), None)


def listed(reader) -> list[dict]:
    """All devices ever paired, without their hashes."""
    return list(reader.db["devices"].rows_where(select="device, was, paired, seen, revoked", order_by="paired, device"))


def seen(conn, device: str) -> None:
    conn.execute("UPDATE devices SET seen = ? WHERE device = ?", (now_utc(), device))


def revoke(conn, device: str) -> bool:
    """Take a device's token away, and those of the devices that were paired with it. Its entries stay.

    device: its whole name or its letters
    """
    changed = conn.execute(
        "UPDATE devices SET revoked = :now WHERE revoked IS NULL AND device IN ("
        "WITH RECURSIVE line (device) AS (SELECT device FROM devices WHERE device = :name OR letters = :name "
        "UNION SELECT later.device FROM devices AS later JOIN line ON later.was = line.device WHERE later.by_token) "
        "SELECT device FROM line)",
        {"name": device, "now": now_utc()},
    )
    return changed.rowcount > 0
