"""However many slow questions are asked of the whole book, the phones that only send are answered meanwhile."""

import asyncio
import threading

import httpx
import pytest

from server import openings
from server.admission import GIVEN_AT_ONCE, SLOW_AT_ONCE
from server.years import Years

ASKED = 60  # more than all threads that the server has for its work
SLOW = ["account?month=2026-11", "trace?place=vessel/S-1", "recall?of=lot/L-1", "paper?month=2026-11&what=work"]


@pytest.mark.parametrize(("path", "at_once"), [*((path, SLOW_AT_ONCE) for path in SLOW), ("opening", GIVEN_AT_ONCE)])
def test_slow_questions_leave_threads_for_the_rest(client, monkeypatch, path, at_once):
    go_on, begun = threading.Event(), []

    def slow(*_):
        begun.append(1)
        go_on.wait(60)
        return {}

    for work in ("account", "traced", "paper"):
        monkeypatch.setattr(Years, work, slow)
    monkeypatch.setattr(openings, "for_device", slow)

    async def asked():
        transport = httpx.ASGITransport(client.app, client=("127.0.0.1", 5000))
        async with httpx.AsyncClient(transport=transport, base_url="http://localhost:8710") as phone:
            waiting = [asyncio.create_task(phone.get(f"/api/{path}")) for _ in range(ASKED)]
            try:
                while len(begun) < at_once:
                    await asyncio.sleep(0.01)
                ready = await asyncio.wait_for(phone.get("/api/ready"), 30)
                assert len(begun) == at_once
            finally:
                go_on.set()
            return ready, await asyncio.gather(*waiting)

    ready, answers = asyncio.run(asked())
    assert ready.status_code == 200
    assert [answer.status_code for answer in answers] == [200] * ASKED


def test_whoever_gave_up_is_not_worked_for(client, monkeypatch):
    """A page asks again after a minute; what it no longer waits for would keep the next one waiting."""
    go_on, begun = threading.Event(), []
    monkeypatch.setattr(Years, "account", lambda *_: begun.append(1) or go_on.wait(60) or {})
    scope = {
        "type": "http", "http_version": "1.1", "method": "GET", "scheme": "http", "path": "/api/account",
        "raw_path": b"/api/account", "query_string": b"month=2026-11", "headers": [(b"host", b"localhost")],
        "client": ("127.0.0.1", 5000), "server": ("127.0.0.1", 8710),
    }  # fmt: skip

    async def asked(has_gone: asyncio.Event):
        async def receive():
            if not has_gone.is_set():
                await has_gone.wait()
            return {"type": "http.disconnect"}

        async def send(_):
            pass

        await client.app(dict(scope), receive, send)

    async def all_of_them():
        stays, goes = asyncio.Event(), asyncio.Event()
        waiting = [asyncio.create_task(asked(stays)) for _ in range(SLOW_AT_ONCE)]
        while len(begun) < SLOW_AT_ONCE:
            await asyncio.sleep(0.01)
        waiting += [asyncio.create_task(asked(goes)) for _ in range(20)] + [asyncio.create_task(asked(stays))]
        while client.office.slow.statistics().tasks_waiting < 21:
            await asyncio.sleep(0.01)
        goes.set()
        go_on.set()
        await asyncio.gather(*waiting)

    asyncio.run(all_of_them())
    assert len(begun) == SLOW_AT_ONCE + 1
