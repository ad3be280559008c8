"""The plain-HTTP page that leads a person through trusting the server's authority. It does nothing else.

It is made once and holds no script. It comes unprotected, so that a device which trusts nothing yet can read it: what
must be right, the fingerprint, is compared between the device and the server's own screen.
"""

import base64
import hashlib
import html
import re
from pathlib import Path
from string import Template

from cryptography.hazmat.primitives import hashes, serialization
from starlette.responses import RedirectResponse, Response
from starlette.types import Receive, Scope, Send

from server import authority as ca
from server.certificate_desk import title_of
from server.certificates import Kept, host_of, origin_of
from server.errors import answer, of_status
from server.paths import STATIC
from server.security import HEADERS

_HERE = Path(__file__).resolve().parent
_MEDIA_TYPE = "application/x-x509-ca-cert"  # with any other, an iPhone saves a text file and offers nothing


class TrustPage:
    """An ASGI app of three answers: the page, the certificate, and the way to the page."""

    def __init__(self, kept: Kept, port: int, addresses: list[str]):
        self.tell(kept, port, addresses)

    def tell(self, kept: Kept, port: int, addresses: list[str]) -> None:
        """Show this from now on; addresses come and go while the house is served."""
        style = style_text()
        shown = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
        self.policy = f"default-src 'none'; style-src 'sha256-{shown}'; font-src data:; base-uri 'none'; " \
                      "form-action 'none'; frame-ancestors 'none'"  # fmt: skip
        self.page = page_text(kept, port, addresses, style).encode()
        self.certificate = kept.authority[1].public_bytes(serialization.Encoding.DER)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        told = self._answer(scope["method"], scope["path"])
        for name, value in {**HEADERS, "Content-Security-Policy": self.policy, "Cache-Control": "no-store"}.items():
            told.headers[name] = value
        await told(scope, receive, send)

    def _answer(self, method: str, path: str) -> Response:
        if method not in ("GET", "HEAD"):
            refused = of_status(405, f"{method} {path}")
            refused.headers["Allow"] = "GET, HEAD"
            return answer(refused)
        if path == "/":
            return Response(self.page, media_type="text/html")
        if path == "/glovebook.crt":
            return Response(self.certificate, media_type=_MEDIA_TYPE)
        return RedirectResponse("/", 303)


def page_text(kept: Kept, port: int, addresses: list[str], style: str) -> str:
    """port: of the server; addresses: the numbers by which a phone reaches it where its name is not found"""
    authority, host = kept.authority[1], host_of(kept.facts.origin)
    numbers = [origin_of(address, port) for address in addresses if address != host]
    links = " or ".join(f'<a href="{html.escape(origin)}/">{html.escape(origin)}</a>' for origin in numbers[:2])
    instead = f"<p>Does this device not find that address? Then use {links}, and stay with it.</p>" if links else ""
    beside = [name for name in kept.facts.names if not name.endswith(tuple(f".{local}" for local in ca.LOCAL_NAMES))]
    told = {
        "title": title_of(authority), "origin": kept.facts.origin,
        "sha256": ca.fingerprint(authority), "sha1": ca.fingerprint(authority, hashes.SHA1()),
        "also": "".join(f", as {name}" for name in beside if ca.may_vouch_for(authority, name)),
    }  # fmt: skip
    words = {name: html.escape(value) for name, value in told.items()}
    for name in ("sha256", "sha1"):
        words[name] = words[name].replace(":", ":<wbr>")  # a line ends between two pairs
    return Template((_HERE / "trust.html").read_text(encoding="utf-8")).substitute(words, style=style, instead=instead)


def style_text() -> str:
    """The tokens of the app with their letters inside, since a device has nothing else of ours yet; then our rules."""
    tokens = (STATIC / "styles" / "tokens.css").read_text(encoding="utf-8")
    inside = re.sub(r"url\(\.\./look/([\w.-]+)\)", lambda found: f"url({_as_data(found[1])})", tokens)
    return inside + (_HERE / "trust.css").read_text(encoding="utf-8")


def _as_data(name: str) -> str:
    content = base64.b64encode((STATIC / "look" / name).read_bytes()).decode()
    return f"data:font/woff2;base64,{content}"
