"""The folder beside the book that keeps the local authority, the server's certificate, and the address phones know.

Each file holds a key with its certificate and is replaced in one step, so that no moment and no power cut leaves one
without the other. Files are the owner's only (on Windows they stand under the owner's own profile). A backup of the
book leaves this folder out: whoever holds the authority's key can pose as this server to every phone that trusts it.
"""

import contextlib
import json
import os
import secrets
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path
from urllib.parse import urlsplit

from cryptography import x509

from server import authority as ca
from server import machine
from server.desk import Problem

RENEW_BEFORE = timedelta(days=60)
WARN_BEFORE = timedelta(days=ca.LEAF_DAYS + 60)  # of the authority's own end: every phone has to trust a new one
BUILT = datetime(2026, 1, 1, tzinfo=UTC)  # no clock that is right says less
AUTHORITY, SERVER, FACTS = "authority.pem", "server.pem", "origin.json"


@dataclass(frozen=True)
class Facts:
    """What was chosen once and must stay, since a phone's data live under this address."""

    origin: str
    names: tuple[str, ...]
    machine: str | None


@dataclass(frozen=True)
class Kept:
    """The whole folder, read."""

    facts: Facts
    authority: ca.Pair
    server: ca.Pair


def folder_of(book: Path) -> Path:
    return book.with_name(book.name + ".certificates")


def host_of(origin: str) -> str:
    return urlsplit(origin).hostname or ""


def kept(folder: Path) -> Kept:
    """What stands in the folder; raises Problem when nothing was made yet."""
    return Kept(_facts(folder), _authority(folder), _server(folder) or _no_server(folder))


def settled(folder: Path, names: list[str], port: int | None, now: datetime) -> tuple[Kept, list[str]]:
    """Everything that serving the house needs: made where it is missing, renewed where it is due.

    names: given with --name; the first of the first time is the one that phones use
    port: None for the one that phones know, else 8710
    returns: what is kept, and warnings
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    here = machine.name()
    facts = _facts(folder) if (folder / FACTS).exists() else _first_facts(names, port or 8710, here)
    own = [f"{here}.local", here] if here else []
    facts = replace(facts, names=tuple(dict.fromkeys([*facts.names, *names, *own])))
    if not (folder / AUTHORITY).exists():
        if (folder / FACTS).exists():
            raise Problem(f"{folder / AUTHORITY} is gone. Put it back from a copy; or run `glovebook certificate renew "
                          "--authority`, after which every phone has to trust a new one.")  # fmt: skip
        _check_clock(now)
        _write(folder / AUTHORITY, ca.pem_of(ca.new_authority(here or "server", _hosts(facts.names), now)))
    _write_facts(folder, facts)
    renew(folder, now)
    found = kept(folder)
    return found, warnings(found, port, now)


def renew(folder: Path, now: datetime, even_so: bool = False) -> str | None:
    """A new certificate for the server when one is due, or even so; returns why, or None when nothing was done."""
    facts, pair, before = _facts(folder), _authority(folder), _server(folder)
    wanted = wanted_of(facts, pair[1])
    why = why_renew(before[1] if before else None, pair[1], wanted, now) or ("it was asked for" if even_so else None)
    if why:
        names = [name for name in wanted if not _is_address(name)]
        numbers = [ip_address(name) for name in wanted if _is_address(name)]
        _write(folder / SERVER, ca.pem_of(ca.new_leaf(pair, names, numbers, now)))
    return why


def why_renew(
    leaf: x509.Certificate | None, authority: x509.Certificate, wanted: list[str], now: datetime
) -> str | None:
    """What is wrong with the server's certificate, in words that end a sentence; None when it may stay."""
    if leaf is None:
        return "there is none"
    try:
        leaf.verify_directly_issued_by(authority)
    except Exception:  # each library version has its own kinds for a wrong name, key or signature
        return "it is not of this authority"
    if now < authority.not_valid_before_utc:
        return None  # this machine's clock is behind: what would be made now, no phone would take
    missing = [name for name in wanted if name not in ca.spoken_for(leaf)]
    if missing:
        return f"{', '.join(missing)} is missing in it"
    return "it ends soon" if leaf.not_valid_after_utc - now < RENEW_BEFORE else None


def wanted_of(facts: Facts, authority: x509.Certificate) -> list[str]:
    """Names and addresses for the certificate, the one that phones use first, as far as the authority may vouch."""
    found = [host_of(facts.origin), *facts.names, "localhost", *map(str, machine.addresses()), "127.0.0.1", "::1"]
    return [name for name in dict.fromkeys(found) if ca.may_vouch_for(authority, name)]


def new_authority(folder: Path, names: list[str], now: datetime) -> None:
    """Another authority in place of the one that was, also for these names; every phone has to trust it anew."""
    facts = _facts(folder)
    _check_clock(now)
    known = _hosts((*names, *facts.names))
    _write(folder / AUTHORITY, ca.pem_of(ca.new_authority(machine.name() or "server", known, now)))
    renew(folder, now, even_so=True)


def move(folder: Path, host: str) -> Facts:
    """Another address for phones to use; those that know the old one must send everything before."""
    facts = _facts(folder)
    if not ca.may_vouch_for(_authority(folder)[1], host):
        raise Problem(f"This server's authority may not vouch for {host}. Add --authority to make one that may; "
                      "every phone has to trust it anew.")  # fmt: skip
    port = urlsplit(facts.origin).port or 443
    names = tuple(dict.fromkeys([host, *facts.names]))
    facts = Facts(origin_of(host, port), names, machine.name())
    _write_facts(folder, facts)
    return facts


def warnings(found: Kept, port: int | None, now: datetime) -> list[str]:
    """What a person has to know before a phone stands in front of an address that nobody answers."""
    facts, told, here = found.facts, [], machine.name()
    host, known_port = host_of(facts.origin), urlsplit(facts.origin).port or 443
    back = f"Phones know this server as {facts.origin} and keep their book under that address; "
    if port and port != known_port:
        told.append(f"{back}now it listens at port {port}. Serve with --port {known_port} instead.")
    if _is_address(host) and ip_address(host) not in machine.addresses():
        told.append(f"{back}this machine no longer has it. Give it that address again: reserve it in the router.")
    elif facts.machine != here and host in {facts.machine, f"{facts.machine}.local"}:
        told.append(f"{back}this machine was called {facts.machine} and is now {here or 'nothing'}. Call it so again.")
    left_out = [name for name in facts.names if not ca.may_vouch_for(found.authority[1], name)]
    if left_out:
        told.append(f"The authority was made before and may not vouch for {', '.join(left_out)}: phones cannot use it.")
    ends = found.authority[1].not_valid_after_utc
    if now < found.authority[1].not_valid_before_utc:
        told.append(f"This machine's clock says {now:%Y-%m-%d}, before its certificates were made. Set the clock.")
    elif ends - now < WARN_BEFORE:
        told.append(f"The authority ends on {ends:%Y-%m-%d}. Make another in a quiet week with `glovebook certificate "
                    "renew --authority`; every phone then has to trust it anew.")  # fmt: skip
    return [f"WARNING: {words}" for words in told]


def origin_of(host: str, port: int) -> str:
    return f"https://{f'[{host}]' if ':' in host else host}" + ("" if port == 443 else f":{port}")


def copy_all(folder: Path, target: Path) -> list[Path]:
    """The folder with its keys, for a safe place. Never overwrites."""
    kept(folder)
    try:
        target.mkdir(mode=0o700, parents=True)
    except FileExistsError:
        raise Problem(f"{target} exists already, and nothing is overwritten. Give another name.") from None
    for name in (AUTHORITY, SERVER, FACTS):
        _write(target / name, (folder / name).read_bytes())
    return [target / name for name in (AUTHORITY, SERVER, FACTS)]


def _first_facts(names: list[str], port: int, here: str | None) -> Facts:
    """The one address for phones: a given name; the machine's .local name where the network knows it; its number."""
    numbers = [str(address) for address in machine.addresses()]
    is_known = here is not None and machine.answers_to(f"{here}.local")
    host = names[0] if names else f"{here}.local" if is_known else next(iter(numbers), f"{here or 'localhost'}.local")
    return Facts(origin_of(host, port), tuple(names), here)


def _facts(folder: Path) -> Facts:
    if not (folder / FACTS).exists():
        raise Problem(f"There are no certificates in {folder} yet. `glovebook serve --lan` makes them.")
    try:
        found = json.loads((folder / FACTS).read_text(encoding="utf-8"))
        return Facts(found["origin"], tuple(found["names"]), found["machine"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise Problem(f"{folder / FACTS} cannot be read ({error}). Put it back from a copy.") from None


def _write_facts(folder: Path, facts: Facts) -> None:
    kept = {"origin": facts.origin, "names": list(facts.names), "machine": facts.machine}
    _write(folder / FACTS, json.dumps(kept, indent=1).encode())


def _authority(folder: Path) -> ca.Pair:
    path = folder / AUTHORITY
    try:
        return _pair_in(path)
    except (OSError, ValueError) as error:
        raise Problem(f"{path} cannot be read ({error}). Put it back from a copy; or run `glovebook certificate renew "
                      "--authority`, after which every phone has to trust a new one.") from None  # fmt: skip


def _server(folder: Path) -> ca.Pair | None:
    """The server's certificate; one that is missing or spoilt costs nothing, since another is made at once."""
    with contextlib.suppress(OSError, ValueError):
        return _pair_in(folder / SERVER)
    return None


def _pair_in(path: Path) -> ca.Pair:
    """A key with its certificate; one that was put back from a stick becomes its owner's only."""
    if os.name == "posix":
        path.chmod(0o600)
    return ca.pair_of(path.read_bytes())


def _no_server(folder: Path) -> ca.Pair:
    raise Problem(f"{folder / SERVER} is missing or spoilt. `glovebook certificate renew` makes another.")


def _check_clock(now: datetime) -> None:
    if now < BUILT:
        raise Problem(f"This machine's clock says {now:%Y-%m-%d %H:%M} UTC. Set it first: a certificate made now would "
                      "not be taken by any phone.")  # fmt: skip


def _hosts(names: tuple[str, ...]) -> list[str]:
    return [name for name in names if not _is_address(name)]


def _is_address(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


def _write(path: Path, content: bytes) -> None:
    """All of it under its name, or what was there before; nobody else may read it at any moment."""
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    file = os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0), 0o600)
    try:
        with os.fdopen(file, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)
