"""Who may ask: the names this server answers to, where a write may come from, who needs no code, how often."""

import ipaddress
import logging
import time
from collections import deque
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from server.errors import Refused, answer, of_status
from server.told_off import ToldOff

log = logging.getLogger("glovebook")

_PORTS = {"http": 80, "https": 443}
_FORWARDING = {"forwarded", "via", "x-real-ip", "x-client-ip", "x-cluster-client-ip", "true-client-ip"} | {
    "cf-connecting-ip", "fastly-client-ip", "x-envoy-external-address", "cdn-loop", "x-original-forwarded-for",
}  # fmt: skip

ADDRESS_BYTES = 2048
HEAD_BYTES, HEAD_COUNT = 16 * 1024, 100
# For this name alone, as other machines of the house may speak plain HTTP; and not for localhost, which others share.
HSTS_SECONDS = 365 * 24 * 3600

HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": "screen-wake-lock=(self), camera=(), microphone=(), geolocation=(), payment=(), usb=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


class Shield:
    """Around everything: the Host check, the headers of every answer, and one shape also for what nobody foresaw."""

    def __init__(self, app: ASGIApp, names: frozenset[str], policy: str):
        self.app = app
        self.names = names
        self.policy = policy
        self.told_off = ToldOff()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return  # no web sockets here
        started = False

        async def send_with_headers(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                self._add_headers(message, scope)
                self.told_off.note(scope, message["status"])
            await send(message)

        try:
            check_head(scope)
            check_host(scope, self.names)
            await self.app(scope, receive, send_with_headers)
        except Refused as refused:
            await answer(refused)(scope, receive, send_with_headers)
        except Exception:
            log.exception("A fault at %s %.200r", scope["method"], scope["path"])
            if started:
                raise
            await answer(of_status(500, f"{scope['method']} {scope['path']}"))(scope, receive, send_with_headers)

    def _add_headers(self, message: Message, scope: Scope) -> None:
        headers = MutableHeaders(scope=message)
        for name, value in HEADERS.items():
            headers[name] = value
        headers["Content-Security-Policy"] = self.policy
        if scope["path"].startswith("/api/"):
            headers["Cache-Control"] = "no-store"
        if scope["scheme"] == "https" and not is_loopback(host_name(Headers(scope=scope).get("host", "")) or ""):
            headers["Strict-Transport-Security"] = f"max-age={HSTS_SECONDS}"


def check_head(scope: Scope) -> None:
    """Limits on a request's version, address and headers: what comes in one piece passes the HTTP library's own."""
    if scope["http_version"] not in ("1.0", "1.1"):
        raise of_status(505, f"HTTP/{scope['http_version']}")
    address = len(scope.get("raw_path") or b"") + len(scope["query_string"])
    if address > ADDRESS_BYTES:
        raise of_status(414, f"{address} characters")
    size = sum(len(name) + len(value) for name, value in scope["headers"])
    if size > HEAD_BYTES or len(scope["headers"]) > HEAD_COUNT:
        raise of_status(431, f"{len(scope['headers'])} headers of {size} bytes")


def check_host(scope: Scope, names: frozenset[str]) -> None:
    """Refuse a Host that is not ours: a page elsewhere that points its own name at this machine would read the book."""
    hosts = Headers(scope=scope).getlist("host")
    name = host_name(hosts[0]) if len(hosts) == 1 else None
    if name is None or not (is_loopback(name) or name in names or name == _own_address(scope)):
        raise Refused(421, "Host", ", ".join(hosts), "a name of this server",
                      "This server does not answer to that name. Start it with --name and the name that phones use.")


def _own_address(scope: Scope) -> str | None:
    """The address that the request arrived at. A number cannot be rebound to another machine as a name can."""
    address = _address((scope.get("server") or ("",))[0] or "")
    return str(address) if address else None


def host_name(host: str) -> str | None:
    """The name in a Host or an authority, in small letters, without port and brackets; None when it is none."""
    try:
        parts = urlsplit(f"//{host}")
        _ = parts.port
    except ValueError:
        return None
    if not parts.hostname or "@" in host or any(sign in host for sign in "/\\?# \t"):
        return None
    address = _address(parts.hostname)
    return str(address) if address else parts.hostname.rstrip(".")


def _address(text: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        address = ipaddress.ip_address(text)
    except ValueError:
        return None
    return getattr(address, "ipv4_mapped", None) or address


def plain_address(text: str) -> str:
    """A peer's address, the same for IPv4 as it comes through IPv6."""
    return str(_address(text.partition("%")[0]) or text)


def is_loopback(name: str) -> bool:
    address = _address(name)
    return address.is_loopback if address else name == "localhost" or name.endswith(".localhost")


def is_trusted(request: Request) -> bool:
    """The desk itself: loopback peer, loopback Host and no sign that anybody stands in between.

    HTTP/1.0 is such a sign: no browser speaks it, and a proxy that was told no more than where to pass requests on to
    may, with a loopback Host and without any header of its own.
    """
    peer = request.client.host if request.client else ""
    host = host_name(request.headers.get("host", ""))
    is_forwarded = any(name in _FORWARDING or name.startswith("x-forwarded") for name in request.headers)
    is_forwarded = is_forwarded or request.scope["http_version"] == "1.0"
    return is_loopback(peer) and host is not None and is_loopback(host) and not is_forwarded


def check_same_origin(request: Request) -> None:
    """A write comes from our own page or from no page at all."""
    origin, host = request.headers.get("origin"), request.headers.get("host", "")
    site = request.headers.get("sec-fetch-site", "none")
    if site not in ("same-origin", "none") or (origin is not None and not _same_authority(origin, host)):
        raise Refused(403, "Origin", origin or site, "a request from this server's own page",
                      "Another website tried to write into the book. Nothing was taken. Use Glovebook's own address.")


def _same_authority(origin: str, host: str) -> bool:
    try:
        ours, theirs = urlsplit(f"//{host}"), urlsplit(origin)
        default = _PORTS.get(theirs.scheme)
        is_same_port = (ours.port or default) == (theirs.port or default)
    except ValueError:
        return False
    return default is not None and theirs.hostname == ours.hostname and is_same_port


def bearer_of(request: Request) -> str | None:
    scheme, _, token = request.headers.get("authorization", "").partition(" ")
    return token.strip() if scheme.lower() == "bearer" and token.strip() else None


class RateLimit:
    """At most `count` tries in `seconds` from one address; old addresses are forgotten."""

    ADDRESSES = 1000

    def __init__(self, count: int, seconds: float):
        self.count, self.seconds = count, seconds
        self._tries: dict[str, deque[float]] = {}

    def check(self, request: Request) -> None:
        peer = request.client.host if request.client else ""
        now = time.monotonic()
        tries = self._tries.pop(peer, deque())
        while tries and tries[0] <= now - self.seconds:
            tries.popleft()
        self._tries[peer] = tries
        if len(self._tries) > self.ADDRESSES:
            del self._tries[next(iter(self._tries))]
        if len(tries) >= self.count:
            raise Refused(429, None, f"{len(tries)} tries", f"at most {self.count} tries in {self.seconds:g} s",
                          "That was tried too often. Wait a minute and try again, with a new code where one is needed.")
        tries.append(now)
