"""The still house, week by week: mashes, ferments, strips, the column's runs, and what went wrong with some."""

from dataclasses import replace
from datetime import timedelta

from demo_site import cellar, columns, office
from demo_site.columns import ColumnTold, column_run, low_wines_and
from demo_site.mashes import RECIPES, Mash
from demo_site.pen import Pen
from demo_site.strips import StripTold, next_morning, strip_run
from demo_site.weeks import LAST_WEEK, Calendar

POTATO, MOLASSES = (8, 9), (10, 11)
STORE = ["S-1", "S-1", "S-2", "S-2", "S-1", "S-1", "S-2", "S-2", "S-1", "S-1", "S-2", "S-2", "S-1", "S-1", "S-2", "S-2"]
RYE_SHARE = {"RY-1": 0.572, "RY-2": 0.578, "RY-3": 0.566}
POTATO_SHARE = {"PO-1": 0.174, "PO-2": 0.179}
FOAM = {"antifoam": "charge does not foam"}


def feints_of(week: int) -> str:
    """Each material has a tank of its own for feints, so that no label names what is not all in the bottle."""
    return "P-3" if week in POTATO else "P-2" if week in MOLASSES else "P-1"


class StillHouse:
    """Oskar's and Jonas's work, and Ines's at the column."""

    def __init__(self, pen: Pen, days: Calendar):
        self.pen, self.days = pen, days
        self.mash_no, self.run_no = 40, 20
        self.weak: list[str] = []

    def week(self, week: int) -> None:
        for index, mash in enumerate(self.mashes(week)):
            self.strip(week, index, mash)
        if week == LAST_WEEK:
            self.living(week)
        else:
            self.after_column(week, self.column(week))

    def mash(self, week: int, day: int, tank: str) -> Mash:
        sort = "potato" if week in POTATO else "molasses" if week in MOLASSES else "rye"
        recipe = RECIPES[sort]
        if sort == "rye":
            lot = "RY-1" if week < 5 else "RY-2" if week < 14 else "RY-3"
            recipe = replace(recipe, lot=lot, share=RYE_SHARE[lot])
        if sort == "potato":
            lot = "PO-1" if week == POTATO[0] else "PO-2"
            recipe = replace(recipe, lot=lot, share=POTATO_SHARE[lot])
        self.mash_no += 1
        mash = Mash(self.pen, f"M-{self.mash_no}", tank, recipe, "YE-1" if week < 9 else "YE-2")
        mash.mash_in(self.days.at(week, day, 6 if recipe.cooks else 9, 20))
        return mash

    def mashes(self, week: int) -> list[Mash]:
        """The week's two mashes, one in a short week; the one that went sour is never gauged."""
        tanks = ("F-1", "F-2") if week % 2 == 0 else ("F-3", "F-4")
        found = [self.mash(week, index, tank) for index, tank in enumerate(tanks[: 1 if week == 11 else 2])]
        if week == 6:
            self.sour(found.pop())
        for mash in found:
            mash.ferment()
        if week == 2:
            found[-1].slip()
        return found

    def sour(self, mash: Mash) -> None:
        mash.sour()
        words = "Given up and poured into the digester; F-2 and its hoses had caustic; yeast lot looked at, clean."
        office.answer(self.pen.later(40), f"ph_low/{mash.id}", words)
        office.answer(self.pen.later(2), f"smell/{mash.id}", words)
        office.cleaning(self.pen.later(30, "Oskar"), mash.tank)

    def strip(self, week: int, index: int, mash: Mash) -> None:
        day = 3 + index
        mash.gauge(self.days.at(week, day, 7, 10))
        start = self.days.at(week, day, 7, 40)
        told = StripTold()
        if (week, index) == (1, 1):
            told.is_already = True
        if (week, index) == (6, 0):
            told.slate = next_morning(start)
        told.has_pause = (week, index) == (8, 0)
        told.passed = FOAM if week in MOLASSES else None
        self.run_no += 1
        strip_run(self.pen, f"R-{self.run_no}", mash.tank, start, told)
        if told.is_already:
            words = (
                "Alarm read as soon as the tablet was here: 0 % LEL. The night shift was told why the list comes first."
            )
            office.answer(self.pen.at(self.days.at(week, 4, 16), "Ines"), f"started_open/{told.start}", words)
        if told.slate:
            words = "The tablet's battery was flat from noon; written on the slate at the panel, typed in next morning."
            office.answer(self.pen.at(self.days.at(week, 4, 9), "Ines"), f"late/{told.late_by}/{told.run}", words)

    def column(self, week: int) -> ColumnTold:
        told = ColumnTold()
        told.slip = {0: "mended", 12: "two"}.get(week)
        told.passed = FOAM if week == 5 else None
        told.drain_to = "S-2" if week == 3 else None
        told.is_late_gauge, told.is_renamed = week == 4, week == 7
        told.best = 0.9318 if week == 9 else columns.BEST
        hearts = ["H-1", "H-2"] if week % 2 else ["H-2", "H-1"]
        self.run_no += 1
        parts = low_wines_and(self.pen, feints_of(week))
        return column_run(self.pen, f"R-{self.run_no}", parts, hearts, self.days.at(week, 5, 6, 30), told)

    def after_column(self, week: int, run: ColumnTold) -> None:
        """Sunday's work, whatever day it is: put away; and what the office does about the run."""
        pen = self.pen.at(self.days.at(week, 6, 8, 30), "Ines")
        if run.rivals:
            office.choose(pen, run.rivals)
        heads = "W-2" if week in MOLASSES else feints_of(week)
        cellar.put_away(pen, [] if week == 9 else ["H-1", "H-2"], STORE[week], heads, feints_of(week))
        if week == 9:
            self.weak = run.hearts

    def pass_again(self, week: int, tag: str, hearts: list[str], store: str, heads: str, tails: str) -> None:
        """Spirit let down and through the column once more, on a day when it is free."""
        self.run_no += 1
        parts = columns.let_down(self.pen, [tag])
        column_run(self.pen, f"R-{self.run_no}", parts, hearts, self.days.at(week, 1, 6, 30))
        cellar.put_away(self.pen.at(self.days.at(week, 2, 9), "Ines"), hearts, store, heads, tails)

    def living(self, week: int) -> None:
        """Today: two ferments on their way, and a column run on its hearts."""
        for day, tank in ((3, "F-3"), (4, "F-4")):
            self.mash(week, day, tank).ferment(until=self.days.now - timedelta(minutes=20))
        now, told = self.days.now, ColumnTold(until=self.days.now - timedelta(minutes=4))
        self.run_no += 1
        parts = low_wines_and(self.pen, "P-1")
        column_run(self.pen, f"R-{self.run_no}", parts, ["H-1", "H-2"], now - timedelta(hours=6, minutes=40), told)
