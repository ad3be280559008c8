"""The hand that writes the demo's entries, and what it knows of every vessel.

Each story of the season is told to its end before the next, so that a mash may ferment while a run goes on. What a
story freezes from the book is right as long as each vessel's own entries are told in the order of the clock; the whole
is put in order, and the phones' numbers are drawn, when the season is finished.
"""

from datetime import UTC, datetime, timedelta
from random import Random
from uuid import UUID
from zoneinfo import ZoneInfo

from server.book.compose import compose
from server.reckon import mixture, reckon, view

NOTHING = {"ethanol_mg": 0, "liquid_mg": 0, "extract_mg": 0}
AMOUNTS = tuple(NOTHING)
SLATE_S = 40  # how long it takes to type one line of the slate


def number(value: float, unit: str, decimals: int = 1) -> dict:
    """A typed number as a person types it, rounded to what the instrument shows."""
    return {"typed": f"{value + 0.0:.{decimals}f}", "unit": unit}


def signed(person: str) -> dict:
    """A signature with that person's PIN."""
    return {"person": person, "how": "pin"}


def glass_reading(abv_pct: float, temperature_c: float) -> float:
    """What a 20 °C glass alcoholometer shows in a liquid of that true strength at that temperature, %vol."""
    density = reckon({"want": "density", "abv_pct": abv_pct, "temperature_c": temperature_c})["density_kg_m3"]
    floated = density * (1 + 25e-6 * (temperature_c - 20))
    answer = reckon({"want": "strength", "density_kg_m3": floated, "reading_temperature_c": 20.0})
    return answer["abv_pct"]


def litres(sums: dict, temperature_c: float) -> float:
    """Volume at that temperature of what those sums hold."""
    return view(sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"], temperature_c)["volume_l"] or 0.0


def abv(sums: dict) -> float:
    """True strength of what those sums hold, %vol at 20 °C."""
    return view(sums["ethanol_mg"], sums["liquid_mg"], sums["extract_mg"], 20.0)["abv_pct"] or 0.0


class Pen:
    """Writes entries for the demo's devices and keeps the sums of every place as the book will have them."""

    def __init__(self, site: str, devices: list[str], desks: dict[str, int], zone: str, seed: int):
        self.site, self.devices, self.desks, self.zone = site, devices, desks, ZoneInfo(zone)
        self.chance = Random(seed)
        self.places: dict[str, dict] = {}
        self.bottles: dict[str, dict] = {}
        self.lists: dict[str, dict] = {}
        self.tools: dict[str, dict] = {}
        self.tables: dict[str, dict] = {}
        self.counter_l = 41873.2
        self.entries: list[dict] = []
        self.clock: datetime | None = None
        self.slate: datetime | None = None
        self.by = "Ines"

    def at(self, moment: datetime, by: str | None = None) -> "Pen":
        """Turn the clock to that moment and hand the pen to that person."""
        self.clock, self.by = moment.astimezone(UTC), by or self.by
        return self

    def later(self, minutes: float, by: str | None = None) -> "Pen":
        """About so many minutes on: nobody works to the second."""
        return self.at(self.clock + timedelta(seconds=round(60 * minutes * self.near(1, 0.03))), by)

    def about(self, moment: datetime, by: str | None = None) -> "Pen":
        """At that moment or a few minutes after it."""
        return self.at(moment + timedelta(seconds=self.chance.randrange(0, 420)), by)

    def write(self, kind: str, said: dict, group: str | None = None, strikes: dict | None = None) -> dict:
        """Write one entry at the clock's time; returns it. What stands on a slate is typed in later, line by line."""
        happened = int(self.clock.timestamp()) * 1000
        now = happened + self.chance.randrange(1_500, 4_500)
        if self.slate is not None:
            self.slate += timedelta(seconds=SLATE_S)
            now = int(self.slate.timestamp() * 1000)
        context = {
            "id": self.id_of(now),
            "site": self.site,
            "device": self.devices[min(self.desks[self.by], len(self.devices) - 1)],
            "n": 0,
            "by": self.by,
            "happened": happened,
            "offset_min": self.offset_min(),
            "now": now,
            "clock": 0,
            "group": group,
            "strikes": strikes,
        }
        entry = compose(kind, said, context)
        struck = [old for old in self.entries if strikes and old["id"] == strikes["id"]]
        for old in struck:
            self._pour(old["lines"], -1)
        self._pour(entry["lines"], 1)
        self.entries.append(entry)
        return entry

    def numbered(self) -> list[dict]:
        """The entries in the order in which they were written, with each device's running numbers."""
        numbers = dict.fromkeys(self.devices, 0)
        self.entries.sort(key=lambda entry: entry["written"])
        for entry in self.entries:
            numbers[entry["device"]] += 1
            entry["n"] = numbers[entry["device"]]
        return self.entries

    def id_of(self, now: int) -> str:
        """A UUIDv7 whose random part comes from the season's seed, so that the same day gives the same book."""
        random = self.chance.getrandbits(74)
        value = now << 80 | 0x7 << 76 | (random >> 62) << 64 | 0b10 << 62 | random & (1 << 62) - 1
        return str(UUID(int=value))

    def offset_min(self) -> int:
        return int(self.clock.astimezone(self.zone).utcoffset().total_seconds() // 60)

    def _pour(self, lines: list[dict], sign: int) -> None:
        for line in lines or []:
            for place, way in ((line["from"], -sign), (line["to"], sign)):
                held = self.places.setdefault(place, dict(NOTHING))
                for amount in AMOUNTS:
                    held[amount] += way * line[amount]

    def book(self, tag: str, where: str = "vessel") -> dict:
        """The book's sums of a vessel or still."""
        return dict(self.places.get(f"{where}/{tag}", NOTHING))

    def near(self, middle: float, spread: float) -> float:
        """A number scattered about its middle, never further than two and a half spreads."""
        return middle + min(max(self.chance.gauss(0, 1), -2.5), 2.5) * spread

    def fresh(self, volume_l: float, temperature_c: float, abv_pct: float) -> dict:
        """Sums of a liquid that comes from outside the book."""
        made = mixture({"volume_l": volume_l, "temperature_c": temperature_c, "abv_pct": abv_pct})
        return {"ethanol_mg": int(made["ethanol_kg"] * 1e6), "liquid_mg": int(made["mass_kg"] * 1e6), "extract_mg": 0}
