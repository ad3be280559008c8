"""What is no HTTP at all, over real sockets: told so in the shape of every error, and it costs only its own line."""

import re

from lines import HEAD, answer_on, error_in, heard, line_to, seconds_to_answer

from server import doors

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


def test_what_is_no_request_is_answered_in_the_shape_of_every_error(server):
    for name, (said, status) in NO_HTTP.items():
        with line_to(server.port, said) as line:
            told = answer_on(line)
        assert re.match(rb"HTTP/1.1 %d " % status, told), (name, told[:200])
        if status >= 400:
            assert error_in(told), name
        assert seconds_to_answer(server.port) < doors.HEAD_SECONDS / 2, name
    assert "Traceback" not in server.log() and "Unsupported upgrade" not in server.log()


def test_garbage_behind_a_good_request_costs_only_its_own_line(server):
    with line_to(server.port, HEAD + b"\r\n" + b"\x00garbage\r\n\r\n") as line:
        told = heard(line)
    assert told.count(b"HTTP/1.1 200 ") == 1 and b"HTTP/1.1 400 " in told
    with line_to(server.port, HEAD + b"\r\n" + HEAD + b"Connection: close\r\n\r\n") as line:
        assert heard(line).count(b"HTTP/1.1 200 ") == 2
    assert "Traceback" not in server.log()
