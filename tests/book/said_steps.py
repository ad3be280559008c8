"""Random things that people may say of the steps before and after the still; see said.py."""

LOTS = ("R-1", "W-2", "Y-3", "B-4")
RAW = ("rye", "wheat", "potato", "molasses", "sugar", "other_agricultural", "yeast", "carbon")


class StepSpeaker:
    """Mixed into Speaker, whose dice and numbers it uses."""

    def maybe(self, **fields) -> dict:
        """Some of the fields, as people leave blank what they did not read."""
        return {name: value for name, value in fields.items() if self.dice.random() < 0.6}

    def lot_tag(self) -> str:
        return self.dice.choice(LOTS)

    def mass(self, high: float = 900) -> dict:
        return self.dice.choice((self.typed(1, high, "kg"), self.typed(1, high, "lb"), self.typed(100, 9000, "g", 0)))

    def lots(self, most: int = 3) -> list:
        return [{"lot": self.lot_tag(), "mass": self.mass()} for _ in range(self.dice.randint(0, most))]

    def degrees(self, low: float, high: float) -> dict:
        return self.dice.choice((self.typed(low, high, "C"), self.typed(low * 1.8 + 32, high * 1.8 + 32, "F")))

    def gravity(self) -> dict:
        return self.dice.choice((self.typed(1.0, 1.09, "sg", 3), self.typed(0, 20, "plato")))

    def share(self, low: float, high: float) -> dict:
        return self.typed(low, high, "pct")

    def lot(self) -> dict:
        said = {"lot": self.lot_tag(), "supplier": "Mill"}
        if self.dice.random() < 0.2:
            return {**said, "sort": "bottle", "count": self.dice.randint(0, 3000)}
        measured = self.maybe(starch=self.share(10, 70), sugar=self.share(5, 90), moisture=self.share(8, 20))
        refused = {"refused": True, "refusal": "wet"} if self.dice.random() < 0.1 else {}
        return {**said, "sort": self.dice.choice(RAW), "mass": self.mass(9000), **measured, **refused}

    def mash(self) -> dict:
        warm = self.maybe(grist_temperature=self.degrees(5, 25), mash_temperature=self.degrees(40, 90))
        said = {"name": self.dice.choice(("M-1", "M-2")), "vessel": self.tag(), "materials": self.lots(), **warm}
        return {**said, **self.maybe(liquor=self.some_water(), water_source="mains")}

    def mash_reading(self) -> dict:
        read = self.maybe(temperature=self.degrees(40, 95), ph=self.typed(4, 6, "pH"), gravity=self.gravity())
        more = self.maybe(iodine=self.dice.choice(("blue", "clear")), volume=self.typed(100, 900, "L"))
        return {"vessel": self.tag(), **read, **more, **self.maybe(additions=self.lots())}

    def pitch(self) -> dict:
        said = {"vessel": self.tag(), "temperature": self.degrees(15, 40), "gravity": self.gravity()}
        cooler = self.maybe(cooler_in=self.degrees(5, 15), cooler_out=self.degrees(20, 60))
        return {**said, "materials": self.lots(2), **self.maybe(volume=self.typed(100, 900, "L")), **cooler}

    def ferment_reading(self) -> dict:
        read = self.maybe(gravity=self.gravity(), temperature=self.degrees(20, 36), ph=self.typed(3.3, 5, "pH"))
        smell = {"smell": self.dice.sample(("bread", "fruit", "vinegar", "mould"), 2)}
        return {"vessel": self.tag(), **read, **self.maybe(co2=self.share(0, 1)), **self.dice.choice((smell, {}))}

    def give_up(self) -> dict:
        return {"vessel": self.tag(), "cause": self.dice.choice(("infection", "stuck"))}


STEPS_MOVING = []
STEPS_SAYING = ["lot", "mash", "mash_reading", "pitch", "ferment_reading", "give_up"]
