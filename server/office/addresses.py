"""What the office asks of the server's book: a search through all of it, and what a table from elsewhere would say."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from server.admission import at_office, is_desk, office_of, paired_device
from server.asked import search_asked, table_asked
from server.body import read_json
from server.office.csv_table import ImportFault
from server.office.imports import rows_for
from server.security import check_same_origin


async def search(request: Request) -> Response:
    """Entries that hold the words asked for, from the whole book, the newest first, some fifty at a time."""
    check_same_origin(request)
    if not is_desk(request):
        await run_in_threadpool(paired_device, request)
    asked, before = search_asked(request.query_params)
    return JSONResponse(await run_in_threadpool(office_of(request).search.find, asked, before))


async def read_table(request: Request) -> Response:
    """What a table would write, or every fault in it. Nothing is written here: the device that asked does that."""
    office = await at_office(request)
    name, raw = table_asked(await read_json(request))
    try:
        rows = await run_in_threadpool(rows_for, office.book, name, raw)
    except ImportFault as fault:
        return JSONResponse({"faults": [vars(one) | {"told": str(one)} for one in fault.faults], "entries": []})
    return JSONResponse({"faults": [], "entries": [{"line": one.line, "said": one.said} for one in rows]})


ROUTES = [
    Route("/search", search),
    Route("/table", read_table, methods=["POST"]),
]
