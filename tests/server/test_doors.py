"""The doors over real sockets: lines that say nothing, drip or never listen, and what is no HTTP at all."""

import asyncio
import contextlib
import json
import re
import socket
import ssl
import threading
import time

import pytest
import uvicorn
from starlette.responses import Response

from server import doors
from server.lan import listener_at

HEAD = b"GET /api/ready HTTP/1.1\r\nHost: 127.0.0.1\r\n"


def line_to(port: int, said: bytes = b"", source: str = "127.0.0.1") -> socket.socket:
    """Linux lets a test call from any address of 127.0.0.0/8, so that one machine can be several."""
    line = socket.create_connection(("127.0.0.1", port), timeout=10, source_address=(source, 0))
    if said:
        line.sendall(said)
    return line


def heard(line: socket.socket) -> bytes:
    """Everything until the other side closes."""
    found = b""
    with contextlib.suppress(ConnectionError):
        while part := line.recv(65536):
            found += part
    return found


def answer_on(line: socket.socket) -> bytes:
    """One whole answer, by its own length; what there was when the line ends before."""
    found = b""
    with contextlib.suppress(ConnectionError):
        while part := line.recv(65536):
            found += part
            head, _, body = found.partition(b"\r\n\r\n")
            length = re.search(rb"content-length: (\d+)", head)
            if length and len(body) >= int(length[1]):
                return head + b"\r\n\r\n" + body[: int(length[1])]
    return found


def is_closed(line: socket.socket) -> bool:
    line.settimeout(0.01)
    try:
        return line.recv(1) == b""
    except TimeoutError:
        return False
    except ConnectionError:
        return True


def seconds_to_answer(port: int, source: str = "127.0.0.1") -> float:
    began = time.monotonic()
    with line_to(port, HEAD + b"Connection: close\r\n\r\n", source) as line:
        assert heard(line).startswith(b"HTTP/1.1 200 ")
    return time.monotonic() - began


BODY = b"POST /api/sync HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: 99999\r\n\r\n{"


@pytest.mark.parametrize(("source", "begun"), [("127.0.0.1", HEAD), ("127.0.0.2", HEAD), ("127.0.0.2", BODY)])
def test_two_hundred_silent_and_dripping_lines_hold_up_nobody(server, source, begun):
    """source: where the two hundred come from; the good requests come from 127.0.0.1 either way."""
    lines, stop = [], threading.Event()

    def drip():
        while not stop.wait(0.1):
            for line in lines[1::2]:
                with contextlib.suppress(OSError):
                    line.sendall(b"X-Drip: 1\r\n")

    dripping = threading.Thread(target=drip)
    try:
        for number in range(200):
            with contextlib.suppress(ConnectionError):
                lines.append(line_to(server.port, begun if number % 2 else b"", source))
        dripping.start()
        took = [seconds_to_answer(server.port) for _ in range(5)]
        assert max(took) < 1
        assert server.post("/api/pair", {})["device"]  # and a write
        assert sum(not is_closed(line) for line in lines) <= doors.PER_ADDRESS
    finally:
        stop.set()
        dripping.join()
        for line in lines:
            line.close()


@pytest.fixture
def quick(monkeypatch):
    """A server in this process with short patience: `with quick(app) as port:`."""
    monkeypatch.setattr(doors, "HEAD_SECONDS", 0.5)
    monkeypatch.setattr(doors, "KEEP_SECONDS", 0.8)
    monkeypatch.setattr(doors, "SEND_SECONDS", 0.5)

    @contextlib.contextmanager
    def serving(app, certificate=None, **limits):
        listener = doors.Listener(socket.create_server(("127.0.0.1", 0)), **limits)
        port = listener.getsockname()[1]
        running = uvicorn.Server(doors.configured(app, listener, **(certificate or {})))
        thread = threading.Thread(target=running.run, kwargs={"sockets": [listener]})
        thread.start()
        try:
            yield port, listener
        finally:
            running.should_exit = True
            thread.join(10)
            assert not thread.is_alive()
            listener.close()

    return serving


async def hello(scope, receive, send):
    await Response("hello")(scope, receive, send)


GET = b"GET / HTTP/1.1\r\nHost: x\r\n\r\n"


def test_a_silent_line_is_closed_and_a_dripping_head_told_so(quick):
    with quick(hello) as (port, listener):
        silent, dripping = line_to(port), line_to(port, b"GET / HT")
        began = time.monotonic()
        for _ in range(4):
            time.sleep(0.1)
            dripping.sendall(b"T")
        told = heard(dripping)
        assert 0.3 < time.monotonic() - began < 2
        assert told.startswith(b"HTTP/1.1 408 Request Timeout\r\n") and "too slowly" in error_in(told)["say"]
        assert heard(silent) == b""
        kept = line_to(port, GET)
        time.sleep(0.3)
        kept.sendall(GET)  # a line that is used stays
        time.sleep(0.3)
        assert kept.recv(9999).count(b"HTTP/1.1 200 OK") == 2 and not is_closed(kept)
        time.sleep(1)
        assert is_closed(kept) and listener.lines == {}
        for line in (silent, dripping, kept):
            line.close()


def test_a_line_that_never_begins_tls_is_closed(quick, tmp_path):
    from server import authority as ca

    pair = ca.new_leaf(ca.new_authority("still", [], ca.now_utc()), ["still.local"], [], ca.now_utc())
    (tmp_path / "server.pem").write_bytes(ca.pem_of(pair))
    with quick(hello, {"ssl_certfile": tmp_path / "server.pem"}) as (port, _):
        silent, half = line_to(port), line_to(port, b"\x16\x03\x01\x02\x00\x01")
        assert heard(silent) == heard(half) == b""
        unchecked = ssl.create_default_context()
        unchecked.check_hostname, unchecked.verify_mode = False, ssl.CERT_NONE
        with unchecked.wrap_socket(line_to(port)) as line:
            line.sendall(GET)
            assert answer_on(line).startswith(b"HTTP/1.1 200")
            time.sleep(0.6)  # the look at lines without TLS leaves this one alone
            line.sendall(GET)
            assert answer_on(line).startswith(b"HTTP/1.1 200")
        silent.close()
        half.close()


def test_a_body_that_goes_on_after_its_answer_is_cut_off(quick):
    said = b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1000000\r\n\r\n"
    with quick(hello) as (port, _), line_to(port, said) as line:
        assert answer_on(line).startswith(b"HTTP/1.1 200")
        began = time.monotonic()
        with contextlib.suppress(ConnectionError):
            while time.monotonic() - began < 5:
                line.sendall(b"x" * 10)
                time.sleep(0.05)
        assert time.monotonic() - began < 3


def test_an_answer_that_nobody_takes_is_dropped(quick):
    ended = threading.Event()

    async def long(scope, receive, send):
        try:
            await Response(b"x" * 20_000_000)(scope, receive, send)
            await receive()
        finally:
            ended.set()

    with quick(long) as (port, listener):
        deaf = line_to(port, GET)
        assert ended.wait(5)
        deadline = time.monotonic() + 3
        while listener.lines and time.monotonic() < deadline:
            time.sleep(0.05)
        assert listener.lines == {}
        deaf.close()
        slow, taken = line_to(port, GET), 0  # slow, but it listens: about 1 MB in each half second
        while part := slow.recv(1 << 20):
            taken += len(part)
            time.sleep(0.02)
            if taken >= 20_000_000:
                break
        assert taken >= 20_000_000
        slow.close()


def test_the_line_that_waited_longest_makes_room(quick):
    with quick(hello, per_address=3, in_all=5) as (port, listener):
        ones = [line_to(port) for _ in range(3)]
        used = line_to(port, GET)
        assert answer_on(used).startswith(b"HTTP/1.1 200")
        assert [is_closed(line) for line in ones] == [True, False, False]
        others = [line_to(port, source="127.0.0.2") for _ in range(2)]
        with line_to(port, GET, "127.0.0.3") as late:
            assert answer_on(late).startswith(b"HTTP/1.1 200")
        assert [is_closed(line) for line in ones] == [True, True, False]  # of those who hold most
        assert not any(is_closed(line) for line in others) and len(listener.lines) <= 5
        for line in [*ones, used, *others]:
            line.close()


def test_requests_in_hand_are_not_cut_off_for_a_new_line(quick):
    go_on = threading.Event()

    async def slow(scope, receive, send):
        await asyncio.to_thread(go_on.wait, 5)
        await hello(scope, receive, send)

    with quick(slow, per_address=2) as (port, listener):
        busy = [line_to(port, GET) for _ in range(2)]
        in_hand(listener, 2)
        with line_to(port, GET) as refused:
            assert heard(refused) == b""
        go_on.set()
        for line in busy:
            assert answer_on(line).startswith(b"HTTP/1.1 200")
            line.close()


def in_hand(listener, count: int) -> None:
    deadline = time.monotonic() + 3
    while sum(line.busy_since is not None for line in list(listener.lines.values())) < count:
        assert time.monotonic() < deadline
        time.sleep(0.01)


async def reading(scope, receive, send):
    """An answer only to a whole body, as everything that takes one gives it."""
    while (await receive()).get("more_body"):
        pass
    await hello(scope, receive, send)


HALF = b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 9\r\n\r\nhalf"


def test_bodies_that_never_end_from_many_addresses_shut_nobody_out(quick):
    """All lines are in hand, each of an address that has not all that it may have; whoever holds most makes room."""
    with quick(reading, per_address=3, in_all=6) as (port, listener):
        slow = [line_to(port, HALF, f"127.0.0.{2 + number % 3}") for number in range(6)]
        in_hand(listener, 6)
        for _ in range(3):
            with line_to(port, GET, "127.0.0.9") as line:
                assert answer_on(line).startswith(b"HTTP/1.1 200")
        assert 1 <= sum(is_closed(line) for line in slow) <= 3
        for line in slow:
            line.close()


def test_a_request_long_in_hand_makes_room_for_one_of_its_own_address(quick, monkeypatch):
    monkeypatch.setattr(doors, "IN_HAND_SECONDS", 0.2)
    with quick(reading, per_address=2) as (port, listener):
        slow = [line_to(port, HALF) for _ in range(2)]
        in_hand(listener, 2)
        time.sleep(0.3)
        with line_to(port, GET) as line:
            assert answer_on(line).startswith(b"HTTP/1.1 200")
        assert [is_closed(line) for line in slow] == [True, False]  # the one longest in hand
        for line in slow:
            line.close()


NO_HTTP = {
    "letters": (b"hello there\r\n\r\n", 400),
    "a TLS greeting": (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\x00" * 32 + b"\r\n\r\n", 400),
    "zeros": (b"\x00" * 64 + b"\r\n\r\n", 400),
    "no version": (b"GET /\r\n\r\n", 400),
    "version 3": (b"GET / HTTP/3.0\r\nHost: localhost\r\n\r\n", 505),
    "no Host": (b"GET / HTTP/1.1\r\n\r\n", 400),
    "two hosts": (b"GET / HTTP/1.1\r\nHost: localhost\r\nHost: localhost\r\n\r\n", 400),
    "a space before the colon": (b"GET / HTTP/1.1\r\nHost : localhost\r\n\r\n", 400),
    "a folded header": (b"GET / HTTP/1.1\r\nHost: localhost\r\nX: a\r\n b\r\n\r\n", 200),
    "a control sign in a header": (b"GET / HTTP/1.1\r\nHost: localhost\r\nX: a\x00b\r\n\r\n", 400),
    "a space in the address": (b"GET /a b HTTP/1.1\r\nHost: localhost\r\n\r\n", 400),
    "letters beyond ASCII in the address": ("GET /ü HTTP/1.1\r\nHost: localhost\r\n\r\n".encode(), 400),
    "two lengths": (
        b"POST /api/sync HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\n", 400),
    "a negative length": (b"POST /api/sync HTTP/1.1\r\nHost: localhost\r\nContent-Length: -1\r\n\r\n", 400),
    "a length in letters": (b"POST /api/sync HTTP/1.1\r\nHost: localhost\r\nContent-Length: ten\r\n\r\n", 400),
    "chunks that are none": (
        b"POST /api/sync HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        b"Transfer-Encoding: chunked\r\n\r\nnone\r\n", 400),
    "a packed transfer": (b"POST /api/sync HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: gzip\r\n\r\n", 501),
    "a head without end": (b"GET / HTTP/1.1\r\nHost: localhost\r\n" + b"X: y\r\n" * 40_000, 431),
    "a long address": (b"GET /" + b"x" * 4000 + b" HTTP/1.1\r\nHost: localhost\r\n\r\n", 414),
    "a hundred and one headers": (b"GET / HTTP/1.1\r\nHost: localhost\r\n" + b"X: y\r\n" * 100 + b"\r\n", 431),
    "a long header": (b"GET / HTTP/1.1\r\nHost: localhost\r\nX: " + b"y" * 17_000 + b"\r\n\r\n", 431),
    "an address of another server": (b"GET http://evil.example/ HTTP/1.1\r\nHost: localhost\r\n\r\n", 404),
    "a tunnel": (b"CONNECT evil.example:443 HTTP/1.1\r\nHost: localhost\r\n\r\n", 404),
    "a star": (b"OPTIONS * HTTP/1.1\r\nHost: localhost\r\n\r\n", 404),
    "a web socket": (
        b"GET /api/ready HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n"
        b"Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n", 200),
    "HTTP 2": (b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", 505),
}  # fmt: skip


def error_in(told: bytes) -> dict:
    head, _, body = told.partition(b"\r\n\r\n")
    error = json.loads(body)["error"]
    assert set(error) == {"field", "given", "expected", "say"} and error["say"].endswith(".")
    assert b"frame-ancestors 'none'" in head and b"x-content-type-options: nosniff" in head
    assert b"content-type: application/json" in head
    assert b"Traceback" not in told and b"h11" not in told
    return error


def test_what_is_no_request_is_answered_in_the_shape_of_every_error(server):
    for name, (said, status) in NO_HTTP.items():
        with line_to(server.port, said) as line:
            told = answer_on(line)
        assert re.match(rb"HTTP/1.1 %d " % status, told), (name, told[:200])
        if status >= 400:
            assert error_in(told), name
        assert seconds_to_answer(server.port) < 1, name
    assert "Traceback" not in server.log() and "Unsupported upgrade" not in server.log()


def test_garbage_behind_a_good_request_costs_only_its_own_line(server):
    with line_to(server.port, HEAD + b"\r\n" + b"\x00garbage\r\n\r\n") as line:
        told = heard(line)
    assert told.count(b"HTTP/1.1 200 ") == 1 and b"HTTP/1.1 400 " in told
    with line_to(server.port, HEAD + b"\r\n" + HEAD + b"Connection: close\r\n\r\n") as line:
        assert heard(line).count(b"HTTP/1.1 200 ") == 2
    assert "Traceback" not in server.log()


def test_a_port_that_is_taken_is_told():
    taken = listener_at("127.0.0.1", 0)
    with pytest.raises(Exception, match="Is Glovebook running already"):
        listener_at("127.0.0.1", taken.getsockname()[1])
    taken.close()
