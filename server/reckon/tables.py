"""The data of the reckoning, read once from static/reckon: both languages read the same files."""

import hashlib
import json

from server.paths import STATIC

_folder = STATIC / "reckon"


def _read(name: str) -> dict:
    return json.loads((_folder / name).read_bytes())


R22 = _read("oiml_r22.json")
UNITS = _read("units.json")["units"]
SAYS = _read("says.json")
MARKETS = _read("markets.json")
FLASH = _read("flash.json")
STILL = _read("still.json")

# An entry names the coefficients and factors that made its lines, so that an old entry can be reckoned as it was.
_bytes = (_folder / "oiml_r22.json").read_bytes() + (_folder / "units.json").read_bytes()
TABLES = hashlib.sha256(_bytes).hexdigest()[:16]
