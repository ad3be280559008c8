"""A local authority and the certificates it signs, as phones accept them.

The authority can vouch for names of the house and private addresses only (its name constraints), so that a stolen key
opens no other website. A server's certificate runs 397 days, names every name and address, and is for servers only:
Apple refuses more than 825 days, a missing name or another use, also for authorities that a person added.
"""

import ipaddress
from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from server.machine import PRIVATE, Address

AUTHORITY_DAYS = 3652
LEAF_DAYS = 397
EARLY = timedelta(hours=12)  # a phone whose clock is behind takes it all the same
LOOPBACK = [ipaddress.ip_network("127.0.0.0/8"), ipaddress.ip_network("::1/128")]
# RFC 6762, 6761, 8375; `internal` is reserved for private use since 2024, `lan` is what many routers call the house.
LOCAL_NAMES = ("local", "localhost", "home.arpa", "internal", "lan")

Pair = tuple[ec.EllipticCurvePrivateKey, x509.Certificate]


def new_authority(machine: str, names: list[str], now: datetime) -> Pair:
    """machine: what people call it, for a phone's list; names: host names beside the local ones it may vouch for"""
    key = ec.generate_private_key(ec.SECP256R1())
    subject_key = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    # iOS lists no authority without a common name; the letters tell two of one machine apart.
    title = _title(f"Glovebook {machine[:40]} {subject_key.digest[:2].hex()}")
    allowed = [x509.DNSName(name) for name in dict.fromkeys([*LOCAL_NAMES, *names])]
    allowed += [x509.IPAddress(network) for network in [*PRIVATE, *LOOPBACK]]
    cert = (
        _begun(title, title, key, now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(is_authority=True), critical=True)
        .add_extension(x509.NameConstraints(allowed, None), critical=True)
        .add_extension(subject_key, critical=False)
        .sign(key, hashes.SHA256())
    )
    return key, cert


def new_leaf(authority: Pair, names: list[str], addresses: list[Address], now: datetime) -> Pair:
    """The server's own certificate for these names and addresses; the first name is its title."""
    ca_key, ca = authority
    key = ec.generate_private_key(ec.SECP256R1())
    spoken = [x509.DNSName(name) for name in names] + [x509.IPAddress(address) for address in addresses]
    days = min(LEAF_DAYS, (ca.not_valid_after_utc - now).days)
    cert = (
        _begun(_title(names[0][:64]), ca.subject, key, now, days)
        .add_extension(x509.SubjectAlternativeName(spoken), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(is_authority=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(ca_key.public_key()), critical=False)
        .sign(ca_key, hashes.SHA256())
    )
    return key, cert


def _title(common_name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common_name)])


def _begun(subject: x509.Name, issuer: x509.Name, key, now: datetime, days: int) -> x509.CertificateBuilder:
    begins = now - EARLY
    return (
        x509.CertificateBuilder().subject_name(subject).issuer_name(issuer).public_key(key.public_key())
        .serial_number(x509.random_serial_number()).not_valid_before(begins)
        .not_valid_after(begins + timedelta(days=days))
    )  # fmt: skip


def _usage(is_authority: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not is_authority, key_cert_sign=is_authority, crl_sign=is_authority, content_commitment=False,
        key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip


def spoken_for(leaf: x509.Certificate) -> set[str]:
    """The names and addresses of a server's certificate."""
    try:
        found = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return set()
    return {*found.get_values_for_type(x509.DNSName), *map(str, found.get_values_for_type(x509.IPAddress))}


def may_vouch_for(ca: x509.Certificate, name: str) -> bool:
    """Whether the authority's own limits allow this name or address; one that somebody else made may have none."""
    try:
        allowed = ca.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    except x509.ExtensionNotFound:
        return True
    try:
        address = ipaddress.ip_address(name)
    except ValueError:
        limits = [each.value for each in allowed if isinstance(each, x509.DNSName)]
        return any(name == limit or name.endswith(f".{limit}") for limit in limits)
    return any(address in each.value for each in allowed if isinstance(each, x509.IPAddress))


def fingerprint(cert: x509.Certificate, kind: hashes.HashAlgorithm | None = None) -> str:
    """As phones show it: pairs of figures. SHA-256 unless another kind is asked for."""
    return cert.fingerprint(kind or hashes.SHA256()).hex(":").upper()


def pem_of(pair: Pair) -> bytes:
    """Key and certificate in one text, so that they are replaced together or not at all."""
    key, cert = pair
    as_text = serialization.Encoding.PEM
    secret = key.private_bytes(as_text, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    return secret + cert.public_bytes(as_text)


def pair_of(pem: bytes) -> Pair:
    """raises: ValueError for what is no key with its certificate"""
    key, cert = serialization.load_pem_private_key(pem, None), x509.load_pem_x509_certificate(pem)
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != cert.public_key():
        raise ValueError("its key does not belong to its certificate")
    return key, cert


def now_utc() -> datetime:
    return datetime.now(UTC).replace(microsecond=0)
