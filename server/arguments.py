"""Arguments of the commands that serve the house and look after its certificates."""

import argparse
from pathlib import Path


def add_lan(one: argparse.ArgumentParser) -> None:
    one.add_argument("--lan", action="store_true", help="serve phones by HTTPS, with a certificate made here")
    one.add_argument("--trust-port", type=port_number, metavar="PORT", default=8711,
                     help="the port of the page that leads a phone through trusting it (%(default)s)")  # fmt: skip


def add_certificate(one: argparse.ArgumentParser) -> None:
    whats = one.add_subparsers(dest="what", required=True, metavar="what")

    def what(name: str, says: str) -> argparse.ArgumentParser:
        each = whats.add_parser(name, help=says, description=says)
        each.add_argument("--book", type=Path, metavar="FILE", default=argparse.SUPPRESS, help="the book")
        return each

    what("show", "Print the address for phones, the fingerprint to compare, and how long the certificate is good.")
    renew = what("renew", "Make a new certificate now; by itself that happens 60 days before it ends.")
    renew.add_argument("--name", type=machine_name, help="another name or number for phones to open from now on")
    renew.add_argument("--authority", action="store_true", help="a new authority too; every phone must trust it anew")
    export = what("export", "Write the authority's certificate to a file that devices can trust.")
    export.add_argument("target", type=Path, help="a file that does not exist yet, as glovebook.crt")
    export.add_argument("--keys", action="store_true", help="instead a folder with the keys, for a safe place")


def machine_name(text: str) -> str:
    from server.security import host_name  # not before it is needed: it brings the web framework

    found = host_name(f"[{text}]" if ":" in text else text)
    if found is None:
        raise argparse.ArgumentTypeError(f"{text} is no machine's name; leave out http:// and the port")
    return found


def port_number(text: str) -> int:
    if not text.isdecimal() or int(text) > 65535:
        raise argparse.ArgumentTypeError(f"{text} is no port; a port is a number from 0 to 65535")
    return int(text)
