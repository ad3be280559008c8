"""What the log of a busy day tells, and what it never tells: codes, tokens, keys, PINs, what people wrote."""

import http.client
import json
import re

from server.__main__ import main
from server.lock import read_note
from server.told_off import ToldOff

from .conftest import entry_text

HEX32, HEX64 = "5a" * 16, "7b" * 32
FOREIGN = {"X-Forwarded-For": "192.168.7.20"}  # as if it did not come from this machine's own desk


def asked(server, path, body, method="POST", **headers):
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    try:
        line.request(method, path, json.dumps(body), {"Content-Type": "application/json"} | headers)
        answer = line.getresponse()
        return answer.status, answer.read().decode()
    finally:
        line.close()


def test_the_log_of_a_busy_day(server, capsys):
    secrets = ["written by hand", HEX32, HEX64, "secret-in-a-query", "123-456", "garbage-token"]
    secrets.append(read_note(server.book.with_name("book.db.lock"))["key"])
    main(["pair", "--book", str(server.book)])
    secrets.append(re.search(r"^\d{3} \d{3}$", capsys.readouterr().out, re.MULTILINE)[0])
    secrets.append(secrets[-1].replace(" ", ""))
    status, told = asked(server, "/api/pair", {"code": secrets[-1]}, **FOREIGN)
    phone = json.loads(told)
    assert status == 200
    secrets.append(phone["token"])
    bearer = {"Authorization": f"Bearer {phone['token']}"}
    sync = {key: phone[key] for key in ("site", "device", "epoch")} | {"v": 1, "since": 0}
    own = {"site": phone["site"], "device": phone["device"]}
    texts = [entry_text(n=1, said={"name": "Ines"}, **own), entry_text(n=2, said={"name": "written by hand"}, **own)]
    assert asked(server, "/api/sync", sync | {"entries": [*texts, "half", "{" * 99]}, **bearer)[0] == 200
    pin = {"person": "Ines", "salt": HEX32, "rounds": 600_000, "verifier": HEX64, "was": None}
    assert asked(server, "/api/pins", pin, **bearer)[0] == 200
    assert asked(server, "/api/pins", pin | {"was": HEX64}, **bearer)[0] == 403
    for code in ("123-456", "123456", None):
        assert asked(server, "/api/pair", {"code": code}, **FOREIGN)[0] == 403
    assert asked(server, "/api/sync?token=secret-in-a-query", sync, Authorization="Bearer garbage-token")[0] == 401
    assert asked(server, "/api/devices%0a2026-01-01%20All%20is%20well", {}, **FOREIGN)[0] == 404
    assert asked(server, "/x%0a%1b[31mALL%20IS%20WELL", {}, Host="evil.example")[0] == 421
    main(["revoke", phone["device"], "--book", str(server.book)])
    assert asked(server, "/api/sync", sync, **bearer)[0] == 401
    server.stop()
    log = server.log()
    assert [secret for secret in secrets if secret in log] == []
    for words in (f"Paired device {phone['device']}", f"Revoked device {phone['device']}", "Turned away 127.0.0.1",
                  "403 Forbidden", "401 Unauthorized", "421 Misdirected Request"):  # fmt: skip
        assert words in log, log
    assert "\x1b" not in log and "\nALL IS WELL" not in log and "Traceback" not in log
    assert log.count("401 Unauthorized") == 1  # one line an hour for an address and a reason


def test_a_flood_is_told_in_one_line_an_hour(caplog, monkeypatch):
    caplog.set_level("INFO")
    told_off, clock = ToldOff(), [1000.0]
    monkeypatch.setattr("server.told_off.time.monotonic", lambda: clock[0])
    scope = {"client": ("192.168.7.66", 5), "method": "POST", "path": "/api/sync"}
    for _ in range(1000):
        told_off.note(scope, 401)
    clock[0] += 3601
    told_off.note(scope, 401)
    told_off.note(scope, 404)
    assert [record.getMessage() for record in caplog.records] == [
        "Turned away 192.168.7.66 at POST '/api/sync': 401 Unauthorized",
        "Turned away 192.168.7.66 at POST '/api/sync': 401 Unauthorized, 999 times more since the last such line",
    ]
    for number in range(2000):
        told_off.note(scope | {"client": (f"10.0.{number // 256}.{number % 256}", 5)}, 401)
    assert len(told_off._seen) <= 500
