"""Bad input loses nothing: each is answered with a sentence, and a good entry goes through right after it."""

import asyncio
import gzip
import json
import socket
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from often import often
from starlette.requests import Request

from server import body
from server.body import NotJson, parse
from server.book.kinds import declarations
from server.sync import judge

from .conftest import SITE, entry_text

BAD_BODIES = {
    "empty": (b"", 400),
    "no JSON": (b"hello", 400),
    "a list": (b"[]", 400),
    "a number": (b"17", 400),
    "cut short": (b'{"v": 1, "site": "s-te', 400),
    "NaN": (b'{"v": 1, "since": NaN}', 400),
    "Infinity": (b'{"v": 1, "since": -Infinity}', 400),
    "1e999": (b'{"v": 1, "since": 1e999}', 400),
    "1,5": (b'{"v": 1, "since": 1,5}', 400),
    "a number of 5000 digits": (b'{"v": 1, "since": ' + b"9" * 5000 + b"}", 400),
    "a key twice": (b'{"v": 1, "v": 1}', 400),
    "nested deep": (b'{"v": ' + b"[" * 100_000, 400),
    "nested deep and closed": (b'{"v": ' + b"[" * 40 + b"]" * 40 + b"}", 400),
    "many open quotes": (b'{"v": "' + b'\\"' * 200_000, 400),
    "not UTF-8": (b'{"v": 1, "site": "\xff"}', 400),
    "UTF-16": ('{"v": 1}'.encode("utf-16"), 400),
    "a byte order mark": (b'\xef\xbb\xbf{"v": 1}', 400),
    "10 MB": (b'{"v": 1, "site": "' + b"x" * 10_000_000 + b'"}', 413),
}


@pytest.mark.parametrize("name", BAD_BODIES)
def test_a_bad_body_is_refused_with_a_sentence(phone, name):
    content, status = BAD_BODIES[name]
    began = time.process_time()  # of this core, which others cannot make longer
    refused(phone.send(content), status)
    assert time.process_time() - began < 3
    a_good_entry_goes_through(phone)


BAD_FIELDS = {
    "v": [None, 2, "1", True, {}],
    "site": [None, "", 7, "s" * 41, "\ud800"],
    "device": [None, "", "K", "k.3f9a1c2e", "K.3f9a1c2e\n", 5, "\udc00.3f9a1c2e"],
    "since": [-1, 1.5, "1", None, 2**70, True],
    "entries": [None, "text", {"0": "text"}],
    "epoch": [5, "", "e" * 41],
    "have": [1, "true", None],
    "head": [5, {}, {"seq": -1, "hash": "0" * 64}, {"seq": 1, "hash": "0"}, {"seq": 1, "hash": 5}],
}


@pytest.mark.parametrize(("name", "value"), [(name, value) for name, values in BAD_FIELDS.items() for value in values])
def test_a_bad_field_is_refused_by_name(phone, name, value):
    assert refused(phone.sync(**{name: value}), 400)["field"] == name
    a_good_entry_goes_through(phone)


BAD_ENTRIES = {
    "empty": "",
    "no JSON": "hello",
    "cut short": '{"id": 5',
    "NaN": '{"said": NaN}',
    "1e999": '{"said": 1e999}',
    "1,5": '{"said": 1,5}',
    "a key twice": '{"id": 1, "id": 1}',
    "nested deep": '{"said": ' + "[" * 20_000,
    "half of a character pair": '{"said": "\\ud83d"}',
    "half of a character pair as a key": '{"\\ud83d": 1}',
    "half of a character pair, bare": "\ud83d",
    "a raw control character": '{"said": "\x00"}',
    "a list": "[]",
    "null": None,
    "an object": {"id": 1},
}


@pytest.mark.parametrize("name", BAD_ENTRIES)
def test_a_bad_entry_gets_a_verdict(phone, name):
    answer = phone.sync(BAD_ENTRIES[name], phone.write())
    assert [row["why"] for row in answer.json["refused"]] == ["unreadable"]
    assert len(answer.json["taken"]) == 1
    a_good_entry_goes_through(phone)


BAD_ENVELOPES = {
    "id": [None, "x", 5, "0192F0C1-0000-7000-8000-000000000000"],
    "v": [None, 0, 1.0, "1", True],
    "kind": [None, "", 5, "k" * 41],
    "device": [None, "K", "k.3f9a1c2e"],
    "n": [None, 0, -1, 1.5, "1", True, 2**53],
    "by": [5, "b" * 101],
    "happened": [
        None,
        "yesterday",
        "2026-11-24",
        "2026-13-01T00:00:00.000Z",
        "2026-11-24T11:40:00Z",
        5,
        "+275760-09-13T00:00:00.000Z",
    ],
    "offset_min": [None, 1.5, "60", 1441],
    "clock": ["0", 0.5],
    "group": ["x", 5],
    "said": [None, [], "said"],
    "uses": [None, {}, [5], ["x"]],
    "lines": [None, {}, [5], [{}], [{"from": "a", "to": "b", "ethanol_mg": 1.5, "liquid_mg": 0, "extract_mg": 0}]],
    "strikes": ["x", {}, {"id": 5}],
    "tables": [5, "t" * 65],
}


@pytest.mark.parametrize("name", BAD_ENVELOPES)
def test_an_envelope_out_of_shape_is_refused_by_name(phone, name):
    texts = [phone.write(**{name: value}) for value in BAD_ENVELOPES[name]]
    without = json.loads(phone.write())
    del without[name]
    answer = phone.sync(*texts, json.dumps(without))
    assert answer.json["taken"] == []
    assert all(row["why"] == "unreadable" and name in row["say"] for row in answer.json["refused"])
    a_good_entry_goes_through(phone)


@pytest.mark.parametrize(
    "said",
    [
        {"vessel": "H-2", "gauge": {"weight": {"typed": "1e999", "unit": "kg"}}},
        {"vessel": "../../etc"},
        {"vessel": None},
        {"vessel": "H-2", "gauge": {"weight": {"typed": "1,5", "unit": "furlong"}}},
        {"vessel": "H-2", "gauge": []},
        {},
        {"vessel": "H-2", "gauge": {"weight": {"typed": 5, "unit": []}}},
        {"vessel": {"a": []}, "gauge": "x"},
    ],
)
def test_what_an_entry_says_is_never_a_reason_to_refuse_it(phone, said):
    answer = phone.sync(phone.write(kind="opening", said=said))
    assert len(answer.json["taken"]) == 1
    assert answer.json["entries"][0]["marks"]
    a_good_entry_goes_through(phone)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("Content-Type", "text/plain"),
        ("Content-Type", ""),
        ("Content-Type", "application/x-www-form-urlencoded"),
        ("Content-Type", "application/json; charset=latin-1"),
        ("Content-Type", "multipart/form-data; boundary=x"),
        ("Content-Encoding", "gzip"),
        ("Content-Encoding", "br"),
    ],
)
def test_a_body_of_another_kind_is_refused(phone, name, value):
    error = refused(phone.send(gzip.compress(b"{}") if value == "gzip" else b"{}", {name: value}), 415)
    assert error["field"] == name
    a_good_entry_goes_through(phone)


def test_more_entries_than_a_batch_are_refused_whole(phone):
    assert refused(phone.sync(*["x"] * 501), 413)["field"] == "entries"
    a_good_entry_goes_through(phone)


def test_a_body_cut_short_on_the_wire_takes_nothing(server):
    """Over a real socket: the head and a piece of the body, then the line breaks."""
    paired = server.post("/api/pair", {})
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as half:
        head = f"POST /api/sync HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\nContent-Type: application/json\r\n"
        half.sendall((head + 'Content-Length: 1000\r\n\r\n{"v": 1').encode())
    text = json.dumps({"id": "x"})
    asked = {"v": 1, "site": paired["site"], "device": paired["device"], "epoch": paired["epoch"], "since": 0}
    answer = server.post("/api/sync", asked | {"entries": [text]}, paired["token"])
    assert answer["head"]["seq"] == 0 and answer["refused"][0]["why"] == "unreadable"


def test_a_body_that_comes_too_slowly_is_refused():
    async def receive():
        await asyncio.sleep(5)

    scope = {"type": "http", "method": "POST", "headers": [(b"content-type", b"application/json")]}
    with pytest.raises(body.Refused) as told:
        asyncio.run(body.read_json(Request(scope, receive), seconds=0.05))
    assert told.value.status == 408 and "slowly" in told.value.error["say"]


@pytest.mark.parametrize(
    "text", ['{"a": 1}', "[1.5, -0, 1e10]", '"\\ud83d\\ude00"', "null", '{"a": {"a": 1}}', '"[[[["']
)
def test_strict_json_takes_what_the_standard_takes(text):
    assert parse(text) == json.loads(text)


@pytest.mark.parametrize("text", ["[" * 33 + "]" * 33, "[" * 10**6, '{"a":' * 10**5, '"' + '\\"' * 10**5])
def test_strict_json_ends_quickly_on_hostile_text(text):
    began = time.process_time()
    with pytest.raises(NotJson):
        parse(text)
    assert time.process_time() - began < 1


def refused(answer, status):
    assert answer.status == status, answer.json
    assert set(answer.json["error"]) == {"field", "given", "expected", "say"}
    assert answer.json["error"]["say"].strip().endswith(".") and "Traceback" not in json.dumps(answer.json)
    return answer.json["error"]


def a_good_entry_goes_through(phone):
    text = phone.write()
    answer = phone.sync(text)
    assert answer.status == 200 and [row["id"] for row in answer.json["taken"]] == [json.loads(text)["id"]]
    assert answer.json["entries"][-1]["text"] == text


JSON_VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**70), 2**70)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
KINDS = sorted(declarations()["kinds"])


@often(150)
@given(
    changes=st.dictionaries(st.sampled_from(list(BAD_ENVELOPES)), JSON_VALUES, max_size=3), kind=st.sampled_from(KINDS)
)
def test_any_entry_is_judged_without_a_fault(changes, kind):
    """Random values in random fields, and a random kind with random words: a verdict or marks, never an exception."""
    judged = judge(entry_text(**{"kind": kind} | changes), SITE)
    assert (judged.entry is None) == (judged.why is not None)
    assert "lines_failed" not in judged.marks


@often(300)
@given(kind=st.sampled_from(KINDS), said=st.data())
def test_anything_said_is_marked_and_not_tripped_over(kind, said):
    names = [field["name"] for field in declarations()["kinds"][kind].get("fields", []) if "name" in field]
    words = said.draw(st.dictionaries(st.sampled_from(names or ["x"]), JSON_VALUES, max_size=4))
    judged = judge(entry_text(kind=kind, said=words), SITE)
    assert judged.entry is not None and "lines_failed" not in judged.marks
