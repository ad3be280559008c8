"""kill -9 of a real server under load: what it acknowledged is there, and no batch is there by half."""

import http.client
import json
import random
import threading
import time
import uuid

import pytest

from server.check import check_book
from server.reader import Reader

BATCH = 25


def keep_sending(server, paired, acknowledged, sent):
    """Send batches one after another until the server is gone; note what it acknowledged."""
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=5)
    headers = {"Content-Type": "application/json", "Authorization": f"Bearer {paired['token']}"}
    asked = {"v": 1, "site": paired["site"], "device": paired["device"], "epoch": paired["epoch"], "since": 10**9}
    try:
        while True:
            batch = [text_of(paired, len(sent) * BATCH + index + 1) for index in range(BATCH)]
            sent.append([json.loads(text)["id"] for text in batch])
            line.request("POST", "/api/sync", json.dumps(asked | {"entries": batch}), headers)
            answer = json.loads(line.getresponse().read())
            acknowledged += [(row["id"], row["seq"]) for row in answer["taken"]]
    except (OSError, http.client.HTTPException, ValueError):
        pass
    finally:
        line.close()


def text_of(paired, n):
    return json.dumps({
        "id": str(uuid.uuid4()), "v": 1, "kind": "person", "site": paired["site"], "device": paired["device"], "n": n,
        "by": "Ines", "happened": "2026-11-24T11:40:00.000Z", "offset_min": 60, "written": "2026-11-24T11:41:02.113Z",
        "clock": 0, "group": None, "said": {"name": "Ines"}, "uses": [], "lines": [], "strikes": None, "tables": "0",
    })  # fmt: skip


@pytest.mark.parametrize("rounds", [10, pytest.param(100, marks=pytest.mark.long)])
def test_nothing_acknowledged_is_lost_when_the_server_is_killed(server, rounds):
    dice = random.Random(rounds)
    acknowledged, sent = [], []
    for _ in range(rounds):
        paired = [server.post("/api/pair", {}) for _ in range(2)]
        tracks = [([], []) for _ in paired]
        threads = [threading.Thread(target=keep_sending, args=(server, *pair)) for pair in
                   ((one, *track) for one, track in zip(paired, tracks, strict=True))]  # fmt: skip
        for thread in threads:
            thread.start()
        time.sleep(dice.uniform(0.05, 0.5))
        late = time.monotonic() + 10
        while not any(track[0] for track in tracks) and time.monotonic() < late:
            time.sleep(0.02)  # a busy machine: without a load this round would prove nothing
        server.kill()
        for thread in threads:
            thread.join()
        acknowledged += [pair for track in tracks for pair in track[0]]
        sent += [batch for track in tracks for batch in track[1]]
        server.start()
    server.stop()
    assert len(acknowledged) >= rounds * BATCH, "the load was too small to prove anything"
    with Reader(server.book) as reader:
        kept = {record["id"]: record["seq"] for record in reader.records()}
    assert [pair for pair in acknowledged if kept.get(pair[0]) != pair[1]] == []
    assert [batch for batch in sent if 0 < len([id_ for id_ in batch if id_ in kept]) < BATCH] == []
    assert check_book(server.book, lambda _: None) == 0
