"""Random things that people may say of the steps before and after the still; see said.py."""

LOTS = ("R-1", "W-2", "Y-3", "B-4")
RAW = ("rye", "wheat", "potato", "molasses", "sugar", "other_agricultural", "yeast", "carbon")


class StepSpeaker:
    """Mixed into Speaker, whose dice and numbers it uses."""

    def maybe(self, **fields) -> dict:
        """Some of the fields, as people leave blank what they did not read."""
        return {name: value for name, value in fields.items() if self.dice.random() < 0.6}

    def signed(self) -> dict:
        """With a PIN, without one, as older entries say it, or nothing said of it."""
        how = self.dice.choice(("pin", "none", "none", None))
        word = {"person": "Ines", "how": how} if how else "Ines"
        return {"signed": word} if self.dice.random() < 0.7 else {}

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
        return {**said, **self.maybe(liquor=self.some_water(), water_source="mains"), **self.begun()}

    def mash_reading(self) -> dict:
        read = self.maybe(temperature=self.degrees(40, 95), ph=self.typed(4, 6, "pH"), gravity=self.gravity())
        more = self.maybe(iodine=self.dice.choice(("blue", "clear")), volume=self.typed(100, 900, "L"))
        return {"vessel": self.tag(), **read, **more, **self.maybe(additions=self.lots())}

    def pitch(self) -> dict:
        said = {"vessel": self.tag(), "temperature": self.degrees(15, 40), "gravity": self.gravity()}
        cooler = self.maybe(cooler_in=self.degrees(5, 15), cooler_out=self.degrees(20, 60))
        cooler |= self.maybe(cooled_from=self.degrees(40, 90), minutes=self.typed(20, 90, "min"), unconverted="late")
        return {**said, "materials": self.lots(2), **self.maybe(volume=self.typed(100, 900, "L")), **cooler}

    def ferment_reading(self) -> dict:
        read = self.maybe(gravity=self.gravity(), temperature=self.degrees(20, 36), ph=self.typed(3.3, 5, "pH"))
        smell = {"smell": self.dice.sample(("bread", "fruit", "vinegar", "mould"), 2)}
        return {"vessel": self.tag(), **read, **self.maybe(co2=self.share(0, 1)), **self.dice.choice((smell, {}))}

    def give_up(self) -> dict:
        return {"vessel": self.tag(), "cause": self.dice.choice(("infection", "stuck"))}

    def spirit_in(self) -> dict:
        said = {"vessel": self.tag(), "consignor": "Field & Co", "movement_ref": "MR-1", "holds": "spirit"}
        return {**said, "document": self.gauge(), "gauge": self.gauge(), **self.maybe(report_due="2025-11-25")}

    def filter(self) -> dict:
        by, books = self.dice.choice(("all", "part")), {"book_from": self.sums(), "book_to": self.sums(nothing=True)}
        after = {"gauge_from_after": self.gauge()} if self.dice.random() < 0.5 else {}
        sheets = {"lot": self.lot_tag(), "count": self.dice.randint(1, 40)}
        media = [self.dice.choice((sheets, {"lot": self.lot_tag(), "mass": self.mass(40)}))]
        read = self.maybe(bed_volume=self.typed(5, 80, "L"), flow=self.typed(20, 900, "L_h"), materials=media)
        read |= self.maybe(minutes=self.typed(0, 9, "h"))
        if self.dice.random() < 0.5:
            read |= {"pressure_in": self.typed(1, 3, "bar"), "pressure_out": self.typed(0, 40, "psi")}
        column = [{"bed_volume": self.typed(5, 80, "L"), **self.maybe(lot=self.lot_tag())} for _ in range(3)]
        read |= self.maybe(columns=column)
        medium = self.dice.choice(("carbon", "sheets"))
        return {
            "from": "T-1",
            "to": "T-2",
            "medium": medium,
            "by": by,
            "gauge_to": self.gauge(),
            **books,
            **after,
            **read,
        }

    def sweeten(self) -> dict:
        rows = [{**row, "extract_pct": self.share(5, 100)} for row in self.lots()]
        return {"vessel": self.tag(), "materials": rows}

    def flavour(self) -> dict:
        rows = [{"lot": self.lot_tag(), "gauge": self.gauge()} for _ in range(self.dice.randint(0, 3))]
        return {"vessel": self.tag(), "materials": rows}

    def macerate(self) -> dict:
        return {"vessel": self.tag(), "materials": self.lots()}

    def stock_tag(self) -> str:
        return self.dice.choice(("L26-1", "L26-2", "7"))

    def bottling(self) -> dict:
        size, label = self.dice.choice((50, 350, 700, 1750)), self.typed(36, 44, "abv")
        said = {"lot": self.stock_tag(), "product": self.dice.choice(("Vodka", "Gin")), "vessel": self.tag()}
        said |= {"size_ml": size, "label_abv": self.dice.choice((label, self.typed(70, 88, "proof")))}
        said |= {"count": self.dice.randint(0, 2000), "gauge_before": self.gauge(), "book": self.sums()}
        said |= self.maybe(gauge_after=self.gauge(), rejected=3, broken=1, cases=20, per_case=6)
        said |= self.maybe(contents_c=self.dice.choice((self.typed(60, 60, "F", 0), self.typed(15, 22, "C"))))
        net = [{"net": self.typed(size * 0.93, size * 0.97, "g")} for _ in range(self.dice.randint(0, 5))]
        read = [self.strength() for _ in range(self.dice.randint(0, 2))]
        glass = [{"lot": self.lot_tag(), "count": self.dice.randint(0, 900)}]
        drink = self.dice.choice(("vodka", "flavoured vodka", "macerated spirit", "another spirit drink"))
        said |= self.maybe(drink=drink)
        return {**said, **self.maybe(fill_checks=net, strength_checks=read, materials=glass), **self.begun()}

    def per_bottle(self) -> dict:
        liquid = self.dice.randint(40_000, 1_700_000)
        return {"ethanol_mg": liquid // 3, "liquid_mg": liquid, "extract_mg": liquid // 200}

    def dispatch(self) -> dict:
        said = {"lot": self.stock_tag(), "count": self.dice.randint(1, 900), "per_bottle": self.per_bottle()}
        return {**said, "way": self.dice.choice(("duty_paid", "export", "sample")), **self.maybe(to="Shop", ref="D-1")}

    def customer_return(self) -> dict:
        said = {"lot": self.stock_tag(), "count": self.dice.randint(1, 90), "per_bottle": self.per_bottle()}
        told = self.maybe(document_count=self.dice.randint(1, 90), report_due="2025-11-25", ref="D-2")
        return {**said, "from": "Shop", "why": "corked", **told}

    def send(self) -> dict:
        by = self.dice.choice(("all", "amount", "left"))
        ways = ("suspense", "duty_paid", "export", "denatured", "returned")
        said = {"vessel": self.tag(), "by": by, "book": self.sums(), "way": self.dice.choice(ways), "to": "Store"}
        gauge = {} if by == "all" else {"gauge": self.gauge(said["book"])}
        return {**said, **gauge, **self.maybe(ref="MR-2", seals="4411 to 4414")}

    def macerate_out(self) -> dict:
        said = {"vessel": self.tag(), "book": self.sums()}
        return {**said, "gauge": self.gauge(said["book"]), **self.maybe(wet=self.mass(40), words="drained overnight")}

    def stocktake(self) -> dict:
        said = {"lot": self.stock_tag(), "counted": self.dice.randint(0, 900), "book_count": self.dice.randint(-5, 900)}
        return {
            **said,
            "per_bottle": self.per_bottle(),
            **self.maybe(cause=self.dice.choice(("breakage", "unexplained"))),
        }

    def destroy(self) -> dict:
        some = {"stock": self.stock_tag(), "count": self.dice.randint(1, 90), "per_bottle": self.per_bottle()}
        whole = {"vessel": self.tag(), "by": "all", "book": self.sums()}
        part = {**whole, "by": self.dice.choice(("amount", "left")), "gauge": self.gauge(whole["book"])}
        words = {"manner": "burning", "where": "yard", "witness": "Oskar"}
        return {"place": self.dice.choice((some, whole, part)), **words, **self.signed()}

    def denature(self) -> dict:
        return {"vessel": self.tag(), "materials": self.lots()}

    def place(self) -> dict:
        return self.dice.choice(({"vessel": self.tag()}, {"stock": self.stock_tag()}))

    def lab(self) -> dict:
        words = ("methanol", "ethyl acetate", "acetaldehyde", "higher alcohols", "furfural", "esters")
        rows = [{"what": word, "value": self.typed(0, 1.6, "g_hL", 2)} for word in words if self.dice.random() < 0.9]
        return {"place": self.place(), "laboratory": "Laboratory", "results": rows}

    def state(self) -> dict:
        word = self.dice.choice(("held", "quarantine", "released", "released"))
        return {"place": self.place(), "state": word, **self.maybe(reason="cloudy"), **self.signed()}

    def duty(self) -> dict:
        said = {"place": self.place(), "status": self.dice.choice(("suspended", "paid"))}
        return {**said, **self.maybe(account="waste")}

    def instrument(self) -> dict:
        said = {"tag": self.dice.choice(("HY-1", "TH-2")), "sort": "hydrometer", "unit": self.dice.choice(("abv", "C"))}
        rows = [{"reading": self.typed(0, 90, "C"), "correction": self.typed(0, 1, "C")} for _ in range(3)]
        said |= self.maybe(points=rows, plus_minus=self.dice.choice((self.typed(0, 1, "C"), self.typed(0, 1, "pct"))))
        said |= {"from": self.typed(0, 20, "C"), "to": self.typed(60, 99, "C")} if self.dice.random() < 0.5 else {}
        said |= {"retired": True} if self.dice.random() < 0.2 else {}
        return {
            **said,
            **self.maybe(due=self.dice.choice(("2025-11-23", "2026-02-30")), correction=self.typed(0, 1, "abv")),
        }

    def strapping(self) -> dict:
        rows = [
            {"dip": self.typed(0, 200, "cm"), "volume": self.typed(0, 500, "L")} for _ in range(self.dice.randint(0, 5))
        ]
        return {"vessel": self.tag(), "rows": rows, **self.maybe(reference=self.typed(900, 2100, "mm"))}

    def checklist(self) -> dict:
        dust = self.dice.choice(("Mill: no dust cloud, magnets in, extraction on", "No dust"))
        items = [{"id": "lid", "text": "Lid shut", "stop": self.dice.random() < 0.5}]
        items += [{"id": "dust", "text": dust, "stop": True, **self.maybe(retired=True, value="ph")}]
        said = {"list": self.dice.choice(("mash_in", "own")), "list_v": self.dice.randint(2, 9), "items": items}
        return {**said, **self.maybe(title="Own list", belongs="vessel", reason="local practice", retired=True)}

    def count_lot(self) -> dict:
        amount = self.dice.choice(({"mass": self.mass()}, {"count": self.dice.randint(0, 900)}))
        said = {"lot": self.lot_tag(), "by": self.dice.choice(("counted", "written_off")), "amount": amount}
        said |= {"book_left": self.dice.choice((0, 500_000_000, -7, 300))}
        return {**said, **self.maybe(cause=self.dice.choice(("vermin", "unexplained")), words="wet corner")}

    def begun(self) -> dict:
        """A list ticked before a mash or a bottling, with items left open or not."""
        items = [{"list": "mash_in", "item": "dust", "words": "No dust"}]
        return self.maybe(checks=f"{self.dice.getrandbits(40):010x}", open_stops=items, open_reason="in a hurry")

    def duty_rate(self) -> dict:
        per = self.dice.choice(("LPA", "hL", "PG"))
        return {"amount": round(self.dice.uniform(1, 2000), 2), "currency": "EUR", "per": per}

    def recall(self) -> dict:
        sums = {name: self.sums() for name in ("affected", "not_affected", "unknown")}
        counts = {name: self.dice.randint(0, 900) for name in ("seconds", "vessels", "lots", "consignments")}
        bottles = {"bottles_here": self.dice.randint(-5, 900), "bottles_sent": self.dice.randint(-5, 900)}
        why = self.dice.choice(("exercise", "complaint", "supplier", "laboratory", "other"))
        return {"of": f"lot/{self.lot_tag()}", "why": why, **sums, **counts, **bottles, **self.maybe(reach="tank")}

    def close(self) -> dict:
        known = [{"device": "A.00000001", "from": 1, "to": self.dice.randint(1, 90)}]
        closing = [{"account": "storage", "sums": self.sums()}]
        month = self.dice.choice(("2025-10", "2025-11", "2025-12"))
        return {"month": month, "known": known, "closing": closing, **self.maybe(words="counted twice")}


STEPS_MOVING = [
    "spirit_in",
    "filter",
    "sweeten",
    "flavour",
    "bottling",
    "dispatch",
    "send",
    "macerate_out",
    "customer_return",
    "stocktake",
    "destroy",
]
STEPS_SAYING = [
    "lot",
    "mash",
    "mash_reading",
    "pitch",
    "ferment_reading",
    "give_up",
    "macerate",
    "denature",
    "lab",
    "state",
]
STEPS_SAYING += ["duty", "instrument", "strapping", "checklist", "close", "recall", "duty_rate", "count_lot"]
