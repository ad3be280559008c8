"""The local authority and its certificates, checked by OpenSSL (the ssl module) and by cryptography's own verifier.

The limits on dates, names and use are Apple's for every TLS server certificate (support.apple.com/en-us/103769: at most
825 days, a subject alternative name, the use "server") and the 398 days of the browsers' baseline requirements.
"""

import ssl
from ipaddress import ip_address

import pytest
from certified import NOW, handshake, settled
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from server import authority as ca
from server import certificate_desk, certificates


def test_a_leaf_as_phones_accept_it(folder):
    leaf = settled(folder)[0].server[1]
    days = (leaf.not_valid_after_utc - leaf.not_valid_before_utc).days
    assert days == 397 <= 398 and leaf.not_valid_before_utc < NOW
    assert isinstance(leaf.public_key(), ec.EllipticCurvePublicKey) and leaf.public_key().curve.name == "secp256r1"
    of = leaf.extensions.get_extension_for_class
    assert list(of(x509.ExtendedKeyUsage).value) == [x509.oid.ExtendedKeyUsageOID.SERVER_AUTH]
    assert not of(x509.BasicConstraints).value.ca and of(x509.KeyUsage).value.digital_signature
    named = of(x509.SubjectAlternativeName).value
    assert {"still.local", "still", "localhost"} <= set(named.get_values_for_type(x509.DNSName))
    assert {ip_address("192.168.7.1"), ip_address("fd00::7")} <= set(named.get_values_for_type(x509.IPAddress))


def test_the_authority_signs_only_and_only_for_the_house(folder):
    authority = settled(folder)[0].authority[1]
    of = authority.extensions.get_extension_for_class
    assert of(x509.BasicConstraints).critical and of(x509.BasicConstraints).value.path_length == 0
    usage = of(x509.KeyUsage).value
    assert usage.key_cert_sign and usage.crl_sign and not usage.digital_signature
    assert of(x509.NameConstraints).critical
    assert certificate_desk.title_of(authority).startswith("Glovebook still ")


@pytest.mark.parametrize("host", ["still.local", "still", "localhost", "192.168.7.1", "fd00::7", "127.0.0.1", "::1"])
def test_openssl_and_a_second_library_take_the_chain(folder, host):
    kept = settled(folder)[0]
    assert handshake(folder / certificates.SERVER, kept.authority[1], host) == kept.server[1]
    assert checked(kept.authority[1], kept.server[1], host)


def test_names_that_are_not_in_it_are_refused(folder):
    kept = settled(folder)[0]
    for host in ("other.local", "192.168.7.2", "example.com"):
        with pytest.raises(ssl.SSLCertVerificationError):
            handshake(folder / certificates.SERVER, kept.authority[1], host)
    stranger = ca.new_authority("still", ["still"], NOW)[1]
    with pytest.raises(ssl.SSLCertVerificationError):
        handshake(folder / certificates.SERVER, stranger, "still.local")


@pytest.mark.parametrize("host", ["example.com", "93.184.215.14", "2606:2800:21f::1", "notlocal"])
def test_a_stolen_authority_opens_no_other_website(folder, tmp_path, host):
    authority = settled(folder)[0].authority
    numbers = [ip_address(host)] if host[0] in "92" else []
    forged = ca.new_leaf(authority, ["still.local"] if numbers else [host], numbers, NOW)
    (tmp_path / "forged.pem").write_bytes(ca.pem_of(forged))
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        handshake(tmp_path / "forged.pem", authority[1], host)
    with pytest.raises(VerificationError):
        checked(authority[1], forged[1], host)
    assert not ca.may_vouch_for(authority[1], host)


def checked(authority, leaf, host):
    try:
        subject = x509.IPAddress(ip_address(host))
    except ValueError:
        subject = x509.DNSName(host)
    verifier = PolicyBuilder().store(Store([authority])).time(NOW).build_server_verifier(subject)
    return verifier.verify(leaf, []) == [leaf, authority]
