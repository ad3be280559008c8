"""The line between the page and the houses: plain HTTP on this machine, and the files that the page is made of."""

import json
import re
import shutil
import socket
import threading
import traceback
from pathlib import Path

import uvicorn
from faults.house import NAME, SITE, House
from files import STATIC, blank_page
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route
from starlette.types import Receive, Scope, Send

from server.store import Store

PAGE = Path(__file__).parent / "page"
PHONE = ("192.168.7.20", 50000)
NOT_KNOWN_BEFORE = ("transfer", "lab", "sweeten")  # kinds that the version before did not have
NO_SERVER = Response("no server", 599)


class Line:
    """`with Line(folder) as line:` serves at line.url; `line.house()` is a new house under its number."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.houses: dict[int, House] = {}
        self.template = folder / "template.db"
        Store(self.template, site=SITE).close()

    def __enter__(self) -> "Line":
        listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{listener.getsockname()[1]}"
        config = uvicorn.Config(
            self, log_level="critical", access_log=False, lifespan="off", ws="none", timeout_keep_alive=600
        )
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, args=([listener],))
        self.thread.start()
        return self

    def __exit__(self, *_) -> None:
        self.server.should_exit = True
        self.thread.join()

    def house(self, number: int) -> House:
        self.houses[number] = House(self.folder / str(number), self.template)
        return self.houses[number]

    def leave(self, number: int) -> None:
        house = self.houses.pop(number)
        house.down()
        shutil.rmtree(house.folder)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        match = re.fullmatch(r"/house/(\d+)/(.*)", scope["path"])
        if not match:
            await files(scope, receive, send)
            return
        house = self.houses[int(match[1])]
        if match[2] == "control":
            await self.control(house, Request(scope, receive), send)
        elif house.is_dead:
            await drained(receive)
            await NO_SERVER(scope, receive, send)
        else:
            await self.carry(house, scope | {"path": f"/{match[2]}"}, receive, send)

    async def control(self, house: House, request: Request, send: Send) -> None:
        asked = json.loads(await request.body())
        try:
            answer = JSONResponse(await run_in_threadpool(house.do, asked))
        except Exception:
            answer = Response(traceback.format_exc(), 500)  # a fault of the simulator, or of backup and restore
        await answer(request.scope, request.receive, send)

    async def carry(self, house: House, scope: Scope, receive: Receive, send: Send) -> None:
        """One request to the app as from a phone of the house; a process that died meanwhile answers nothing."""
        headers = [(name, value) for name, value in scope["headers"] if name not in (b"host", b"origin")]
        told = []

        async def keep(message) -> None:
            told.append(message)

        phone = {"client": PHONE, "headers": [*headers, (b"host", NAME.encode())], "raw_path": scope["path"].encode()}
        await house.app(scope | phone, receive, keep)
        if house.is_dead:
            await NO_SERVER(scope, receive, send)
            return
        for message in told:
            await send(message)
        if scope["path"] == "/api/pair" and told[0]["status"] == 200:
            house.given.append(json.loads(told[1]["body"])["device"])


async def drained(receive: Receive) -> None:
    while (await receive()).get("more_body"):
        pass


def file(request: Request) -> Response:
    path = request.path_params["path"]
    if path == "blank.html":
        return Response(blank_page(), media_type="text/html")
    if path == "before/book/kinds.json":
        return JSONResponse(kinds_before())
    root, _, rest = path.partition("/")
    found = PAGE / rest if root == "faults" else STATIC / (rest if root == "before" else path)
    if not found.is_file():
        return Response(status_code=404)
    media = {".js": "text/javascript", ".json": "application/json"}.get(found.suffix)
    return FileResponse(found, media_type=media)


def kinds_before() -> dict:
    """The declarations as the version before had them: some kinds were not there yet."""
    declared = json.loads((STATIC / "book" / "kinds.json").read_text(encoding="utf-8"))
    for kind in NOT_KNOWN_BEFORE:
        del declared["kinds"][kind]
    return declared


files = Starlette(routes=[Route("/{path:path}", file)])
