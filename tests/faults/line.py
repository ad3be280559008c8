"""The line between a page and the house of its history: files by HTTP, all else over one web socket."""

import asyncio
import json
import shutil
import socket
import threading
import traceback
from collections.abc import Callable, Iterable
from concurrent.futures import Future
from pathlib import Path
from unittest import mock

import anyio.to_thread
import uvicorn
from faults import before
from faults.house import NAME, SITE, House
from files import STATIC, blank_page
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket

from server.store import Store

PAGE = Path(__file__).parent / "page"
BEFORE = before.files()
SIMULATED = Path(__file__).parent.parent / "vendored" / "fake-indexeddb"
PHONE = ("192.168.7.20", 50000)
MEDIA = {".js": "text/javascript", ".json": "application/json"}
SCRIPT = b'<script type="module" src="/faults/run.js"></script>'
NO_SERVER = {"status": 599, "text": ""}
PATIENCE_S = 600  # a history takes a tenth of a second, at the lowest priority beside other work a minute


class Line:
    """`with Line(folder) as line:` serves the page at line.url, and that page leads what `lead` gives it."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.template = folder / "template.db"
        self.house: House | None = None
        self.bugs: list = []
        self.said: Future[dict] = Future()  # what the page is waited for to say
        Store(self.template, site=SITE).close()
        self.threads = anyio.to_thread.run_sync
        self.patch = mock.patch("anyio.to_thread.run_sync", self.worked)

    def __enter__(self) -> "Line":
        listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{listener.getsockname()[1]}/page.html"
        bugs = Route("/bugs.json", lambda _: JSONResponse(self.bugs))
        app = Starlette(routes=[WebSocketRoute("/wire", self.talk), bugs, Route("/{path:path}", file)])
        config = uvicorn.Config(
            app, log_level="critical", access_log=False, lifespan="off", ws="websockets-sansio",
            ws_per_message_deflate=False, ws_ping_interval=None,
        )  # fmt: skip
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, args=([listener],))
        self.thread.start()
        self.patch.start()
        return self

    def __exit__(self, *_) -> None:
        self.patch.stop()
        self.server.should_exit = True
        self.thread.join()

    def begin(self, name: str, has_threads: bool = True) -> House:
        self.house = House(self.folder / name, self.template, has_threads)
        return self.house

    async def worked(self, work: Callable, *words: object, **more: object) -> object:
        """What the server gives to a thread, which a house without threads does at once."""
        has_threads = self.house is None or self.house.has_threads
        return await self.threads(work, *words, **more) if has_threads else work(*words)

    def leave(self) -> None:
        self.house.down()
        shutil.rmtree(self.house.folder)

    def expected(self, bugs: Iterable[tuple[str, str, str]]) -> Future:
        """Done when a page, opened from now on, is ready; bugs: what it is to change its modules by."""
        self.bugs, self.said = list(bugs), Future()
        return self.said

    def lead(self, history: dict) -> dict:
        """What became of a history, by the page that was opened last; OSError when it came to no end."""
        self.said = Future()
        asyncio.run_coroutine_threadsafe(self.socket.send_text(json.dumps({"history": history})), self.loop)
        return self.said.result(PATIENCE_S)

    async def talk(self, page: WebSocket) -> None:
        self.socket, self.loop = page, asyncio.get_running_loop()
        await page.accept()
        under_way = set()
        async for text in page.iter_text():
            said = json.loads(text)
            if "number" in said:
                under_way.add(task := asyncio.create_task(self.answer(page, **said)))
                task.add_done_callback(under_way.discard)
            elif "failed" in said:
                self.said.set_exception(OSError(said["failed"]))
            else:
                self.said.set_result(said.get("told"))

    async def answer(self, page: WebSocket, number: int, asked: dict) -> None:
        house = self.house
        try:
            told = await carried(house, **asked) if "path" in asked else await run_in_threadpool(house.do, asked)
        except Exception:
            told = {"failed": traceback.format_exc()}  # a fault of the simulator, or of backup and restore
        await page.send_text(json.dumps({"number": number, "answer": told}))


async def carried(house: House, path: str, method: str, headers: dict, body: str, cut: float | None = None) -> dict:
    """One request to the app as from a phone of the house: {status, text}; a process that is dead answers nothing.

    cut: the part of its bytes that arrives before the line breaks
    """
    if house.is_dead:
        return NO_SERVER
    raw = body.encode()
    sent = [{"type": "http.request", "body": raw}]
    if cut is not None:
        sent = [{"type": "http.request", "body": raw[: int(len(raw) * cut)], "more_body": True}]
    told = []

    async def receive() -> dict:
        return sent.pop(0) if sent else {"type": "http.disconnect"}

    async def keep(message: dict) -> None:
        told.append(message)

    given = headers | {"host": NAME, "content-length": str(len(raw)), "sec-fetch-site": "same-origin"}
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "scheme": "http", "method": method,
        "path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "", "client": PHONE, "server": PHONE,
        "headers": [(name.lower().encode(), value.encode()) for name, value in given.items()],
    }  # fmt: skip
    await house.app(scope, receive, keep)
    if house.is_dead:
        return NO_SERVER
    text = b"".join(message.get("body", b"") for message in told[1:]).decode()
    if path == "/api/pair" and told[0]["status"] == 200:
        house.given.append(json.loads(text)["device"])
    return {"status": told[0]["status"], "text": text}


def file(request: Request) -> Response:
    path = request.path_params["path"]
    if path == "page.html":
        return Response(blank_page() + SCRIPT, media_type="text/html")
    root, _, rest = path.partition("/")
    if root == "before" and rest in BEFORE:
        return Response(BEFORE[rest], media_type=MEDIA.get(Path(rest).suffix))
    roots = {"faults": PAGE, "before": STATIC, "simulated": SIMULATED}
    found = roots[root] / rest if root in roots else STATIC / path
    if not found.is_file():
        return Response(status_code=404)
    return FileResponse(found, media_type=MEDIA.get(found.suffix))
