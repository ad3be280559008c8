"""The demo distillery, put into a book through the same door as a phone's entries."""

import hashlib
import json
import secrets
from datetime import UTC, datetime

from server import devices, pins, sync
from server.desk import Problem
from server.store import Store

ROUNDS = 600_000  # as the devices do, data/pin.js


def fill(book: Store) -> None:
    """Pair the demo's three devices and take what they wrote, and give its people PINs."""
    from demo_site.season import build

    with book.read() as reader:
        site = reader.fact("site")
    names = [book.write(devices.pair).result()["device"] for _ in range(3)]
    entries = build(site, names, datetime.now(UTC))
    texts = [json.dumps(entry, ensure_ascii=False, separators=(",", ":")) for entry in entries]
    for start in range(0, len(texts), sync.BATCH):
        refused = sync.take(book, texts[start : start + sync.BATCH], names[0])["refused"]
        if refused:
            raise Problem(f"The demo's own entries were refused: {refused[0]['say']}")
    give_pins(book, names[0])


def give_pins(book: Store, device: str) -> None:
    """The people's PINs, kept as those of any house; that everybody may know them is the demo's alone."""
    from demo_site.house import PINS

    for person, pin in PINS.items():
        salt = secrets.token_bytes(16)
        key = hashlib.pbkdf2_hmac("sha256", pin.encode(), salt, ROUNDS)
        verifier = hashlib.sha256(key).hexdigest()
        asked = {"person": person, "salt": salt.hex(), "rounds": ROUNDS, "verifier": verifier, "was": None}
        book.write(pins.set_pin, asked, device).result()


def pin_words() -> str:
    from demo_site.house import PINS

    return "PINs to sign with: " + ", ".join(f"{person} {pin}" for person, pin in PINS.items()) + "."
