"""Any request to any address: the right kind of answer, nothing of our insides, and a good entry still goes through."""

import io
import json
from contextlib import ExitStack
from dataclasses import dataclass
from urllib.parse import urlencode

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from often import often
from starlette.routing import Mount

from server import admission, devices
from server import app as app_module
from server.check import all_faults
from server.desk import export
from server.reader import Reader
from server.store import Store

from .conftest import PHONE, SITE, Client, Phone

TOKENS = ["none", "empty", "garbage", "not ASCII", "long", "office", "floor", "revoked"]
HEX32, HEX64 = "ab" * 16, "cd" * 32
# A body that each address would take, but for who asks. A new address has to be written down here.
GOOD_BODIES = {
    "/api/pair": {"code": "123456", "was": "A.00000000"},
    "/api/sync": {"v": 1, "site": SITE, "device": "A.00000000", "epoch": None, "since": 0, "entries": [], "have": False,
                  "head": {"seq": 1, "hash": HEX64}},
    "/api/code": {"role": "floor"},
    "/api/devices": {},
    "/api/revoke": {"device": "ZZ"},
    "/api/role": {"device": "ZZ", "role": "floor"},
    "/api/pins": {"person": "Ines", "salt": HEX32, "rounds": 600_000, "verifier": HEX64, "was": None},
    "/api/pins/reset": {"person": "Ines"},
    "/api/table": {"table": "people", "file": "bmFtZQpJZGEK"},
}  # fmt: skip
READS = {
    "/api/search": ["q=ines&before=2", 'q=%ff%00"*', "q=", "q=ines&before=-1", "q=a&q=b", "before=99999999999999999"],
    "/api/account": ["month=2026-11", "month=2026-13", "month=0000-00", "month=9999-12", "month=", ""],
    "/api/paper": [
        "month=2026-11&what=work",
        "month=2026-11&what=x",
        "month=2026-13&what=close",
        "of=x",
        "of=%00",
        "",
        "what=stocks&from=0&until=9",
        "what=fills&from=9&until=x",
        "what=x",
        "month=2026-11&of=x",
    ],
    "/api/trace": ["place=vessel/H-2", "source=made/ferment", "place=a&source=b", "place=%00", "place=x%0a../..", ""],
    "/api/recall": ["of=lot/R-1", "of=L26-1&reach=all", "of=x&reach=never", "of=%e2%80%ae", "of=" + "x" * 900, ""],
    "/api/opening": ["", "id=1"],
}
PATHS = [*GOOD_BODIES, "/", "/sw.js", "/app.js", "/api/ready", "/index.html"]
PATHS += [f"{path}?{query}" for path, queries in READS.items() for query in queries]
METHODS = ["GET", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "HEAD", "TRACE", "BREW"]

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**70), 2**70) | st.floats() | st.text(max_size=12)
    | st.sampled_from(["\ud800", "\x00", "\u202eabc", "😀", "../../etc", "' OR 1=1 --", "floor", "A", "Ines", HEX64]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)  # fmt: skip


@dataclass
class World:
    book: Store
    client: Client
    office: Phone
    floor: Phone
    gone: Phone

    def tokens(self) -> dict:
        return {"none": None, "empty": "", "garbage": "x" * 43, "not ASCII": "\xff\xfe", "long": "y" * 5000,
                "office": self.office.token, "floor": self.floor.token, "revoked": self.gone.token}  # fmt: skip

    def a_good_entry_goes_through(self) -> None:
        text = self.floor.write()
        answer = self.floor.sync(text)
        assert answer.status == 200 and [row["id"] for row in answer.json["taken"]] == [json.loads(text)["id"]]
        self.floor.since = answer.json["since"]


@pytest.fixture(scope="module")
def world(tmp_path_factory):
    """One book for all of this file, so that what one request broke is felt by the next."""
    path = tmp_path_factory.mktemp("fuzz") / "book.db"
    with ExitStack() as stack:
        book = stack.enter_context(Store(path, site=SITE))
        client = Client(book)
        client.office.pairing_limit.count = client.office.stranger_limit.count = client.office.pin_limit.count = 10**9
        office = client.pair()
        floor, gone = (paired_by_code(client) for _ in range(2))
        book.write(devices.revoke, gone.device).result()
        world = World(book, client, office, floor, gone)
        world.a_good_entry_goes_through()
        yield world
        world.a_good_entry_goes_through()
        with Reader(path) as reader:
            assert list(all_faults(reader)) == []


def paired_by_code(client) -> Phone:
    code = client.book.write(devices.new_code, "floor").result()["code"]
    answer = client.ask("POST", "/api/pair", peer=PHONE, host="still.example", json={"code": code})
    return Phone(client, **{key: answer.json[key] for key in ("device", "token", "epoch", "site")})


def test_every_address_that_takes_a_body_is_tried():
    (api,) = [route for route in app_module.ROUTES if isinstance(route, Mount) and route.path == "/api"]
    assert {"/api" + route.path for route in api.routes if "POST" in (route.methods or ())} == set(GOOD_BODIES)
    assert {"/api" + route.path for route in api.routes if "GET" in route.methods} == {"/api/ready", *READS}


@pytest.mark.parametrize("path", READS)
def test_odd_questions(world, path):
    for query in READS[path]:
        for who in TOKENS:
            answer = asked(world, "GET", f"{path}?{query}", world.tokens()[who])
            well_answered(answer)
            assert answer.status == 401 or who in ("office", "floor"), (query, who)
    world.a_good_entry_goes_through()


@often(70)
@given(
    path=st.sampled_from(sorted(READS)),
    query=st.dictionaries(
        st.sampled_from(["q", "before", "month", "place", "source", "of", "reach", "x"]),
        st.text(max_size=30),
        max_size=4,
    ),
)
def test_any_question(world, path, query):
    well_answered(asked(world, "GET", f"{path}?{urlencode(query, errors='surrogatepass')}", world.floor.token))
    world.a_good_entry_goes_through()


def asked(world, method, path, token=None, content=b"", **headers):
    given = {"Content-Type": "application/json"} | headers
    if token is not None:
        given["Authorization"] = b"Bearer " + token.encode("latin-1")
    return world.client.ask(method, path, peer=PHONE, host="still.example", headers=given, content=content)


def well_answered(answer) -> None:
    """Never a fault of ours; every refusal in one shape, with a sentence, the headers, and nothing of our insides."""
    assert answer.status < 500, answer.json
    assert answer.headers["x-content-type-options"] == "nosniff" and answer.headers["content-security-policy"]
    if answer.status >= 400 and answer.json != {"text": ""}:  # an answer to HEAD has no body
        error = answer.json["error"]
        assert set(error) == {"field", "given", "expected", "say"} and error["say"].endswith(".")
        told = json.dumps(answer.json)
        for inside in ("Traceback", ".py", "sqlite", "SQL", "Exception", "/tmp", "site-packages"):
            assert inside not in told.replace(json.dumps(error["given"]), ""), told


@often(100)
@given(path=st.sampled_from(sorted(GOOD_BODIES)), changes=st.data(), token=st.sampled_from(TOKENS))
def test_any_field_of_any_body(world, path, changes, token):
    good = GOOD_BODIES[path]
    names = st.sampled_from(sorted(good)) if good else st.text(max_size=5)
    wrong = changes.draw(st.dictionaries(names | st.text(max_size=5), JSON, max_size=3))
    body = good | wrong
    if path == "/api/sync" and token in ("office", "floor", "revoked"):
        body |= {"device": {"office": world.office, "floor": world.floor, "revoked": world.gone}[token].device} | wrong
    if path in ("/api/revoke", "/api/role") and body["device"] in ("A", "B", "C"):
        body["device"] = "ZZ"  # the devices of this file stay as they are
    answer = asked(world, "POST", path, world.tokens()[token], json.dumps(body).encode())
    well_answered(answer)
    if token not in ("office", "floor"):
        assert answer.status in (400, 401, 403, 409, 413)
    if token == "floor" and path not in ("/api/pair", "/api/sync", "/api/pins"):
        assert answer.status == 403
    world.a_good_entry_goes_through()


ODD = [
    "\ud800",
    "\x00",
    "",
    " ",
    "x" * 5000,
    "\u202e",
    "😀",
    "A\n",
    "1e999",
    -1,
    0,
    2**53,
    1.5,
    True,
    None,
    [],
    {},
    [[]],
    {"a": 1},
]


@pytest.mark.parametrize("path", GOOD_BODIES)
def test_odd_values_in_every_field(world, path):
    for name in GOOD_BODIES[path]:
        for value in ODD:
            body = GOOD_BODIES[path] | {name: value}
            if path == "/api/sync" and name != "device":
                body["device"] = world.office.device
            well_answered(asked(world, "POST", path, world.office.token, json.dumps(body).encode()))
    world.a_good_entry_goes_through()


@often(70)
@given(
    path=st.sampled_from(PATHS),
    method=st.sampled_from(METHODS),
    token=st.sampled_from(TOKENS),
    content=st.binary(max_size=60) | JSON.map(lambda value: json.dumps(value).encode()),
)
def test_any_body_by_any_method_with_any_token(world, path, method, token, content):
    answer = asked(world, method, path, world.tokens()[token], content)
    well_answered(answer)
    if answer.status < 300 and path in GOOD_BODIES:
        assert method == "POST" and token in ("office", "floor")
    world.a_good_entry_goes_through()


HEADERS = [
    "Content-Type", "Content-Encoding", "Origin", "Sec-Fetch-Site", "Accept-Encoding", "If-None-Match", "Range",
    "If-Range", "X-Forwarded-For", "X-Forwarded-Host", "Forwarded", "X-HTTP-Method-Override", "Cookie", "Connection",
]  # fmt: skip
HEADER_VALUES = st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=30)


@often(70)
@given(path=st.sampled_from(PATHS), headers=st.dictionaries(st.sampled_from(HEADERS), HEADER_VALUES, max_size=4))
@example(path="/app.js", headers={"Range": "bytes=0-99999999999999999999"})
@example(path="/app.js", headers={"Range": "bytes=" + ",".join(f"{n}-{n}" for n in range(1000))})
@example(path="/app.js", headers={"Range": "bytes=5-1"})
@example(path="/app.js", headers={"Accept-Encoding": "gzip;q=nan"})
@example(path="/sw.js", headers={"If-None-Match": '"' + "x" * 5000})
def test_any_header(world, path, headers):
    method = "POST" if path in GOOD_BODIES else "GET"
    answer = asked(world, method, path, world.floor.token, json.dumps(GOOD_BODIES.get(path, {})).encode(), **headers)
    well_answered(answer)
    assert not [name for name in answer.headers if name.startswith("access-control") or name == "set-cookie"]
    world.a_good_entry_goes_through()


FREE = st.text(max_size=40) | st.lists(
    st.sampled_from(
        [
            "\x00",
            "\u202e",
            "\u2066",
            "\ufeff",
            "e\u0301",
            "é",
            "😀",
            "<b>",
            "&amp;",
            "\u2028",
            "\r\n",
            "\\",
            '"',
            "\x7f",
        ]
    ),
    max_size=8,
).map("".join)


@often(25)
@given(text=FREE, key=FREE)
@example(text='\x00\u202ee\u0301é😀<b>&amp;\u2028\r\n\\"\x7f', key="\ufeff")
def test_free_text_comes_back_byte_for_byte(world, text, key):
    """Also what looks alike: nothing is normalised, trimmed or unescaped on the way into the book, out of it, and into
    the export."""
    sent = world.floor.write(said={"name": text, key: [text]})
    answer = world.floor.sync(sent)
    assert len(answer.json["taken"]) == 1
    world.floor.since = answer.json["since"]
    got = answer.json["entries"][-1]["text"]
    assert got.encode() == sent.encode() and json.loads(got)["said"]["name"] == text
    assert sent in exported(world.book)


def exported(book) -> list[str]:
    out = io.StringIO()
    export(book.path, out)
    return [json.loads(line)["text"] for line in out.getvalue().rstrip("\n").split("\n")]


def test_nobody_acts_for_another_device(world):
    """A good token with the name of another device, and a token that was good once."""
    for device in (world.office.device, world.gone.device, "Z.12345678"):
        assert world.floor.sync(world.floor.write(), device=device).status == 401
    assert world.gone.sync(world.gone.write()).status == 401
    anew = asked(world, "POST", "/api/pair", world.floor.token, json.dumps({"was": world.office.device}).encode())
    assert anew.status == 403  # its token speaks for itself alone
    world.a_good_entry_goes_through()


def test_a_token_stands_in_no_other_place(world):
    for path in (f"/api/devices?token={world.office.token}", f"/api/devices?access_token={world.office.token}"):
        assert asked(world, "POST", path, None, b"{}").status == 403
    assert asked(world, "POST", "/api/devices", None, b"{}", Cookie=f"token={world.office.token}").status == 403
    for scheme in ("Basic", "Token", "bearer:", ""):
        header = f"{scheme} {world.office.token}".strip()
        assert asked(world, "POST", "/api/devices", None, b"{}", Authorization=header).status == 403


def test_asking_without_a_token_over_and_over_is_slowed_down(book):
    client = Client(book)
    phone = client.pair()
    for _ in range(client.office.stranger_limit.count):
        assert asked_by(client, "never given out").status == 401
    assert asked_by(client, "never given out").status == 429
    assert phone.sync(phone.write()).status == 200  # from the same address, and paired


def test_a_large_body_of_a_stranger_is_not_read(book):
    """Whoever has no good token is turned away in the end; some hundred of them would fill the memory before."""
    client = Client(book)
    phone, much = client.pair(), b" " * (admission.STRANGER + 1)
    told = asked_by(client, "never given out", much)
    assert told.status == 401 and told.json["error"]["field"] == "Authorization"
    assert asked_by(client, "never given out", b" " * 9).status == 401
    assert phone.sync(phone.write(said={"name": "Ines", "note": "x" * 60_000})).status == 200
    assert phone.send(json.dumps(GOOD_BODIES["/api/sync"]).encode() + much).status != 413
    phone.client.ask("POST", "/api/revoke", json={"device": phone.device})
    assert phone.send(json.dumps(GOOD_BODIES["/api/sync"]).encode() + much).status == 401


def asked_by(client, token, more=b""):
    body = json.dumps(GOOD_BODIES["/api/sync"]).encode() + more
    headers = {"Content-Type": "application/json", "Authorization": f"Bearer {token}"}
    return client.ask("POST", "/api/sync", peer=PHONE, host="still.example", headers=headers, content=body)
