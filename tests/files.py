"""The files of static/ over plain HTTP, for tests of single modules in a browser."""

import http.server
import re
import threading
from pathlib import Path

STATIC = Path(__file__).resolve().parent.parent / "static"


class _Files(http.server.SimpleHTTPRequestHandler):
    extensions_map = http.server.SimpleHTTPRequestHandler.extensions_map | {
        ".js": "text/javascript",
        ".mjs": "text/javascript",
        ".json": "application/json",
    }

    def __init__(self, *args):
        super().__init__(*args, directory=str(STATIC))

    def do_GET(self):
        if self.path == "/blank.html":
            body = blank_page()
            self.send_response(200)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)
        else:
            super().do_GET()

    def end_headers(self):
        self.send_header("Cache-Control", "no-store")
        super().end_headers()

    def log_message(self, *args):
        pass


def blank_page() -> bytes:
    """A page without the app, but with the app's own import map, so that any module can be imported into it."""
    import_map = re.search(r'<script type="importmap">.*?</script>', (STATIC / "index.html").read_text()).group()
    return f'<!doctype html><html lang="en"><title>Modules</title>{import_map}'.encode()


class Files:
    """No server of ours and no service worker: `with Files() as files:` and open `files.url`."""

    def __enter__(self):
        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), _Files)
        self.server.daemon_threads = True
        self.url = f"http://127.0.0.1:{self.server.server_port}"
        self.thread = threading.Thread(target=self.server.serve_forever, args=(0.05,))
        self.thread.start()
        return self

    def __exit__(self, *_):
        self.server.shutdown()
        self.thread.join()
        self.server.server_close()
