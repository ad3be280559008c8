"""The addresses of the server, and what each does."""

import hmac
import logging
from dataclasses import dataclass, field

from anyio.to_thread import run_sync
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route, Router

from server import __version__, assets, devices, sync
from server.asked import pairing_asked, sync_asked
from server.body import read_json
from server.derived import Refresher, site_name
from server.errors import Refused, answer, of_status
from server.security import RateLimit, Shield, bearer_of, check_same_origin, is_trusted
from server.store import SqliteError, Store, now_utc

log = logging.getLogger("glovebook")


@dataclass(frozen=True)
class Office:
    """What the endpoints share: the book, the key of this machine's own commands, and whether all this is a demo."""

    book: Store
    key: str
    is_demo: bool = False
    refresher: Refresher | None = None
    pairing_limit: RateLimit = field(default_factory=lambda: RateLimit(20, 60))


async def page(request: Request) -> Response:
    return assets.with_etag(assets.page_bytes(), "text/html", request.headers.get("if-none-match"))


async def worker(request: Request) -> Response:
    text = await run_sync(assets.worker_text)
    return assets.with_etag(text.encode(), "text/javascript", request.headers.get("if-none-match"))


def ready(request: Request) -> Response:
    office = office_of(request)
    with office.book.read() as reader:
        facts = {"site": reader.fact("site"), "epoch": reader.fact("epoch"), "site_name": site_name(reader)}
    return JSONResponse({"ok": True, "version": __version__, "time": now_utc(), "demo": office.is_demo, **facts})


async def pair(request: Request) -> Response:
    """A new identity for a device: with a one-time code, with the token that it has, or at the server's own desk."""
    office = office_of(request)
    check_same_origin(request)
    asked = pairing_asked(await read_json(request, limit=4096))
    if not is_trusted(request):
        office.pairing_limit.check(request)
    paired = await run_in_threadpool(paired_with, office.book, asked, bearer_of(request), is_trusted(request))
    log.info("Paired device %s%s", paired["device"], f", before {asked['was']}" if asked["was"] else "")
    with office.book.read() as reader:
        book = {"site": reader.fact("site"), "site_name": site_name(reader), "epoch": reader.fact("epoch")}
    return JSONResponse({**book, **paired, "time": now_utc(), "demo": office.is_demo})


def paired_with(book: Store, asked: dict, token: str | None, is_trusted: bool) -> dict:
    with book.read() as reader:
        owner = devices.device_of(reader, token) if token else None
    by_token = owner is not None and owner == asked["was"]
    if not (is_trusted or by_token) and not (asked["code"] and book.write(devices.spend_code, asked["code"]).result()):
        raise Refused(403, "code", None, "a code of six digits, not older than 15 minutes, not used before",
                      "This code does not open the book. Ask for a new one at the desk: glovebook pair.")
    return book.write(devices.pair, asked["was"], by_token).result()


async def take_and_give(request: Request) -> Response:
    """Take a device's entries, answer with what it lacks. Safe to repeat: an id is taken once."""
    office = office_of(request)
    check_same_origin(request)
    asked = sync_asked(await read_json(request))
    answered = await run_in_threadpool(synced, office.book, asked, bearer_of(request))
    if answered["taken"] and office.refresher:
        office.refresher.wake()
    return JSONResponse(answered)


def synced(book: Store, asked: dict, token: str | None) -> dict:
    check_site_and_token(book, asked, token)
    verdicts = sync.take(book, asked["entries"], asked["device"])
    with book.read() as reader:
        answered = {"v": 1, **verdicts, **sync.give(reader, asked)}
    if not answered["part"]:
        del answered["part"]
    return answered


def check_site_and_token(book: Store, asked: dict, token: str | None) -> None:
    """The site first: a phone that holds another book must hear that, whatever became of its token."""
    with book.read() as reader:
        site = reader.fact("site")
        device = devices.device_of(reader, token) if token else None
    if asked["site"] != site:
        say = "This device holds the book of another site. Nothing was taken, and it keeps that book as it is."
        raise Refused(409, "site", asked["site"], site, say, site=site)
    if device is None or device != asked["device"]:
        refused = Refused(401, "Authorization", None, "the token of a paired device", "This device is not paired with "
                          "this server, or was taken off its list. Its entries stay on it; pair it again.")  # fmt: skip
        refused.headers["WWW-Authenticate"] = "Bearer"
        raise refused


async def code(request: Request) -> Response:
    """A one-time code, for the desk."""
    return JSONResponse({"code": await run_in_threadpool(at_desk(request).book.write(devices.new_code).result)})


async def listed(request: Request) -> Response:
    with at_desk(request).book.read() as reader:
        return JSONResponse({"devices": devices.listed(reader)})


async def revoke(request: Request) -> Response:
    office = at_desk(request)
    name = (await read_json(request, limit=4096)).get("device")
    if not isinstance(name, str) or not await run_in_threadpool(office.book.write(devices.revoke, name).result):
        raise Refused(404, "device", name, "a paired device that was not revoked before",
                      "There is no such device. `glovebook devices` lists them.")
    log.info("Revoked device %s", name)
    return JSONResponse({"ok": True})


def office_of(request: Request) -> Office:
    return request.app.state.office


def at_desk(request: Request) -> Office:
    """Only this machine's own commands (by the key in the book's lock) and the desk's own page may go on."""
    office = office_of(request)
    check_same_origin(request)
    is_command = hmac.compare_digest((bearer_of(request) or "").encode(), office.key.encode())
    if not is_command and not is_trusted(request):
        raise Refused(403, None, None, "the machine that the server runs on", "This is done at the server only.")
    return office


ROUTES = [
    Route("/", page),
    Route("/index.html", page),
    Route("/sw.js", worker),
    Mount("/api", Router(redirect_slashes=False, routes=[
        Route("/ready", ready),
        Route("/pair", pair, methods=["POST"]),
        Route("/sync", take_and_give, methods=["POST"]),
        Route("/code", code, methods=["POST"]),
        Route("/devices", listed, methods=["POST"]),
        Route("/revoke", revoke, methods=["POST"]),
    ])),
    Mount("/", assets.Files(directory=assets.STATIC)),
]  # fmt: skip


def refused_here(request: Request, error: Exception) -> Response:
    return answer(error)


def refused_by_router(request: Request, error: Exception) -> Response:
    refused = of_status(error.status_code, f"{request.method} {request.url.path}")
    refused.headers.update(error.headers or {})
    return answer(refused)


def not_saved(request: Request, error: Exception) -> Response:
    """The disk is full, another program holds the book, or worse: nothing was taken, and the phone keeps it all."""
    log.error("The book could not be read or written: %s", error)
    return answer(Refused(503, None, None, "a book that can be written", "The server could not save this. Nothing was "
                          "taken and this device keeps everything. Look at the server: is its disk full?"))  # fmt: skip


def build_app(office: Office, names: frozenset[str] = frozenset()) -> Starlette:
    """The whole server. names: the host names beside loopback that it answers to."""
    policy = assets.content_policy(assets.page_bytes())
    app = Starlette(
        routes=ROUTES,
        middleware=[
            Middleware(Shield, names=names, policy=policy),
            Middleware(GZipMiddleware, minimum_size=1000, compresslevel=6),
        ],
        exception_handlers={Refused: refused_here, HTTPException: refused_by_router, SqliteError: not_saved},
    )
    app.router.redirect_slashes = False
    app.state.office = office
    return app
