"""`glovebook serve --lan`: the house's own certificate, the page that leads through trusting it, and their upkeep."""

import asyncio
import errno
import logging
import os
import socket
import threading
from functools import partial
from pathlib import Path
from urllib.parse import urlsplit

import uvicorn

from server import authority as ca
from server import certificates, machine
from server.certificate_desk import described
from server.desk import Problem
from server.doors import Listener, configured
from server.trust import TrustPage

log = logging.getLogger("glovebook")

PORT, TRUST_PORT = 8710, 8711
WINDOWS_IN_USE = 10048  # WSAEADDRINUSE
TEND_SECONDS = 600  # how often the certificate is looked at while serving


class House:
    """Serving the house. `names`: what this server answers to; `certfile`: key and certificate in one file."""

    def __init__(self, folder: Path, names: list[str], port: int | None, trust_port: int):
        if port == 0:
            raise Problem("With --lan the port must stay, since phones keep their book under it. Leave out --port 0.")
        self.folder = folder
        self._asked_port = port
        self.kept, self.warnings = certificates.settled(folder, names, port, ca.now_utc())
        origin = urlsplit(self.kept.facts.origin)
        self.origin, self.port = self.kept.facts.origin, origin.port or 443 if port is None else port
        self.names = frozenset(self.kept.facts.names) | {origin.hostname}
        self.certfile = folder / certificates.SERVER
        self.listener = listener_at(None, trust_port, "--trust-port")
        self._loaded = stamp_of(self.certfile)
        self._page = TrustPage(self.kept, self.port, [str(address) for address in machine.addresses()])
        self._trust: uvicorn.Server | None = None
        self._thread: threading.Thread | None = None

    def start(self, config: uvicorn.Config) -> None:
        """The plain page has a thread and a loop of its own, so that nothing on it can hold up the book."""
        config.callback_notify, config.timeout_notify = partial(self.tend, config), TEND_SECONDS
        self._trust = uvicorn.Server(configured(self._page, self.listener))
        self._thread = threading.Thread(target=self._trust.run, kwargs={"sockets": [self.listener]}, name="trust page")
        self._thread.start()

    def stop(self) -> None:
        if self._trust:
            self._trust.should_exit = True
            self._thread.join()
        self.listener.close()

    async def tend(self, config: uvicorn.Config) -> None:
        """Renew what is due and take it up at once; open connections keep the one that they began with."""
        try:
            why = await asyncio.to_thread(certificates.renew, self.folder, ca.now_utc())
            if why:
                log.info("Made a new certificate for this server: %s.", why)
            if stamp_of(self.certfile) != self._loaded:
                config.ssl.load_cert_chain(self.certfile)
                self._loaded = stamp_of(self.certfile)
            await asyncio.to_thread(self.look_around)
        except Exception as problem:  # whatever it is, the one that is in use goes on serving
            log.error("The certificate could not be looked after: %s", problem)

    def look_around(self) -> None:
        """What has changed about this machine is told once, in the log and on the page."""
        kept = certificates.kept(self.folder)
        told = certificates.warnings(kept, self._asked_port, ca.now_utc())
        for words in told:
            if words not in self.warnings:
                log.warning("%s", words)
        self.warnings = told
        self._page.tell(kept, self.port, [str(address) for address in machine.addresses()])

    def plain_origin(self, address: str) -> str:
        """The plain page by a number of this machine: under its name a browser may have been told to use HTTPS."""
        return f"http://{f'[{address}]' if ':' in address else address}:{self.listener.getsockname()[1]}"

    def words(self) -> list[str]:
        """What is printed at the start, for the person who stands in front of this machine."""
        found = machine.addresses()
        plain = self.plain_origin(str(found[0]) if found else "127.0.0.1")
        return [
            f"A device that does not trust this server yet opens {plain} first; it leads through that.",
            *described(self.kept.authority[1]),
            f"A browser on this machine itself needs no code at https://localhost:{self.port}.",
            *self.warnings,
        ]


def listener_at(host: str | None, port: int, option: str = "--port") -> Listener:
    """A listening socket; without a host at every address of this machine, by IPv6 too where the system has both.

    option: how the port was given, for the one who has to give another
    """
    try:
        if host:
            family = socket.AF_INET6 if ":" in host else socket.AF_INET
            return Listener(socket.create_server((host, port), family=family))
        if socket.has_dualstack_ipv6():
            return Listener(socket.create_server(("::", port), family=socket.AF_INET6, dualstack_ipv6=True))
        return Listener(socket.create_server(("0.0.0.0", port)))
    except OSError as error:
        raise Problem(f"Port {port} at {host or 'this machine'} cannot be opened: {why_shut(error, option)}") from None


def why_shut(error: OSError, option: str) -> str:
    """Why a port cannot be listened at, and what to do."""
    if error.errno in (errno.EADDRINUSE, WINDOWS_IN_USE):
        return f"it is in use. Is Glovebook running already? Another port is given with {option}."
    if error.errno == errno.EACCES:
        return f"the system keeps ports below 1024 for itself. Another one is given with {option}, as {option} 8710."
    if error.errno in (errno.EADDRNOTAVAIL, socket.EAI_NONAME, socket.EAI_AGAIN):
        return "this machine has no such name or address. Leave --host out, or give one of its own."
    return f"{error.strerror or error}. Another port is given with {option}."


def stamp_of(path: Path) -> tuple[int, int]:
    found = os.stat(path)
    return found.st_mtime_ns, found.st_ino
