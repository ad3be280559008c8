"""Mashes: from the mill to the wash gauge, by the heat and mass balance of what goes in.

A mash gives a share of the stoichiometric alcohol of its starch or sugar, scattered about the house's own; its
gravities follow from that by Balling's balance, so that what the wash gauge reckons is what the ferment made.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import exp

from demo_site.checks import session
from demo_site.gauging import read_with
from demo_site.pen import Pen, number
from server.reckon import reckon
from server.reckon.ferment import ETHANOL_PER_HEXOSE, HEXOSE

WATER_KG_L = 0.99823
READ_AFTER_H = [8.0, 19.5, 31.5, 43.0, 55.0, 67.2]
HEAT_OF_GRIST = 0.42  # of water's, damp grain


@dataclass(frozen=True)
class Recipe:
    """A mash bill for one raw material. share: starch or sugar of the mass as received."""

    lot: str
    mass_kg: float
    liquor_l: float
    share: float
    hexose: str
    room_l_kg: float  # what a kilogram takes up in the mash
    dissolved: float  # share of the mass that comes into solution, over what ferments
    liquor_c: float
    cooks: bool = True


RECIPES = {
    "rye": Recipe("RY-1", 256, 780, 0.572, "starch", 0.66, 0.0, 66),
    "potato": Recipe("PO-1", 820, 200, 0.174, "starch", 0.93, 0.0, 72),
    "molasses": Recipe("MO-1", 292, 775, 0.508, "sucrose", 0.71, 0.27, 34, cooks=False),
}


@dataclass(frozen=True)
class Brew:
    """What this mash will have given: litres, gravities in degrees Plato."""

    volume_l: float
    original: float
    final: float


def sg_of(plato: float) -> float:
    return reckon({"want": "gravity", "plato_pct": plato})["sg"]


def brew(pen: Pen, recipe: Recipe) -> Brew:
    """Volume by what went in; gravity by the extract in it; final gravity by the alcohol that it makes."""
    ferments_kg = recipe.mass_kg * recipe.share * (HEXOSE["starch"] if recipe.hexose == "starch" else 1.0)
    extract_kg = ferments_kg * pen.near(0.975, 0.006) + recipe.mass_kg * recipe.dissolved
    volume = (recipe.liquor_l * 0.985 + recipe.mass_kg * recipe.room_l_kg) * pen.near(1.0, 0.004)
    original = 14.0
    for _ in range(8):
        original = 100.0 * extract_kg / (volume * sg_of(original) * WATER_KG_L)
    original = float(f"{original:.1f}")
    ethanol_kg = recipe.mass_kg * recipe.share * HEXOSE[recipe.hexose] * ETHANOL_PER_HEXOSE * pen.near(0.82, 0.008)
    final = 0.0
    for _ in range(8):
        alcohol = 100.0 * ethanol_kg / (volume * 0.985 * sg_of(final) * WATER_KG_L)
        final = (original - alcohol * (2.0665 - 0.010665 * original) - 0.1808 * original) / 0.8192
    return Brew(volume, original, float(f"{final:.1f}"))


def gone(hours: float) -> float:
    """Share of the fall in gravity after so many hours: slow, fast, still."""
    start, here = 1 / (1 + exp(19 / 4.4)), 1 / (1 + exp(-(hours - 19) / 4.4))
    return (here - start) / (1 - start)


class Mash:
    """One mash in the making: its name, where it stands, what it will give."""

    def __init__(self, pen: Pen, name: str, tank: str, recipe: Recipe, yeast: str = "YE-1"):
        self.pen, self.name, self.tank, self.recipe, self.yeast = pen, name, tank, recipe, yeast
        self.brew = brew(pen, recipe)
        self.id = ""
        self.pitched: datetime | None = None

    def mash_in(self, morning: datetime) -> None:
        """Checks, strike, cook, convert, cool, pitch: half a day."""
        pen, recipe = self.pen, self.recipe
        checks = session(pen.about(morning, "Oskar"), "mash_in", "MT-1", minutes=1.1)
        grist_c, liquor_c = pen.near(14, 2), pen.near(recipe.liquor_c, 0.6)
        heat = HEAT_OF_GRIST * recipe.mass_kg if recipe.cooks else 0.6 * recipe.mass_kg
        mixed_c = (heat * grist_c + recipe.liquor_l * liquor_c) / (heat + recipe.liquor_l)
        said = {
            "name": self.name,
            "vessel": "MT-1",
            "materials": [{"lot": recipe.lot, "mass": number(recipe.mass_kg, "kg", 0)}],
            "water_source": "softened",
            "liquor": {"volume": number(recipe.liquor_l, "L", 0), "temperature": read_with(pen, "TH-2", liquor_c, "C")},
            "grist_temperature": read_with(pen, "TH-2", grist_c, "C"),
            "liquor_temperature": read_with(pen, "TH-2", liquor_c, "C"),
            "mash_temperature": read_with(pen, "TH-2", mixed_c + pen.near(0, 0.3), "C"),
            "checks": checks,
        }
        self.id = pen.later(12).write("mash", said, group="self")["id"]
        if recipe.cooks:
            self.cook()
        self.look({"temperature": read_with(pen, "TH-2", pen.near(33, 1), "C")}, minutes=55)
        self.pitch()

    def look(self, said: dict, minutes: float) -> None:
        self.pen.later(minutes).write("mash_reading", {"vessel": "MT-1", **said}, group=self.id)

    def sugar(self, plato: float) -> dict:
        """A gravity as the saccharometer shows it."""
        return read_with(self.pen, "SA-1", plato, "plato")

    def cook(self) -> None:
        """Up to ninety degrees with the first enzyme, down to sixty with the second, until iodine stays yellow."""
        pen, near = self.pen, self.pen.near
        first = [{"lot": "EN-A", "mass": number(0.3, "kg", 2)}]
        second = [{"lot": "EN-G", "mass": number(0.35, "kg", 2)}]
        warm = {
            "temperature": read_with(pen, "TH-2", near(89, 1), "C"),
            "ph": read_with(pen, "PH-1", near(5.7, 0.06), "pH"),
            "additions": first,
        }
        self.look(warm, 50)
        cooled = read_with(pen, "TH-2", near(62, 0.7), "C")
        self.look({"temperature": cooled, "iodine": "blue", "additions": second}, 80)
        done = {
            "temperature": read_with(pen, "TH-2", near(60.5, 0.6), "C"),
            "ph": read_with(pen, "PH-1", near(5.2, 0.05), "pH"),
            "iodine": "clear",
        }
        read = {"gravity": self.sugar(self.brew.original), "volume": number(self.brew.volume_l, "L", 0)}
        self.look(done | read, 75)

    def pitch(self) -> None:
        pen, near = self.pen, self.pen.near
        said = {
            "vessel": self.tank,
            "temperature": read_with(pen, "TH-2", near(28, 0.5), "C"),
            "gravity": self.sugar(self.brew.original),
            "volume": number(self.brew.volume_l, "L", 0),
            "ph": read_with(pen, "PH-1", near(4.9, 0.05), "pH"),
            "materials": [{"lot": self.yeast, "mass": number(0.4, "kg", 2)}],
            "cooler_in": number(near(12, 0.6), "C"),
            "cooler_out": number(near(38, 1.5), "C"),
            "minutes": number(near(50, 3), "min", 0),
        }
        pen.later(25).write("pitch", said, group=self.id)
        self.pitched = pen.clock

    def ferment(self, until: datetime | None = None) -> None:
        """Readings morning and evening, until two are equal; none after `until`."""
        pen, made = self.pen, self.brew
        for at, hours in enumerate(READ_AFTER_H):
            moment = self.pitched + timedelta(hours=hours)
            if until and moment > until:
                return
            plato = made.original + (made.final - made.original) * gone(hours)
            plato = made.final if hours > 50 else plato + pen.near(0, 0.04)
            rush = gone(hours + 3) - gone(hours - 3)
            said = {
                "vessel": self.tank,
                "gravity": self.sugar(plato),
                "temperature": read_with(pen, "TH-2", 28.5 + 5 * rush + pen.near(0, 0.3), "C"),
                "ph": read_with(pen, "PH-1", 4.75 - 0.45 * gone(hours) + pen.near(0, 0.03), "pH"),
                "co2": number(0.06 + 0.3 * rush, "pct", 2),
            }
            smell = {"smell": ["bread"] if at < 2 else ["bread", "fruit"]}
            pen.at(moment, "Jonas" if at % 2 == 0 else "Oskar").write("ferment_reading", said | smell, group=self.id)

    def slip(self) -> None:
        """The last reading saved a second time by a wet glove, and taken back."""
        last = self.pen.entries[-1]
        again = self.pen.later(0.2).write("ferment_reading", last["said"], group=self.id)
        self.pen.later(0.1).write("strike", {}, strikes={"id": again["id"], "reason": "slip"})

    def sour(self) -> None:
        """Acid bacteria: the gravity stops, the pH falls, it smells of vinegar; given up on the third day."""
        pen, made = self.pen, self.brew
        last = made.original - 0.42 * (made.original - made.final)
        rows = [(8.0, 0.95, 4.6, ["bread"]), (19.5, 0.6, 4.2, ["bread"]), (31.5, 0.2, 3.9, ["fruit"])]
        for hours, left, ph, smell in [*rows, (43.0, 0.04, 3.6, ["vinegar"])]:
            plato = last + (made.original - last) * left
            warm = read_with(pen, "TH-2", 29.2, "C")
            said = {"vessel": self.tank, "gravity": self.sugar(plato), "temperature": warm}
            said |= {"ph": read_with(pen, "PH-1", ph, "pH"), "smell": smell}
            pen.at(self.pitched + timedelta(hours=hours), "Oskar").write("ferment_reading", said, group=self.id)
        said = {"vessel": self.tank, "cause": "infection", "words": "to the digester; F tank and hoses to caustic"}
        pen.later(50, "Ines").write("give_up", said, group=self.id)

    def gauge(self, moment: datetime) -> None:
        """The wash gauge, where alcohol enters the book."""
        said = {
            "vessel": self.tank,
            "name": self.name,
            "volume": number(self.brew.volume_l * 0.985, "L", 0),
            "temperature": read_with(self.pen, "TH-2", 24.0, "C"),
            "original": self.sugar(self.brew.original),
            "final": self.sugar(self.brew.final),
        }
        self.pen.at(moment, "Oskar").write("wash", said, group=self.id)
