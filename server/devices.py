"""Which devices may bring entries, and in which role: one-time codes, tokens, and letters that are handed out once.

A device of the floor writes and reads; one of the office also sets up, and looks after devices and PINs.

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
ROLES = ("floor", "office")
LETTERS_LAST = 26 + 26**2 + 26**3  # ZZZ
LETTERS_LEAP = 100  # more phones than a house pairs between a backup and the day that it is needed


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()


def new_code(conn, role: str = "floor") -> dict:
    """A code of six digits for one pairing in a role: {code, mark, role, seconds, tries}; `mark` names it in lists."""
    code, salt = f"{secrets.randbelow(10**6):06d}", secrets.token_hex(8)
    now_ms = int(time.time() * 1000)
    conn.execute("DELETE FROM codes WHERE expires_ms <= ? OR tries >= ?", (now_ms, CODE_TRIES))
    conn.execute(
        "DELETE FROM codes WHERE salt IN (SELECT salt FROM codes ORDER BY expires_ms DESC LIMIT -1 OFFSET ?)",
        (CODES_OPEN - 1,),
    )
    conn.execute(
        "INSERT INTO codes (salt, code_hash, expires_ms, tries, role) VALUES (?, ?, ?, 0, ?)",
        (salt, _hash(salt + code), now_ms + CODE_SECONDS * 1000, role),
    )
    return {"code": code, "mark": salt, "role": role, "seconds": CODE_SECONDS, "tries": CODE_TRIES}


def open_codes(reader) -> list[dict]:
    """The codes that can still be used, without what they are: {mark, role, seconds, tries}; tries are those left."""
    now_ms = int(time.time() * 1000)
    found = reader.db["codes"].rows_where("expires_ms > ? AND tries < ?", [now_ms, CODE_TRIES], order_by="expires_ms")
    return [
        {"mark": row["salt"], "role": row["role"], "seconds": (row["expires_ms"] - now_ms) // 1000,
         "tries": CODE_TRIES - row["tries"]}
        for row in found
    ]  # fmt: skip


def spend_code(conn, code: str) -> str | None:
    """The role that this code gives, if it is open; it is then used up. A wrong one counts against every open code."""
    now_ms = int(time.time() * 1000)
    found = conn.execute(
        "SELECT salt, code_hash, role FROM codes WHERE expires_ms > ? AND tries < ?", (now_ms, CODE_TRIES)
    ).fetchall()
    for salt, code_hash, role in found:
        if hmac.compare_digest(code_hash, _hash(salt + code)):
            conn.execute("DELETE FROM codes WHERE salt = ?", (salt,))
            return role
    conn.execute("UPDATE codes SET tries = tries + 1")
    return None


def admit(conn, code: str | None, was: str | None, token: str | None, is_trusted: bool) -> dict | None:
    """A new identity for who may have one, or None: the desk, a code, or the token of the device that it was.

    The desk is office, a code says its role, a token keeps its own.
    """
    by_token = was is not None and was == device_of(conn, token)
    role = "office" if is_trusted else None
    if role is None and code:
        role = spend_code(conn, code)
        # Somebody must be able to set the house up: until there is an office device, a code makes one.
        role = "office" if role and not _office_left(conn) else role
    if role is None and by_token:
        role = role_of(conn, was)
    return pair(conn, was, by_token, role) if role else None


def pair(conn, was: str | None = None, by_token: bool = False, role: str = "office") -> dict:
    """A new device: {device, token, role}. The token is told once and only its hash is kept."""
    letters = next_letters(conn)
    device, token = f"{letters}.{secrets.token_hex(4)}", secrets.token_urlsafe(32)
    conn.execute(
        "INSERT INTO devices (device, letters, token_hash, was, paired, by_token, role) VALUES (?, ?, ?, ?, ?, ?, ?)",
        (device, letters, _hash(token), was, now_utc(), int(by_token), role),
    )
    return {"device": device, "token": token, "role": role}


def role_of(conn, device: str) -> str | None:
    """The role of a device; None for one that is not in the list."""
    row = conn.execute("SELECT role FROM devices WHERE device = ?", (device,)).fetchone()
    return row[0] if row else None


def _office_left(conn, beside: str = "") -> bool:
    """Whether an office device is paired, beside one."""
    sql = "SELECT 1 FROM devices WHERE role = 'office' AND revoked IS NULL AND ? NOT IN (device, letters)"
    return conn.execute(sql, (beside,)).fetchone() is not None


class LastOffice(Exception):
    """The only office device would become one of the floor, and nobody could let in another."""


def set_role(conn, device: str, role: str, is_desk: bool = False) -> bool:
    """Give a device another role; False when no such device is paired. device: its whole name or its letters.

    is_desk: the server's own desk asks, which is office whatever the list says, so that nobody is locked out
    """
    if role == "floor" and not is_desk and not _office_left(conn, beside=device):
        raise LastOffice
    changed = conn.execute(
        "UPDATE devices SET role = :role WHERE revoked IS NULL AND :name IN (device, letters)",
        {"name": device, "role": role},
    )
    if role == "floor" and changed.rowcount:
        close_codes(conn)  # which it may have made
    return changed.rowcount > 0


def next_letters(conn) -> str:
    """Letters that nobody had: A to Z, AA to AZ, BA ...; the log counts too, as it outlives a lost list of devices."""
    found = conn.execute("SELECT device FROM devices UNION SELECT was FROM devices UNION SELECT device FROM log")
    matches = [re.match(r"([A-Z]{1,3})\.", row[0]) for row in found if row[0]]
    used = {_number(match[1]) for match in matches if match}
    number = max([*used, _leapt(conn)], default=0) + 1
    if number > LETTERS_LAST:  # somebody brought an entry of a device ZZZ: go on from what this book handed out
        number = last_letters(conn) + 1
        while number in used:
            number += 1
    return _letters(number)


def leap(conn, beyond: int = 0) -> str:
    """After a restore: letters after which the next ones come, beyond those that phones got since the backup.

    Tokens of those phones are unknown now; the codes that were open when the backup was made are closed.

    beyond: `last_letters` of the book that was there before: one copy may be restored twice, with phones paired between
    """
    close_codes(conn)
    letters = _letters(max(last_letters(conn), beyond) + LETTERS_LEAP)
    conn.execute("INSERT OR REPLACE INTO facts VALUES ('letters_after', ?)", (letters,))
    return letters


def last_letters(conn) -> int:
    """The number of the last letters that a book handed out, or leapt to."""
    return max(_highest(conn), _leapt(conn))


def _highest(conn) -> int:
    return max((_number(letters) for (letters,) in conn.execute("SELECT letters FROM devices")), default=0)


def _leapt(conn) -> int:
    row = conn.execute("SELECT value FROM facts WHERE key = 'letters_after'").fetchone()
    return _number(row[0]) if row else 0


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


def device_of(conn, token: str | None) -> str | None:
    """The device that holds this token, unless it was revoked."""
    sql = "SELECT device FROM devices WHERE token_hash = ? AND revoked IS NULL"
    row = conn.execute(sql, (_hash(token),)).fetchone() if token else None
    return row[0] if row else None


def is_office(conn, token: str | None) -> bool:
    """Whether this is the token of an office device."""
    device = device_of(conn, token)
    return device is not None and role_of(conn, device) == "office"


def listed(reader) -> list[dict]:
    """All devices ever paired, without their hashes."""
    columns = "device, was, paired, seen, revoked, role"
    return list(reader.db["devices"].rows_where(select=columns, order_by="paired, device"))


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


def take_off(conn, device: str) -> bool:
    """Revoke, and close every open code too: who is sent away may have made some, which would let them in again."""
    is_off = revoke(conn, device)
    if is_off:
        close_codes(conn)
    return is_off


def close_codes(conn) -> None:
    conn.execute("DELETE FROM codes")


def taken_from(conn) -> list[dict]:
    """Which devices were revoked, or made one of the floor: {device, revoked, role}."""
    found = conn.execute("SELECT device, revoked, role FROM devices WHERE revoked IS NOT NULL OR role = 'floor'")
    return [dict(zip(("device", "revoked", "role"), row, strict=True)) for row in found]


def take_again(conn, taken: list[dict]) -> None:
    """After a restore: whoever lost a right since the copy was made does not get it back by that."""
    conn.executemany(
        "UPDATE devices SET revoked = coalesce(revoked, :revoked), role = iif(:role = 'floor', 'floor', role) "
        "WHERE device = :device",
        taken,
    )
