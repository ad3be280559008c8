"""What the commands do at the desk: by themselves while nobody serves the book, else by asking the one who does."""

import json
import ssl
import urllib.error
import urllib.request
from datetime import datetime
from pathlib import Path
from typing import TextIO

from server import devices, pins
from server.lock import BookInUse
from server.reader import Reader
from server.store import Store, must_be_ours
from server.troubles import of_system

SECONDS = 10


def by_the_clock(utc: str | None) -> str:
    """A time of the book as this machine's clock shows it, as 2026-11-30 11:09; never where there is none."""
    return f"{datetime.fromisoformat(utc).astimezone():%Y-%m-%d %H:%M}" if utc else "never"


class Problem(Exception):
    """Something that the person at the desk can put right; the message says how."""


def ask(book: Path, what: str, body: dict | None = None) -> dict:
    """Do `what`, an address of the office, with the book. One process writes it, so a running server is asked to."""
    must_be_book(book)
    try:
        with Store(book, before_change=copy_before_change) as store:
            return _by_ourselves(store, what, body or {})
    except BookInUse as in_use:
        if not in_use.serving:
            raise
        return _by_the_server(in_use.serving, what, body or {})


def copy_before_change(book: Path) -> None:
    """A command that is the first of a new version changes the book's tables as `serve` would: not without a copy."""
    from server.backup import backup_before_change
    from server.backups import beside

    backup_before_change(book, beside(book))


def must_be_book(book: Path) -> None:
    """Raises Problem, BookTooNew or NoBook for what cannot be read as a book of this version."""
    if not book.exists():
        raise Problem(f"There is no book at {book}. `glovebook serve` begins one; another place is named with --book.")
    if book.is_dir():
        raise Problem(f"{book} is a folder. Name the book in it, as --book {book / 'book.db'}.")
    with Reader(book) as reader:
        must_be_ours(reader.db, book)
        if not reader.db["log"].exists():
            raise Problem(f"{book} is empty: no book was begun in it. Look at the name of the file.")


def _by_ourselves(store: Store, what: str, body: dict) -> dict:
    if what in _WORKS:
        return _WORKS[what](store, body)
    with store.read() as reader:
        return {"devices": devices.listed(reader)}


def _code(store: Store, body: dict) -> dict:
    return {**store.write(devices.new_code, body.get("role", "floor")).result(), "url": None}


def _revoke(store: Store, body: dict) -> dict:
    if not store.write(devices.take_off, body["device"]).result():
        raise Problem(f"There is no device {body['device']} to revoke. `glovebook devices` lists them.")
    return {"ok": True}


def _role(store: Store, body: dict) -> dict:
    if not store.write(devices.set_role, body["device"], body["role"], True).result():
        raise Problem(f"There is no device {body['device']}, or it was revoked. `glovebook devices` lists them.")
    return {"ok": True}


def _reset_pin(store: Store, body: dict) -> dict:
    if not store.write(pins.reset_pin, body["person"]).result():
        raise Problem(f"{body['person']} has no PIN that could be reset. Names are written as in the book.")
    return {"ok": True}


_WORKS = {"code": _code, "revoke": _revoke, "role": _role, "pins/reset": _reset_pin}


def _by_the_server(serving: dict, what: str, body: dict) -> dict:
    # The name in a certificate is the phones' name, not this machine's own address. The lock, which only the owner of
    # the book can write, says where the server is; the key in it proves us, and is of no use without the lock.
    unnamed = ssl.create_default_context()
    unnamed.check_hostname, unnamed.verify_mode = False, ssl.CERT_NONE
    request = urllib.request.Request(
        f"{serving['url']}/api/{what}", json.dumps(body).encode(),
        {"Content-Type": "application/json", "Authorization": f"Bearer {serving['key']}"},
    )  # fmt: skip
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}), urllib.request.HTTPSHandler(context=unnamed))
    try:
        with direct.open(request, timeout=SECONDS) as answer:
            return json.load(answer)
    except urllib.error.HTTPError as error:
        with error:
            raise Problem(json.load(error)["error"]["say"]) from None
    except OSError as error:
        raise Problem(f"The server at {serving['url']} holds the book and does not answer ({error}).") from None


def export(book: Path, out: TextIO) -> None:
    """Every record as it is kept, one line of JSON each, whole: so that another program can go on from it."""
    must_be_book(book)
    with Reader(book) as reader:
        for record in reader.records():
            kept = {key: record[key] for key in ("seq", "sort", "id", "carrier", "received", "text", "hash")}
            out.write(json.dumps(kept, ensure_ascii=False) + "\n")


def export_tables(book: Path, csv: Path | None, sqlite: Path | None, parquet: Path | None) -> list[str]:
    """The book as tables, in each of the forms that a place is given for; returns what was written, in words."""
    from server.office import exports

    must_be_book(book)
    try:
        with Reader(book) as reader:
            site = reader.fact("site")
        read = exports.read_book(book)
        told = []
        if csv:
            told.append(f"{len(exports.to_csv(read, csv))} tables as CSV are in {csv}.")
        if sqlite:
            told.append(f"The tables are in {exports.to_sqlite(read, sqlite)}; its table `about` says what each is.")
        if parquet:
            told.append(f"{len(exports.to_parquet(read, parquet, site))} tables as Parquet are in {parquet}.")
        return told
    except exports.ExportProblem as problem:
        raise Problem(str(problem)) from None


def import_table(book: Path, name: str, file: Path, by: str, dry: bool) -> str:
    """A CSV file's rows as entries, all or none, also into a new book; the book must not be served meanwhile."""
    from server.office.csv_table import ImportFault
    from server.office.imports import import_table

    try:
        raw = file.read_bytes()
    except OSError as error:
        raise Problem(of_system(error)) from None
    where = f"{book}{'' if book.exists() else ', a new book'}"
    try:
        with Store(book, before_change=copy_before_change) as store:
            count = import_table(store, name, raw, by, dry)
    except ImportFault as fault:
        raise Problem(f"{fault}\nNothing was written.") from None
    except BookInUse:
        raise Problem("The book is being served. Stop the server, import, and start it again.") from None
    return f"{count} entries would be written into {where}; nothing was." if dry else f"{count} entries are in {where}."
