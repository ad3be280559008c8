"""Start without a network beside a bare page with a trivial worker: one run, 4x slow-down, a table and the ratio.

Run it from the project's folder: `python -m tests.bench.bench_start`. Cold is a new browser process; warm is the same
page again. The app's time ends when its book is open and the first page is drawn; the bare page's at its load event.
The slow-down reaches the page, not the worker and not the browser's own process. It fails when the app costs more than
LIMIT bare pages: a ratio, since a busy machine slows both.
"""

import statistics
import sys
import tempfile
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from asking import wait_until
from floor import until
from harness import Phone, Server, find_chrome
from playwright.sync_api import sync_playwright

ROUNDS = 7
SLOW_DOWN = 4
LIMIT = 12
BARE = {
    "/": ("text/html", "<!doctype html><html lang=en><title>Bare</title><p>Bare<script src=/bare.js></script>"),
    "/bare.js": (
        "text/javascript",
        "addEventListener('load', () => { document.documentElement.dataset.book = 'bare'; });"
        "navigator.serviceWorker.register('/sw.js');",
    ),
    "/sw.js": (
        "text/javascript",
        "addEventListener('install', (e) => e.waitUntil(caches.open('c').then((c) => c.addAll(['/', '/bare.js']))));"
        "addEventListener('activate', (e) => e.waitUntil(clients.claim()));"
        "addEventListener('fetch', (e) => e.respondWith(caches.match(e.request)));",
    ),
}
# The time since the start of the navigation at which the page says which book is open.
CLOCK = """
  new MutationObserver((_, observer) => {
    if ((document.documentElement?.dataset.book ?? 'none') === 'none') return;
    window.startedAt ??= performance.now();
    observer.disconnect();
  }).observe(document, { attributes: true, subtree: true, attributeFilter: ['data-book'] });
"""


class _Bare(BaseHTTPRequestHandler):
    def do_GET(self):
        sort, text = BARE.get(self.path, ("text/plain", ""))
        self.send_response(200 if self.path in BARE else 404)
        self.send_header("Content-Type", sort)
        self.send_header("Content-Length", str(len(text)))
        self.end_headers()
        self.wfile.write(text.encode())

    def log_message(self, *args):
        pass


def started(phone: Phone) -> float:
    """Milliseconds of the start that the page now shows."""
    return wait_until(phone.page, "() => window.startedAt")


def measured(phone: Phone) -> tuple[float, float]:
    """Medians of cold and warm starts without a network."""
    cold, warm = [], []
    phone.close()
    phone.offline()
    for _ in range(ROUNDS):
        phone.launch().add_init_script(CLOCK)
        phone.open()
        cold.append(started(phone))
        phone.open()
        warm.append(started(phone))
        phone.close()
    return statistics.median(cold), statistics.median(warm)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = Server(Path(folder) / "server", is_demo=True).start()
        bare_server = ThreadingHTTPServer(("127.0.0.1", 0), _Bare)
        threading.Thread(target=bare_server.serve_forever).start()
        app = Phone(playwright, find_chrome(), Path(folder) / "app", server.url, SLOW_DOWN)
        until(app.open(), "book.saved.last_sync && sync.status.state === 'idle'")
        app.ready()
        bare_url = f"http://127.0.0.1:{bare_server.server_port}"
        bare = Phone(playwright, find_chrome(), Path(folder) / "bare", bare_url, SLOW_DOWN)
        bare.open()
        wait_until(bare.page, "() => Boolean(navigator.serviceWorker.controller)")
        bare.close()  # a slowed browser takes time from the other one even when it rests
        rows = {"app": measured(app), "bare page": measured(bare)}
        bare_server.shutdown()
        bare_server.server_close()
        server.stop()
    print(f"{SLOW_DOWN}x slow-down, without network, median of {ROUNDS}, ms\n{'':>12}{'cold':>10}{'warm':>10}")
    for name, (cold, warm) in rows.items():
        print(f"{name:>12}{cold:>10.0f}{warm:>10.0f}")
    ratios = [ours / theirs for ours, theirs in zip(rows["app"], rows["bare page"], strict=True)]
    print(f"{'app : bare':>12}" + "".join(f"{ratio:>10.1f}" for ratio in ratios))
    if max(ratios) > LIMIT:
        sys.exit(f"A start costs {max(ratios):.1f} bare pages; {LIMIT} are allowed.")


if __name__ == "__main__":
    main()
