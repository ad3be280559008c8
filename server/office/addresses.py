"""What is asked of the server's whole book: a search, a month's account, a trace, a recall, what a table would say.

What may take seconds is worked out, and written as JSON, beside the event loop and a few questions at a time: however
many are asked, threads stay for the phones that only send.
"""

from collections.abc import Callable
from typing import TypeVar

from anyio import CapacityLimiter
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from server.admission import at_office, is_desk, office_of, paired_device
from server.asked import account_asked, paper_asked, recall_asked, search_asked, table_asked, trace_asked
from server.body import read_json
from server.book.trace_told import told_back, told_forward, told_recall
from server.errors import of_status
from server.office.csv_table import ImportFault
from server.office.imports import rows_for
from server.papers_asked import paper_of, paper_of_month, plot_of
from server.security import check_same_origin
from server.years import Years

T = TypeVar("T")


async def search(request: Request) -> Response:
    """Entries that hold the words asked for, from the whole book, the newest first, some fifty at a time."""
    await readable(request)
    asked, before = search_asked(request.query_params)
    return JSONResponse(await run_in_threadpool(office_of(request).search.find, asked, before))


async def account(request: Request) -> Response:
    """What the account of a month is made of, for a device that holds a part of the book."""
    years = await readable(request)
    return await told(request, years.account, account_asked(request.query_params))


async def paper(request: Request) -> Response:
    """What the papers of a month, one record or a plot are made of, for a device that holds a part of the book."""
    years = await readable(request)
    return await told(request, written, years, *paper_asked(request.query_params))


def written(years: Years, sort: str, about: list) -> dict:
    found = years.paper(PAPERS[sort], *about)
    if sort == "month" and about[1] == "close":
        found["account"] = years.account(about[0])
    return found


PAPERS = {"month": paper_of_month, "of": paper_of, "plot": plot_of}


async def trace(request: Request) -> Response:
    """Where what is in a place came from, or where a source went."""
    years = await readable(request)
    place, source = trace_asked(request.query_params)
    about = (told_back, place) if place else (told_forward, source)
    return await told(request, years.traced, *about)


async def recall(request: Request) -> Response:
    """All that something suspect may be in."""
    years = await readable(request)
    return await told(request, years.traced, told_recall, recall_asked(request.query_params))


async def told(request: Request, work: Callable[..., dict], *given: object) -> Response:
    return await apart(request, office_of(request).slow, lambda: JSONResponse(work(*given)))


async def apart(request: Request, limiter: CapacityLimiter, work: Callable[[], T]) -> T:
    """What the work gives, done in a thread when its turn comes. Whoever gave up meanwhile is not worked for."""
    async with limiter:
        if await request.is_disconnected():
            raise of_status(408, None)
        return await run_in_threadpool(work)


async def readable(request: Request) -> Years:
    """Any paired device reads the whole book."""
    check_same_origin(request)
    if not is_desk(request):
        await run_in_threadpool(paired_device, request)
    return office_of(request).years


async def read_table(request: Request) -> Response:
    """What a table would write, or every fault in it. Nothing is written here: the device that asked does that."""
    office = await at_office(request)
    name, raw = table_asked(await read_json(request))
    try:
        rows = await apart(request, office.slow, lambda: rows_for(office.years, name, raw))
    except ImportFault as fault:
        return JSONResponse({"faults": [vars(one) | {"told": str(one)} for one in fault.faults], "entries": []})
    return JSONResponse({"faults": [], "entries": [{"line": one.line, "said": one.said} for one in rows]})


ROUTES = [
    Route("/search", search),
    Route("/account", account),
    Route("/paper", paper),
    Route("/trace", trace),
    Route("/recall", recall),
    Route("/table", read_table, methods=["POST"]),
]
