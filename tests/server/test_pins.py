"""PINs at the server: set by the person, changed by who knows the old one, reset by the office, never in the book."""

import hashlib
import json

import pytest

from server import devices
from server.security import RateLimit

from .conftest import PHONE, Client

ROUNDS = 600_000
SALT = "00112233445566778899aabbccddeeff"


def k_of(pin: str, salt: str = SALT) -> bytes:
    # Fewer rounds than are claimed: the server cannot tell, and a test need not wait.
    return hashlib.pbkdf2_hmac("sha256", pin.encode(), bytes.fromhex(salt), 1000)


def pin_body(pin="4071", person="Ines", was=None, **changes) -> dict:
    verifier = hashlib.sha256(k_of(pin)).hexdigest()
    body = {"person": person, "salt": SALT, "rounds": ROUNDS, "verifier": verifier, "was": was and k_of(was).hex()}
    return body | changes


def ask(client, path, token, **options):
    headers = {"Authorization": f"Bearer {token}"} if token else {}
    return client.ask("POST", path, peer=PHONE, host="still.example", headers=headers, **options)


@pytest.fixture
def office(client):
    phone = client.pair()
    said = [{"name": "Ines"}, {"name": "Oskar"}]
    phone.sync(*(phone.write(said=one) for one in said))
    return phone


@pytest.fixture
def floor(client, office):
    code = client.book.write(devices.new_code).result()["code"]
    return ask(client, "/api/pair", None, json={"code": code}).json


def test_a_first_pin_is_set_from_any_paired_device_and_told_with_the_sync(client, office, floor):
    told = ask(client, "/api/pins", floor["token"], json=pin_body()).json["pins"]
    assert [(row["person"], row["rounds"], row["device"]) for row in told] == [("Ines", ROUNDS, floor["device"])]
    assert office.sync().json["pins"] == told
    assert set(told[0]) == {"person", "salt", "rounds", "verifier", "set_at", "device"}


def test_another_pin_wants_the_old_one_and_a_guess_changes_nothing(client, office, floor):
    ask(client, "/api/pins", floor["token"], json=pin_body("4071"))
    before = office.sync().json["pins"]
    verifier = before[0]["verifier"]
    for body in (pin_body("9302"), pin_body("9302", was="1111"), pin_body("9302") | {"was": verifier}):
        answer = ask(client, "/api/pins", office.token, json=body)  # an office device knows no more than others
        assert answer.status == 403 and answer.json["error"]["field"] == "was"
    assert office.sync().json["pins"] == before
    assert ask(client, "/api/pins", floor["token"], json=pin_body("9302", was="4071")).status == 200
    assert office.sync().json["pins"][0]["verifier"] != verifier
    assert ask(client, "/api/pins", floor["token"], json=pin_body("5555", was="4071")).status == 403


def test_one_persons_pin_does_not_prove_another(client, office, floor):
    ask(client, "/api/pins", floor["token"], json=pin_body("4071"))
    ask(client, "/api/pins", floor["token"], json=pin_body("8264", person="Oskar"))
    assert ask(client, "/api/pins", floor["token"], json=pin_body("9302", "Oskar", was="4071")).status == 403
    assert len(office.sync().json["pins"]) == 2


def test_guessing_is_slowed_down(book, write):
    client = Client(book, pin_limit=RateLimit(3, 60))
    phone = client.pair()
    phone.sync(phone.write())
    assert ask(client, "/api/pins", phone.token, json=pin_body()).status == 200
    tried = [ask(client, "/api/pins", phone.token, json=pin_body("9302", was=f"{n:04}")).status for n in range(4)]
    assert tried == [403, 403, 429, 429]


def test_the_office_resets_a_pin_and_the_person_sets_another(client, office, floor):
    ask(client, "/api/pins", floor["token"], json=pin_body())
    assert ask(client, "/api/pins/reset", floor["token"], json={"person": "Ines"}).status == 403
    assert ask(client, "/api/pins/reset", office.token, json={"person": "Ines"}).json == {"pins": []}
    assert ask(client, "/api/pins/reset", office.token, json={"person": "Ines"}).status == 404
    assert office.sync().json["pins"] == []
    assert ask(client, "/api/pins", floor["token"], json=pin_body("9302")).status == 200


def test_nobody_without_a_token_sets_a_pin(client, office, floor):
    client.ask("POST", "/api/revoke", json={"device": floor["device"]})
    for token in (None, "never given out", floor["token"]):
        answer = ask(client, "/api/pins", token, json=pin_body())
        assert answer.status == 401 and answer.headers["WWW-Authenticate"] == "Bearer"
    assert ask(client, "/api/pins", office.token, json=pin_body(person="Nobody")).status == 404
    assert office.sync().json["pins"] == []


@pytest.mark.parametrize(
    "changes",
    [
        {"person": ""}, {"person": " "}, {"person": "x" * 31}, {"person": None}, {"person": ["Ines"]},
        {"salt": "00"}, {"salt": SALT.upper()}, {"salt": None}, {"rounds": 1000}, {"rounds": 10**9},
        {"rounds": 600000.0}, {"rounds": True}, {"verifier": "f" * 63}, {"verifier": 7}, {"was": "4071"}, {"was": 4071},
    ],
    ids=str,
)  # fmt: skip
def test_a_pin_out_of_shape_is_refused_and_a_good_one_still_goes(client, office, changes):
    answer = ask(client, "/api/pins", office.token, json=pin_body() | changes)
    assert answer.status == 400 and answer.json["error"]["field"] == next(iter(changes))
    assert ask(client, "/api/pins", office.token, json=pin_body()).status == 200


@pytest.mark.parametrize("path", ["/api/pins", "/api/pins/reset", "/api/role", "/api/code"])
def test_huge_and_odd_bodies_are_refused(client, office, path):
    json_type = {"Content-Type": "application/json", "Authorization": f"Bearer {office.token}"}

    def send(content, headers=json_type):
        return client.ask("POST", path, peer=PHONE, host="still.example", headers=headers, content=content)

    assert send(json.dumps(pin_body(person="x" * 5000))).status == 413
    assert send("[" * 100_000).status == 413
    assert send("[]").status == 400 and send("{").status == 400 and send(b"\xff").status == 400
    assert send("{}", json_type | {"Content-Type": "text/plain"}).status == 415
    assert send("{}", json_type | {"Origin": "https://elsewhere.example"}).status == 403


def test_no_pin_and_no_k_is_kept_told_or_logged(client, office, floor, book, caplog):
    caplog.set_level("INFO")
    ask(client, "/api/pins", floor["token"], json=pin_body("4071"))
    ask(client, "/api/pins", floor["token"], json=pin_body("93021", was="4071"))
    kept = b"".join(path.read_bytes() for path in book.path.parent.iterdir())
    for pin in ("4071", "93021"):
        assert k_of(pin).hex().encode() not in kept and k_of(pin) not in kept and k_of(pin).hex() not in caplog.text
    assert "The PIN of 'Ines' was set" in caplog.text and "verifier" not in caplog.text
    with book.read() as reader:
        assert not any("verifier" in record["text"] for record in reader.records())  # nor in what is exported
