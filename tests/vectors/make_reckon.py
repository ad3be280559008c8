"""Freeze the reckoning's answers: `python tests/vectors/make_reckon.py` writes reckon.json anew.

The answers are our own and prove only that nothing moved; whether they are right, tests/reference says. Write them
anew only when a formula or a sentence is meant to change, and say so in the commit.
"""

import json
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from server.reckon import reckon

OWN = "our own, proves only that nothing moved"
FILE = Path(__file__).with_name("reckon.json")
TEMPERATURES = (-20, -5, 0, 8, 15, 20, 27.5, 40)


def densities():
    for abv in (0, 0.5, 10, 19, 37.5, 40, 55, 70, 80, 96.2, 100):
        for t in TEMPERATURES:
            yield f"{abv} % vol at {t} °C", {"want": "density", "abv_pct": abv, "temperature_c": t}
    for t in (0, 40, 40.5, 55, 78, 92.5, 100):
        yield f"water alone at {t} °C", {"want": "density", "abv_pct": 0, "temperature_c": t}
    for extract in (5, 40, 120, 350):
        yield "spirit with extract", {"want": "density", "abv_pct": 30, "extract_g_l": extract, "temperature_c": 18}


def strengths():
    for t in TEMPERATURES:
        for reading in (0, 12, 40, 58.6, 94):
            yield "a glass alcoholometer", {"want": "strength", "glass_pct": reading, "reading_temperature_c": t}
        yield "a proof hydrometer", {"want": "strength", "glass_proof": 119.4, "reading_temperature_c": t}
        yield "a density meter", {"want": "strength", "density_kg_m3": 948.05, "reading_temperature_c": t}
    for key, values in {"abv_pct": (0, 8.4, 62.4, 100), "mass_pct": (0, 33.3, 100), "proof": (0, 80, 190, 200)}.items():
        for value in values:
            yield "said, not read", {"want": "strength", key: value}
    for key, value in {"abv_pct": 30, "mass_pct": 25, "proof": 60, "density_kg_m3": 1010, "glass_pct": 2}.items():
        yield "a sweetened spirit", {"want": "strength", key: value, "extract_g_l": 120, "reading_temperature_c": 19}


def quantities():
    for t in TEMPERATURES:
        yield "a tank by volume", {"want": "quantity", "volume_l": 1234.5, "temperature_c": t, "abv_pct": 63.2}
    jar = {"glass_pct": 58.6, "reading_temperature_c": 18}
    yield "the jar is not the tank", {"want": "quantity", "volume_l": 1234.5, "temperature_c": 8, **jar}
    for abv in (0, 40, 62.8, 96.2):
        yield "by weight in air", {"want": "quantity", "weight_in_air_kg": 163.4, "abv_pct": abv}
        yield "by mass", {"want": "quantity", "mass_kg": 163.4, "abv_pct": abv}
    yield "an empty tank", {"want": "quantity", "volume_l": 0, "temperature_c": 15, "abv_pct": 40}
    yield "hot water", {"want": "quantity", "volume_l": 50, "temperature_c": 85, "abv_pct": 0}
    sweet = {"abv_pct": 30, "extract_g_l": 200, "temperature_c": 12}
    yield "sweetened", {"want": "quantity", "volume_l": 50, **sweet}


def reductions():
    spirit = {"want": "water", "volume_l": 250, "temperature_c": 15, "abv_pct": 63.5}
    for to in (60, 43, 37.5, 5, 0.01, 63.5, 70, 0):
        yield f"down to {to} % vol", spirit | {"to_abv_pct": to, "water_temperature_c": 10}
    for t in (0, 20, 40, 60, 100, 101, -1):
        yield f"water of {t} °C", spirit | {"to_abv_pct": 40, "water_temperature_c": t, "product_temperature_c": 17}
    sweet = {"extract_g_l": 150, "to_abv_pct": 20, "water_temperature_c": 12}
    yield "with extract", spirit | sweet | {"abv_pct": 35}
    weighed = {"want": "water", "weight_in_air_kg": 1000, "abv_pct": 96, "to_abv_pct": 37.5}
    yield "from the scale", weighed | {"water_temperature_c": 15}


def blends():
    first = {"volume_l": 200, "temperature_c": 12, "abv_pct": 65}
    parts = [first, {"weight_in_air_kg": 300, "abv_pct": 48}, {"mass_kg": 40, "mass_pct": 91.5}]
    parts += [{"volume_l": 25, "temperature_c": 60, "abv_pct": 0}]
    parts += [{"volume_l": 9, "temperature_c": 20, "abv_pct": 0, "extract_g_l": 850}]
    for count in range(1, 6):
        yield f"{count} poured together", {"want": "blend", "parts": parts[:count]}
    yield "nothing in it", {"want": "blend", "parts": [first | {"volume_l": 0}]}
    yield "no parts", {"want": "blend", "parts": []}
    for to in (30, 40, 45, 50, 64.9, 65, 70):
        for weak in ({"abv_pct": 40}, {"abv_pct": 0}, {"abv_pct": 20, "extract_g_l": 300}):
            second = weak | {"temperature_c": 18}
            yield f"to {to} % vol", first | {"want": "blend_to", "to_abv_pct": to, "with": second}
    yield "stronger", first | {"want": "blend_to", "to_abv_pct": 80, "with": {"abv_pct": 96, "temperature_c": 18}}


def washes():
    for sg in (0.98, 0.99, 0.9999, 1, 1.00001, 1.004, 1.048, 1.1, 1.178, 1.2):
        yield "gravity", {"want": "gravity", "sg": sg}
    for plato in (-5, -0.001, 0, 0.001, 4, 12, 25, 39.9, 45):
        yield "degrees Plato", {"want": "gravity", "plato_pct": plato}
    for original in (1.02, 1.034, 1.057, 1.0621, 1.08, 1.1, 1.15):
        for final in (0.988, 0.998, 1.01, 1.02):
            asked = {"original_sg": original, "final_sg": final}
            yield "a wash", {"want": "wash", **asked}
            yield "a wash in its vessel", {"want": "wash_liquid", "volume_l": 1800, "temperature_c": 27, **asked}


def bad():
    for value in (None, True, "40", [], {}, -1, 101, 1e300, 2**53 + 2):
        yield "no strength", {"want": "strength", "abv_pct": value}
        yield "no amount", {"want": "quantity", "mass_kg": value, "abv_pct": 40}
        yield "no temperature", {"want": "density", "temperature_c": value, "abv_pct": 40}
    yield "two strengths", {"want": "strength", "abv_pct": 40, "proof": 80}
    yield "two amounts", {"want": "quantity", "abv_pct": 40, "mass_kg": 1, "weight_in_air_kg": 1}
    yield "a jar without its temperature", {"want": "strength", "glass_pct": 40, "temperature_c": 15}
    yield "a tank without its temperature", {"want": "quantity", "volume_l": 4, "abv_pct": 40}
    yield "an unknown want", {"want": "no such want"}
    yield "no want", {}


def vectors() -> list[dict]:
    frozen = []
    for maker in (densities, strengths, quantities, reductions, blends, washes, bad):
        for at, (comment, request) in enumerate(maker(), start=1):
            about = {"id": f"{maker.__name__}-{at}", "comment": comment, "source": OWN}
            frozen.append({**about, "request": request, "answer": reckon(request)})
    return frozen


if __name__ == "__main__":
    lines = ",\n".join(json.dumps(vector, ensure_ascii=False) for vector in vectors())
    FILE.write_text(f"[\n{lines}\n]\n", encoding="utf-8")
