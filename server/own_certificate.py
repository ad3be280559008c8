"""A certificate of one's own, for a real domain: looked at before anything is served, taken up when it was renewed."""

import logging
import ssl
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path

import uvicorn
from cryptography import x509

from server import authority as ca
from server.desk import Problem
from server.troubles import of_system

log = logging.getLogger("glovebook")

LOOK_SECONDS = 600
WARN_BEFORE = timedelta(days=14)


def checked(certfile: Path, keyfile: Path, names: frozenset[str], now: datetime) -> list[str]:
    """Warnings about a certificate that can be served; Problem where it cannot.

    names: what people call this server; the certificate should speak for each
    """
    for path, what in ((certfile, "certificate"), (keyfile, "key")):
        try:
            path.read_bytes()
        except OSError as error:
            raise Problem(f"The {what} cannot be read: {of_system(error)}") from None
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certfile, keyfile, password=_no_password)
        cert = x509.load_pem_x509_certificates(certfile.read_bytes())[0]
    except ssl.SSLError as error:
        is_others = "KEY_VALUES_MISMATCH" in str(error)
        words = "the key is not that of the certificate" if is_others else "they are no certificate and no key in PEM"
        raise Problem(f"{certfile} and {keyfile} cannot be used: {words}.") from None
    ends, spoken = cert.not_valid_after_utc, ca.spoken_for(cert)
    unspoken = sorted(name for name in names if not {name, f"*.{name.partition('.')[2]}"} & spoken)
    told = []
    if ends - now < WARN_BEFORE:
        told.append(f"The certificate {'ended' if ends < now else 'ends'} on {ends:%Y-%m-%d}. Renew it: phones send "
                    "nothing to a server whose certificate has ended, and keep everything.")  # fmt: skip
    if unspoken:
        told.append(f"The certificate does not name {', '.join(unspoken)}: phones cannot use that address.")
    return [f"WARNING: {words}" for words in told]


def _no_password() -> str:
    raise Problem("The key is locked with a password, which a server that starts by itself cannot type. Take it off: "
                  "openssl pkey -in key.pem -out open-key.pem, readable by its owner only.")  # fmt: skip


class Upkeep:
    """Takes a renewed certificate up while the server runs; one that cannot be used is told, and the old one stays."""

    def __init__(self, certfile: Path, keyfile: Path):
        self._files = certfile, keyfile
        self._loaded = self._stamps()

    def start(self, config: uvicorn.Config) -> None:
        config.callback_notify, config.timeout_notify = partial(self.tend, config), LOOK_SECONDS

    def stop(self) -> None:
        pass

    async def tend(self, config: uvicorn.Config) -> None:
        try:
            now = self._stamps()
            if now != self._loaded:
                for words in checked(*self._files, frozenset(), ca.now_utc()):
                    log.warning("%s", words)
                config.ssl.load_cert_chain(*self._files)
                self._loaded = now
                log.info("Took the renewed certificate up.")
        except (Problem, OSError) as problem:
            log.error("The renewed certificate could not be taken up: %s", problem)

    def _stamps(self) -> list[tuple[int, int]]:
        return [(found.st_mtime_ns, found.st_ino) for found in map(Path.stat, self._files)]
