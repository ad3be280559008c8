"""Random things that people may say, valid ones, for every kind: from a seeded generator, so that a failure repeats."""

import random

from book.said_steps import STEPS_MOVING, STEPS_SAYING, StepSpeaker

VESSELS = ("T-1", "T-2", "H-1", "F-1")
STILLS = ("S-1", "S-2")
FRACTIONS = ("foreshots", "heads", "hearts", "tails", "feints", "low wines")


class Speaker(StepSpeaker):
    """Says valid things of every kind. `name()` picks the kind at random; `say(kind)` gives its said."""

    def __init__(self, seed: int):
        self.dice = random.Random(seed)

    def typed(self, low: float, high: float, unit: str, decimals: int = 1) -> dict:
        text = f"{self.dice.uniform(low, high):.{decimals}f}"
        read_with = self.read_with() if self.dice.random() < 0.1 else {}
        return {"typed": text.replace(".", self.dice.choice(",.")), "unit": unit, **read_with}

    def read_with(self) -> dict:
        """An instrument, with or without what it puts beside the number."""
        beside = {
            "correction": self.dice.choice(("-0.1", "0.25", "−0,05")),
            "plus_minus": self.dice.choice(("0.1", "2")),
        }
        kept = {key: value for key, value in beside.items() if self.dice.random() < 0.7}
        return {"instrument": self.dice.choice(("HY-1", "TH-2")), **kept}

    def sums(self, nothing: bool = False) -> dict:
        if nothing and self.dice.random() < 0.45:
            return {"ethanol_mg": 0, "liquid_mg": 0, "extract_mg": 0}
        liquid = self.dice.randint(1_000_000, 3_000_000_000)
        ethanol = int(liquid * self.dice.uniform(0, 0.93))
        return {
            "ethanol_mg": ethanol,
            "liquid_mg": liquid,
            "extract_mg": int((liquid - ethanol) * self.dice.choice((0, 0.02))),
        }

    def volume(self) -> dict:
        volume = self.dice.choice((self.typed(1, 900, "L"), self.typed(0.1, 9, "hL", 2), self.typed(1, 300, "usgal")))
        return {"volume": volume, "temperature": self.dice.choice((self.typed(4, 34, "C"), self.typed(40, 95, "F")))}

    def weight(self) -> dict:
        return {
            "weight": self.dice.choice(
                (self.typed(1, 900, "kg"), self.typed(1, 2000, "lb"), self.typed(100, 9000, "g", 0))
            )
        }

    def by_tool(self) -> dict:
        """An amount by gross and tare, by a meter, or by a dip or an ullage with the rows that it lies between."""
        warm = {"temperature": self.typed(4, 34, "C")}
        gross = {"gross": self.typed(400, 3900, "kg"), "tare": self.typed(20, 320, "kg")}
        meter = {"meter": {"start": self.typed(0, 9000, "L"), "end": self.typed(8900, 9900, "L")}, **warm}
        low, litres = self.dice.uniform(0, 25), self.dice.uniform(0, 300)
        rows = [[low, litres], [low + self.dice.choice((90, 30)), litres + self.dice.uniform(0, 400)]]
        table = {"id": "01940000", "rows": rows, "reference_cm": 120.5}
        dip = {"dip": self.dice.choice((self.typed(20, 70, "cm"), self.typed(200, 700, "mm"), self.typed(8, 27, "in")))}
        reading = self.dice.choice((dip, dip, {"ullage": self.typed(50, 100, "cm")}))
        return self.dice.choice((gross, meter, {**reading, "strapping": table, **warm}))

    def strength(self) -> dict:
        jar = {"strength_temperature": self.typed(8, 30, "C")}
        return self.dice.choice(
            (
                {"strength": self.typed(0, 97, "abv")},
                {"strength": self.typed(5, 88, "glass"), **jar},
                {"strength": self.typed(10, 190, "proof")},
                {"strength": self.typed(20, 170, "glass_proof"), **jar},
                {"strength": self.typed(0, 94, "mass_pct", 2)},
                {"strength": self.typed(815, 985, "kg_m3", 2), **jar},
            )
        )

    def gauge(self, book: dict | None = None) -> dict:
        """An amount and a strength, or one of them, or neither: what is not read carries the book."""
        amount = self.dice.choice((self.volume, self.weight, self.by_tool, dict))()
        strength = self.dice.choice((self.strength, self.strength, dict))()
        gauge = {**amount, **strength}
        if not amount or not strength:
            gauge["book"] = book or self.sums()
        elif self.dice.random() < 0.1 and "abv" in str(gauge["strength"]):
            gauge["extract"] = self.typed(1, 60, "g_L")
        return gauge

    def tag(self) -> str:
        return self.dice.choice(VESSELS)

    def still(self) -> str:
        return self.dice.choice(STILLS)

    def opening(self) -> dict:
        return {"vessel": self.tag(), "gauge": self.gauge(), "holds": self.dice.choice(("spirit", "feints"))}

    def wash(self) -> dict:
        sg = {"original": self.typed(1.04, 1.09, "sg", 4), "final": self.typed(0.99, 1.02, "sg", 4)}
        plato = {"original": self.typed(10, 20, "plato"), "final": self.typed(-2, 5, "plato")}
        amount = self.volume() if self.dice.random() < 0.8 else self.by_tool()
        amount = self.volume() if "gross" in amount else amount
        return {"vessel": "F-1", "name": "M-1", **amount, **self.dice.choice((sg, plato))}

    def settle(self) -> dict:
        return {
            "vessel": self.tag(),
            "gauge": self.gauge(),
            "book": self.sums(),
            "cause": self.dice.choice(("filter", None)),
        }

    def transfer(self) -> dict:
        by = self.dice.choice(("all", "amount", "source", "receiver"))
        said = {"from": "T-1", "to": "T-2", "by": by, "book": self.sums()}
        said |= {"why": "cleaned with it"} if self.dice.random() < 0.2 else {}
        return said if by == "all" else {**said, "gauge": self.gauge(said["book"])}

    def some_water(self) -> dict:
        hot = {"volume": self.typed(1, 500, "L"), "temperature": self.typed(0, 99, "C")}
        meter = {"start": self.typed(0, 9000, "L"), "end": self.typed(8900, 9900, "L")}
        gross = {"gross": self.typed(400, 3900, "kg"), "tare": self.typed(20, 320, "kg")}
        metered = {"meter": meter, "temperature": self.typed(4, 34, "C")}
        return self.dice.choice((self.weight(), self.volume(), hot, gross, metered))

    def water(self) -> dict:
        return {"vessel": self.tag(), "source": "demineralised", "water": self.some_water()}

    def loss(self) -> dict:
        by = self.dice.choice(("all", "amount", "left"))
        said = {"vessel": self.tag(), "cause": "spillage", "by": by, "book": self.sums()}
        return said if by == "all" else {**said, "gauge": self.gauge(said["book"])}

    def sample(self) -> dict:
        return {"vessel": self.tag(), "why": "laboratory", "gauge": self.gauge(), "book": self.sums()}

    def part(self) -> dict:
        if self.dice.random() < 0.3:
            return {"source": "mains", "water": self.some_water()}
        by, book = self.dice.choice(("all", "amount", "left")), self.sums()
        why = {"why": "no other use"} if self.dice.random() < 0.2 else {}
        gauge = {} if by == "all" else {"gauge": self.gauge(book)}
        return {"vessel": self.tag(), "by": by, "book": book, **gauge, **why}

    def charge(self) -> dict:
        parts = [self.part() for _ in range(self.dice.randint(0, 4))]
        makes = self.dice.choice(({}, {}, {"makes": "neutral"}, {"makes": "again"}, {"makes": "other"}))
        sort = self.dice.choice(("strip", "column"))
        return {"run": "R-1", "still": self.still(), "sort": sort, "parts": parts, **makes}

    def fill_end(self, gauged: bool) -> dict:
        end = {"receiver": self.tag(), "fraction": self.dice.choice(FRACTIONS), "before": self.sums(nothing=True)}
        return {**end, "gauge": self.gauge()} if gauged else end

    def cut(self) -> dict:
        said = {"still": self.still()}
        if self.dice.random() < 0.8:
            said["from"] = self.fill_end(self.dice.random() < 0.8)
        if self.dice.random() < 0.8:
            said["to"] = self.fill_end(False)
        return said

    def fill_gauge(self) -> dict:
        end = self.fill_end(True)
        del end["fraction"]
        return {**end, "still": self.still(), "cut": "01940000", "after_end": self.dice.random() < 0.3}

    def drain(self) -> dict:
        after = {"gauge_after": self.gauge()} if self.dice.random() < 0.6 else {}
        place = {"still": self.still(), "receiver": "H-1", "to": "T-1", "fraction": "hearts"}
        return {**place, "gauge_before": self.gauge(), "before": self.sums(nothing=True), **after}

    def end(self) -> dict:
        stillage = self.dice.choice(({"by_balance": True}, self.gauge()))
        heel = self.dice.choice((None, self.gauge()))
        return {"still": self.still(), "stillage": stillage, "heel": heel, "book": self.sums()}

    def reading(self) -> dict:
        said = {
            "still": self.still(),
            "kettle": self.typed(80, 99, "C"),
            "head": self.typed(170, 210, "F"),
            **self.strength(),
        }
        return {
            **said,
            "receiver": self.tag(),
            "level": self.typed(1, 90, "L"),
            "air_pressure": self.typed(980, 1030, "hPa"),
        }

    def observation(self) -> dict:
        return {"vessel": self.tag(), "gauge": self.gauge()}

    def say(self, kind: str) -> dict:
        return self.observation() if kind == "gauge" else getattr(self, kind)()


STOCK = ["opening", "wash", "settle", "transfer", "water", "loss", "sample"]
MOVING = [*STOCK, "charge", "cut", "fill_gauge", "drain", "end", *STEPS_MOVING]
SAYING = [*MOVING, "reading", "gauge", *STEPS_SAYING]
