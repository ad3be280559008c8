"""A certificate that somebody else made: looked at before anything is served, taken up when it was renewed."""

import asyncio
import errno
import socket
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest
from certified import NOW, shaken
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, Encoding, PrivateFormat

from server import authority as ca
from server.__main__ import parser
from server.desk import Problem
from server.doors import configured
from server.lan import listener_at, why_shut
from server.own_certificate import Upkeep, checked
from server.serve import way_by_options

ROOT = Path(__file__).resolve().parents[2]
NAME = "still.example"


def made(folder: Path, authority, name: str = "one", begins=NOW, names=(NAME,)) -> tuple[Path, Path]:
    """A certificate and its key in two files, as such are given out."""
    key, cert = ca.new_leaf(authority, list(names), [], begins)
    certfile, keyfile = folder / f"{name}.pem", folder / f"{name}-key.pem"
    certfile.write_bytes(cert.public_bytes(Encoding.PEM))
    secret = ca.pem_of((key, cert))
    keyfile.write_bytes(secret[: secret.index(b"-----BEGIN CERTIFICATE")])
    return certfile, keyfile


@pytest.fixture
def authority():
    return ca.new_authority("somebody else", ["example"], NOW - timedelta(days=500))


def test_what_can_be_served_is_warned_of_where_phones_would_not_take_it(tmp_path, authority):
    files = made(tmp_path, authority)
    assert checked(*files, frozenset({NAME}), NOW) == []
    (told,) = checked(*files, frozenset({NAME, "other.example"}), NOW)
    assert "does not name other.example" in told
    assert checked(*made(tmp_path, authority, names=["*.example"]), frozenset({NAME}), NOW) == []
    (told,) = checked(*made(tmp_path, authority, begins=NOW - timedelta(days=390)), frozenset({NAME}), NOW)
    assert "ends on" in told and "Renew it" in told
    (told,) = checked(*made(tmp_path, authority, begins=NOW - timedelta(days=400)), frozenset({NAME}), NOW)
    assert "ended on" in told


def test_what_cannot_be_served_is_told_before_anything_is(tmp_path, authority):
    certfile, keyfile = made(tmp_path, authority)
    _, other = made(tmp_path, authority, "two")
    locked, text = tmp_path / "locked.pem", tmp_path / "text.pem"
    text.write_text("a shopping list")
    key = ca.pair_of(keyfile.read_bytes() + certfile.read_bytes())[0]
    locked.write_bytes(key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, BestAvailableEncryption(b"secret")))
    for files, says in (
        ((certfile, tmp_path / "none.pem"), "The key cannot be read: .*none.pem is not there. Look at"),
        ((tmp_path, keyfile), "The certificate cannot be read: .* is a folder"),
        ((certfile, other), "the key is not that of the certificate"),
        ((text, keyfile), "they are no certificate"),
        ((certfile, text), "they are no certificate"),
        ((certfile, locked), "locked with a password"),
    ):
        with pytest.raises(Problem, match=says):
            checked(*files, frozenset(), NOW)
    line = [sys.executable, "-m", "server", "serve", "--port", "0", "--book", str(tmp_path / "book.db")]
    line += ["--certfile", str(certfile), "--keyfile", str(locked)]
    child = subprocess.run(line, cwd=ROOT, capture_output=True, text=True, timeout=20, stdin=subprocess.DEVNULL)
    assert child.returncode == 1 and "locked with a password" in child.stderr and "Glovebook is at" not in child.stdout


def test_a_renewed_one_is_taken_up_and_a_spoilt_one_is_not(tmp_path, authority, caplog):
    files = made(tmp_path, authority)
    listener = listener_at("127.0.0.1", 0)
    config = configured(None, listener, ssl_certfile=files[0], ssl_keyfile=files[1])
    config.load()
    upkeep = Upkeep(*files)
    asyncio.run(upkeep.tend(config))
    first = shaken(config.ssl, authority[1], NAME)
    made(tmp_path, authority)
    asyncio.run(upkeep.tend(config))
    second = shaken(config.ssl, authority[1], NAME)
    assert first != second
    files[0].write_text("half a certif")
    asyncio.run(upkeep.tend(config))
    assert "could not be taken up" in caplog.text and shaken(config.ssl, authority[1], NAME) == second
    files[0].unlink()
    asyncio.run(upkeep.tend(config))
    assert shaken(config.ssl, authority[1], NAME) == second
    listener.close()


def test_why_a_port_is_shut_is_told_with_what_to_do():
    assert "below 1024" in why_shut(PermissionError(errno.EACCES, "Permission denied"), "--port")
    assert "no such name" in why_shut(OSError(socket.EAI_NONAME, "Name or service not known"), "--port")
    with pytest.raises(Problem, match=r"no such name or address\. Leave --host out"):
        listener_at("192.0.2.77", 0)  # kept free for documentation: nobody has it


def test_who_types_http_is_led_to_the_name_of_the_certificate(tmp_path, authority):
    certfile, keyfile = map(str, made(tmp_path, authority))
    words = ["serve", "--port", "0", "--certfile", certfile, "--keyfile", keyfile, "--name", NAME]
    way = way_by_options(parser().parse_args(words))
    port = way.listener.getsockname()[1]
    assert way.listener.leads("127.0.0.1") == f"https://{NAME}:{port}" == way.origin
    way.listener.close()
    plain = way_by_options(parser().parse_args(["serve", "--port", "0"]))
    assert plain.listener.leads is None
    plain.listener.close()
