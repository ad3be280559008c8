"""The files of the page: whole, of the right type, and listed for the still house."""

import hashlib
import json
import re

import pytest

from server import assets
from server.paths import STATIC

TYPES = {
    "/app.js": "text/javascript",
    "/vendor/preact/preact.mjs": "text/javascript",
    "/book/kinds.json": "application/json",
    "/app.webmanifest": "application/manifest+json",
    "/sw.js": "text/javascript",
    "/": "text/html",
}


def listed(client):
    text = client.ask("GET", "/sw.js").json["text"]
    return json.loads(re.search(r"^const FILES = (\{.*\});", text, re.MULTILINE)[1])


@pytest.mark.parametrize(("path", "type_"), TYPES.items())
def test_types_and_repeats(client, path, type_):
    answer = client.ask("GET", path)
    assert answer.status == 200 and answer.headers["content-type"].split(";")[0] == type_
    assert answer.headers["cache-control"] == "no-cache"
    again = client.ask("GET", path, headers={"If-None-Match": answer.headers["etag"]})
    assert again.status == 304 and again.json["text"] == ""
    assert client.ask("HEAD", path).status == 200


def test_each_listed_file_is_served_with_the_listed_hash(client):
    files = listed(client)
    assert {"/", "/app.js", "/app.webmanifest", "/vendor/preact/preact.mjs", "/book/kinds.json"} <= set(files)
    for address, sha256 in files.items():
        body = (STATIC / (address[1:] or "index.html")).read_bytes()
        assert hashlib.sha256(body).hexdigest() == sha256
        assert client.ask("GET", address).status == 200


def test_the_list_holds_what_the_page_needs_and_nothing_else(client):
    files = listed(client)
    on_disk = {
        "/" + path.relative_to(STATIC).as_posix()
        for path in STATIC.rglob("*")
        if path.suffix in (".js", ".mjs", ".css")
    }
    assert on_disk - {"/sw.js"} <= set(files)
    assert not [
        address for address in files if "test" in address or address in ("/sw.js", "/index.html") or "/." in address
    ]


def test_a_changed_file_is_a_new_version(client, tmp_path, monkeypatch):
    (tmp_path / "sw.js").write_text("const FILES = {};\n")
    (tmp_path / "app.js").write_text("one")
    (tmp_path / ".hidden.js").write_text("x")
    (tmp_path / "LICENSE").write_text("x")
    monkeypatch.setattr(assets, "STATIC", tmp_path)
    first = client.ask("GET", "/sw.js")
    assert set(assets.listed_files()) == {"/app.js"}
    (tmp_path / "app.js").write_text("two")
    second = client.ask("GET", "/sw.js", headers={"If-None-Match": first.headers["etag"]})
    assert second.status == 200 and second.headers["etag"] != first.headers["etag"]


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml",
        "/%2e%2e/pyproject.toml",
        "/..%2fpyproject.toml",
        "/..%5cpyproject.toml",
        "//etc/passwd",
        "/%2fetc/passwd",
        "/data/../../pyproject.toml",
        "/vendor",
        "/data/",
    ],
)
def test_nothing_outside_the_page_is_served(client, path):
    assert client.ask("GET", path).status == 404
