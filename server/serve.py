"""`glovebook serve` and `glovebook demo`: a book, an app around it, and uvicorn under it."""

import argparse
import logging
import secrets
import signal
import socket
import sys
import tempfile
from pathlib import Path

import uvicorn

from server.app import Office, build_app
from server.backup import backup_before_change
from server.backups import Keeper, how_it_is_kept, plan_of
from server.derived import Refresher
from server.desk import Problem
from server.security import host_name, is_loopback
from server.store import Store

KEEP_ALIVE_SECONDS = 20
STOP_SECONDS = 5
WILDCARDS = {"0.0.0.0", "::"}


def end_in_order() -> None:
    """Let SIGTERM unwind as Ctrl-C does: uvicorn passes it on when it has stopped, and the book is still open then."""
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))


def serve_book(options: argparse.Namespace) -> int:
    end_in_order()
    plan = plan_of(options)
    with Store(options.book, before_change=lambda path: backup_before_change(path, plan.folder)) as book:
        keeper = Keeper(book.path, plan).start()
        try:
            words = [f"The book lies in {book.path.resolve()}.", *how_it_is_kept(plan, book.path)]
            return run(book, options, words, keeper)
        finally:
            keeper.close()


def serve_demo(options: argparse.Namespace) -> int:
    from server.demo import fill

    end_in_order()
    with (
        tempfile.TemporaryDirectory(prefix="glovebook-demo-") as folder,
        Store(Path(folder) / "book.db", site=f"demo-{secrets.token_hex(4)}") as book,
    ):
        fill(book)
        words = ["DEMO: an invented distillery. All of it is thrown away when this stops."]
        return run(book, options, words, is_demo=True)


def run(
    book: Store, options: argparse.Namespace, words: list[str], keeper: Keeper | None = None, is_demo: bool = False
) -> int:
    """Serve until asked to stop. What was acknowledged is on disk before its answer goes out."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(message)s")
    names = names_of(options)
    listener, scheme = listen(options), "https" if options.certfile else "http"
    url = f"{scheme}://{address_of(listener, names)}"
    phones = None if is_loopback(options.host) else url
    office = Office(book, secrets.token_urlsafe(32), is_demo, Refresher(book), address=phones, keeper=keeper)
    book.lock.note({"url": f"{scheme}://{_authority(*listener.getsockname()[:2])}", "key": office.key})
    server = uvicorn.Server(configured(options, build_app(office, names)))
    print("\n".join([f"Glovebook is at {url}", *words, *how_to_pair(options)]), flush=True)
    try:
        server.run(sockets=[listener])
    finally:
        office.refresher.close()
        listener.close()
    return 0


def configured(options: argparse.Namespace, app) -> uvicorn.Config:
    """uvicorn with nothing that talks too much or believes too much."""
    return uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, proxy_headers=False, lifespan="off", ws="none",
        timeout_keep_alive=KEEP_ALIVE_SECONDS, timeout_graceful_shutdown=STOP_SECONDS,
        ssl_certfile=options.certfile, ssl_keyfile=options.keyfile,
    )  # fmt: skip


def names_of(options: argparse.Namespace) -> frozenset[str]:
    """The names beside loopback that the server answers to: --host, unless it means every address, and --name."""
    if bool(options.certfile) != bool(options.keyfile):
        raise Problem("A certificate needs its key and a key its certificate: give --certfile and --keyfile together.")
    given = [*options.name, *({options.host} - WILDCARDS)]
    names = {host_name(f"[{name}]" if ":" in name else name) for name in given}
    if None in names:
        raise Problem(f"{options.name} holds no machine's name. Give --name without http:// and port.")
    return frozenset(names)


def listen(options: argparse.Namespace) -> socket.socket:
    try:
        family = socket.AF_INET6 if ":" in options.host else socket.AF_INET
        return socket.create_server((options.host, options.port), family=family, backlog=128)
    except OSError as error:
        raise Problem(f"Port {options.port} at {options.host} cannot be opened: {error.strerror or error}. "
                      "Is Glovebook running already? Another port is given with --port.") from None  # fmt: skip


def address_of(listener: socket.socket, names: frozenset[str]) -> str:
    """What to type into a browser: a given name where there is one."""
    host, port = listener.getsockname()[:2]
    named = sorted(name for name in names if not is_loopback(name))
    if not named and host in WILDCARDS:
        host = own_address()
    return _authority(named[0] if named else host, port)


def own_address() -> str:
    """This machine's address in the house, as the system would send from it; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address kept free for documentation
            return probe.getsockname()[0]
        except OSError:
            return "127.0.0.1"


def _authority(host: str, port: int) -> str:
    host = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)
    return f"[{host}]:{port}" if ":" in host else f"{host}:{port}"


def how_to_pair(options: argparse.Namespace) -> list[str]:
    if is_loopback(options.host):
        return ["Only this machine can reach it; a browser here needs no code."]
    words = ["To pair a phone, run `glovebook pair` on this machine and type the code on the phone."]
    if not options.certfile:
        words.append(
            "WARNING: without a certificate (--certfile, --keyfile) phones will not work offline: over plain HTTP a "
            "browser gives them no app to keep, and what they send can be read on the way."
        )
    return words
