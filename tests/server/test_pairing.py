"""Who gets a token: the desk by itself, a phone with a code, a device with the token that it has; nobody else."""

import hashlib
import re

import pytest
from lines import heard, line_to

from server import devices
from server.security import RateLimit

from .conftest import DESK, PHONE, Client

LOOPBACKS = ["127.0.0.1", "127.8.8.8", "::1", "::ffff:127.0.0.1"]
LOOPBACK_HOSTS = ["localhost", "localhost:8710", "127.0.0.1:8710", "[::1]:8710", "LOCALHOST", "desk.localhost:8710"]
FORWARDED = [
    "Forwarded",
    "X-Forwarded-For",
    "X-Forwarded-Host",
    "X-Forwarded-Proto",
    "X-Real-IP",
    "Via",
    "CF-Connecting-IP",
    "CDN-Loop",  # RFC 8586
]


def pair(client, **options):
    body = options.pop("json", {})
    return client.ask("POST", "/api/pair", json=body, **options)


@pytest.mark.parametrize("host", LOOPBACK_HOSTS)
@pytest.mark.parametrize("peer", LOOPBACKS)
def test_the_desk_needs_no_code(client, peer, host):
    answer = pair(client, peer=(peer, 1), host=host)
    assert answer.status == 200
    assert re.fullmatch(r"[A-Z]+\.[0-9a-f]{8}", answer.json["device"])
    assert set(answer.json) >= {"site", "site_name", "device", "token", "epoch", "time"}


@pytest.mark.parametrize(
    "peer", ["192.168.7.20", "10.0.0.1", "fe80::1", "::ffff:192.168.7.20", "128.0.0.1", "testclient"]
)
def test_a_peer_elsewhere_needs_a_code_whatever_host_it_names(client, peer):
    for host in ("localhost", "still.example"):
        assert pair(client, peer=(peer, 1), host=host).status == 403


@pytest.mark.parametrize("name", FORWARDED)
def test_a_sign_of_a_proxy_ends_the_trust(client, name):
    assert pair(client, headers={name: "127.0.0.1"}).status == 403
    assert client.ask("POST", "/api/code", json={}, headers={name: "127.0.0.1"}).status == 403


def test_http_as_a_bare_proxy_speaks_it_ends_the_trust(server):
    """A proxy with nothing but the address to pass requests on to: HTTP/1.0, the loopback name as Host, no header of
    its own. From the manual of a common one, from memory."""
    for path, version, status in (
        ("pair", "1.0", 403), ("code", "1.0", 403), ("devices", "1.0", 403), ("opening", "1.0", 401),
        ("devices", "1.1", 200),
    ):  # fmt: skip
        method, body = ("GET", b"") if path == "opening" else ("POST", b"{}")
        head = f"{method} /api/{path} HTTP/{version}\r\nHost: 127.0.0.1:{server.port}\r\nConnection: close\r\n"
        head += f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
        with line_to(server.port, head.encode() + body) as line:
            assert heard(line).split(b" ")[1] == str(status).encode(), (path, version)


def test_a_host_that_is_not_loopback_ends_the_trust(client):
    assert pair(client, host="still.example").status == 403


def test_a_code_pairs_one_device_once(client, book):
    code = book.write(devices.new_code).result()["code"]
    assert re.fullmatch("[0-9]{6}", code)
    spaced = f" {code[:3]} {code[3:]} "
    assert pair(client, peer=PHONE, host="still.example", json={"code": spaced}).status == 200
    again = pair(client, peer=PHONE, host="still.example", json={"code": code})
    assert again.status == 403 and again.json["error"]["field"] == "code" and "pair" in again.json["error"]["say"]


def test_a_code_ends_after_fifteen_minutes(client, book, monkeypatch):
    code = book.write(devices.new_code).result()["code"]
    now = devices.time.time()
    monkeypatch.setattr(devices.time, "time", lambda: now + 15 * 60 + 1)
    assert pair(client, peer=PHONE, host="still.example", json={"code": code}).status == 403


def test_five_wrong_tries_from_anywhere_end_a_code(client, book):
    code = book.write(devices.new_code).result()["code"]
    wrong = f"{(int(code) + 1) % 10**6:06d}"
    for index in range(5):
        assert pair(client, peer=(f"192.168.7.{index}", 1), host="still.example", json={"code": wrong}).status == 403
    assert pair(client, peer=PHONE, host="still.example", json={"code": code}).status == 403


def test_four_wrong_tries_leave_a_code_open(client, book):
    code = book.write(devices.new_code).result()["code"]
    wrong = f"{(int(code) + 1) % 10**6:06d}"
    for _ in range(4):
        pair(client, peer=PHONE, host="still.example", json={"code": wrong})
    assert pair(client, peer=PHONE, host="still.example", json={"code": code}).status == 200


def test_tries_are_limited_by_address(book):
    client = Client(book, pairing_limit=RateLimit(3, 60))
    for _ in range(3):
        assert pair(client, peer=PHONE, host="still.example").status == 403
    assert pair(client, peer=PHONE, host="still.example").status == 429
    assert pair(client, peer=("192.168.7.21", 1), host="still.example").status == 403
    assert pair(client, peer=DESK).status == 200


@pytest.mark.parametrize("body", [{"code": 482913}, {"code": "1" * 21}, {"was": "K"}, {"was": 5}])
def test_a_pairing_out_of_shape_is_refused(client, body):
    answer = pair(client, json=body)
    assert answer.status == 400 and answer.json["error"]["field"] in body


def test_only_hashes_of_tokens_and_codes_are_kept(client, book, phone):
    code = book.write(devices.new_code).result()["code"]
    kept = b"".join(path.read_bytes() for path in book.path.parent.iterdir())
    assert phone.token.encode() not in kept and code.encode() not in kept
    assert hashlib.sha256(phone.token.encode()).hexdigest().encode() in kept
    assert len(phone.token) == 43  # 256 bits in base64


def test_letters_are_handed_out_once(client, book, phone, write):
    assert phone.device.startswith("A.")
    assert client.pair().device.startswith("B.")
    client.ask("POST", "/api/revoke", json={"device": "B"})
    assert client.pair().device.startswith("C.")
    phone.sync(write(device="Y.3f9a1c2e"))  # brought for a device that this list has lost
    assert client.pair().device.startswith("Z.")
    assert client.pair(was="AC.3f9a1c2e").device.startswith("AA.")
    assert client.pair().device.startswith("AD.")


def test_letters_count_as_columns_of_a_sheet_do():
    assert [devices._letters(number) for number in (1, 26, 27, 52, 53, 702, 703)] == [
        "A",
        "Z",
        "AA",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]
    assert all(devices._number(devices._letters(number)) == number for number in range(1, 2000))


def test_a_revoked_device_is_out_at_once_and_its_entries_stay(client, book, phone):
    phone.sync(phone.write())
    assert client.ask("POST", "/api/revoke", json={"device": phone.device}).status == 200
    assert phone.sync(phone.write()).status == 401
    assert client.ask("POST", "/api/revoke", json={"device": phone.device}).status == 404
    with book.read() as reader:
        assert reader.head()["seq"] == 1


def test_a_device_pairs_anew_with_its_own_token(client, phone):
    def anew(was, token):
        return pair(
            client, peer=PHONE, host="still.example", json={"was": was}, headers={"Authorization": f"Bearer {token}"}
        )

    answer = anew(phone.device, phone.token)
    assert answer.status == 200 and answer.json["device"].startswith("B.")
    other = client.pair()
    assert anew(other.device, phone.token).status == 403
    assert anew(phone.device, "never given out").status == 403
    client.ask("POST", "/api/revoke", json={"device": "A"})
    assert anew("B" + answer.json["device"][1:], answer.json["token"]).status == 403  # what came of it is out as well
    assert other.sync().status == 200


@pytest.mark.parametrize("path", ["/api/code", "/api/devices", "/api/revoke"])
def test_the_desks_own_addresses_are_closed_to_the_house(client, phone, path):
    for headers in ({}, {"Authorization": "Bearer never-given-out"}):
        answer = client.ask("POST", path, json={"device": "A"}, peer=PHONE, host="still.example", headers=headers)
        assert answer.status == 403
    key = {"Authorization": "Bearer the-desk's-key"}
    assert client.ask("POST", path, json={"device": "A"}, peer=PHONE, host="still.example", headers=key).status == 200


def test_devices_are_listed_without_secrets(client, phone):
    (row,) = client.ask("POST", "/api/devices", json={}).json["devices"]
    assert set(row) == {"device", "was", "paired", "seen", "revoked", "role"} and row["seen"] is None
    phone.sync()
    assert client.ask("POST", "/api/devices", json={}).json["devices"][0]["seen"]


def test_what_the_log_says_holds_no_secret(client, book, phone, caplog):
    caplog.set_level("INFO")
    code = book.write(devices.new_code).result()["code"]
    pair(client, peer=PHONE, host="still.example", json={"code": code})
    phone.sync("bad", phone.write())
    assert "Paired device" in caplog.text
    assert phone.token not in caplog.text and code not in caplog.text


def test_ready_says_where_phones_find_the_server(book):
    def told(client, host: str):
        return client.ask("GET", "/api/ready", host=host).json["address"]

    alone = Client(book)
    assert told(alone, "localhost:8710") is None, "only this machine reaches it"
    assert told(alone, "still.example:8710") == "http://still.example:8710"
    house = Client(book, address="https://still.local:8710")
    assert told(house, "localhost:8710") == told(house, "still.example") == "https://still.local:8710"
