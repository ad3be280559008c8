"""`python3 tests`: everything that checks Glovebook, from a fresh clone on.

--long     also the long marks, the benchmarks and pictures of every page
other words go to pytest, as `python3 tests -k outbox` or `python3 tests tests/book`
"""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "demo_site"))

from bootstrap import ROOT, prepare, run, say

NO_CHROMIUM = (
    "No Chromium was found and none could be installed: install one (Debian: apt-get install chromium) "
    "or name one in the variable CHROME."
)


def main(words: list[str]) -> int:
    is_long = "--long" in words
    python = prepare("test")
    chrome = chromium(python)
    if chrome is None:
        say(NO_CHROMIUM)
        return 1
    say(f"Browser: {chrome}")
    environment = os.environ | {"CHROME": chrome}
    biome = [python.with_name("biome"), "check", "--config-path", ROOT / ".ci" / "biome.json", "--error-on-warnings"]
    told = [
        timed("ruff", [python, "-m", "ruff", "check", "."], environment),
        timed("biome", [*biome, "static", "tests"], environment),
    ]
    extra = [word for word in words if word != "--long"]
    for name, places in groups(extra):
        both = ["-n", "2", "--dist", "loadgroup"] if places else []  # what is named by hand may want a debugger
        command = [python, "-m", "pytest", *both, *(["--long"] if is_long else []), *extra, *places]
        told.append(timed(name, command, environment))
    if is_long and not extra:
        for bench in sorted((ROOT / "tests" / "bench").glob("bench_*.py")):
            told.append(timed(bench.stem, [python, "-m", f"tests.bench.{bench.stem}"], environment))
        pictures = Path(tempfile.gettempdir()) / "glovebook-looks"
        told.append(timed("pictures", [python, ROOT / "tests" / "looks" / "shots.py", pictures], environment))
    say("\n" + "\n".join(line(*one) for one in told))
    return next((code for _, code, _ in told if code), 0)


def groups(extra: list[str]) -> list[tuple[str, list[str]]]:
    """One run of pytest for all that needs no app in a browser, and one for what does: each start costs seconds.

    The server's tests run loops of their own, which a browser's driver in the same process forbids. Named places make
    one run of their own.
    """
    if any((ROOT / word.split("::")[0]).exists() for word in extra):
        return [("pytest", [])]
    found = sorted((ROOT / "tests").rglob("test_*.py"))
    tops = sorted({path.relative_to(ROOT / "tests").parts[0] for path in found} - {"browser", "server"})
    others = ("all others", [f"tests/{top}" for top in tops])
    return [("server", ["tests/server"]), others, ("browser", ["tests/browser"])]


def line(name: str, code: int, seconds: float) -> str:
    return f"{name:16} {seconds:7.1f} s  {'well' if code == 0 else f'FAILED ({code})'}"


def timed(name: str, command: list, environment: dict) -> tuple[str, int, float]:
    say(f"\n== {name}")
    began = time.monotonic()
    code = run(command, env=environment)
    if code == 5 and command[2:3] == ["pytest"]:  # pytest's own word for: nothing here was asked for
        code = 0
    told = name, code, time.monotonic() - began
    say(f"== {line(*told)}")
    return told


def chromium(python: Path) -> str | None:
    """A Chromium that is here, or one that could be fetched: from Playwright's download, from Debian as root."""
    found = find(python)
    if found:
        return found
    say("No Chromium here; trying Playwright's download.")
    if subprocess.run([str(python), "-m", "playwright", "install", "chromium"]).returncode == 0 and (
        found := find(python)
    ):
        return found
    if shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        say("Trying apt-get install chromium.")
        quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
        subprocess.run(["apt-get", "update", "-q"], env=quiet)
        subprocess.run(["apt-get", "install", "-y", "-q", "chromium"], env=quiet)
    return find(python)


def find(python: Path) -> str | None:
    """Asked of the environment's Python, since Playwright lives there."""
    ask = "import harness; print(harness.find_chrome() or '')"
    told = subprocess.run([str(python), "-c", ask], cwd=ROOT / "tests", capture_output=True, text=True)
    return told.stdout.strip() or None


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
