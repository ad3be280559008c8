"""What becomes of the bottles: vans, bond, export, samples, a return, counts at the month's end."""

from demo_site import bottling, office
from demo_site.pen import Pen
from demo_site.weeks import Calendar

INNS = ["Lindenwirt, Aunitz", "Three Casks, Ederau", "Hotel zum Steg, Ederau", "Farm shop at the gate"]
MONTH_ENDS = (3, 7, 11, 15)

# weeks after the bottling, day, share of what was filled, way, to whom
ROUTE = [
    (0, 4, 0.09, "duty_paid", None),
    (1, 2, 0.22, "suspense", "Nordkai Bonded Store, berth 3"),
    (2, 3, 0.11, "duty_paid", None),
    (4, 2, 0.18, "export", "Halmsen Import, Sundvik"),
    (6, 4, 0.10, "duty_paid", None),
    (8, 2, 0.12, "suspense", "Nordkai Bonded Store, berth 3"),
]


class Trade:
    """Every lot's own story in the order of the clock."""

    def __init__(self, pen: Pen, days: Calendar, lots: list):
        self.pen, self.days, self.lots = pen, days, lots
        self.refs = 0

    def told(self) -> None:
        for index, (lot, week, _) in enumerate(self.lots):
            jobs = [*self.usual(index, lot, week), *self.particular(index, lot, week)]
            for moment, job in sorted(jobs, key=lambda pair: pair[0]):
                if self.days.is_past(moment):
                    self.pen.at(moment, "Maren")
                    job()

    def usual(self, index: int, lot: str, week: int) -> list:
        """Vans by the route, and a count at each month's end."""
        at, pen = self.days.at, self.pen
        rows = [(at(week + later, day, 15, 5 * index), rest) for later, day, *rest in ROUTE]
        vans = [(moment, lambda row=row: self.van(lot, *row)) for moment, row in rows]
        ends = [one for one in MONTH_ENDS if one > week]
        return vans + [(at(one, 6, 16, 4 * index), lambda: bottling.count_stock(pen, lot)) for one in ends]

    def van(self, lot: str, share: float, way: str, to: str | None) -> None:
        filled = self.pen.bottles[lot]["filled"]
        self.refs += 1
        to = to or INNS[self.refs % len(INNS)]
        bottling.send(self.pen, lot, 6 * max(1, int(filled * share / 6)), way, to, f"D-{140 + self.refs}")

    def particular(self, index: int, lot: str, week: int) -> list:
        """What happened to one lot alone."""
        pen, at = self.pen, self.days.at
        if index == 0:
            return [
                (at(week, 5, 9, 0), lambda: bottling.send(pen, lot, 2, "sample", "Reference shelf")),
                (at(week, 6, 9, 0), lambda: self.wrong_count(lot)),
                (at(week + 4, 1, 11, 0), lambda: office.duty(pen, {"stock": lot}, "paid", "processing")),
                (at(week + 6, 6, 15, 0), lambda: self.broken_bottles(lot)),
            ]
        if index == 1:
            return [
                (at(week, 4, 17, 0), lambda: bottling.send(pen, lot, 8, "staff", "Ines, Oskar, Jonas, Maren")),
                (at(week + 5, 1, 10, 0), lambda: self.returned(lot)),
                (at(15, 6, 17, 0), lambda: bottling.count_stock(pen, lot, missing=1)),
            ]
        if index == 2:
            return [
                (at(week, 5, 11, 0), lambda: bottling.send(pen, lot, 3, "destroyed", "The digester: corks leaked")),
                (
                    at(week + 1, 3, 11, 0),
                    lambda: bottling.send(pen, lot, 6, "returned", "Glassworks, to see the necks"),
                ),
            ]
        return [(at(week, 5, 9, 0), lambda: bottling.send(pen, lot, 2, "sample", "Reference shelf"))]

    def wrong_count(self, lot: str) -> None:
        """Sixty typed for six; mended three minutes later."""
        wrong = bottling.send(self.pen, lot, 60, "duty_paid", "Farm shop at the gate", "D-139")
        self.pen.bottles[lot]["count"] += 54
        strikes = {"id": wrong["id"], "reason": "six, not sixty"}
        self.pen.later(3).write("dispatch", {**wrong["said"], "count": 6}, strikes=strikes)

    def broken_bottles(self, lot: str) -> None:
        found = bottling.count_stock(self.pen, lot, 2, "breakage", "pallet corner pushed in by the fork-lift")
        words = "Glass and necks kept, photographed, shown to the customs officer."
        office.answer(self.pen.later(30, "Ines"), f"shortage/{found}", words)

    def returned(self, lot: str) -> None:
        """Six bottles come back with haze; looked at, and poured away before a witness."""
        bottling.come_back(self.pen, lot, 6, "Hotel zum Steg", "haze after a night in the freezer")
        bottling.destroy_bottles(self.pen.later(95, "Ines"), lot, 6, "F. Reiter, customs")
