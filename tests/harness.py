"""What the browser tests stand on: a server to kill, a phone to switch off."""

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from asking import NOTED, wait_until

ROOT = Path(__file__).resolve().parent.parent

# The phone of the design: 393 x 851 CSS pixels, pixel ratio 2.75, touch.
PHONE = {"viewport": {"width": 393, "height": 851}, "device_scale_factor": 2.75, "is_mobile": True, "has_touch": True}
BOOK_OPEN = "() => (document.documentElement.dataset.book ?? 'none') !== 'none'"
READY = "async () => (await (await import('/data/ready.js')).readyWithoutNetwork()).ready"
CHROME_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
CHROME_ARGS = ["--no-sandbox", "--disable-dev-shm-usage"]


def find_chrome() -> str | None:
    """A Chromium: the variable CHROME, then the PATH, then the one that Playwright keeps for itself; else None."""
    wanted = os.environ.get("CHROME")
    if wanted:
        return wanted if Path(wanted).exists() else shutil.which(wanted)
    on_path = next((found for name in CHROME_NAMES if (found := shutil.which(name))), None)
    return on_path or playwrights_own()


def playwrights_own() -> str | None:
    # In a child: starting Playwright's driver here would leave its event loop running in the tests.
    ask = "from playwright.sync_api import sync_playwright as s\nwith s() as p: print(p.chromium.executable_path)"
    told = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True)
    path = told.stdout.strip()
    return path if path and Path(path).exists() else None


GIVEN_PORTS: set[int] = set()


def free_port() -> int:
    """A port that nobody listens at, on any address; never the same one twice in a run."""
    while True:
        with socket.create_server(("", 0)) as probe:
            port = probe.getsockname()[1]
        if port not in GIVEN_PORTS:
            GIVEN_PORTS.add(port)
            return port


class Server:
    """`glovebook serve` as a child process on a free port with a book of its own; `kill` and `start` keep both.

    root: the tree to serve from, when a test needs a copy that it may change (see `copy_of_tree`)
    is_demo: serve the invented distillery's book instead, which is gone when the child stops
    spring: a `spring.Spring`, to start in a tenth of the time
    """

    def __init__(self, folder: Path, port: int | None = None, root: Path = ROOT, is_demo: bool = False, spring=None):
        folder.mkdir(parents=True, exist_ok=True)
        self.folder, self.root, self.spring = folder, root, spring
        self.book = folder / "book.db"
        self.words = ["demo"] if is_demo else ["serve", "--book", str(self.book)]
        self.port = port or free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.child = None  # as subprocess.Popen

    def command(self, name: str, *words: str) -> str:
        """Run another command of glovebook on this book; returns what it printed."""
        line = [sys.executable, "-m", "server", name, "--book", str(self.book), *words]
        return subprocess.run(line, cwd=self.root, check=True, capture_output=True, text=True).stdout

    def start(self) -> "Server":
        self.child = self.run([*self.words, "--port", str(self.port)], self.folder / "server.log")
        deadline = time.monotonic() + 60  # the demo's book took 17 s on two cores that twenty programs shared
        while time.monotonic() < deadline:
            if self.child.poll() is not None:
                break
            try:
                with urllib.request.urlopen(self.url + "/api/ready", timeout=2) as answer:
                    answer.read()
                    return self
            except OSError:
                time.sleep(0.05)
        log = self.log()
        self.kill()
        raise AssertionError(f"The server did not start on port {self.port}:\n{log}")

    def run(self, words: list[str], log: Path):
        if self.spring:
            return self.spring.start(words, log)
        with open(log, "ab") as file:
            line = [sys.executable, "-m", "server", *words]
            return subprocess.Popen(line, cwd=self.root, stdout=file, stderr=file)

    def log(self) -> str:
        return (self.folder / "server.log").read_text(errors="replace")

    def kill(self) -> None:
        """As a power cut would: no time to tidy up."""
        if self.child is not None:
            self.child.kill()
            self.child.wait()
            self.child = None

    def stop(self) -> None:
        if self.child is not None:
            self.child.terminate()
            try:
                self.child.wait(10)
            except subprocess.TimeoutExpired:
                self.kill()
            self.child = None

    def post(self, path: str, body: dict, token: str | None = None) -> dict:
        headers = {"Content-Type": "application/json"} | ({"Authorization": f"Bearer {token}"} if token else {})
        request = urllib.request.Request(self.url + path, json.dumps(body).encode(), headers)
        with urllib.request.urlopen(request, timeout=60) as answer:
            return json.load(answer)

    def entries(self) -> list[dict]:
        """What the server holds, read as a phone reads it: a new device pairs and syncs from 0."""
        paired = self.post("/api/pair", {})
        found, since = [], 0
        while True:
            asked = {key: paired[key] for key in ("site", "device", "epoch")} | {"v": 1, "since": since, "entries": []}
            answer = self.post("/api/sync", asked, paired["token"])
            found += [json.loads(row["text"]) | {"seq": row["seq"], "marks": row["marks"]} for row in answer["entries"]]
            since = answer["since"]
            if not answer["more"]:
                return found


def copy_of_tree(target: Path) -> Path:
    """A copy of the server and of the page's files, for tests that release a new version."""
    for name in ("server", "static", "demo_site"):
        shutil.copytree(ROOT / name, target / name, ignore=shutil.ignore_patterns("__pycache__"))
    return target


class Phone:
    """A browser profile at phone size. `restart` closes and opens it again; `kill` is a flat battery."""

    def __init__(self, playwright, chrome: str, folder: Path, url: str, slow_down: float = 1, **options):
        self.playwright, self.chrome, self.folder, self.url = playwright, chrome, folder, url
        self.slow_down, self.options = slow_down, options
        self.context = None
        self.page = None
        self.is_offline = False

    def launch(self):
        """Start the browser; returns its page, still empty."""
        if self.context is None:
            self.switch_on()
            self.context.set_default_timeout(40_000)
            self.errors = []
            self.page.on("pageerror", lambda error: self.errors.append(str(error)))
            if self.slow_down != 1:
                self.cdp().send("Emulation.setCPUThrottlingRate", {"rate": self.slow_down})
        return self.page

    def switch_on(self) -> None:
        self.context = self.playwright.chromium.launch_persistent_context(
            self.folder, executable_path=self.chrome, headless=True, args=CHROME_ARGS,
            offline=self.is_offline, **(PHONE | self.options),
        )  # fmt: skip
        self.context.add_init_script(NOTED)
        self.page = self.context.pages[0]

    def open(self, hash_: str = "", wait: bool = True):
        """Start the browser where it is not running, and open the app; returns its page."""
        self.launch()
        self.page.goto(self.url + "/" + hash_)
        if wait:
            self.wait_for_book(self.page)
        return self.page

    def wait_for_book(self, page, seconds: float = 45) -> None:
        try:
            wait_until(page, BOOK_OPEN, seconds=seconds)
        except AssertionError as late:
            shown = page.locator("body").inner_text()
            files = page.evaluate("() => performance.getEntriesByType('resource').map((one) => one.name)")
            told = f"The page shows: {shown!r}\nErrors: {self.errors}\n{len(files)} files came, last {files[-3:]}"
            raise AssertionError(f"No book was opened. {told}") from late

    def tab(self, hash_: str = ""):
        page = self.context.new_page()
        page.goto(self.url + "/" + hash_)
        self.wait_for_book(page)
        return page

    def cdp(self):
        return self.context.new_cdp_session(self.page)

    def offline(self, off: bool = True) -> None:
        self.is_offline = off
        if self.context is not None:
            self.context.set_offline(off)

    def ready(self) -> None:
        """Wait until the app itself says that it works without a network."""
        wait_until(self.page, READY)

    def close(self) -> None:
        if self.context is not None:
            self.context.close()
            self.context = self.page = None

    def kill(self) -> int:
        """kill -9 of this phone's own browser processes, found by their profile folder; returns how many there were."""
        found = self.pids()
        for pid in found:
            os.kill(pid, signal.SIGKILL)
        from playwright.sync_api import Error

        try:
            self.close()
        except Error:  # the driver saw the browser go before it was asked to close it
            self.context = self.page = None
        return len(found)

    def pids(self) -> list[int]:
        mark = f"--user-data-dir={self.folder}".encode()
        found = []
        for proc in Path("/proc").iterdir():
            try:
                if proc.name.isdigit() and mark in (proc / "cmdline").read_bytes().split(b"\0"):
                    found.append(int(proc.name))
            except OSError:
                continue  # ended while we looked
        return found

    def restart(self, hash_: str = ""):
        self.close()
        return self.open(hash_)
