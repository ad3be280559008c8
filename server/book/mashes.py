"""A mash from the mill to the wash gauge: what it should give, how it goes, when it is done.

static/book/mashes.js is the twin. A mash is named by the id of the entry that opened it. An entry belongs to it by
its group, or, where it has none, because the mash stands in that vessel. Nothing here enters the alcohol account: the
wash gauge does.
"""

from server.book import mash_findings
from server.book.gauges import sg_of, water_sums
from server.book.materials import mass_mg, promise
from server.book.runs import run_id_of
from server.book.shapes import is_readable
from server.reckon import ReckonError, reckon
from server.reckon.density import WATER_20C, water_density
from server.reckon.units import read_of, to_base

STEADY_MS = 12 * 60 * 60 * 1000  # two equal gravities, at least half a day apart: common practice, no source
SAME_SG = 0.0005  # a hydrometer is read to half a division
WARM_C = 40.0
WARM = {"grist_c": "grist_temperature", "liquor_c": "liquor_temperature", "mash_c": "mash_temperature"}
WATER_KG_L = 0.99823  # the source's own figure beside its formula: kg = litres x S x 0.99823 x P/100


def nothing() -> dict:
    return {"mashes": {}}


def new_mash(mash_id: str, record: dict) -> dict:
    return {
        "id": mash_id,
        "name": record["entry"]["said"]["name"],
        "vessel": record["entry"]["said"]["vessel"],
        "opened_at": record["at"],
        "by": record["entry"].get("by"),
        "materials": [],
        "liquor_mg": 0,
        "water_source": None,
        "grist_c": None,
        "liquor_c": None,
        "mash_c": None,
        "readings": [],
        "iodine": None,
        "pitch": None,
        "pitched_at": None,
        "original_sg": None,
        "ferment": [],
        "final_sg": None,
        "steady_at": None,
        "done_at": None,
        "alcohol": None,
        "wash": None,
        "given_up": None,
        "full_mg": 0,
        "expected_mg": 0,
        "extract_mg": 0,
        "assumed": False,
        "starchy": False,
        "entries": [],
    }


def open_mashes(walk: dict) -> None:
    """Make the mashes before their entries are followed: a wrong clock may put a reading before the mash-in."""
    state = walk["state"]
    for entry_id in walk["due"]:
        record = state["entries"][entry_id]
        entry = record["entry"]
        if record["live"] and entry.get("kind") == "mash" and is_readable(entry):
            state["mashes"].setdefault(run_id_of(entry), new_mash(run_id_of(entry), record))


def mash_of(walk: dict, record: dict, said: dict) -> dict | None:
    """The mash that an entry belongs to: by its group, else the one that stands in the vessel."""
    mashes = walk["state"]["mashes"]
    return mashes.get(run_id_of(record["entry"])) or mashes.get(walk["mash_in"].get(said["vessel"]))


def followed(worker):
    """A worker that is called with the entry's mash, and not at all where there is none."""

    def follow(walk: dict, record: dict, said: dict, moved: list) -> None:
        found = mash_of(walk, record, said)
        if found is not None:
            found["entries"].append(record["entry"]["id"])
            worker(walk, found, record, said, moved)

    return follow


def celsius(typed: dict | None) -> float | None:
    return to_base(typed) if typed else None


def litres(typed: dict | None) -> float | None:
    return to_base(typed) if typed else None


def ph_of(typed: dict | None) -> float | None:
    return read_of(typed) if typed else None


def gravity(typed: dict | None) -> float | None:
    """Specific gravity; None where none was read or the scale has no such degree."""
    try:
        return sg_of(typed) if typed else None
    except ReckonError:
        return None


def mash(walk: dict, found: dict, record: dict, said: dict, moved: list) -> None:
    found["materials"] += [{"lot": row["lot"], "mass_mg": mass_mg(row["mass"])} for row in said["materials"]]
    found["vessel"] = said["vessel"]
    walk["mash_in"][said["vessel"]] = found["id"]
    if said.get("liquor"):
        found["liquor_mg"] += liquor_mg(said["liquor"])
    found["water_source"] = said.get("water_source") or found["water_source"]
    for key, name in WARM.items():
        if said.get(name):
            found[key] = celsius(said[name])


def liquor_mg(liquor: dict) -> int:
    try:
        return water_sums(liquor)["liquid_mg"]
    except ReckonError:
        return 0


def mash_reading(walk: dict, found: dict, record: dict, said: dict, moved: list) -> None:
    sg, volume = gravity(said.get("gravity")), litres(said.get("volume"))
    entry_id = record["entry"]["id"]
    more = [{"lot": row["lot"], "mass_mg": mass_mg(row["mass"])} for row in said.get("additions") or ()]
    found["materials"] += more
    found["readings"].append(
        {
            "id": entry_id,
            "at": record["at"],
            "by": record["entry"].get("by"),
            "temperature_c": celsius(said.get("temperature")),
            "ph": ph_of(said.get("ph")),
            "iodine": said.get("iodine"),
            "sg": sg,
            "volume_l": volume,
            "extract_kg": extract_kg(sg, volume, celsius(said.get("temperature"))),
        }
    )
    if said.get("iodine"):
        found["iodine"] = {"word": said["iodine"], "at": record["at"], "id": entry_id}


def extract_kg(sg: float | None, volume_l: float | None, warm_c: float | None) -> float | None:
    """Extract in hand: litres at 20 °C x S x 0.99823 x P/100."""
    if sg is None or volume_l is None:
        return None
    return cold_l(volume_l, warm_c) * sg * WATER_KG_L * plato(sg) / 100.0


def cold_l(volume_l: float, warm_c: float | None) -> float:
    """Litres at 20 °C of a mash that was read warm: it shrinks as water does.

    warm_c: of the mash whose volume was read; None where nobody read it: then it is taken as 20 °C
    """
    return volume_l if warm_c is None else volume_l * (water_density(min(max(warm_c, 0.0), 100.0)) / WATER_20C)


def plato(sg: float) -> float:
    answer = reckon({"want": "gravity", "sg": sg})
    return answer.get("plato_pct", 0.0)


def pitch(walk: dict, found: dict, record: dict, said: dict, moved: list) -> None:
    found["vessel"], found["pitched_at"] = said["vessel"], record["at"]
    walk["mash_in"][said["vessel"]] = found["id"]
    found["original_sg"] = gravity(said["gravity"])
    found["pitch"] = {
        "id": record["entry"]["id"],
        "temperature_c": celsius(said["temperature"]),
        "volume_l": litres(said.get("volume")),
        "ph": ph_of(said.get("ph")),
        "cooler_in_c": celsius(said.get("cooler_in")),
        "cooler_out_c": celsius(said.get("cooler_out")),
        "cooled_from_c": celsius(said.get("cooled_from")) if said.get("cooled_from") else last_warm(found),
        "minutes": to_base(said["minutes"]) if said.get("minutes") else None,
        "iodine": found["iodine"]["word"] if found["iodine"] else None,
        "unconverted": said.get("unconverted"),
        "yeast": [{"lot": row["lot"], "mass_mg": mass_mg(row["mass"])} for row in said["materials"]],
    }
    mash_findings.pitched(walk, found, record)


def last_warm(found: dict) -> float | None:
    """The mash as it was last read warm; under 40 °C its cooling has begun."""
    warm = (one["temperature_c"] for one in reversed(found["readings"]) if (one["temperature_c"] or 0.0) > WARM_C)
    return next(warm, None)


def ferment_reading(walk: dict, found: dict, record: dict, said: dict, moved: list) -> None:
    more = [{"lot": row["lot"], "mass_mg": mass_mg(row["mass"])} for row in said.get("additions") or ()]
    found["materials"] += more
    reading = {
        "id": record["entry"]["id"],
        "at": record["at"],
        "by": record["entry"].get("by"),
        "sg": gravity(said.get("gravity")),
        "temperature_c": celsius(said.get("temperature")),
        "ph": ph_of(said.get("ph")),
        "co2_pct": to_base(said["co2"]) if said.get("co2") else None,
        "smell": said.get("smell") or [],
    }
    found["ferment"].append(reading)
    mash_findings.fermenting(walk, found, record, reading)


def wash(walk: dict, found: dict, record: dict, said: dict, moved: list) -> None:
    """The wash gauge closes the mash: what was made, of what the materials could give."""
    made = sum(line["ethanol_mg"] for line in moved if line["to"] == f"vessel/{said['vessel']}")
    found["wash"] = {"id": record["entry"]["id"], "at": record["at"], "vessel": said["vessel"], "ethanol_mg": made}
    found["final_sg"] = gravity(said["final"])
    leave(walk, said["vessel"], found)


def give_up(walk: dict, found: dict, record: dict, said: dict, moved: list) -> None:
    found["given_up"] = {"id": record["entry"]["id"], "at": record["at"], "cause": said["cause"]}
    leave(walk, said["vessel"], found)


def leave(walk: dict, tag: str, found: dict) -> None:
    if walk["mash_in"].get(tag) == found["id"]:
        del walk["mash_in"][tag]


def finish(walk: dict) -> None:
    """What the lots promise, the curve so far, and what is odd in both."""
    state = walk["state"]
    for found in state["mashes"].values():
        for row in found["materials"]:
            one = state["lots"].get(row["lot"])
            row["sort"] = one["sort"] if one else None
            found["starchy"] = found["starchy"] or bool(one and one["starch_pct"])
            row.update(promise(one, row["mass_mg"]) if one else {"full_mg": 0, "extract_mg": 0})
            found["full_mg"] += row["full_mg"]
            found["extract_mg"] += row["extract_mg"]
            found["assumed"] = found["assumed"] or bool(one and one["assumed"])
        curve(found)
        mash_findings.finished(walk, found)


def curve(found: dict) -> None:
    """Gravity so far: the alcohol by two methods, and whether it stands still."""
    read = [one for one in found["ferment"] if one["sg"] is not None]
    if read and found["final_sg"] is None:
        found["final_sg"] = read[-1]["sg"]
    found["steady_at"] = steady_at(read)
    if found["original_sg"] is None or found["final_sg"] is None:
        return
    answer = reckon({"want": "wash", "original_sg": found["original_sg"], "final_sg": found["final_sg"]})
    found["alcohol"] = None if "error" in answer else answer
    if found["steady_at"] is not None and fermented(found["original_sg"], found["final_sg"]) >= 0.5:
        found["done_at"] = found["steady_at"]


def steady_at(read: list) -> int | None:
    """When the gravity had stood still for twelve hours; None while it moves, or moved again since."""
    if not read:
        return None
    newest = read[-1]
    since = newest
    for one in reversed(read):
        if abs(one["sg"] - newest["sg"]) > SAME_SG:
            break
        since = one
    return newest["at"] if newest["at"] - since["at"] >= STEADY_MS else None


def fermented(original_sg: float, final_sg: float) -> float:
    """Share of the apparent extract that is gone."""
    whole = original_sg - 1.0
    return (original_sg - final_sg) / whole if whole > 0 else 0.0


FOLLOW = {
    "mash": followed(mash),
    "mash_reading": followed(mash_reading),
    "pitch": followed(pitch),
    "ferment_reading": followed(ferment_reading),
    "wash": followed(wash),
    "give_up": followed(give_up),
}
