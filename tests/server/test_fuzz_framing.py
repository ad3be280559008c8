"""Requests that are almost right, over real sockets: changed by a byte, cut, stretched, in pieces, two at once."""

import json
from itertools import pairwise

import pytest
from harness import Server
from hypothesis import example, given
from hypothesis import strategies as st
from often import often

from .conftest import entry_text
from .test_doors import answer_on, line_to

SNIPPETS = [
    b"\r\n", b"\n", b"\r", b"\x00", b" ", b"\t", b":", b"0\r\n\r\n", b"ffffffffffffffffffff\r\n", b"HTTP/1.1",
    b"\xff\xfe", b"Content-Length: 5\r\n", b"Transfer-Encoding: chunked\r\n", b"Expect: 100-continue\r\n",
    b"Host: evil\r\n", b"GET / HTTP/1.1\r\n\r\n", b"A" * 9000,
]  # fmt: skip


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    running = Server(tmp_path_factory.mktemp("framing")).start()
    yield running
    running.stop()
    assert "Traceback" not in running.log()


@pytest.fixture(scope="module")
def phone(house):
    return house.post("/api/pair", {})


def whole(house, phone, is_chunked: bool) -> bytes:
    body = json.dumps({key: phone[key] for key in ("site", "device", "epoch")} | {"v": 1, "since": 0}).encode()
    head = (
        f"POST /api/sync HTTP/1.1\r\nHost: 127.0.0.1:{house.port}\r\nContent-Type: application/json\r\n"
        f"Authorization: Bearer {phone['token']}\r\n"
    ).encode()
    if is_chunked:
        return head + b"Transfer-Encoding: chunked\r\n\r\n%x\r\n%s\r\n0\r\n\r\n" % (len(body), body)
    return head + b"Content-Length: %d\r\n\r\n%s" % (len(body), body)


def changed(request: bytes, changes: list[tuple[float, int, bytes]]) -> bytes:
    """Each change: where (0 to 1), how many bytes go, what comes instead."""
    for place, count, instead in changes:
        at = int(place * len(request))
        request = request[:at] + instead + request[at + count :]
    return request


CHANGES = st.lists(
    st.tuples(st.floats(0, 1), st.integers(0, 40), st.sampled_from([b"", *SNIPPETS]) | st.binary(max_size=4)),
    max_size=3,
)


@often(120)
@given(is_chunked=st.booleans(), changes=CHANGES, cuts=st.lists(st.floats(0, 1), max_size=3), is_twice=st.booleans())
def test_an_almost_right_request_is_answered_or_closed_and_costs_nobody_else(
    house, phone, is_chunked, changes, cuts, is_twice
):
    said = changed(whole(house, phone, is_chunked), changes) * (2 if is_twice else 1)
    places = [0, *sorted(int(cut * len(said)) for cut in cuts), len(said)]
    with line_to(house.port) as line:
        line.settimeout(0.3)  # what is not whole waits for its rest, and this test does not
        try:
            for begin, end in pairwise(places):
                line.sendall(said[begin:end])
            told = answer_on(line)
        except (TimeoutError, ConnectionError):
            told = b""
    if told:
        assert told.startswith(b"HTTP/1.1 ")
        status = int(told[9:12])
        assert status < 500 or status in (501, 505)
        body = told.partition(b"\r\n\r\n")[2]
        if status >= 400 and body:
            assert json.loads(body)["error"]["say"]
        assert b"Traceback" not in told


WAYS_OUT = [
    "../",
    "..%2f",
    "%2e%2e/",
    "..\\",
    "..%5c",
    "%252e%252e%252f",
    "....//",
    "%c0%ae%c0%ae/",
    "/./",
    "//",
    "%00",
    "~",
]


PLACES = [
    "etc/passwd", "server/app.py", "book.db", "static", "api", "sync", "app.js", "index.html", ".git/config", "C:\\",
    ";", "\u202e", "é", "a" * 300, "*", "|", "con",
]  # fmt: skip


@often(80)
@given(parts=st.lists(st.sampled_from([*WAYS_OUT, *PLACES]), min_size=1, max_size=6))
@example(parts=["..%2f..%2fserver/app.py"])
@example(parts=["look/..%2f..%2f..%2fpyproject.toml"])
@example(parts=["../", "../", "pyproject.toml"])
@example(parts=["//", "etc/passwd"])
def test_no_path_leads_out_of_the_pages_files(house, parts):
    """Sent as they are: a client that tidies its addresses up would hide what this is about."""
    address = b"/" + "".join(parts).encode()
    with line_to(house.port, b"GET %s HTTP/1.1\r\nHost: localhost\r\n\r\n" % address) as line:
        told = answer_on(line)
    assert int(told[9:12]) in (200, 304, 400, 404, 414), told[:300]
    for inside in (b"root:", b"def build_app", b"SQLite format", b"requires-python", b"[core]", b"Traceback"):
        assert inside not in told


def test_afterwards_a_good_entry_goes_through(house, phone):
    text = entry_text(site=phone["site"], device=phone["device"])
    asked = {key: phone[key] for key in ("site", "device", "epoch")} | {"v": 1, "since": 0, "entries": [text]}
    assert len(house.post("/api/sync", asked, phone["token"])["taken"]) == 1
