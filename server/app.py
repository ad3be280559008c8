"""The addresses of the server, and what each does."""

import logging

from anyio.to_thread import run_sync
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route, Router

from server import __version__, admission, assets, devices, openings, pins, sync
from server.admission import Office, office_of
from server.asked import sync_asked
from server.body import read_json
from server.derived import site_name
from server.errors import Refused, answer, of_status
from server.office import addresses
from server.security import Shield, bearer_of, check_same_origin, is_trusted
from server.store import SqliteError, Store, now_utc

log = logging.getLogger("glovebook")


async def page(request: Request) -> Response:
    return assets.with_etag(assets.page_bytes(), "text/html", request.headers.get("if-none-match"))


async def worker(request: Request) -> Response:
    text = await run_sync(assets.worker_text)
    return assets.with_etag(text.encode(), "text/javascript", request.headers.get("if-none-match"))


def ready(request: Request) -> Response:
    office = office_of(request)
    with office.book.read() as reader:
        facts = {"site": reader.fact("site"), "epoch": reader.fact("epoch"), "site_name": site_name(reader)}
    told = {"version": __version__, "time": now_utc(), "demo": office.is_demo, "address": phones_address(request)}
    return JSONResponse({"ok": True, **told, **facts})


def phones_address(request: Request) -> str | None:
    """Where phones open this server, for the codes on labels; None where only this machine reaches it."""
    return office_of(request).address or admission.own_origin(request)


async def take_and_give(request: Request) -> Response:
    """Take a device's entries, answer with what it lacks. Safe to repeat: an id is taken once."""
    office = office_of(request)
    check_same_origin(request)
    limit = await run_in_threadpool(admission.bytes_for, request)
    too_much = admission.unpaired() if limit == admission.STRANGER else None
    asked = sync_asked(await read_json(request, limit, too_much=too_much))
    answered = await run_in_threadpool(synced, office.book, asked, bearer_of(request), is_trusted(request))
    if answered["taken"] and office.refresher:
        office.refresher.wake()
    if office.keeper:
        answered["backup"] = office.keeper.told()
    return JSONResponse(answered)


def synced(book: Store, asked: dict, token: str | None, is_trusted: bool) -> dict:
    check_site_and_token(book, asked, token)
    verdicts = sync.take(book, asked["entries"], asked["device"])
    with book.read() as reader:
        answered = {"v": 1, **verdicts, **sync.give(reader, asked)}
        answered["role"] = "office" if is_trusted else devices.role_of(reader.conn, asked["device"])
        answered["pins"] = pins.listed(reader)
    if not answered["part"]:
        del answered["part"]
    return answered


async def opening(request: Request) -> Response:
    """What the book was at a moment, for a device that goes on from there instead of taking all of it."""
    await addresses.readable(request)
    office = office_of(request)
    return await addresses.apart(request, office.giving, lambda: JSONResponse(opening_now(office.book)))


def opening_now(book: Store) -> dict:
    with book.read() as reader:
        found = openings.for_device(reader)
    if found is None:
        raise of_status(404, "GET /api/opening")
    return {"v": 1, **found}


def check_site_and_token(book: Store, asked: dict, token: str | None) -> None:
    """The site first: a phone that holds another book must hear that, whatever became of its token."""
    with book.read() as reader:
        site = reader.fact("site")
        device = devices.device_of(reader.conn, token)
    if asked["site"] != site:
        say = "This device holds the book of another site. Nothing was taken, and it keeps that book as it is."
        raise Refused(409, "site", asked["site"], site, say, site=site)
    if device is None or device != asked["device"]:
        raise admission.unpaired()


ROUTES = [
    Route("/", page),
    Route("/index.html", page),
    Route("/sw.js", worker),
    Mount("/api", Router(redirect_slashes=False, routes=[
        Route("/ready", ready),
        Route("/sync", take_and_give, methods=["POST"]),
        Route("/opening", opening),
        *admission.ROUTES,
        *addresses.ROUTES,
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
