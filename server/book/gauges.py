"""From a gauge as typed to sums in whole milligrams. static/book/gauges.js is the twin.

A gauge says an amount (by any of the ways of amounts.py) and a strength (with the jar's temperature where
an instrument was read). What it does not say is taken from the book's sums that it carries.
"""

import math

from server.book.amounts import amount_of, is_empty, read_l, way_of
from server.reckon import ReckonError, mixture, reckon, to_mg, view
from server.reckon.units import to_base

NOTHING = {"ethanol_mg": 0, "liquid_mg": 0, "extract_mg": 0}
STRENGTH_KEYS = {
    "abv": "abv_pct",
    "glass": "glass_pct",
    "proof": "proof",
    "glass_proof": "glass_proof",
    "mass_pct": "mass_pct",
    "kg_m3": "density_kg_m3",
}
JAR_UNITS = ("glass", "glass_proof", "kg_m3")


def add(a: dict, b: dict) -> dict:
    return {
        "ethanol_mg": a["ethanol_mg"] + b["ethanol_mg"],
        "liquid_mg": a["liquid_mg"] + b["liquid_mg"],
        "extract_mg": a["extract_mg"] + b["extract_mg"],
    }


def less(a: dict, b: dict) -> dict:
    return {
        "ethanol_mg": a["ethanol_mg"] - b["ethanol_mg"],
        "liquid_mg": a["liquid_mg"] - b["liquid_mg"],
        "extract_mg": a["extract_mg"] - b["extract_mg"],
    }


def at_least_nothing(a: dict) -> dict:
    """Each sum, or 0 where it is below: lines of ordinary kinds never run backwards."""
    return {
        "ethanol_mg": max(a["ethanol_mg"], 0),
        "liquid_mg": max(a["liquid_mg"], 0),
        "extract_mg": max(a["extract_mg"], 0),
    }


def is_nothing(a: dict) -> bool:
    return a["ethanol_mg"] == 0 and a["liquid_mg"] == 0 and a["extract_mg"] == 0


def only_sums(a: dict) -> dict:
    return {"ethanol_mg": a["ethanol_mg"], "liquid_mg": a["liquid_mg"], "extract_mg": a["extract_mg"]}


def in_mg(masses: dict) -> dict:
    """The masses of reckon in whole milligrams, by its one rounding."""
    return {
        "ethanol_mg": to_mg(masses["ethanol_kg"]),
        "liquid_mg": to_mg(masses["mass_kg"]),
        "extract_mg": to_mg(masses["extract_kg"]),
    }


def strength_read(typed: dict) -> float:
    """A strength as read, corrected; a glass that reads 0.1 too much shows 0.1 in water, which is none."""
    value = to_base(typed)
    return value if typed.get("correction") is None else max(value, 0.0)


def strength_of(gauge: dict) -> dict:
    """The strength part of a gauge under reckon's names, with the jar's temperature and the extract."""
    typed = gauge["strength"]
    liquid = {STRENGTH_KEYS[typed["unit"]]: strength_read(typed)}
    if typed["unit"] in JAR_UNITS and gauge.get("strength_temperature"):
        liquid["reading_temperature_c"] = to_base(gauge["strength_temperature"])
    if gauge.get("extract"):
        liquid["extract_g_l"] = to_base(gauge["extract"])
    return liquid


def extract_of(book: dict | None) -> dict:
    """The extract per litre that the book has there: it neither boils off nor shows on an alcoholometer, so a gauge
    that does not say one takes it from the book."""
    if not book or book["extract_mg"] <= 0:
        return {}
    volume_l = view(book["ethanol_mg"], book["liquid_mg"], book["extract_mg"], 20.0)["volume_20c_l"]
    if not volume_l:
        return {}
    extract_g_l = book["extract_mg"] / 1000.0 / volume_l
    return {"extract_g_l": extract_g_l} if extract_g_l <= 1000.0 else {}


def has_amount(gauge: dict) -> bool:
    return way_of(gauge) is not None


def gauge_sums(gauge: dict, book: dict | None = None) -> dict:
    """What a gauge says is there.

    gauge:   a gauge object of an entry; its own `book` comes before the one passed
    book:    the book's sums, where the gauge itself carries none
    returns: {ethanol_mg, liquid_mg, extract_mg}, whole milligrams
    raises:  ReckonError when it cannot be reckoned
    """
    book = gauge.get("book") or book
    if has_amount(gauge) and gauge.get("strength"):
        return empty_or(gauge, lambda: in_mg(mixture({**amount_of(gauge), **extract_of(book), **strength_of(gauge)})))
    if book is None:
        raise ReckonError("book", "nothing", "the book's sums", "Read the amount and the strength: the book has none.")
    if has_amount(gauge):
        return empty_or(gauge, lambda: share_of(book, gauge))
    if gauge.get("strength"):
        return of_strength(book, gauge)
    return only_sums(book)


def empty_or(gauge: dict, reckoned) -> dict:
    """An amount of nothing is an empty vessel, whatever its strength; reckon would refuse it."""
    return dict(NOTHING) if is_empty(gauge) else reckoned()


def share_of(book: dict, gauge: dict) -> dict:
    """The part of the book's liquid that fills the volume, or has the weight, that was read.

    The share is one float ratio, multiplied once with each sum and rounded half up: products of two sums in
    milligrams would pass 2^53, a ratio does not, and the same order gives the same bits in both languages.
    """
    if book["liquid_mg"] <= 0:
        raise ReckonError("book", "nothing", "some liquid", "The book has nothing there: read the strength as well.")
    amount = amount_of(gauge)
    if "weight_in_air_kg" in amount:
        share = pct_of(book["ethanol_mg"], book["liquid_mg"])
        ratio = mixture({**amount, "mass_pct": share})["mass_kg"] * 1e6 / book["liquid_mg"]
    else:
        whole = view(book["ethanol_mg"], book["liquid_mg"], book["extract_mg"], amount.get("temperature_c"))
        if not whole["volume_l"]:
            raise ReckonError(
                "book", "sums that no liquid has", "some liquid", "Read the strength: the book is wrong there."
            )
        ratio = amount["volume_l"] / whole["volume_l"]
    return times(book, ratio)


def pct_of(part: int, whole: int) -> float:
    return min(max(part / whole * 100.0, 0.0), 100.0)


def times(sums: dict, ratio: float) -> dict:
    return {
        "ethanol_mg": math.floor(sums["ethanol_mg"] * ratio + 0.5),
        "liquid_mg": math.floor(sums["liquid_mg"] * ratio + 0.5),
        "extract_mg": math.floor(sums["extract_mg"] * ratio + 0.5),
    }


def of_strength(book: dict, gauge: dict) -> dict:
    """The book's liquid at the strength that was read; its extract stays unless the gauge says one."""
    if book["liquid_mg"] <= 0:
        raise ReckonError("book", "nothing", "some liquid", "The book has nothing there: read the amount as well.")
    masses = mixture({"mass_kg": book["liquid_mg"] / 1e6, **extract_of(book), **strength_of(gauge)})
    extract = to_mg(masses["extract_kg"]) if gauge.get("extract") else book["extract_mg"]
    return {"ethanol_mg": to_mg(masses["ethanol_kg"]), "liquid_mg": book["liquid_mg"], "extract_mg": extract}


def water_sums(water: dict) -> dict:
    """Water by weight, or by volume at its temperature."""
    return empty_or(water, lambda: in_mg(mixture({**amount_of(water), "abv_pct": 0.0})))


def wash_sums(said: dict) -> tuple[dict, int]:
    """A wash gauge: its sums, and the carbon dioxide that left, in mg.

    0.9565 kg of carbon dioxide goes with each kg of ethanol: Balling's mass balance, 2.0665 extract to
    1 ethanol, 0.9565 carbon dioxide and 0.11 yeast (from memory).
    """
    wash = answered(
        {
            "want": "wash_liquid",
            "volume_l": read_l(said),
            "temperature_c": to_base(said["temperature"]),
            "original_sg": sg_of(said["original"]),
            "final_sg": sg_of(said["final"]),
        }
    )
    return in_mg(wash), to_mg(wash["ethanol_kg"] * 0.9565)


def sg_of(typed: dict) -> float:
    value = to_base(typed)
    return answered({"want": "gravity", "plato_pct": value})["sg"] if typed["unit"] == "plato" else value


def answered(request: dict) -> dict:
    """reckon's answer; its refusal is raised, so that a form can show the sentence."""
    answer = reckon(request)
    if "error" in answer:
        error = answer["error"]
        raise ReckonError(error["field"], error["given"], error["expected"], error["say"])
    return answer
