"""From a fresh clone to a working .venv, with nothing but Python's own library. Used by demo_site and tests."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
NEEDED = (3, 11)


def say(words: str) -> None:
    print(words, flush=True)


def prepare(extra: str = "") -> Path:
    """Make .venv and install the project into it, once for every change of pyproject.toml; returns its Python.

    extra: an optional set of dependencies of pyproject.toml, as "test"
    """
    if sys.version_info < NEEDED:
        sys.exit(f"Glovebook needs Python {NEEDED[0]}.{NEEDED[1]} or later; this is {sys.version.split()[0]}.")
    if not PYTHON.exists():
        make_venv()
    stamp = VENV / f"installed-{extra or 'plain'}"
    wanted = stamp_text()
    if stamp.exists() and stamp.read_text() == wanted:
        return PYTHON
    what = f"{ROOT}[{extra}]" if extra else str(ROOT)
    say("Installing Glovebook and what it needs into .venv; this takes a minute the first time.")
    pip = [str(PYTHON), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--editable", what]
    if subprocess.run(pip, cwd=ROOT).returncode:
        sys.exit(
            "The installation failed; pip says why above. Without a network nothing can be fetched: try again with one."
        )
    stamp.write_text(wanted)
    return PYTHON


def make_venv() -> None:
    say("Making a virtual environment in .venv.")
    made = subprocess.run([sys.executable, "-m", "venv", str(VENV)], capture_output=True, text=True)
    if made.returncode == 0 and PYTHON.exists():
        return
    told = made.stdout + made.stderr
    if "ensurepip" in told or "No module named venv" in told:
        sys.exit(
            f"This Python ({sys.executable}) lacks the module venv or ensurepip; install it and start again "
            "(on Debian and Ubuntu: apt-get install python3-venv)."
        )
    sys.exit(f"A virtual environment could not be made in {VENV}:\n{told.strip()}")


def stamp_text() -> str:
    """What the installation hangs on: the project's own list, this place, this Python."""
    listed = hashlib.sha256((ROOT / "pyproject.toml").read_bytes()).hexdigest()
    return f"{listed} {ROOT} {sys.version}"


def run(command: list[str], **options) -> int:
    """Run a command to its end in the project's folder; Ctrl-C reaches the child, and we wait for it to tidy up."""
    child = subprocess.Popen([str(word) for word in command], cwd=ROOT, **options)
    while True:
        try:
            return child.wait()
        except KeyboardInterrupt:
            continue
