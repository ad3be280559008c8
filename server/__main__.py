"""The command `glovebook`: serve the book and look after it."""

import argparse
import sys
from pathlib import Path

from server import __version__, desk
from server.arguments import add_certificate, add_lan, port_number
from server.lock import BookInUse
from server.paths import default_book
from server.store import BookTooNew, NoBook, SqliteError
from server.troubles import of_sqlite, of_system

FIRST_STEPS = """to begin in a house:
  glovebook serve --lan          prints the address for phones and how they come to trust it
  glovebook pair                 in a second window: prints the code for the first phone
  glovebook pair --help          explains one command; so do all the others
"""
IMPORTED = ("vessels", "stills", "people", "openings", "lots", "strappings")


def main(arguments: list[str] | None = None) -> int:
    given = sys.argv[1:] if arguments is None else arguments
    for stream in (sys.stdout, sys.stderr):  # a name that this machine's letters do not have ends no command
        stream.reconfigure(errors="backslashreplace")
    options = parser().parse_args(given or ["--help"])
    try:
        return options.run(options) or 0
    except (BookInUse, BookTooNew, NoBook, desk.Problem) as problem:
        print(problem, file=sys.stderr)
        return 1
    except SqliteError as error:
        print(of_sqlite(error, options.book), file=sys.stderr)
        return 1
    except BrokenPipeError:
        sys.stdout = None  # whoever read our output has gone, as `head` does
        return 0
    except OSError as error:  # a folder that is not there, a file that is not ours, a full disk
        print(of_system(error), file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


def parser() -> argparse.ArgumentParser:
    whole = argparse.ArgumentParser(
        prog="glovebook", description="A still-house notebook that works offline.", epilog=FIRST_STEPS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    whole.add_argument("--version", action="version", version=f"glovebook {__version__}")
    commands = whole.add_subparsers(required=True, metavar="command")

    def command(name: str, run, says: str, has_book: bool = True) -> argparse.ArgumentParser:
        one = commands.add_parser(name, help=says, description=says)
        one.set_defaults(run=run)
        if has_book:
            one.add_argument("--book", type=Path, metavar="FILE", default=default_book(), help="the book (%(default)s)")
        return one

    serving = command("serve", serve, "Serve the book to this machine, or with --lan to the house.")
    add_serving(serving)
    add_lan(serving)
    add_backups(serving)
    add_serving(command("demo", demo, "Serve an invented distillery from a book that is thrown away.", has_book=False))
    command("pair", pair, "Print a one-time code that pairs a phone.").add_argument(
        "--office", action="store_true", help="a device that also sets up, and looks after devices and PINs"
    )
    command("devices", devices, "List the paired devices.")
    command("revoke", revoke, "Take a device off the list.").add_argument("device", help="its name or letters, as K")
    role_ = command("role", role, "Make a paired device one of the floor or of the office.")
    role_.add_argument("device", help="its name or letters, as K")
    role_.add_argument("role", choices=("floor", "office"))
    command("reset-pin", reset_pin, "Forget a person's PIN, so that they set a new one.").add_argument("person")
    command("backup", backup, "Write a verified copy of the book, also while it is being served.").add_argument(
        "target", type=Path, nargs="?", help="a new file, or a folder; the folder of the nightly backups if left out"
    )
    one = command("restore", restore, "Make a backup the book again, after a dead disk or a damaged file.")
    one.add_argument("copy", type=Path, help="the backup's file")
    one.add_argument("--old-to", type=Path, help="a new file that the book goes to which is there now")
    command("check", check, "Prove the book: its chain of hashes, its lines, its sums.").add_argument(
        "--mend", action="store_true", help="before, work out anew what stands beside the log; the log stays as it is"
    )
    exporting = command("export", export, "Print every record of the book as one line of JSON, or write its tables.")
    exporting.add_argument("--csv", type=Path, help="a new folder: every table as CSV, with units in the heads")
    exporting.add_argument("--sqlite", type=Path, help="a new file: every table, and documented views")
    exporting.add_argument("--parquet", type=Path, help="a new folder: every table, for sums over several houses")
    importing = command("import", import_, "Bring a table in from CSV: vessels, people, stocks, ...")
    importing.add_argument("table", choices=IMPORTED, help="what the file has")
    importing.add_argument("file", type=Path, nargs="?", help="the file; left out, a template to fill in is printed")
    importing.add_argument("--by", default="office", help="the person who imports, as the book knows them")
    importing.add_argument("--dry-run", action="store_true", help="only look whether all of it could be written")
    add_certificate(command("certificate", certificate, "Show, renew or export what `serve --lan` made."))
    command("reckon", reckon, "Answer one question in JSON a line, from standard input.", has_book=False)
    return whole


def add_serving(one: argparse.ArgumentParser) -> None:
    one.set_defaults(lan=False)
    one.add_argument("--host", help="the address to listen at (127.0.0.1; with --lan all of this machine's)")
    one.add_argument("--port", type=port_number, help="the port to listen at (8710); 0 takes a free one")
    says = "a name of this machine; with --lan the first one, the first time, is the one for phones"
    one.add_argument("--name", action="append", default=[], help=says)
    one.add_argument("--certfile", type=Path, metavar="FILE", help="your own certificate in PEM, with its chain")
    one.add_argument("--keyfile", type=Path, metavar="FILE", help="the certificate's key in PEM")


def add_backups(one: argparse.ArgumentParser) -> None:
    one.add_argument("--backups", type=Path, help="the folder for nightly backups (backups, beside the book)")
    one.add_argument("--backup-hour", type=int, default=3, help="the hour after which they are made (%(default)s)")
    one.add_argument(
        "--backups-kept", type=int, nargs=3, default=[7, 5, 12], metavar=("DAYS", "WEEKS", "MONTHS"),
        help="of how many days, weeks and months the newest is kept (7 5 12)",
    )  # fmt: skip


# Each command loads what it needs when it runs, so that `reckon` and `pair` do not wait for the whole server.


def serve(options: argparse.Namespace) -> int:
    from server.serve import serve_book

    return serve_book(options)


def demo(options: argparse.Namespace) -> int:
    from server.serve import serve_demo

    return serve_demo(options)


def pair(options: argparse.Namespace) -> None:
    told = desk.ask(options.book, "code", {"role": "office" if options.office else "floor"})
    code = told["code"]
    if told.get("url") and sys.stdout.isatty():
        from server.qr import in_blocks

        print(f"{in_blocks(told['url'])}\nOpen this with the phone's camera, or type on the phone:")
    kind = {"floor": "a floor phone", "office": "an office device"}[told["role"]]
    print(f"{code[:3]} {code[3:]}\nType this on the phone within 15 minutes. It pairs one device and is then used up.")
    other = "; --office pairs an office device, and so does every code while there is none"
    print(f"It pairs {kind}{'' if told['role'] == 'office' else other}.")


def devices(options: argparse.Namespace) -> None:
    found = desk.ask(options.book, "devices")["devices"]
    if not found:
        print("No device is paired yet. `glovebook pair` prints a code for one.")
    for one in found:
        word, at = ("revoked", one["revoked"]) if one["revoked"] else ("last seen", one["seen"])
        times = f"paired {desk.by_the_clock(one['paired'])}  {word} {desk.by_the_clock(at)}"
        print(f"{one['device']}  {one['role']:6}  {times}" + (f"  before: {one['was']}" if one["was"] else ""))


def revoke(options: argparse.Namespace) -> None:
    desk.ask(options.book, "revoke", {"device": options.device})
    print(f"{options.device} can no longer bring or fetch entries. What it brought stays in the book.\n"
          "Codes that were still open are closed.")  # fmt: skip


def role(options: argparse.Namespace) -> None:
    desk.ask(options.book, "role", {"device": options.device, "role": options.role})
    print(f"{options.device} is now of the {options.role}; it hears of it with its next sync.")


def reset_pin(options: argparse.Namespace) -> None:
    desk.ask(options.book, "pins/reset", {"person": options.person})
    print(f"{options.person} has no PIN now, and sets a new one on a paired phone.")


def backup(options: argparse.Namespace) -> None:
    from server.backup import backup_book, named
    from server.backups import beside

    desk.must_be_book(options.book)
    target = options.target or beside(options.book)
    if options.target is None:
        target.mkdir(mode=0o700, exist_ok=True)
    if target.is_dir():
        target = named(options.book, target)
    elif not target.suffix and not target.exists():  # a stick that is not in would give a file on the book's own disk
        raise desk.Problem(f"There is no folder {target}: is the stick in? A file needs an ending, as {target}.db.")
    head = backup_book(options.book, target, warn=lambda words: print(f"WARNING: {words}", file=sys.stderr))
    print(f"Copied and proved: {head['seq']} records in {target}.\nIts head is {head['hash']}.")


def restore(options: argparse.Namespace) -> None:
    from server.restore import restore_book

    head = restore_book(options.copy, options.book, options.old_to)
    if options.old_to:
        print(f"The book that was there now lies in {options.old_to}.")
    print(
        f"Restored and proved: {options.book} holds {head['seq']} records, the restore itself among them.\n"
        "Start `glovebook serve` as before. Each phone then brings by itself what this book lacks.\n"
        "A phone that was paired after the backup was made is turned away until you pair it again (`glovebook pair`);\n"
        "it keeps its entries and their numbers. Look through `glovebook devices`: where there was no old book to\n"
        "tell, revoke again what was revoked since."
    )


def check(options: argparse.Namespace) -> int:
    from server.check import check_book, mend

    if options.mend:
        mend(options.book)
    return check_book(options.book, print)


def export(options: argparse.Namespace) -> None:
    places = options.csv, options.sqlite, options.parquet
    if not any(places):
        sys.stdout.reconfigure(encoding="utf-8", newline="\n")  # the same bytes on every machine
        desk.export(options.book, sys.stdout)
    for line in desk.export_tables(options.book, *places) if any(places) else []:
        print(line)


def import_(options: argparse.Namespace) -> None:
    from server.office.csv_table import template

    if options.file is None:
        sys.stdout.reconfigure(encoding="utf-8", newline="")  # its lines end as CSV's do already
        print(template(options.table), end="")
    else:
        print(desk.import_table(options.book, options.table, options.file, options.by, options.dry_run))


def certificate(options: argparse.Namespace) -> None:
    from server import certificate_desk

    certificate_desk.certificate(options)


def reckon(options: argparse.Namespace) -> None:
    from server.reckon.command import run

    run(sys.stdin, sys.stdout)


if __name__ == "__main__":
    sys.exit(main())
