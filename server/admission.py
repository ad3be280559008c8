"""Who is let in and what they may do: pairing, roles, codes, devices, PINs, as addresses of the server."""

import hmac
import logging
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from anyio import CapacityLimiter
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from server import devices, pins, qr
from server.asked import code_asked, name_asked, pairing_asked, person_asked, pin_asked, role_asked
from server.backups import Keeper
from server.body import BODY_BYTES, read_json
from server.derived import Refresher, site_name
from server.errors import Refused
from server.search import Search
from server.security import RateLimit, bearer_of, check_same_origin, host_name, is_loopback, is_trusted
from server.store import Store, now_utc
from server.years import Years

log = logging.getLogger("glovebook")

SMALL = 4096  # bytes of a body that carries no entries
STRANGER = 64 * 1024  # of one whose token is not known, which is turned away in the end
SLOW_AT_ONCE = 8  # questions about the whole book: they may wait for each other, and never take every thread
GIVEN_AT_ONCE = 2  # openings: each is a large part of the book in memory, and after an update all phones want one
_NO_DEVICE = "There is no such device, or it was revoked. `glovebook devices` lists them."


@dataclass(frozen=True)
class Office:
    """What the endpoints share: the book, the key of this machine's own commands, and whether all this is a demo."""

    book: Store
    key: str
    is_demo: bool = False
    refresher: Refresher | None = None
    pairing_limit: RateLimit = field(default_factory=lambda: RateLimit(20, 60))
    pin_limit: RateLimit = field(default_factory=lambda: RateLimit(20, 60))
    stranger_limit: RateLimit = field(default_factory=lambda: RateLimit(60, 60))
    slow: CapacityLimiter = field(default_factory=lambda: CapacityLimiter(SLOW_AT_ONCE))
    giving: CapacityLimiter = field(default_factory=lambda: CapacityLimiter(GIVEN_AT_ONCE))
    keeper: Keeper | None = None  # of the backups
    address: str | None = None  # where phones find the server, as https://still.local:8710; None where they cannot

    @cached_property
    def search(self) -> Search:
        return Search(self.book)

    @cached_property
    def years(self) -> Years:
        return self.refresher.years if self.refresher else Years(self.book)


def office_of(request: Request) -> Office:
    return request.app.state.office


async def pair(request: Request) -> Response:
    """A new identity for a device: with a one-time code, with the token that it has, or at the server's own desk."""
    office = office_of(request)
    check_same_origin(request)
    if not is_trusted(request):
        office.pairing_limit.check(request)
    asked = pairing_asked(await read_json(request, limit=SMALL))
    paired = await run_in_threadpool(paired_with, office.book, asked, bearer_of(request), is_trusted(request))
    before = f", before {asked['was']}" if asked["was"] else ""
    log.info("Paired device %s of the %s%s", paired["device"], paired["role"], before)
    with office.book.read() as reader:
        book = {"site": reader.fact("site"), "site_name": site_name(reader), "epoch": reader.fact("epoch")}
    return JSONResponse({**book, **paired, "time": now_utc(), "demo": office.is_demo})


def paired_with(book: Store, asked: dict, token: str | None, is_trusted: bool) -> dict:
    paired = book.write(devices.admit, asked["code"], asked["was"], token, is_trusted).result()
    if paired is None:
        raise Refused(403, "code", None, "a code of six digits, not older than 15 minutes, not used before",
                      "This code does not open the book. Ask for a new one at the office, or at the server's desk: "
                      "glovebook pair.")  # fmt: skip
    return paired


async def code(request: Request) -> Response:
    """A one-time code in a role; where phones can reach this server, also as an address that carries it, and drawn."""
    office = await at_office(request)
    role = code_asked(await read_json(request, limit=SMALL))
    issued = await done_at_office(request, f"Made a code of the {role}", devices.new_code, role)
    base = office.address or own_origin(request)
    if base is None:
        return JSONResponse({**issued, "url": None, "qr": None})
    # Behind the # it stays in the browser: no server and no proxy on the way ever writes it into a log.
    url = f"{base}/#/sync/pair/{issued['code']}"
    return JSONResponse({**issued, "url": url, "qr": qr.drawn(url)})


def own_origin(request: Request) -> str | None:
    """The address by which this request came, unless only this machine knows it."""
    host = request.headers.get("host", "")
    return None if is_loopback(host_name(host) or "localhost") else f"{request.url.scheme}://{host}"


async def listed(request: Request) -> Response:
    with (await at_office(request)).book.read() as reader:
        return JSONResponse({"devices": devices.listed(reader), "codes": devices.open_codes(reader)})


async def revoke(request: Request) -> Response:
    await at_office(request)
    name = name_asked(await read_json(request, limit=SMALL))
    if not await done_at_office(request, f"Revoked device {name}", devices.take_off, name):
        raise Refused(404, "device", name, "a paired device that was not revoked before", _NO_DEVICE)
    return JSONResponse({"ok": True})


async def role(request: Request) -> Response:
    """Make a device of the floor one of the office, or the other way round; it hears of it with its next sync."""
    await at_office(request)
    name, wanted = role_asked(await read_json(request, limit=SMALL))
    try:
        told = f"Device {name} is now {wanted}"
        changed = await done_at_office(request, told, devices.set_role, name, wanted, is_desk(request))
    except devices.LastOffice:
        raise Refused(409, "role", wanted, "another office device first", "This is the only office device that is "
                      "left: nobody could let in another. Make another one office first.") from None  # fmt: skip
    if not changed:
        raise Refused(404, "device", name, "a paired device", _NO_DEVICE)
    return JSONResponse({"ok": True})


async def set_pin(request: Request) -> Response:
    """A person's first PIN, or another one for who knows the old; any paired device may ask."""
    office = office_of(request)
    check_same_origin(request)
    device = await run_in_threadpool(paired_device, request)
    asked = pin_asked(await read_json(request, limit=SMALL))
    office.pin_limit.check(request)
    with office.book.read() as reader:
        known = asked["person"] in reader.persons()
    if not known:
        raise Refused(404, "person", asked["person"], "a person of this book", "The server's book has no such person "
                      "yet. Let this device sync first, then set the PIN.")  # fmt: skip
    try:
        await run_in_threadpool(office.book.write(pins.set_pin, asked, device).result)
    except pins.Unproven:
        raise Refused(403, "was", None, "the PIN that this person has", "This is not the PIN that this person has. "
                      "Who forgot it has it reset at the office.") from None  # fmt: skip
    except pins.TooMany:
        raise Refused(409, "person", asked["person"], f"at most {pins.PINS_KEPT} people with a PIN",
                      "Too many people have a PIN. Reset those of people who left.") from None  # fmt: skip
    log.info("The PIN of %r was set by device %s", asked["person"], device)
    return pins_now(office.book)


async def reset_pin(request: Request) -> Response:
    office = await at_office(request)
    person = person_asked(await read_json(request, limit=SMALL))
    if not await done_at_office(request, f"The PIN of {person!r} was reset", pins.reset_pin, person):
        raise Refused(404, "person", person, "a person with a PIN", "This person has no PIN that could be reset. "
                      "Names are written as in the book.")  # fmt: skip
    return pins_now(office.book)


def pins_now(book: Store) -> Response:
    with book.read() as reader:
        return JSONResponse({"pins": pins.listed(reader)})


def paired_device(request: Request) -> str:
    """The device that asks, by its token; Refused for anybody else."""
    with office_of(request).book.read() as reader:
        device = devices.device_of(reader.conn, bearer_of(request))
    if device is None:
        raise unpaired()
    return device


def bytes_for(request: Request) -> int:
    """How large a body may be. Whoever has no good token may ask now and then, and only a little at a time."""
    try:
        paired_device(request)
    except Refused:
        office_of(request).stranger_limit.check(request)
        return STRANGER
    return BODY_BYTES


def unpaired() -> Refused:
    refused = Refused(401, "Authorization", None, "the token of a paired device", "This device is not paired with "
                      "this server, or was taken off its list. Its entries stay on it; pair it again.")  # fmt: skip
    refused.headers["WWW-Authenticate"] = "Bearer"
    return refused


def is_desk(request: Request) -> bool:
    """This machine's own commands, by the key in the book's lock, and the desk's own page."""
    key = office_of(request).key.encode()
    return hmac.compare_digest((bearer_of(request) or "").encode(), key) or is_trusted(request)


async def at_office(request: Request) -> Office:
    """Only the desk and office devices may go on."""
    office = office_of(request)
    check_same_origin(request)
    if not is_desk(request) and not await run_in_threadpool(is_office_device, office.book, bearer_of(request)):
        raise not_office()
    return office


def is_office_device(book: Store, token: str | None) -> bool:
    with book.read() as reader:
        return devices.is_office(reader.conn, token)


def not_office() -> Refused:
    say = "This is done at the office only. Make this device one of the office there, under Devices."
    return Refused(403, None, None, "an office device, or the machine that the server runs on", say)


async def done_at_office(request: Request, words: str, work: Callable, *given: object) -> object:
    """Work of the writer's thread, unless the device that asks was taken off the list before its turn came.

    words: what the log says of it, where it is done
    """
    desk, token = is_desk(request), bearer_of(request)

    def still_office(conn) -> tuple[object, str]:
        if not desk and not devices.is_office(conn, token):
            raise not_office()
        return work(conn, *given), "at the desk" if desk else f"by device {devices.device_of(conn, token)}"

    done, by = await run_in_threadpool(office_of(request).book.write(still_office).result)
    if done:
        log.info("%s, %s", words, by)
    return done


ROUTES = [
    Route("/pair", pair, methods=["POST"]),
    Route("/code", code, methods=["POST"]),
    Route("/devices", listed, methods=["POST"]),
    Route("/revoke", revoke, methods=["POST"]),
    Route("/role", role, methods=["POST"]),
    Route("/pins", set_pin, methods=["POST"]),
    Route("/pins/reset", reset_pin, methods=["POST"]),
]
