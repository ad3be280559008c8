"""`glovebook certificate show`, `renew` and `export`, in words for the person at the desk."""

import argparse
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization

from server import authority as ca
from server import certificates
from server.desk import Problem
from server.troubles import of_system

TAKEN_UP = "A server that is running takes it up within ten minutes; phones notice nothing."
UNDER_ITS_ADDRESS = (
    "What a phone keeps belongs to the address that it was opened under: let each phone send everything under the old "
    "one first, then open and pair it under the new one."
)
TRUST_ANEW = "Every phone has to trust the new authority; until it does it keeps its entries and cannot send them."


def certificate(options: argparse.Namespace) -> None:
    folder = certificates.folder_of(options.book)
    print("\n".join({"show": shown, "renew": renewed, "export": exported}[options.what](folder, options)))


def shown(folder: Path, options: argparse.Namespace) -> list[str]:
    kept = certificates.kept(folder)
    leaf, authority = kept.server[1], kept.authority[1]
    return [
        f"Phones open {kept.facts.origin}",
        f"The server's certificate is good until {leaf.not_valid_after_utc:%Y-%m-%d}, renewed by itself. It names:",
        *(f"  {name}" for name in sorted(ca.spoken_for(leaf))),
        *described(authority),
        f"It is good until {authority.not_valid_after_utc:%Y-%m-%d}.",
        f"All of it stands in {folder}. Keep that folder to yourself; a backup of the book leaves it out.",
        *certificates.warnings(kept, None, ca.now_utc()),
    ]


def described(authority: x509.Certificate) -> list[str]:
    """The authority by its name and fingerprints, as a device shows them when it is asked to trust it."""
    return [
        f"The authority is called {title_of(authority)}. Devices must show this fingerprint:",
        f"  SHA-256  {ca.fingerprint(authority)}",
        f"  SHA-1    {ca.fingerprint(authority, hashes.SHA1())}",
    ]


def title_of(authority: x509.Certificate) -> str:
    return str(authority.subject.get_attributes_for_oid(x509.NameOID.COMMON_NAME)[0].value)


def renewed(folder: Path, options: argparse.Namespace) -> list[str]:
    told = []
    if options.authority:
        certificates.new_authority(folder, [options.name] if options.name else [], ca.now_utc())
    if options.name:
        facts = certificates.move(folder, options.name)
        told.append(f"Phones open {facts.origin} from now on. {UNDER_ITS_ADDRESS}")
    certificates.renew(folder, ca.now_utc(), even_so=True)
    kept = certificates.kept(folder)
    told.append(f"Made a certificate that is good until {kept.server[1].not_valid_after_utc:%Y-%m-%d}.")
    if options.authority:
        told += [*described(kept.authority[1]), TRUST_ANEW]
    told.append("Stop and start the server now." if options.authority or options.name else TAKEN_UP)
    return told


def exported(folder: Path, options: argparse.Namespace) -> list[str]:
    if options.keys:
        copied = certificates.copy_all(folder, options.target)
        return [f"Copied with their keys: {', '.join(path.name for path in copied)} in {options.target}.",
                "Lock it away: whoever has these can pose as this server. To use them again on another machine, put "
                f"them into the folder {folder.name} beside its book."]  # fmt: skip
    kept = certificates.kept(folder)
    try:
        with open(options.target, "xb") as out:
            out.write(kept.authority[1].public_bytes(serialization.Encoding.DER))
    except FileExistsError:
        raise Problem(f"{options.target} exists already, and nothing is overwritten. Give another name.") from None
    except OSError as error:
        folder = options.target.parent
        said = of_system(error) if folder.is_dir() else f"There is no folder {folder}. Make it first."
        raise Problem(f"The certificate was not written. {said}") from None
    return [f"Wrote the authority's certificate to {options.target}. It holds no key and may be shown to anybody.",
            *described(kept.authority[1])]  # fmt: skip
