"""The doors over real sockets: lines that say nothing, drip or never listen."""

import asyncio
import contextlib
import socket
import ssl
import threading
import time

import pytest
import uvicorn
from lines import HEAD, answer_on, error_in, heard, is_closed, line_to, seconds_to_answer
from starlette.responses import Response

from server import doors
from server.lan import listener_at

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
        assert max(took) < doors.HEAD_SECONDS / 2  # and not until those lines are given up
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
    monkeypatch.setattr(doors, "HEAD_SECONDS", 1)
    monkeypatch.setattr(doors, "KEEP_SECONDS", 3)
    monkeypatch.setattr(doors, "SEND_SECONDS", 2)

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
            thread.join(60)
            assert not thread.is_alive()
            listener.close()

    return serving


async def hello(scope, receive, send):
    await Response("hello")(scope, receive, send)


GET = b"GET / HTTP/1.1\r\nHost: x\r\n\r\n"


def test_a_silent_line_is_closed_and_a_dripping_head_told_so(quick):
    with quick(hello) as (port, listener):
        began = time.monotonic()
        silent, dripping = line_to(port), line_to(port, b"GET / HT")
        for _ in range(4):
            time.sleep(0.1)
            with contextlib.suppress(ConnectionError):  # on a busy machine its time may be over already
                dripping.sendall(b"T")
        told = heard(dripping)
        assert time.monotonic() - began >= doors.HEAD_SECONDS
        assert told.startswith(b"HTTP/1.1 408 Request Timeout\r\n") and "too slowly" in error_in(told)["say"]
        assert heard(silent) == b""
        kept = line_to(port, GET)
        assert answer_on(kept).startswith(b"HTTP/1.1 200")
        kept.sendall(GET)  # a line that is used stays
        assert answer_on(kept).startswith(b"HTTP/1.1 200") and not is_closed(kept)
        assert heard(kept) == b"" and listener.lines == {}
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
            time.sleep(doors.HEAD_SECONDS + 0.1)  # the look at lines without TLS leaves this one alone
            line.sendall(GET)
            assert answer_on(line).startswith(b"HTTP/1.1 200")
        silent.close()
        half.close()


def test_a_body_that_goes_on_after_its_answer_is_cut_off(quick):
    said = b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1000000\r\n\r\n"
    with quick(hello) as (port, _), line_to(port, said) as line:
        assert answer_on(line).startswith(b"HTTP/1.1 200")
        with pytest.raises(ConnectionError):
            for _ in range(600):
                line.sendall(b"x" * 10)
                time.sleep(0.05)


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
        assert ended.wait(60)
        deadline = time.monotonic() + 60
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


def test_requests_in_hand_are_not_cut_off_for_a_new_line(quick, monkeypatch):
    monkeypatch.setattr(doors, "IN_HAND_SECONDS", 60)
    go_on = threading.Event()

    async def slow(scope, receive, send):
        await asyncio.to_thread(go_on.wait, 60)
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
    deadline = time.monotonic() + 60
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


def test_a_port_that_is_taken_is_told():
    taken = listener_at("127.0.0.1", 0)
    with pytest.raises(Exception, match="Is Glovebook running already"):
        listener_at("127.0.0.1", taken.getsockname()[1])
    taken.close()
