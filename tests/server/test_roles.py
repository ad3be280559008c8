"""What a device may do: roles at pairing and afterwards, and what the server guards by them."""

import hashlib
import json

import pytest
import segno
from sqlite_utils import Database
from starlette.routing import Mount

from server import app as app_module
from server import devices
from server.check import check_book
from server.schema import steps
from server.store import Store

from .conftest import PHONE, SITE

OFFICE_ONLY = ["/api/code", "/api/devices", "/api/revoke", "/api/role", "/api/pins/reset", "/api/table"]
PAIRED_ONLY = ["/api/sync", "/api/pins", "/api/opening", "/api/search", "/api/account", "/api/trace"]
PAIRED_ONLY += ["/api/recall", "/api/paper"]
ANYBODY = ["/api/ready", "/api/pair"]  # a pairing asks for a code, a token or the desk: test_pairing


def ask(client, path, token=None, **body):
    headers = {"Authorization": f"Bearer {token}"} if token else {}
    return client.ask("POST", path, json=body, peer=PHONE, host="still.example", headers=headers)


def by_code(client, role):
    """A phone of the house, paired with a code of a role; returns its pairing."""
    code = client.book.write(devices.new_code, role).result()["code"]
    answer = ask(client, "/api/pair", code=code)
    assert answer.status == 200, answer.json
    return answer.json


@pytest.fixture
def office(client):
    return client.pair()


def test_a_code_gives_the_role_that_it_was_made_for(client, office):
    assert client.ask("POST", "/api/pair", json={}).json["role"] == "office"  # the desk
    for role in ("floor", "office"):
        assert by_code(client, role)["role"] == role
    made = client.ask("POST", "/api/code", json={}).json
    assert made["role"] == "floor" and ask(client, "/api/pair", code=made["code"]).json["role"] == "floor"


def test_the_first_phone_can_set_the_house_up_and_the_second_is_of_the_floor(client):
    assert [by_code(client, "floor")["role"] for _ in range(2)] == ["office", "floor"]


def test_a_device_that_pairs_anew_with_its_token_keeps_its_role_and_gains_none(client, office):
    floor = by_code(client, "floor")
    client.ask("POST", "/api/revoke", json={"device": office.device})  # no office device is left
    anew = ask(client, "/api/pair", token=floor["token"], was=floor["device"])
    assert anew.json["role"] == "floor"
    code = client.book.write(devices.new_code, "office").result()["code"]
    raised = ask(client, "/api/pair", token=floor["token"], was=floor["device"], code=code)
    assert raised.json["role"] == "office"


@pytest.mark.parametrize("path", OFFICE_ONLY)
def test_the_office_alone_looks_after_devices(client, office, path):
    floor = by_code(client, "floor")
    other = by_code(client, "office")
    body = {"device": floor["device"], "role": "floor", "person": "Ines", "table": "people", "file": "bmFtZQpJZGEK"}
    for token in (None, floor["token"], "never given out"):
        answer = ask(client, path, token, **body)
        assert answer.status == 403 and "office" in answer.json["error"]["say"]
    assert ask(client, path, other["token"], **body).status == (404 if path == "/api/pins/reset" else 200)
    client.ask("POST", "/api/revoke", json={"device": other["device"]})
    assert ask(client, path, other["token"], **body).status == 403


@pytest.mark.parametrize(("path", "more"), [("/api/revoke", {}), ("/api/role", {"role": "floor"})])
def test_a_code_of_an_office_device_goes_with_it(client, office, path, more):
    lost = by_code(client, "office")
    codes = [ask(client, "/api/code", lost["token"], role=role).json["code"] for role in ("office", "floor")]
    assert client.ask("POST", path, json={"device": lost["device"], **more}).status == 200
    assert [ask(client, "/api/pair", code=code).status for code in codes] == [403, 403]
    again = ask(client, "/api/code", office.token).json["code"]
    assert ask(client, "/api/pair", code=again).json["role"] == "floor"


def test_the_log_says_who_of_the_office_did_what(client, office, caplog):
    caplog.set_level("INFO", "glovebook")
    floor = by_code(client, "floor")
    caplog.clear()
    made = ask(client, "/api/code", office.token, role="office").json
    ask(client, "/api/role", office.token, device=floor["device"], role="office")
    client.ask("POST", "/api/revoke", json={"device": floor["device"]})
    client.ask("POST", "/api/revoke", json={"device": floor["device"]})  # which is done already
    said = [record.getMessage() for record in caplog.records if record.name == "glovebook"]
    device = floor["device"]
    assert said == [
        f"Made a code of the office, by device {office.device}", f"Device {device} is now office, by device "
        f"{office.device}", f"Revoked device {device}, at the desk",
    ]  # fmt: skip
    assert made["code"] not in caplog.text


def test_what_a_device_asked_before_it_was_revoked_is_not_done_after(client, office, monkeypatch):
    """Its question waits for the writer while the office takes it off the list."""
    lost, floor = by_code(client, "office"), by_code(client, "floor")
    write, is_off = client.book.write, []

    def late(work, *given):
        if not is_off:
            is_off.append(write(devices.revoke, lost["device"]).result())
        return write(work, *given)

    body = {"device": floor["device"], "role": "office", "person": "Ines"}
    asked = [path for path in OFFICE_ONLY if path not in ("/api/devices", "/api/table")]  # which write nothing
    for path, more in [*((path, body) for path in asked), ("/api/pair", {"was": lost["device"]})]:
        with monkeypatch.context() as meanwhile:
            meanwhile.setattr(client.book, "write", late)
            assert ask(client, path, lost["token"], **more).status == 403, path
        assert is_off == [True], path
        write(lambda conn: conn.execute("UPDATE devices SET revoked = NULL")).result()
        is_off.clear()
    assert client.ask("POST", "/api/devices", json={}).json["codes"] == []


def test_every_address_guards_itself(client, office):
    """By the table of routes: one that is new has to be put under the rights above, and is then asked by everybody."""
    (api,) = [route for route in app_module.ROUTES if isinstance(route, Mount) and route.path == "/api"]
    methods = {"/api" + route.path: "POST" if "POST" in route.methods else "GET" for route in api.routes}
    assert sorted(methods) == sorted(OFFICE_ONLY + PAIRED_ONLY + ANYBODY)
    floor, gone = by_code(client, "floor"), by_code(client, "office")
    client.book.write(devices.revoke, gone["device"]).result()
    tokens = {"none": None, "garbage": "x" * 43, "revoked": gone["token"], "floor": floor["token"]}
    tokens["office"] = office.token
    for path, method in methods.items():
        for who, token in tokens.items():
            headers = {"Authorization": f"Bearer {token}"} if token else {}
            usual = {"peer": PHONE, "host": "still.example", **({"json": {}} if method == "POST" else {})}
            answer = client.ask(method, path, headers=headers, **usual)
            is_in = path in ANYBODY or who == "office" or (who == "floor" and path in PAIRED_ONLY)
            if path not in ("/api/pair", "/api/sync"):  # these look at the body first
                assert (answer.status not in (401, 403)) == is_in, (path, who, answer.status)
            assert answer.status in (400, 401, 403) or is_in, (path, who, answer.status)
            if path != "/api/ready":  # which everybody may read
                other = client.ask(method, path, headers=headers | {"Origin": "http://evil.example"}, **usual)
                assert other.status == 403, (path, who)
    sync = {"v": 1, "site": SITE, "device": floor["device"], "entries": []}
    who = {name: ask(client, "/api/sync", token, **sync).status for name, token in tokens.items()}
    assert who == {"none": 401, "garbage": 401, "revoked": 401, "floor": 200, "office": 401}  # another's device


def test_a_change_of_role_is_told_with_the_next_sync_and_takes_effect_at_once(client, office):
    assert office.sync().json["role"] == "office"
    assert ask(client, "/api/role", office.token, device=office.device, role="floor").status == 409  # the last one
    other = by_code(client, "office")
    assert ask(client, "/api/role", other["token"], device=office.device, role="floor").json == {"ok": True}
    assert office.sync().json["role"] == "floor"
    assert ask(client, "/api/devices", office.token).status == 403
    assert ask(client, "/api/role", other["token"], device="A", role="office").status == 200
    assert ask(client, "/api/devices", office.token).status == 200
    assert ask(client, "/api/role", other["token"], device="ZZ", role="office").status == 404
    for role in ("boss", None, 1, ["office"]):
        assert ask(client, "/api/role", other["token"], device="A", role=role).status == 400


def test_the_desk_is_office_whatever_the_list_says(client, office):
    assert client.ask("POST", "/api/role", json={"device": office.device, "role": "floor"}).status == 200
    body = {"v": 1, "site": office.site, "device": office.device, "epoch": office.epoch, "since": 0, "entries": []}
    at_desk = client.ask("POST", "/api/sync", json=body, headers={"Authorization": f"Bearer {office.token}"})
    assert at_desk.json["role"] == "office" and office.sync().json["role"] == "floor"


def test_a_set_up_from_the_floor_is_kept_and_marked(client, office, book, write):
    floor = by_code(client, "floor")
    said = {"tag": "T-9", "sort": "tank", "capacity_l": {"typed": "500", "unit": "L"}, "account": "storage"}
    texts = [write(device=floor["device"], n=n, kind=kind, said=said) for n, kind in ((1, "vessel"), (2, "event"))]
    carried = write(device=office.device, n=9, kind="vessel", said=said)  # of the office, brought by a phone
    body = {"v": 1, "site": SITE, "device": floor["device"], "entries": [*texts, carried]}
    answer = ask(client, "/api/sync", floor["token"], **body).json
    assert len(answer["taken"]) == 3 and answer["role"] == "floor"
    marks = {json.loads(row["text"])["n"]: row["marks"] for row in answer["entries"]}
    assert "floor_setup" in marks[1] and "floor_setup" not in marks[2] + marks[9]
    client.ask("POST", "/api/role", json={"device": floor["device"], "role": "office"})
    again = write(device=floor["device"], n=3, kind="vessel", said=said)
    answer = ask(client, "/api/sync", floor["token"], **(body | {"entries": [again]})).json
    marks = {json.loads(row["text"])["n"]: row["marks"] for row in answer["entries"]}
    assert "floor_setup" in marks[1] and "floor_setup" not in marks[3]  # the role when it was sent counts
    assert check_book(book.path, lambda _: None) == 0  # the mark is worked out again to the same


def test_devices_of_an_older_book_are_office(tmp_path):
    path = tmp_path / "old.db"
    old = Database(path)
    for step in steps.pending(old)[:3]:  # the tables before there were roles
        step.fn(old)
        steps.ensure_migrations_table(old)
        old["_sqlite_migrations"].insert({"migration_set": "glovebook", "name": step.name, "applied_at": "2026-01-01"})
    token_hash = hashlib.sha256(b"token").hexdigest()
    with old.conn:
        old.conn.execute(
            "INSERT INTO devices (device, letters, token_hash, paired, by_token) VALUES (?, 'A', ?, '2026-01-01', 0)",
            ("A.00000001", token_hash),
        )
    old.close()
    with Store(path) as book, book.read() as reader:
        device = devices.device_of(reader.conn, "token")
        assert device == "A.00000001" and devices.role_of(reader.conn, device) == "office"


def test_open_codes_are_listed_with_what_is_left_of_them(client, office):
    made = ask(client, "/api/code", office.token, role="office").json
    assert (made["seconds"], made["tries"], made["role"]) == (900, 5, "office")
    ask(client, "/api/pair", code=f"{(int(made['code']) + 1) % 10**6:06d}")
    (row,) = ask(client, "/api/devices", office.token).json["codes"]
    assert row["mark"] == made["mark"] and row["tries"] == 4 and 890 < row["seconds"] <= 900
    assert made["code"] not in json.dumps(row)
    ask(client, "/api/pair", code=made["code"])
    assert ask(client, "/api/devices", office.token).json["codes"] == []


def test_the_code_is_drawn_with_an_address_that_carries_it_behind_the_hash(client, office):
    made = ask(client, "/api/code", office.token).json
    assert made["url"] == f"http://still.example/#/sync/pair/{made['code']}"
    code = segno.make_qr(made["url"], error="m")
    dark = [[bool(module) for module in row] for row in code.matrix_iter(border=4)]
    assert painted(made["qr"]["path"], made["qr"]["size"]) == dark
    at_desk = client.ask("POST", "/api/code", json={}).json  # localhost is of no use to a phone
    assert at_desk["url"] is None and at_desk["qr"] is None


def painted(path: str, size: int) -> list[list[bool]]:
    """The modules that a path of `Mx yhWv1h-Wz` rectangles paints."""
    rows = [[False] * size for _ in range(size)]
    for piece in path.strip("M").split("M"):
        place, width = piece.split("h", 1)
        x, y = map(int, place.split())
        for at in range(x, x + int(width.split("v")[0])):
            rows[y][at] = True
    return rows
