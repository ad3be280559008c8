"""The doors: how many lines may stand open, how long one may keep the server waiting, a plain word for what is no HTTP.

The address that holds most lines makes room for a new one: by its line that has waited longest, else by the request
that is longest in hand. So neither silent nor dripping nor deaf clients shut others out, whatever it is that they drip.
Lines are counted where they are accepted: before TLS, which can be as silent as the rest.
"""

import asyncio
import socket
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from functools import partial
from http import HTTPStatus

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from server.errors import answer, of_status
from server.security import HEADERS, plain_address

IN_ALL = 256
PER_ADDRESS = 64  # a house's Wi-Fi may bring all its phones from one address
HEAD_SECONDS = 10.0  # from the first byte of a request's head to its last; also for a line that never said anything
KEEP_SECONDS = 20.0  # between two requests
IN_HAND_SECONDS = 3.0  # a request in hand so long makes room for one of the same address that has all its lines
SEND_SECONDS = 30.0  # in which a client takes at least SEND_BYTES of an answer
SEND_BYTES = 16 * 1024
STOP_SECONDS = 5
NOTHING = b"default-src 'none'; frame-ancestors 'none'"  # of a page: such an answer is none
LED_ON = (
    "HTTP/1.1 303 See Other\r\nLocation: {}\r\nContent-Length: 0\r\nCache-Control: no-store\r\n"
    "Connection: close\r\n\r\n"
)


class Line(socket.socket):
    """One connection, known to its listener from accept to close."""

    listener: "Listener"
    address: str
    is_known = False  # whether HTTP has begun on it: what TLS has not opened yet is not
    has_spoken = False
    busy_since: float | None = None  # when the request that is being answered began

    def recv_into(self, buffer, *how) -> int:
        """What asyncio reads for TLS, which begins with no letter. Who types http:// sends one, is led on, and done."""
        count = super().recv_into(buffer, *how)
        is_plain = not self.has_spoken and bytes(buffer[:count])[:1].isalpha()
        self.has_spoken = True
        if not is_plain or self.listener.leads is None:
            return count
        with suppress(OSError):
            self.send(LED_ON.format(self.listener.leads(plain_address(self.getsockname()[0]))).encode())
        return 0  # as if nothing more came

    def close(self) -> None:
        self.listener.lines.pop(self.fileno(), None)
        super().close()

    def hang_up(self) -> None:
        """The event loop reads the end of it, and closes what stands upon this line."""
        self.listener.lines.pop(self.fileno(), None)
        with suppress(OSError):
            self.shutdown(socket.SHUT_RDWR)


class Listener(socket.socket):
    """A listening socket that counts what it accepts. `lines` holds them by number, the oldest first.

    leads: of a port that speaks TLS: where who comes by plain HTTP is led, by the address of ours that they came to
    """

    leads: Callable[[str], str] | None = None

    def __init__(self, bare: socket.socket, in_all: int = IN_ALL, per_address: int = PER_ADDRESS):
        super().__init__(bare.family, bare.type, bare.proto, fileno=bare.detach())
        self.lines: dict[int, Line] = {}
        self.in_all, self.per_address = in_all, per_address

    def accept(self) -> tuple[Line, tuple]:
        bare, peer = super().accept()
        line = Line(bare.family, bare.type, bare.proto, fileno=bare.detach())
        line.listener, line.address = self, plain_address(peer[0])
        if not self._has_room(line.address):
            line.close()
            raise BlockingIOError  # what asyncio takes for nobody calling
        self.lines[line.fileno()] = line
        asyncio.get_running_loop().call_later(HEAD_SECONDS, self._drop_unknown, line)
        return line, peer

    def _has_room(self, address: str) -> bool:
        """Room by hanging up on a line of this address, or of the one that holds most where that is another."""
        holders: dict[str, list[Line]] = {}
        for line in self.lines.values():
            holders.setdefault(line.address, []).append(line)
        own = holders.get(address, [])
        if len(own) < self.per_address and len(self.lines) < self.in_all:
            return True
        most = max(holders.values(), key=len)
        if len(own) < min(len(most), self.per_address):
            return _hung_up(most, 0)
        return _hung_up(own, IN_HAND_SECONDS)

    def _drop_unknown(self, line: Line) -> None:
        if not line.is_known:
            line.hang_up()


def _hung_up(lines: list[Line], in_hand_s: float) -> bool:
    """Whether there was one to hang up on: one that waits, else the request in hand longest, if so long."""
    oldest = min(lines, key=lambda line: (line.busy_since is not None, line.busy_since or 0))
    if oldest.busy_since is not None and time.monotonic() - oldest.busy_since < in_hand_s:
        return False
    oldest.hang_up()
    return True


class Door(H11Protocol):
    """uvicorn's own HTTP with an end to waiting, and with one shape also for what is no HTTP."""

    def __init__(self, listener: Listener, **options):
        super().__init__(**options)
        self._listener = listener
        self._line: Line | None = None
        self._waiting: asyncio.TimerHandle | None = None
        self._sending: asyncio.TimerHandle | None = None
        self._has_begun = False

    def connection_made(self, transport) -> None:
        super().connection_made(transport)
        number = transport.get_extra_info("socket").fileno()
        self._line = self._listener.lines.get(number)
        if self._line is None:  # hung up on meanwhile
            transport.abort()
            return
        self._line.is_known = True
        self._wait(HEAD_SECONDS)

    def connection_lost(self, exc: Exception | None) -> None:
        self._waiting = _stopped(self._waiting)
        self._sending = _stopped(self._sending)
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        if self._waiting and not self._has_begun:
            self._has_begun = True
            self._wait(HEAD_SECONDS)  # once: what drips in later does not move it
        super().data_received(data)
        self._note()

    def on_response_complete(self) -> None:
        super().on_response_complete()
        self._note()

    def _note(self) -> None:
        """Whether a request is in hand now; the wait for its head is over then, and begins anew after the answer."""
        is_busy = self.cycle is not None and not self.cycle.response_complete
        if self._line:
            self._line.busy_since = (self._line.busy_since or time.monotonic()) if is_busy else None
        if is_busy:
            self._waiting, self._has_begun = _stopped(self._waiting), False
        elif self._waiting is None and not self.transport.is_closing():
            self._wait(KEEP_SECONDS)

    def _wait(self, seconds: float) -> None:
        _stopped(self._waiting)
        self._waiting = self.loop.call_later(seconds, self._waited_enough)

    def _waited_enough(self) -> None:
        self._waiting = None
        if self._has_begun:
            self._turn_away(408)
        else:
            self.transport.abort()

    def send_400_response(self, msg: str) -> None:
        """uvicorn calls this while it handles h11's error, which knows a better number where there is one."""
        self._turn_away(getattr(sys.exception(), "error_status_hint", 400))

    def _turn_away(self, status: int) -> None:
        """Answer what is no request in the shape of every error, where an answer may still be given; then close."""
        has_answered = False
        if self.cycle and not self.cycle.response_complete:  # its body broke off in the middle
            has_answered, self.cycle.disconnected = self.cycle.response_started, True
            self.cycle.message_event.set()
        can_answer = self.conn.our_state in (h11.IDLE, h11.SEND_RESPONSE) and not self.transport.is_closing()
        if can_answer and not has_answered:
            self.transport.write(self._refusal(status))
        self.transport.close()

    def _refusal(self, status: int) -> bytes:
        told = answer(of_status(status, None))
        headers = [*told.raw_headers, *((name.lower().encode(), value.encode()) for name, value in HEADERS.items())]
        headers += [(b"cache-control", b"no-store"), (b"connection", b"close"), (b"content-security-policy", NOTHING)]
        send = self.conn.send
        head = send(h11.Response(status_code=status, headers=headers, reason=HTTPStatus(status).phrase.encode()))
        return head + send(h11.Data(data=told.body)) + send(h11.EndOfMessage())

    def _should_upgrade(self) -> bool:
        return False  # and no word in the log for whoever asks

    def pause_writing(self) -> None:
        super().pause_writing()
        self._watch_sending()

    def resume_writing(self) -> None:
        self._sending = _stopped(self._sending)
        super().resume_writing()

    def _watch_sending(self, left: int | None = None) -> None:
        """An answer that nobody takes does not stay in memory for ever."""
        now_left = self.transport.get_write_buffer_size()
        if left is not None and left - now_left < SEND_BYTES:
            self.transport.abort()
            return
        self._sending = self.loop.call_later(SEND_SECONDS, self._watch_sending, now_left)


def _stopped(timer: asyncio.TimerHandle | None) -> None:
    if timer:
        timer.cancel()


def configured(app, listener: Listener, **options) -> uvicorn.Config:
    """uvicorn with nothing that talks too much or believes too much. Of the loops, the selector's asks `accept`."""
    return uvicorn.Config(
        app, http=partial(Door, listener), loop="asyncio:SelectorEventLoop", ws="none", lifespan="off",
        log_level="error", access_log=False, server_header=False, proxy_headers=False,
        timeout_keep_alive=int(KEEP_SECONDS) + 5, timeout_graceful_shutdown=STOP_SECONDS, **options,
    )  # fmt: skip
