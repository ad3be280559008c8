"""The names the server answers to, the headers of every answer, and one shape for every error."""

import base64
import hashlib
import re
import socket

import pytest
from starlette.routing import Mount

from server import app as app_module
from server import assets
from server.paths import STATIC
from server.security import HEADERS, host_name

from .conftest import PHONE

ADDRESSES = [
    "/",
    "/sw.js",
    "/app.js",
    "/nothing/here",
    "/api/ready",
    "/api/pair",
    "/api/sync",
    "/api/code",
    "/api/nothing",
    "/api",
]


@pytest.mark.parametrize(
    "host",
    [
        "localhost",
        "localhost:1",
        "127.0.0.1",
        "[::1]:8710",
        "still.example",
        "STILL.example:443",
        "still.example.",
        "192.168.7.1:8710",
    ],
)
def test_names_that_are_ours(client, host):
    assert client.ask("GET", "/api/ready", host=host).status == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "still.example.evil.example",
        "localhost.evil.example",
        "",
        "localhost@evil",
        "localhost:99999",
        "127.0.0.1.evil.example",
        "192.168.7.2",
        "[::1",
        "a b",
        "localhost/x",
    ],
)
def test_names_that_are_not_ours(client, host):
    for path in ("/", "/api/ready", "/app.js"):
        answer = client.ask("GET", path, host=host)
        assert answer.status == 421 and answer.json["error"]["field"] == "Host"


def test_two_host_headers_are_refused(server):
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as line:
        line.sendall(b"GET /api/ready HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\nConnection: close\r\n\r\n")
        assert re.match(rb"HTTP/1.1 (400|421) ", line.recv(100))


@pytest.mark.parametrize(
    ("host", "name"), [("A.b:1", "a.b"), ("[::1]:5", "::1"), ("::ffff:1.2.3.4", None), ("x:y", None)]
)
def test_host_names(host, name):
    assert host_name(host) == name


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"Origin": "http://localhost:8710"}, 200),
        ({"Sec-Fetch-Site": "same-origin"}, 200),
        ({"Origin": "http://localhost:8711"}, 403),
        ({"Origin": "http://evil.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": "http://localhost"}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
    ],
)
def test_a_write_comes_from_our_own_page_or_from_none(client, headers, status):
    for path in ("/api/pair", "/api/code"):
        assert client.ask("POST", path, json={}, headers=headers).status == status


def test_no_other_site_may_read_answers(client):
    answer = client.ask("OPTIONS", "/api/sync", headers={"Origin": "http://evil.example"})
    assert answer.status == 405 and not [name for name in answer.headers if name.startswith("access-control")]


@pytest.mark.parametrize("path", ADDRESSES)
def test_every_answer_carries_the_headers(client, path):
    for method in ("GET", "POST", "DELETE"):
        headers = client.ask(method, path).headers
        assert all(headers[name] == value for name, value in HEADERS.items())
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy and "unsafe" not in policy
        assert "server" not in headers
        assert headers.get("cache-control") == (
            "no-store" if path.startswith("/api/") else headers.get("cache-control")
        )


def test_the_policy_names_the_import_map_of_the_page_as_served(client):
    answer = client.ask("GET", "/")
    inline = re.findall(r"<script(?![^>]*src=)[^>]*>(.*?)</script>", answer.json["text"], re.DOTALL)
    assert len(inline) == 1
    wanted = base64.b64encode(hashlib.sha256(inline[0].encode()).digest()).decode()
    assert f"script-src 'self' 'sha256-{wanted}';" in answer.headers["content-security-policy"]


def test_every_route_answers_errors_in_one_shape(client):
    routes = [route for route in app_module.ROUTES if not isinstance(route, Mount)]
    (api,) = [route for route in app_module.ROUTES if isinstance(route, Mount) and route.path == "/api"]
    known = [route.path for route in routes] + ["/api" + route.path for route in api.routes]
    assert len(known) >= 9
    for path in [*known, "/nothing", "/app.js", "/api/nothing", "/api/sync/", "/%00", "/x" * 3000]:
        for method in ("DELETE", "PUT", "PATCH", "TRACE", "GET", "POST"):
            answer = client.ask(method, path, peer=PHONE, host="still.example", content=b"{")
            if answer.status >= 400:
                assert set(answer.json["error"]) == {"field", "given", "expected", "say"}, (method, path)
                assert answer.json["error"]["say"].endswith(".")
            else:
                assert method == "GET", (method, path, answer.status)
            if answer.status == 405:
                assert answer.headers["allow"]


@pytest.mark.parametrize("path", ["/", "/sw.js", "/api/ready"])
def test_a_fault_of_ours_is_told_in_the_same_shape_and_without_its_insides(client, path, monkeypatch, caplog):
    def fault(*_):
        raise ZeroDivisionError("the secret inside")

    monkeypatch.setattr(assets, "page_bytes", fault)
    monkeypatch.setattr(assets, "worker_text", fault)
    monkeypatch.setattr(app_module, "site_name", fault)
    answer = client.ask("GET", path)
    assert answer.status == 500 and set(answer.json["error"]) == {"field", "given", "expected", "say"}
    assert "secret" not in str(answer.json) and "Traceback" not in str(answer.json)
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "the secret inside" in caplog.text  # for the one who looks after the server


def test_nothing_in_the_page_makes_markup_or_code_out_of_text():
    ways = r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|dangerouslySet|javascript:"
    for path in STATIC.rglob("*.js"):
        if "vendor" not in path.parts:
            assert not re.search(ways, path.read_text(encoding="utf-8")), path
