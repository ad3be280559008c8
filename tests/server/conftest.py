"""What the server's tests stand on: a book in a folder of its own, an app without sockets, and a hand that writes."""

import asyncio
import json
import uuid
from dataclasses import dataclass, field
from ipaddress import ip_address

import httpx
import pytest
from harness import Server

from server import certificates, machine
from server.app import Office, build_app
from server.store import Store

SITE = "s-test"
DESK = ("127.0.0.1", 50000)
PHONE = ("192.168.7.20", 50000)


@dataclass
class Answer:
    status: int
    json: dict
    headers: httpx.Headers


class Client:
    """Asks the app as a browser would; from the desk unless told otherwise."""

    def __init__(self, book: Store, **options):
        self.book = book
        self.office = Office(book, key="the-desk's-key", **options)
        self.app = build_app(self.office, frozenset({"still.example", "192.168.7.1"}))

    def ask(self, method: str, path: str, *, peer=DESK, host="localhost:8710", headers=None, **body) -> Answer:
        async def go():
            transport = httpx.ASGITransport(self.app, raise_app_exceptions=False, client=peer)
            async with httpx.AsyncClient(transport=transport, base_url="http://localhost:8710") as client:
                return await client.request(method, path, headers={"Host": host, **(headers or {})}, **body)

        answer = asyncio.run(go())
        is_json = method != "HEAD" and (path.startswith("/api") or answer.status_code >= 400)
        return Answer(answer.status_code, answer.json() if is_json else {"text": answer.text}, answer.headers)

    def pair(self, **body) -> "Phone":
        answer = self.ask("POST", "/api/pair", json=body)
        assert answer.status == 200, answer.json
        return Phone(self, **{key: answer.json[key] for key in ("device", "token", "epoch", "site")})


@dataclass
class Phone:
    client: Client
    device: str
    token: str
    epoch: str
    site: str
    since: int = 0
    n: int = 0
    sent: list = field(default_factory=list)

    def write(self, **changes) -> str:
        """An entry's text: a person set up, unless the changes say otherwise."""
        self.n += 1
        return entry_text(**{"device": self.device, "n": self.n, "site": self.site} | changes)

    def sync(self, *texts, **changes) -> Answer:
        asked = {"v": 1, "site": self.site, "device": self.device, "epoch": self.epoch, "since": self.since}
        body = json.dumps(asked | {"entries": list(texts)} | changes)
        return self.send(body)

    def send(self, content, headers=None) -> Answer:
        headers = {"Content-Type": "application/json", "Authorization": f"Bearer {self.token}"} | (headers or {})
        return self.client.ask("POST", "/api/sync", peer=PHONE, host="still.example", headers=headers, content=content)


def entry_text(**changes) -> str:
    entry = {
        "id": str(uuid.uuid4()), "v": 1, "kind": "person", "site": SITE, "device": "A.00000000", "n": 1, "by": "Ines",
        "happened": "2026-11-24T11:40:00.000Z", "offset_min": 60, "written": "2026-11-24T11:41:02.113Z", "clock": 0,
        "group": None, "said": {"name": "Ines"}, "uses": [], "lines": [], "strikes": None, "tables": "0123456789abcdef",
    }  # fmt: skip
    return json.dumps(entry | changes, ensure_ascii=False, separators=(",", ":"))


@pytest.fixture
def book(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as store:
        yield store


@pytest.fixture
def client(book):
    return Client(book)


@pytest.fixture
def phone(client):
    return client.pair()


@pytest.fixture
def server(tmp_path):
    """A real server child, without the browser that the fixture of this name brings elsewhere."""
    running = Server(tmp_path / "server").start()
    yield running
    running.stop()


@pytest.fixture
def write():
    return entry_text


@pytest.fixture
def this_machine(monkeypatch):
    """What the machine tells of itself; change it to rename the machine or to move it."""
    told = {"name": "still", "addresses": ["192.168.7.1", "fd00::7"], "known": True}
    monkeypatch.setattr(machine, "name", lambda: told["name"])
    monkeypatch.setattr(machine, "addresses", lambda: [ip_address(text) for text in told["addresses"]])
    monkeypatch.setattr(machine, "answers_to", lambda host: told["known"])
    return told


@pytest.fixture
def folder(tmp_path, this_machine):
    """Where the certificates of this machine's book are kept."""
    return certificates.folder_of(tmp_path / "book.db")
