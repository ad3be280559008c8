"""The demo distillery, put into a book through the same door as a phone's entries."""

import json
from datetime import UTC, datetime

from server import devices, sync
from server.desk import Problem
from server.store import Store


def fill(book: Store) -> None:
    """Pair the demo's three devices and take what they wrote."""
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
