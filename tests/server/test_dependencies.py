"""What Glovebook stands on: as the map lists it, with its licence; and what the tests stand on: pinned."""

import ast
import importlib.metadata
import re
import sys
import tomllib
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
# With the extras that a site may ask for.
AT_RUN_TIME = PROJECT["dependencies"] + [
    line for extra, lines in PROJECT["optional-dependencies"].items() if extra != "test" for line in lines
]
ELSEWHERE = {"colorama", "typing-extensions", "tzdata", "pysqlite3"}  # needed on some systems or Pythons only


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def needed() -> dict[str, importlib.metadata.Distribution]:
    """Every package that an installation without the tests brings, by the metadata of what is installed."""
    found, left = {}, list(AT_RUN_TIME)
    while left:
        wanted = Requirement(left.pop())
        if plain(wanted.name) in found or (wanted.marker and not wanted.marker.evaluate({"extra": ""})):
            continue
        found[plain(wanted.name)] = one = importlib.metadata.distribution(wanted.name)
        assert one.version in wanted.specifier, f"{wanted} is wanted and {one.version} installed"
        left += one.requires or []
    return found


def listed() -> dict[str, str]:
    """The table of the map: package to licence; a row may name several, with one licence each or one for all."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    text = text.partition("## What it stands on")[2].partition("|---|")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| ([a-z0-9, -]+) \| [^|]+ \| ([^|]+) \|$", text, re.MULTILINE)
    found = {}
    for names, licences in rows:
        names, licences = names.split(", "), licences.split(", ")
        found |= dict(zip(names, licences if len(licences) == len(names) else licences * len(names), strict=True))
    return found


def test_the_map_lists_what_is_installed_and_nothing_else():
    here, told = set(needed()), set(listed())
    assert here - told == set(), "installed, and not in the map's table: say there why it is needed"
    assert told - here <= ELSEWHERE
    assert "starlette" in here and len(here) < 30


def test_licences_are_as_listed_and_free_to_use():
    told = listed()
    for name, one in needed().items():
        said = [one.metadata.get("License-Expression"), one.metadata.get("License")]
        said += [each for each in one.metadata.get_all("Classifier", []) if each.startswith("License ::")]
        words = " ".join(each for each in said if each)
        assert told[name] in words or (told[name] == "not stated by its wheel" and not words), (name, words)
        assert not re.search(r"\bA?GPL", words), name


def test_what_the_server_imports_is_among_them():
    known = set(sys.stdlib_module_names) | {"server", "demo_site"}
    ours = {plain(Requirement(line).name) for line in AT_RUN_TIME} | {"anyio", "h11"}
    for path in (ROOT / "server").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module] if isinstance(node, ast.ImportFrom) and node.module and not node.level else []
            for name in names:
                top = name.partition(".")[0]
                assert top in known or plain(top) in ours, f"{path.name} imports {name}"


def test_what_the_tests_stand_on_is_pinned_and_installed_so():
    for line in PROJECT["optional-dependencies"]["test"]:
        wanted = Requirement(line)
        (pin,) = wanted.specifier
        assert pin.operator == "==" and importlib.metadata.version(wanted.name) == pin.version, line
