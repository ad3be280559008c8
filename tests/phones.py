"""The phones of one worker: they lie ready with the app installed, so that a test pays for little but what it does.

To install the app costs a browser more than most tests do: some 300 files are fetched, each is held to its hash and
compiled. So a worker does it once. A `ReadyPhone` is a phone from the shelf, emptied of all that a person left on it;
a `Phone` with a profile of its own, which can be switched off, begins with a copy of such a profile.
"""

import random
import shutil
import socket
from pathlib import Path

from asking import NOTED, evaluate
from harness import CHROME_ARGS, PHONE, Phone

# At an address without the app, so that nothing pairs and nothing is written
PLAIN = "/api/ready"
INSTALL = """async () => {
  await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' });
  await navigator.serviceWorker.ready;
}"""
# Else all pages load while the test goes on, which costs as much as the start: here they load when they are wanted.
# That they load is seen on a phone of its own, tests/browser/test_turns.py.
NO_QUIET = "window.requestIdleCallback = () => 0;"
# What a person left; the worker and its files stay
LEFT = "indexeddb,local_storage"
NO_SWITCH = (
    "This phone shares its browser with others and cannot be switched off and on: ask for `phone(lasting=True)`, "
    "which has a profile of its own, or `phone(fresh=True)`, which has never seen the app either."
)


def lasting_port() -> int:
    """A free port for servers that come and go: none that the system gives away for a call to somewhere else."""
    while True:
        port = random.randrange(20_000, 32_000)
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)):
                return port


class Shelf:
    """Phones with the app of one address each; `take` one, `put_back` it, or begin with a copy of a `profile`."""

    def __init__(self, playwright, chrome: str, folder: Path):
        self.playwright, self.chrome, self.folder = playwright, chrome, folder
        self.contexts: dict[str, list] = {}  # address -> those not in use
        self.profiles: dict[str, Path] = {}
        self._browser = None

    @property
    def browser(self):
        if self._browser is None:
            self._browser = self.playwright.chromium.launch(executable_path=self.chrome, args=CHROME_ARGS)
        return self._browser

    def keep(self, url: str) -> None:
        """From now on phones of this address are kept: its server will be there, or another one like it."""
        self.contexts.setdefault(url, [])

    def take(self, url: str):
        """Its context and a page, still blank, of a phone that holds the app and nothing else."""
        idle = self.contexts[url]
        context = idle.pop() if idle else self.with_app(url)
        page = context.new_page()
        context.new_cdp_session(page).send("Storage.clearDataForOrigin", {"origin": url, "storageTypes": LEFT})
        return context, page

    def with_app(self, url: str):
        context = self.new_context()
        page = context.new_page()
        install(page, url)
        page.close()
        return context

    def new_context(self, **options):
        context = self.browser.new_context(**(PHONE | options))
        context.add_init_script(NOTED + NO_QUIET)
        return context

    def put_back(self, url: str, context) -> None:
        for page in context.pages:
            page.close()
        context.unroute_all(behavior="ignoreErrors")
        context.set_offline(False)
        context.clear_permissions()
        context.clear_cookies()
        self.contexts[url].append(context)

    def profile(self, url: str, folder: Path) -> None:
        """Lay into this folder the profile of a browser that has the app of this address."""
        if url not in self.profiles:
            first = Phone(self.playwright, self.chrome, self.folder / str(len(self.profiles)), url)
            install(first.launch(), url)
            first.close()
            self.profiles[url] = first.folder
        shutil.copytree(self.profiles[url], folder, ignore=shutil.ignore_patterns("Singleton*"))

    def close(self) -> None:
        if self._browser is not None:
            self._browser.close()


def install(page, url: str) -> None:
    page.goto(url + PLAIN)
    evaluate(page, INSTALL)


class ReadyPhone(Phone):
    """A phone from the shelf. With other options than a phone's own it has a context of its own, without the app.

    Nor does it get the app's worker then, unless asked to, since that would fetch all of it anew for one test.
    """

    def __init__(self, shelf: Shelf, folder: Path, url: str, slow_down: float = 1, **options):
        super().__init__(shelf.playwright, shelf.chrome, folder, url, slow_down, **options)
        self.shelf, self.size = shelf, self.options.pop("viewport", None)
        self.is_shared = url in shelf.contexts and not self.options
        self.is_off = False

    def switch_on(self):
        assert not self.is_off, NO_SWITCH
        if self.is_shared:
            self.context, self.page = self.shelf.take(self.url)
        else:
            self.context = self.shelf.new_context(**({"service_workers": "block"} | self.options))
            self.page = self.context.new_page()
        self.context.set_offline(self.is_offline)
        if self.size:
            self.page.set_viewport_size(self.size)

    def close(self) -> None:
        if self.context is None:
            return
        self.is_off = True
        if self.is_shared:
            self.shelf.put_back(self.url, self.context)
        else:
            self.context.close()
        self.context = self.page = None

    def kill(self):
        raise AssertionError(NO_SWITCH)

    restart = kill
