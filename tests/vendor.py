"""The browser libraries under static/vendor, and those of the tests under tests/vendored: fetch them as released, or
check that they are still what was released.

`python tests/vendor.py fetch` needs npm and a network; it runs only when a version is changed here.
`python tests/vendor.py check` needs neither. Files are kept byte-identical: the page's import map resolves names.
"""

import base64
import hashlib
import json
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

VENDOR = Path(__file__).resolve().parent.parent / "static" / "vendor"

# name, version, licence, {file or folder/ in the package: file or folder/ under static/vendor/<name>/}
LIBRARIES = [
    (
        "preact",
        "11.2.0",
        "MIT",
        {"dist/preact.mjs": "preact.mjs", "hooks/dist/hooks.mjs": "hooks.mjs", "LICENSE": "LICENSE"},
    ),
    ("htm", "3.1.1", "Apache-2.0", {"dist/htm.mjs": "htm.mjs", "LICENSE": "LICENSE"}),
    ("idb", "8.0.4", "ISC", {"build/index.js": "index.js", "LICENSE": "LICENSE"}),
    ("lean-qr", "2.7.4", "MIT", {"index.mjs": "index.mjs", "LICENSE": "LICENSE"}),
]
# What only the tests load. It is never served: the browser gets it from the test.
TESTS_OWN = Path(__file__).resolve().parent / "vendored"
TEST_LIBRARIES = [
    (
        "axe-core",
        "4.14.1",
        "MPL-2.0",
        {"axe.min.js": "axe.min.js", "LICENSE": "LICENSE", "LICENSE-3RD-PARTY.txt": "LICENSE-3RD-PARTY.txt"},
    ),
    ("fake-indexeddb", "6.2.8", "Apache-2.0", {"build/esm/": "", "LICENSE": "LICENSE"}),
]
PLACES = [(VENDOR, LIBRARIES), (TESTS_OWN, TEST_LIBRARIES)]


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def fetch_one(name: str, version: str, licence: str, files: dict[str, str], into: Path) -> dict:
    """Download one released package, hold it to the registry's own integrity, copy the wanted files."""
    with tempfile.TemporaryDirectory() as temp:
        spec = f"{name}@{version}"
        packed = subprocess.run(["npm", "pack", "--json", spec], cwd=temp, check=True, capture_output=True, text=True)
        tarball = Path(temp) / json.loads(packed.stdout)[0]["filename"]
        told = subprocess.run(
            ["npm", "view", spec, "dist.integrity"], check=True, capture_output=True, text=True
        ).stdout.strip()
        got = "sha512-" + base64.b64encode(hashlib.sha512(tarball.read_bytes()).digest()).decode()
        if got != told:
            raise SystemExit(f"{spec}: the tarball has {got}, the registry says {told}. Nothing was changed.")
        hashes = {}
        with tarfile.open(tarball) as archive:
            for source, target in wanted(archive, files):
                data = archive.extractfile(f"package/{source}").read()
                (into / name / target).parent.mkdir(parents=True, exist_ok=True)
                (into / name / target).write_bytes(data)
                hashes[f"{name}/{target}"] = sha256(data)
    return {"name": name, "version": version, "licence": licence, "integrity": got, "sha256": hashes}


def wanted(archive: tarfile.TarFile, files: dict[str, str]) -> list[tuple[str, str]]:
    """Each file with its place: as it is named, or all that a named folder holds."""
    inside = [member.name.removeprefix("package/") for member in archive.getmembers() if member.isfile()]
    folders = [(source, target) for source, target in files.items() if source.endswith("/")]
    found = [(name, target + name.removeprefix(source)) for source, target in folders for name in inside
             if name.startswith(source)]  # fmt: skip
    return [pair for pair in files.items() if pair not in folders] + sorted(found)


def fetch(vendor: Path, libraries: list[tuple]) -> None:
    records = [fetch_one(*library, vendor) for library in libraries]
    (vendor / "vendor.json").write_text(json.dumps(records, indent=2) + "\n")


def problems(vendor: Path = VENDOR, libraries: list[tuple] = LIBRARIES) -> list[str]:
    """Every difference between the files and vendor.json, as sentences; empty when all is as released."""
    records = json.loads((vendor / "vendor.json").read_text())
    listed = {name: wanted for record in records for name, wanted in record["sha256"].items()}
    present = {path.relative_to(vendor).as_posix() for path in vendor.rglob("*") if path.is_file()} - {"vendor.json"}
    found = [f"{name} is listed but missing" for name in sorted(listed.keys() - present)]
    found += [f"{name} is there but not listed" for name in sorted(present - listed.keys())]
    for name in sorted(present & listed.keys()):
        if sha256((vendor / name).read_bytes()) != listed[name]:
            found.append(f"{name} is not the released file")
    pins = {(name, version) for name, version, *_ in libraries}
    found += [
        f"{record['name']} {record['version']} is not the version pinned here"
        for record in records
        if (record["name"], record["version"]) not in pins
    ]
    return found


if __name__ == "__main__":
    if sys.argv[1:] == ["fetch"]:
        for place in PLACES:
            fetch(*place)
    wrong = [one for place in PLACES for one in problems(*place)]
    print("\n".join(wrong) or "All vendored files are as released.")
    sys.exit(bool(wrong))
