"""`glovebook serve` and `glovebook demo`: a book, an app around it, and uvicorn under it."""

import argparse
import logging
import secrets
import signal
import socket
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from server.app import Office, build_app
from server.authority import now_utc
from server.backup import backup_before_change
from server.backups import Keeper, how_it_is_kept, plan_of
from server.certificates import folder_of
from server.derived import Refresher
from server.desk import Problem
from server.doors import Listener, configured
from server.lan import PORT, House, listener_at
from server.own_certificate import Upkeep, checked
from server.security import host_name, is_loopback
from server.store import Store

LOOPBACK = "127.0.0.1"
WILDCARDS = {"0.0.0.0", "::", None}


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
    from server.demo import fill, pin_words

    end_in_order()
    with (
        tempfile.TemporaryDirectory(prefix="glovebook-demo-") as folder,
        Store(Path(folder) / "book.db", site=f"demo-{secrets.token_hex(4)}") as book,
    ):
        fill(book)
        words = ["DEMO: an invented distillery. All of it is thrown away when this stops.", pin_words()]
        return run(book, options, words, is_demo=True)


@dataclass(frozen=True)
class Way:
    """How people reach the server. origin: the one address for phones; certificate: uvicorn's words for it."""

    listener: Listener
    origin: str
    names: frozenset[str]
    certificate: dict
    words: list[str]
    upkeep: House | Upkeep | None = None


def run(
    book: Store, options: argparse.Namespace, words: list[str], keeper: Keeper | None = None, is_demo: bool = False
) -> int:
    """Serve until asked to stop. What was acknowledged is on disk before its answer goes out."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(message)s")
    way = way_in_the_house(book, options) if options.lan else way_by_options(options)
    scheme = "https" if way.certificate else "http"
    phones = None if not options.lan and is_loopback(options.host or LOOPBACK) else way.origin
    office = Office(book, secrets.token_urlsafe(32), is_demo, Refresher(book), address=phones, keeper=keeper)
    book.lock.note({"url": f"{scheme}://{_authority(*way.listener.getsockname()[:2])}", "key": office.key})
    config = configured(build_app(office, way.names), way.listener, **way.certificate)
    print("\n".join([f"Glovebook is at {way.origin}", *words, *way.words]), flush=True)
    try:
        office.search.start()
        if way.upkeep:
            way.upkeep.start(config)
        uvicorn.Server(config).run(sockets=[way.listener])
    finally:
        if way.upkeep:
            way.upkeep.stop()
        office.refresher.close()
        office.search.close()
        way.listener.close()
    return 0


def way_in_the_house(book: Store, options: argparse.Namespace) -> Way:
    if options.certfile or options.keyfile:
        raise Problem("--lan makes a certificate of its own. Give --certfile and --keyfile without it, or --lan alone.")
    house = House(folder_of(book.path), named(options), options.port, options.trust_port)
    listener = listener_at(options.host, house.port)
    listener.leads = house.plain_origin
    words = [*house.words(), how_to_pair(options)[0]]
    names = names_of(options) | house.names
    return Way(listener, house.origin, names, {"ssl_certfile": house.certfile}, words, house)


def way_by_options(options: argparse.Namespace) -> Way:
    names, certificate, upkeep, words = names_of(options), {}, None, how_to_pair(options)
    if options.certfile:
        words = [*words, *checked(options.certfile, options.keyfile, frozenset(named(options)), now_utc())]
        certificate = {"ssl_certfile": options.certfile, "ssl_keyfile": options.keyfile}
        upkeep = Upkeep(options.certfile, options.keyfile)
    listener = listener_at(options.host or LOOPBACK, PORT if options.port is None else options.port)
    origin = f"{'https' if certificate else 'http'}://{address_of(listener, names)}"
    listener.leads = (lambda _: origin) if certificate else None
    return Way(listener, origin, names, certificate, words, upkeep)


def names_of(options: argparse.Namespace) -> frozenset[str]:
    """The names beside loopback that the server answers to: --host, unless it means every address, and --name."""
    if bool(options.certfile) != bool(options.keyfile):
        raise Problem("A certificate needs its key and a key its certificate: give --certfile and --keyfile together.")
    host = {options.host} - WILDCARDS
    return frozenset([*named(options), *(plain_name(one) for one in host)])


def named(options: argparse.Namespace) -> list[str]:
    return [plain_name(name) for name in options.name]


def plain_name(name: str) -> str:
    """A machine's name in small letters, or its address; raises Problem."""
    found = host_name(f"[{name}]" if ":" in name else name)
    if found is None:
        raise Problem(f"{name} is no machine's name. Give --name without http:// and port.")
    return found


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
    if not options.lan and is_loopback(options.host or LOOPBACK):
        return ["Only this machine can reach it; a browser here needs no code."]
    words = ["To pair a phone, run `glovebook pair` on this machine and type the code on the phone."]
    if not (options.certfile or options.lan):
        words.append(
            "WARNING: without a certificate (--lan makes one) phones will not work offline: over plain HTTP a "
            "browser gives them no app to keep, and what they send can be read on the way."
        )
    return words
