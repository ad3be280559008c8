"""Certificates of a house as tests ask for them, and whether a client takes them."""

import ssl

from cryptography import x509
from cryptography.hazmat.primitives import serialization

from server import authority as ca
from server import certificates

NOW = ca.now_utc()
PEM = serialization.Encoding.PEM


def settled(folder, names=(), port=None, now=NOW):
    return certificates.settled(folder, list(names), port, now)


def handshake(pem_file, authority: x509.Certificate, host: str) -> x509.Certificate:
    """A TLS handshake in memory, by OpenSSL; returns the certificate that the client took."""
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(pem_file)
    return shaken(serving, authority, host)


def shaken(serving: ssl.SSLContext, authority: x509.Certificate, host: str) -> x509.Certificate:
    asking = ssl.create_default_context(cadata=authority.public_bytes(PEM).decode())
    up, down = ssl.MemoryBIO(), ssl.MemoryBIO()
    client = asking.wrap_bio(down, up, server_hostname=host)
    server = serving.wrap_bio(up, down, server_side=True)
    for _ in range(4):
        for side in (client, server):
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                continue
    assert client.version() in ("TLSv1.3", "TLSv1.2")
    return x509.load_der_x509_certificate(client.getpeercert(binary_form=True))
