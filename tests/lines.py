"""Lines to a server by hand, below HTTP: what is said on them, what is heard, and whether they are closed."""

import contextlib
import json
import re
import socket
import time

HEAD = b"GET /api/ready HTTP/1.1\r\nHost: 127.0.0.1\r\n"


def line_to(port: int, said: bytes = b"", source: str = "127.0.0.1") -> socket.socket:
    """Linux lets a test call from any address of 127.0.0.0/8, so that one machine can be several."""
    line = socket.create_connection(("127.0.0.1", port), timeout=60, source_address=(source, 0))
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
    patience = line.gettimeout()
    line.settimeout(0.01)
    try:
        return line.recv(1) == b""
    except TimeoutError:
        return False
    except ConnectionError:
        return True
    finally:
        line.settimeout(patience)


def seconds_to_answer(port: int, source: str = "127.0.0.1") -> float:
    began = time.monotonic()
    with line_to(port, HEAD + b"Connection: close\r\n\r\n", source) as line:
        assert heard(line).startswith(b"HTTP/1.1 200 ")
    return time.monotonic() - began


def error_in(told: bytes) -> dict:
    head, _, body = told.partition(b"\r\n\r\n")
    error = json.loads(body)["error"]
    assert set(error) == {"field", "given", "expected", "say"} and error["say"].endswith(".")
    assert b"frame-ancestors 'none'" in head and b"x-content-type-options: nosniff" in head
    assert b"content-type: application/json" in head
    assert b"Traceback" not in told and b"h11" not in told
    return error
