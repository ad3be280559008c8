"""Two engines beside Chromium, each with a profile that outlives it: what a test asks of both, in one form.

`evaluate` and `wait_for_timeout` are those of a Playwright page, so that tests/floor.py serves them as well. A browser
that is not here is missing with a sentence, never in silence.
"""

import os
import shutil
import signal
import subprocess
import time
from contextlib import suppress
from pathlib import Path

import httpx
from harness import free_port
from playwright.sync_api import Error

SMALL_WEBKIT = Path(__file__).with_name("small_webkit.py")
DEBIANS = Path("/usr/bin/python3")  # the Python that Debian's gi belongs to
SECONDS = 60
ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # as W3C WebDriver names a reference to one
CALL = """
  const done = arguments[arguments.length - 1];
  Promise.resolve((%s)(arguments[0])).then((value) => done({ value }), (problem) => done({ failed: String(problem) }));
"""
KEY = """
  const [name, group] = arguments;
  const called = (node) => (node.getAttribute('aria-label') ?? node.innerText).trim();
  const all = [...document.querySelectorAll('[role=group]')];
  const within = group ? all.find((node) => called(node) === group) : document;
  return [...within.querySelectorAll('button')].find((node) => called(node).startsWith(name));
"""


class Firefox:
    """Debian's own, by WebDriver BiDi."""

    def __init__(self, playwright, folder: Path):
        self.playwright, self.folder = playwright, folder

    @staticmethod
    def missing() -> str | None:
        return None if shutil.which("firefox-esr") else "no Firefox here: apt-get install firefox-esr"

    def start(self, url: str) -> None:
        self.context = self.playwright.firefox.launch_persistent_context(
            self.folder, channel="moz-firefox", executable_path=shutil.which("firefox-esr"), headless=True,
            viewport={"width": 412, "height": 839},
        )  # fmt: skip
        self.page = self.context.pages[0]
        self.evaluate, self.wait_for_timeout = self.page.evaluate, self.page.wait_for_timeout
        self.page.goto(url)

    def press(self, name: str, group: str | None = None) -> None:
        within = self.page.get_by_role("group", name=group) if group else self.page
        within.get_by_role("button", name=name).first.click()

    def kill(self) -> None:
        killed(lambda process: str(self.folder).encode() in (process / "cmdline").read_bytes())
        self.close()

    def close(self) -> None:
        with suppress(Error):  # it may be dead
            self.context.close()


class WebKit:
    """WebKitGTK in a window of our own on a screen that nobody sees, by W3C WebDriver."""

    def __init__(self, _, folder: Path):
        self.folder, self.running, self.http = folder, [], None

    @staticmethod
    def missing() -> str | None:
        asked = "import gi; gi.require_version('WebKit2', '4.1'); from gi.repository import WebKit2"
        if not (shutil.which("WebKitWebDriver") and shutil.which("Xvfb") and DEBIANS.exists()):
            return "no WebKitGTK here: apt-get install webkit2gtk-driver gir1.2-webkit2-4.1 python3-gi xvfb"
        if subprocess.run([DEBIANS, "-c", asked], capture_output=True).returncode:
            return "no WebKitGTK for Python here: apt-get install gir1.2-webkit2-4.1 python3-gi"
        return None

    def start(self, url: str) -> None:
        screen = ["Xvfb", "-displayfd", "1", "-nolisten", "tcp", "-screen", "0", "800x1000x24"]
        self.running = [subprocess.Popen(screen, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)]
        display = self.running[0].stdout.readline().strip()
        port, ours = free_port(), {"DISPLAY": f":{display}", "WEBKIT_PROFILE": str(self.folder)}
        driver = [shutil.which("WebKitWebDriver"), f"--port={port}"]
        self.running.append(subprocess.Popen(driver, env=os.environ | ours, stderr=subprocess.DEVNULL))
        self.http = httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=SECONDS)
        self.wait_until_it_listens()
        options = {"binary": str(SMALL_WEBKIT), "args": ["--automation"]}
        session = self.post("/session", capabilities={"alwaysMatch": {"webkitgtk:browserOptions": options}})
        self.session = f"/session/{session['sessionId']}"
        self.post(f"{self.session}/timeouts", script=SECONDS * 1000, pageLoad=SECONDS * 1000)
        self.post(f"{self.session}/url", url=url)

    def wait_until_it_listens(self) -> None:
        for _ in range(200):
            with suppress(httpx.ConnectError):
                self.http.get("/status")
                return
            time.sleep(0.05)
        raise AssertionError("WebKitWebDriver did not start within 10 s")

    def post(self, path: str, **body):
        answer = self.http.post(path, json=body).json()["value"]
        if isinstance(answer, dict) and "error" in answer:
            raise Error(f"{answer['error']}: {answer['message']}")
        return answer

    def evaluate(self, function: str, given=None):
        told = self.post(f"{self.session}/execute/async", script=CALL % function, args=[given])
        if "failed" in told:
            raise Error(told["failed"])
        return told.get("value")

    def wait_for_timeout(self, ms: float) -> None:
        time.sleep(ms / 1000)

    def press(self, name: str, group: str | None = None) -> None:
        found = self.post(f"{self.session}/execute/sync", script=KEY, args=[name, group])
        self.post(f"{self.session}/element/{found[ELEMENT]}/click")

    def kill(self) -> None:
        """Everything of this profile at once: the window, its page, its network and storage, the driver."""
        mark = f"WEBKIT_PROFILE={self.folder}".encode()
        killed(lambda process: mark in (process / "environ").read_bytes().split(b"\0"))
        self.end()

    def close(self) -> None:
        if self.running:
            with suppress(httpx.HTTPError):
                self.http.delete(self.session)
        self.end()

    def end(self) -> None:
        if self.http:
            self.http.close()
        for one in reversed(self.running):
            one.kill()
            one.communicate()
        self.running = []


def killed(is_one) -> None:
    """kill -9 of our own processes that are so, at least one."""
    count = 0
    for process in Path("/proc").iterdir():
        with suppress(OSError):  # it ended while we looked, or is another's
            if process.name.isdigit() and int(process.name) != os.getpid() and is_one(process):
                os.kill(int(process.name), signal.SIGKILL)
                count += 1
    assert count, "there was no browser to kill"
