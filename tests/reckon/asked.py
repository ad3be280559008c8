"""Seeded questions of every want, mostly good, some bad in every way that a wire or a hand can make them."""

import random

STRENGTHS = {
    "abv_pct": (0, 100),
    "mass_pct": (0, 100),
    "proof": (0, 200),
    "glass_pct": (0, 100),
    "density_kg_m3": (770, 1100),
    "glass_proof": (0, 200),
}
READINGS = ("glass_pct", "density_kg_m3", "glass_proof")
AMOUNTS = ("volume_l", "weight_in_air_kg", "mass_kg")
# fmt: off
BAD = [
    None, True, False, "40", "", "@nan", "@inf", "@-inf", [], [40], {}, -1, -0.0, 1e21, 1e-9, 2**53, 2**53 + 1, 2**60,
    1e308, -20.000001, 40.000001, 100.000001, -273.15, 5e-324, "ü" * 50, "😀" * 41, "{known}", 0.1 + 0.2, 1 / 3,
]
# fmt: on


class Asker:
    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def between(self, low: float, high: float) -> float:
        """A number as people give them, with few decimals, or with all of them."""
        value = self.random.uniform(low, high)
        return round(value, self.random.choice((0, 1, 1, 2))) if self.random.random() < 0.7 else value

    def strength(self) -> dict:
        key = self.random.choice(list(STRENGTHS))
        said = {key: self.between(*STRENGTHS[key])}
        if key in READINGS:
            said["reading_temperature_c"] = self.between(-5, 40)
        if self.random.random() < 0.25:
            said["extract_g_l"] = self.between(0, 300)
        return said

    def temperature(self) -> float:
        return self.between(-20, 40)

    def liquid(self) -> dict:
        key = self.random.choice(AMOUNTS)
        said = {key: self.between(0.1, 5000)} | self.strength()
        return said | {"temperature_c": self.temperature()} if key == "volume_l" else said

    def question(self) -> dict:
        want = self.random.choice(list(WANTS))
        asked = {"want": want} | WANTS[want](self)
        return self.spoilt(asked) if self.random.random() < 0.3 else asked

    def spoilt(self, asked: dict) -> dict:
        """One key of the question, or of an object in it, left out, made bad, or given a rival."""
        key = self.random.choice(list(asked))
        inner = asked[key][0] if isinstance(asked[key], list) and asked[key] else asked[key]
        if isinstance(inner, dict) and inner and self.random.random() < 0.7:
            spoilt = self.spoilt(inner)
            return asked | {key: [spoilt, *asked[key][1:]] if isinstance(asked[key], list) else spoilt}
        way = self.random.random()
        if way < 0.2:
            return {name: value for name, value in asked.items() if name != key}
        if way < 0.35:
            return asked | {self.random.choice((*STRENGTHS, *AMOUNTS)): 40}
        return asked | {key: self.random.choice(BAD)}


def _water(ask: Asker) -> dict:
    said = ask.liquid() | {"to_abv_pct": ask.between(1, 60), "water_temperature_c": ask.between(0, 100)}
    return said | {"product_temperature_c": ask.temperature()} if ask.random.random() < 0.5 else said


def _blend_to(ask: Asker) -> dict:
    return ask.liquid() | {
        "with": ask.strength() | {"temperature_c": ask.temperature()},
        "to_abv_pct": ask.between(0, 96),
    }


def _gravity(ask: Asker) -> dict:
    return ask.random.choice(({"sg": ask.random.uniform(0.98, 1.178)}, {"plato_pct": ask.between(-5, 39.9)}))


def _wash(ask: Asker) -> dict:
    original = ask.random.uniform(1.02, 1.12)
    return {"original_sg": round(original, 3), "final_sg": round(ask.random.uniform(0.985, original), 4)}


WANTS = {
    "density": lambda ask: ask.strength() | {"temperature_c": ask.temperature()},
    "strength": lambda ask: ask.strength(),
    "quantity": lambda ask: ask.liquid(),
    "water": _water,
    "blend": lambda ask: {"parts": [ask.liquid() for _ in range(ask.random.randint(1, 6))]},
    "blend_to": _blend_to,
    "gravity": _gravity,
    "wash": _wash,
    "wash_liquid": lambda ask: _wash(ask) | {"volume_l": ask.between(0, 9000), "temperature_c": ask.between(0, 40)},
}


def corners() -> list[dict]:
    """Ends of ranges, equal strengths, water alone, pure ethanol, nothing at all."""
    asked: list = [None, [], "strength", 5, True, {}]
    asked += [{"want": want} for want in (None, "nothing known", "__proto__", [], 5, *WANTS)]
    for value in (*BAD, 0, 1e-300, 0.01, 50, 99.999999, 100, 200):
        asked += [{"want": "strength", key: value, "reading_temperature_c": 20} for key in STRENGTHS]
        asked += [{"want": "density", "abv_pct": strength, "temperature_c": value} for strength in (0, 40, 100)]
        asked += [{"want": "strength", "abv_pct": 40, "extract_g_l": value}]
        asked += [{"want": "gravity", "sg": value}, {"want": "gravity", "plato_pct": value}]
        asked += [{"want": "quantity", key: value, "temperature_c": 15, "abv_pct": 40} for key in AMOUNTS]
        asked += [{"want": "blend", "parts": value}, {"want": "blend", "parts": [value]}]
        spirit = {"mass_kg": 100, "abv_pct": 40}
        asked += [spirit | {"want": "water", "to_abv_pct": value, "water_temperature_c": 10}]
        asked += [spirit | {"want": "water", "to_abv_pct": 30, "water_temperature_c": value}]
        asked += [spirit | {"want": "blend_to", "to_abv_pct": value, "with": {"abv_pct": 96, "temperature_c": 20}}]
        asked += [spirit | {"want": "blend_to", "to_abv_pct": 40, "with": {"abv_pct": value, "temperature_c": 20}}]
        asked += [spirit | {"want": "blend_to", "to_abv_pct": 50, "with": value}]
    for sg in (0.98, 0.985, 0.9999999, 1, 1.000001, 1.00001, 1.0000117, 1.178):
        asked += [
            {"want": "wash", "original_sg": sg, "final_sg": 0.98},
            {"want": "wash", "original_sg": 1.1, "final_sg": sg},
        ]
        asked += [{"want": "gravity", "sg": sg}]
    weak = {"abv_pct": 40, "temperature_c": 5}
    asked += [{"want": "blend_to", "mass_kg": 1, "abv_pct": 60, "to_abv_pct": 40.00000000000001, "with": weak}]
    for t in (-20, 15, 140 / 9, 20, 40):
        asked += [{"want": "strength", key: 0, "reading_temperature_c": t} for key in READINGS]
    return asked
