"""The files of the page: served as they are, with the list that the service worker keeps for the still house."""

import base64
import hashlib
import json
import mimetypes
import re
from functools import lru_cache
from pathlib import Path

from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Receive, Scope, Send

from server.paths import STATIC

# Python asks the system, and a Windows registry may say text/plain, which stops every module of the page.
_TYPES = {
    ".js": "text/javascript", ".mjs": "text/javascript", ".css": "text/css", ".json": "application/json",
    ".svg": "image/svg+xml", ".png": "image/png", ".woff2": "font/woff2",
    ".webmanifest": "application/manifest+json",
}  # fmt: skip
for _suffix, _type in _TYPES.items():
    mimetypes.add_type(_type, _suffix)

_IMPORT_MAP = re.compile(rb'<script type="importmap">(.*?)</script>', re.DOTALL)
_FILES_PLACE = "const FILES = {};"


class Files(StaticFiles):
    """Static files that a browser asks about anew each time; the ETag makes that cheap. They come whole: no ranges."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        whole = [(name, value) for name, value in scope["headers"] if name != b"range"]
        await super().__call__({**scope, "headers": whole}, receive, send)

    async def get_response(self, path: str, scope: Scope) -> Response:
        try:
            answer = await super().get_response(path, scope)
        except HTTPException as error:
            raise HTTPException(404) if error.status_code == 401 else error from None
        answer.headers["Cache-Control"] = "no-cache"
        return answer


def listed_files() -> dict[str, str]:
    """Every file that the page needs without a network: its address and SHA-256 in hex."""
    found = {}
    for path in sorted(STATIC.rglob("*")):
        address = "/" + path.relative_to(STATIC).as_posix()
        is_hidden = any(part.startswith(".") for part in path.relative_to(STATIC).parts)
        if path.suffix in {*_TYPES, ".html"} and path.is_file() and not is_hidden and address != "/sw.js":
            found["/" if address == "/index.html" else address] = _hash(path)
    return found


def _hash(path: Path) -> str:
    stat = path.stat()
    return _hash_of_state(path, stat.st_mtime_ns, stat.st_size, stat.st_ino)


@lru_cache(maxsize=2000)
def _hash_of_state(path: Path, *_: int) -> str:
    """Read once for each state of a file: whoever asks for the worker over and over costs little."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def worker_text() -> str:
    """sw.js with the list put in; worked out at each request, so that a changed file is a new version."""
    text = (STATIC / "sw.js").read_text(encoding="utf-8")
    if text.count(_FILES_PLACE) != 1:
        raise RuntimeError(f"sw.js must hold the line `{_FILES_PLACE}` once, where the list of files goes.")
    return text.replace(_FILES_PLACE, f"const FILES = {json.dumps(listed_files(), separators=(',', ':'))};")


def import_map_hash(page: bytes) -> str:
    """The CSP source for the page's inline import map: without it no browser takes the map, and nothing runs."""
    found = _IMPORT_MAP.search(page)
    return f" 'sha256-{base64.b64encode(hashlib.sha256(found[1]).digest()).decode()}'" if found else ""


def content_policy(page: bytes) -> str:
    """Everything from this server, nothing from elsewhere, no inline script but the import map."""
    return "; ".join([
        "default-src 'none'", f"script-src 'self'{import_map_hash(page)}", "style-src 'self'", "img-src 'self' data:",
        "font-src 'self'", "connect-src 'self'", "worker-src 'self'", "manifest-src 'self'", "base-uri 'none'",
        "form-action 'none'", "frame-ancestors 'none'",
    ])  # fmt: skip


def with_etag(body: bytes, media_type: str, if_none_match: str | None) -> Response:
    """A body made here, under the same rules as the files."""
    etag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    headers = {"Cache-Control": "no-cache", "ETag": etag}
    tags = [tag.strip().removeprefix("W/") for tag in (if_none_match or "").split(",")]
    if etag in tags:
        return Response(status_code=304, headers=headers)
    return Response(body, media_type=media_type, headers=headers)


def page_bytes() -> bytes:
    return (Path(STATIC) / "index.html").read_bytes()
