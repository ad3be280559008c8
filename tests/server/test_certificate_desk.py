"""The certificates at the server's own desk: shown, renewed, moved to another name, exported."""

from argparse import Namespace

import pytest
from certified import handshake, settled
from cryptography import x509

from server import authority as ca
from server import certificate_desk, certificates
from server.desk import Problem


def asked(**changes):
    return Namespace(**{"authority": False, "name": None, "keys": False, "target": None} | changes)


def test_show_tells_what_a_person_must_compare(folder):
    kept = settled(folder)[0]
    told = "\n".join(certificate_desk.shown(folder, asked()))
    assert kept.facts.origin in told and str(folder) in told and "WARNING" not in told
    assert kept.authority[1].fingerprint(ca.hashes.SHA256()).hex(":").upper() in told
    assert "PRIVATE" not in told


def test_renew_and_move(folder):
    before = settled(folder)[0]
    certificate_desk.renewed(folder, asked())
    assert certificates.kept(folder).server[1] != before.server[1]
    with pytest.raises(Problem, match="--authority"):
        certificate_desk.renewed(folder, asked(name="still.example"))
    told = "\n".join(certificate_desk.renewed(folder, asked(name="still.example", authority=True)))
    kept = certificates.kept(folder)
    assert kept.facts.origin == "https://still.example:8710" and kept.facts.origin in told and "trust the new" in told
    assert kept.authority[1] != before.authority[1]
    assert handshake(folder / certificates.SERVER, kept.authority[1], "still.example") == kept.server[1]


def test_export_holds_no_key_unless_asked(folder, tmp_path):
    kept = settled(folder)[0]
    target = tmp_path / "glovebook.crt"
    certificate_desk.exported(folder, asked(target=target))
    assert x509.load_der_x509_certificate(target.read_bytes()) == kept.authority[1]
    with pytest.raises(Problem, match="exists already"):
        certificate_desk.exported(folder, asked(target=target))
    certificate_desk.exported(folder, asked(target=tmp_path / "safe", keys=True))
    assert keys_of(tmp_path / "safe") == keys_of(folder)
    with pytest.raises(Problem, match="exists already"):
        certificate_desk.exported(folder, asked(target=tmp_path / "safe", keys=True))


def keys_of(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}
