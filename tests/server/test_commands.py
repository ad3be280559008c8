"""The commands at the desk, with a server running and without one."""

import configparser
import json
import re
import shlex
import subprocess
import sys
from argparse import Namespace
from pathlib import Path

import pytest

from server import sync
from server.__main__ import main, parser
from server.desk import Problem
from server.serve import how_to_pair, names_of
from server.store import Store

from .conftest import SITE, entry_text

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def path(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        sync.take(book, [entry_text(n=1, said={"name": "Åsa"}), entry_text(n=2)], "A.00000000")
    return tmp_path / "book.db"


def run(capsys, *words):
    code = main([str(word) for word in words])
    told = capsys.readouterr()
    return code, told.out, told.err


def test_pair_devices_and_revoke_without_a_server(path, capsys):
    assert re.search(r"^\d{3} \d{3}$", run(capsys, "pair", "--book", path)[1], re.MULTILINE)
    assert "No device is paired yet" in run(capsys, "devices", "--book", path)[1]
    code, _, told = run(capsys, "revoke", "K", "--book", path)
    assert code == 1 and "no device K" in told


def test_pair_devices_and_revoke_ask_the_server_that_runs(server, capsys):
    spoken = run(capsys, "pair", "--book", server.book)[1]
    assert "It pairs a floor phone; --office pairs an office device, and so does every code while there is" in spoken
    code = re.search(r"^(\d{3} \d{3})$", spoken, re.MULTILINE)[1]
    paired = server.post("/api/pair", {"code": code})
    told = run(capsys, "devices", "--book", server.book)[1]
    row = rf"^{paired['device']}  office  paired [\d-]{{10}} [\d:]{{5}}  last seen never$"
    assert re.search(row, told, re.MULTILINE)
    assert run(capsys, "revoke", paired["device"], "--book", server.book)[0] == 0
    assert "revoked" in run(capsys, "devices", "--book", server.book)[1]
    failed, _, told = run(capsys, "revoke", paired["device"], "--book", server.book)
    assert failed == 1 and "no such device" in told
    assert code.replace(" ", "") not in server.log()


def test_check_and_backup(path, tmp_path, capsys):
    code, out, _ = run(capsys, "check", "--book", path)
    assert code == 0 and "sound: 2 records" in out
    code, out, _ = run(capsys, "backup", tmp_path / "copy.db", "--book", path)
    assert code == 0 and "2 records" in out
    assert run(capsys, "backup", tmp_path / "copy.db", "--book", path)[0] == 1
    failed, _, told = run(capsys, "backup", tmp_path / "stick", "--book", path)
    assert failed == 1 and "is the stick in?" in told and not (tmp_path / "stick").exists()
    assert run(capsys, "check", "--book", tmp_path / "copy.db")[0] == 0


def test_export_prints_every_record_whole(path, capsys):
    records = [json.loads(line) for line in run(capsys, "export", "--book", path)[1].splitlines()]
    assert [record["seq"] for record in records] == [1, 2]
    assert json.loads(records[0]["text"])["said"] == {"name": "Åsa"}
    assert set(records[0]) == {"seq", "sort", "id", "carrier", "received", "text", "hash"}


def test_a_book_that_is_not_there_is_told(tmp_path, capsys):
    to_nowhere = ("backup", tmp_path / "x")
    for words in (("pair",), ("devices",), ("revoke", "K"), ("check",), ("export",), ("backup",), to_nowhere):
        code, _, told = run(capsys, *words, "--book", tmp_path / "none.db")
        assert code == 1 and told.startswith("There is no book") and not (tmp_path / "none.db").exists()


def test_reckon_answers_a_line_at_a_time():
    asked = '{"want": "strength", "abv_pct": 62.4}\nnot JSON\n'
    child = subprocess.run(
        [sys.executable, "-m", "server", "reckon"], input=asked, cwd=ROOT, capture_output=True, text=True, timeout=20
    )
    good, bad = map(json.loads, child.stdout.splitlines())
    assert good["abv_pct"] == 62.4 and bad["error"]["say"]


def options(**changes):
    usual = {"host": "127.0.0.1", "port": 0, "name": [], "certfile": None, "keyfile": None, "lan": False}
    return Namespace(**usual | changes)


def test_serving_the_house_without_a_certificate_is_warned_of():
    assert "WARNING" not in "".join(how_to_pair(options()))
    assert "phones will not work offline" in "".join(how_to_pair(options(host="0.0.0.0")))
    assert "WARNING" not in "".join(how_to_pair(options(host="0.0.0.0", certfile="c", keyfile="k")))


def test_names_from_the_options():
    assert names_of(options(host="0.0.0.0", name=["Still.local", "10.0.0.5"])) == {"still.local", "10.0.0.5"}
    assert names_of(options(host="10.0.0.5")) == {"10.0.0.5"}
    assert names_of(options(host="::1", name=["fd00::5"])) == {"::1", "fd00::5"}
    for wrong in (
        options(name=["http://x/"]),
        options(name=["still.local:8710"]),
        options(certfile="c"),
        options(keyfile="k"),
    ):
        with pytest.raises(Problem):
            names_of(wrong)


def test_a_port_in_use_is_told(server, tmp_path):
    child = subprocess.run(
        [sys.executable, "-m", "server", "serve", "--book", str(tmp_path / "b.db"), "--port", str(server.port)],
        cwd=ROOT, capture_output=True, text=True, timeout=20,
    )  # fmt: skip
    assert child.returncode == 1 and f"Port {server.port}" in child.stderr and "Traceback" not in child.stderr


def test_a_server_that_is_asked_to_stop_closes_the_book(server):
    server.post("/api/pair", {})
    assert server.book.with_name("book.db-wal").exists()
    server.child.terminate()
    assert server.child.wait(10) == 0
    assert not server.book.with_name("book.db-wal").exists() and "Traceback" not in server.log()


def test_what_serve_prints(server):
    log = server.log()
    assert f"Glovebook is at http://127.0.0.1:{server.port}" in log
    assert str(server.book) in log and "needs no code" in log


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has other names for files that cannot be made.")
def test_a_place_that_cannot_be_used_is_told(tmp_path, capsys):
    (tmp_path / "file").write_text("no folder")
    for words in (("serve", "--port", "0"), ("serve", "--lan")):
        code, _, told = run(capsys, *words, "--book", tmp_path / "file" / "book.db")
        assert code == 1 and "cannot be used" in told and "Traceback" not in told


def test_without_a_command_the_help_tells_how_to_begin(capsys):
    with pytest.raises(SystemExit) as ended:
        main([])
    told = capsys.readouterr().out
    assert ended.value.code == 0 and "to begin in a house" in told
    for line in re.findall(r"^    ([a-z-]+) {2,}(\S.*)$", told, re.MULTILINE):
        assert line[1][0].isupper(), line  # each command says in a sentence what it does


def test_the_readmes_commands_are_ours():
    """Every command line of README.md's blocks, and the one of its systemd unit, is one that the parser takes."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = re.sub(r"#.*", "", "\n".join(re.findall(r"```\w*\n(.*?)```", text, re.DOTALL)))
    lines = re.findall(r"(?:^|[/\\ =])glovebook(?:\.exe)? ([a-z][^#\n\"|>]*)", blocks, re.MULTILINE)
    known = [line for line in lines if not line.startswith("glovebook")]
    assert len(known) >= 15
    for line in known:
        parser().parse_args(shlex.split(line))


def test_the_systemd_unit_is_hardened():
    """As systemd.exec(5) names the settings; what it did under systemd stands in DEVELOPERS.md."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    unit = configparser.ConfigParser(strict=True)
    unit.optionxform = str
    unit.read_string(re.search(r"```ini\n(.*?)```", text, re.DOTALL)[1])
    service = dict(unit["Service"])
    wanted = {"NoNewPrivileges": "yes", "ProtectSystem": "strict", "ProtectHome": "yes", "StateDirectory": "glovebook",
              "StateDirectoryMode": "0700", "UMask": "0077", "CapabilityBoundingSet": ""}  # fmt: skip
    assert {name: service[name] for name in wanted} == wanted
    assert service["ExecStart"].startswith("/") and "/var/lib/glovebook/" in service["ExecStart"]
