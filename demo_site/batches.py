"""Each batch of spirit from store to bottle: let down, carbon, sheets, laboratory, release, filling."""

from demo_site import bottling, cellar, flavoured
from demo_site.bottling import Product
from demo_site.pen import Pen
from demo_site.weeks import Calendar

FLOW_METER_GOOD = 15  # the last week in which FM-1 was within its date


class Cellar:
    """Maren's work. Each method is one job; the season says in which week."""

    def __init__(self, pen: Pen, days: Calendar):
        self.pen, self.days = pen, days
        self.lots: list[tuple[str, int, Product]] = []
        self.reports = 0

    def reduce(self, week: int, store: str, vessel: str, to_abv: float, left_l: float = 0, slip: float = 1.0) -> None:
        """Hearts out of store and down to a few tenths above the label in two days."""
        pen = self.pen.about(self.days.at(week, 0, 13, 30), "Maren")
        if left_l:
            cellar.move_until(pen, store, vessel, left_l)
        else:
            cellar.move_gauged(pen, store, vessel)
        cellar.let_down(pen, vessel, to_abv, self.days.at(week, 1, 9, 30), slip)
        if slip > 1:
            cellar.rescue(pen.later(35), vessel, store, to_abv)

    def filter(
        self, week: int, vessel: str, tank: str, label: float, day: int = 2, bar: tuple = cellar.SHEET_BAR
    ) -> str:
        """Carbon one day, sheets the next, the last tenths, a sample; returns the id of the sheets' entry."""
        pen = self.pen.about(self.days.at(week, day, 6, 40), "Maren")
        cellar.carbon(pen, vessel, "S-7", is_overdue=week > FLOW_METER_GOOD)
        return self.polish(week, "S-7", tank, label, day + 1, bar)

    def polish(self, week: int, vessel: str, tank: str, label: float, day: int, bar: tuple = cellar.SHEET_BAR) -> str:
        pen = self.pen.about(self.days.at(week, day, 7, 20), "Maren")
        pressed = cellar.sheets(pen, vessel, tank, bar)
        cellar.correct(pen.later(25), tank, label)
        self.wait(tank)
        return pressed

    def wait(self, tank: str) -> None:
        """A sample on its way; the tank stands in quarantine until the answer."""
        bottling.sample(self.pen.later(20), tank)
        bottling.held(self.pen.later(4), tank)

    def answered(self, week: int, tank: str, day: int = 0, hour: int = 9, **other: float) -> str:
        """The laboratory's answer, and the release where it allows one; returns the id of the result."""
        self.reports += 1
        ref = f"LA-{2200 + 17 * self.reports}"
        found = bottling.result(self.pen.at(self.days.at(week, day, hour, 10), "Ines"), tank, ref, **other)
        if "ethyl_acetate" not in other:
            bottling.release(self.pen, tank, ref)
        return found

    def fill(self, week: int, tank: str, product: Product, day: int = 1, broken: int = 0) -> str:
        """Onto the line; the lot code is the year and the day."""
        date = self.days.date(week, day)
        lot = f"L{date:%y}-{date:%j}"
        bottling.fill(self.pen.about(self.days.at(week, day, 7, 30), "Maren"), lot, product, tank, broken)
        self.lots.append((lot, week, product))
        return lot

    def lemon(self, week: int) -> None:
        """Peel and caraway one week, strained and finished the next."""
        flavoured.macerate(self.pen.at(self.days.at(week, 2, 16, 10), "Maren"), "S-5")
        finish_at = self.days.at(week + 1, 2, 16, 20)
        flavoured.finish(self.pen.at(finish_at, "Maren"), 38.0, self.days.at(week + 1, 3, 14, 10))
        self.wait("B-2")

    def blend(self, week: int) -> None:
        """Wheat from under bond and what rye is left in store."""
        pen = self.pen.about(self.days.at(week, 0, 14, 40), "Maren")
        cellar.move_some(pen, "S-5", "S-6", 150)
        cellar.move_gauged(pen.later(25), "S-2", "S-6")
        cellar.let_down(pen, "S-6", 37.9, self.days.at(week, 1, 10, 0))
        self.polish(week, "S-6", "B-2", 37.5, 3)

    def month_end(self, week: int, off: float) -> None:
        """Every tank that holds spirit is read; a difference is settled."""
        pen = self.pen.about(self.days.at(week, 6, 14, 0), "Maren")
        for tag in ("S-1", "S-2", "P-1"):
            if pen.book(tag)["liquid_mg"] > 20e6:
                cellar.look(pen.later(12), tag, "month's end")
        if pen.book("S-5")["liquid_mg"] > 0:
            cellar.settle(pen.later(12), "S-5", off, "evaporation", "vent filter; three hundred litres of head space")
