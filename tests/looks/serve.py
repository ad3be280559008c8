"""Serves static/ with the gallery beside it and a stand-in for the live book: `python tests/looks/serve.py 8731`."""

import http.server
import sys
from functools import partial
from pathlib import Path

LOOKS = Path(__file__).resolve().parent
STATIC = LOOKS.parent.parent / "static"


class Gallery(http.server.SimpleHTTPRequestHandler):
    keeping = "no-store"

    def guess_type(self, path):
        return "text/javascript" if str(path).endswith((".js", ".mjs")) else super().guess_type(path)

    def translate_path(self, path):
        path = path.split("?")[0]
        if path == "/data/book.js":
            return str(LOOKS / "book.js")
        if path in ("/gallery/", "/gallery/gallery.html", "/gallery/gallery.js"):
            return str(LOOKS / (path.removeprefix("/gallery/") or "gallery.html"))
        return super().translate_path(path)

    def end_headers(self):
        self.send_header("Cache-Control", self.keeping)
        super().end_headers()

    def log_message(self, *words):
        pass


class KeptGallery(Gallery):
    """A browser asks once for each file: for tests, during which none changes."""

    keeping = "max-age=3600"


def gallery(port: int = 0, is_kept: bool = False) -> http.server.ThreadingHTTPServer:
    handler = partial(KeptGallery if is_kept else Gallery, directory=str(STATIC))
    return http.server.ThreadingHTTPServer(("127.0.0.1", port), handler)


if __name__ == "__main__":
    gallery(int(sys.argv[1])).serve_forever()
