"""Four months at the demo distillery, told as entries, up to the run that is going on now.

The story is in README.md beside this file. Everything is seeded; only the dates move with the day it is built on.
Each week is told day by day: what the cellar does, mashes, strips, the column, what is put away.
"""

from datetime import datetime

from demo_site import bottling, cellar, office
from demo_site.batches import Cellar
from demo_site.deliveries import take_in
from demo_site.gauging import gauge
from demo_site.house import PEOPLE, SITE, set_up
from demo_site.pen import Pen, number, signed
from demo_site.trade import MONTH_ENDS, Trade
from demo_site.weeks import LAST_WEEK, Calendar
from demo_site.works import StillHouse


def build(site: str, devices: list[str], now: datetime, seed: int = 31) -> list[dict]:
    """The season's entries in the order they were written.

    site: the book's site id; devices: one to three device ids (`A.3f9a1c2e`): office, still house, cellar
    now: aware datetime; the live run has its last reading a few minutes before it
    """
    season = Season(Pen(site, devices, PEOPLE, SITE["zone"], seed), Calendar(now, SITE["zone"]))
    season.opening()
    for week in range(LAST_WEEK + 1):
        season.week(week)
    Trade(season.pen, season.days, season.cellar.lots).told()
    words = "Every shop could be named; the bonded store wants its own list the next time."
    office.recall_exercise(season.pen, season.days.at(13, 3, 14), "lot/RY-2", 48, words)
    office.close_months(season.pen, season.days)
    return season.pen.numbered()


class Season:
    """The house at work, week by week."""

    def __init__(self, pen: Pen, days: Calendar):
        self.pen, self.days = pen, days
        self.cellar, self.house = Cellar(pen, days), StillHouse(pen, days)

    def opening(self) -> None:
        """Set up the house and gauge what is in it."""
        pen = self.pen.at(self.days.at(0, -1, 8), "Ines")
        set_up(pen)
        office.equip(pen, self.days)
        office.duty_rate(pen.later(2))
        stock = [
            ("B-1", 402.0, 17.5, 40.0, "spirit"),
            ("S-1", 118.0, 17.0, 96.2, "hearts"),
            ("P-1", 61.0, 18.0, 71.0, "feints"),
            ("W-1", 9.5, 18.0, 92.0, "foreshots"),
        ]
        for tag, volume, temperature, strength, holds in stock:
            read = gauge(pen, pen.fresh(volume, temperature, strength), temperature, tag)
            pen.later(6).write("opening", {"vessel": tag, "gauge": read, "holds": holds})
        self.cellar.wait("B-1")
        take_in(pen, self.days)

    def week(self, week: int) -> None:
        told = getattr(self, f"cellar_{week}", None)
        if told:
            told(week)
        self.house.week(week)
        if week == 9:
            office.renew(self.pen.at(self.days.at(week, 6, 15), "Ines"), self.days)
        if week in MONTH_ENDS:
            self.cellar.month_end(week, -0.0022 - 0.0004 * (week % 3))

    def cellar_0(self, week: int) -> None:
        self.cellar.answered(week, "B-1", day=2)

    def cellar_1(self, week: int) -> None:
        self.cellar.fill(week, "B-1", bottling.RYE)

    def cellar_2(self, week: int) -> None:
        pen = self.pen
        got = cellar.spirit_in(pen.at(self.days.at(week, 0, 10), "Ines"), "S-5", self.days.iso(week, 5))
        words = "Seals whole. Weighed twice on our scale; the difference went into the report of receipt."
        office.answer(pen.later(120), f"transit/{got}", words)
        office.answer(pen.at(self.days.at(week, 3, 9, 20)), f"report_due/{got}", "Report sent, reference RR-0417.")
        self.cellar.reduce(week, "S-1", "S-3", 40.4, left_l=85)
        self.cellar.filter(week, "S-3", "B-1", 40.0)

    def cellar_3(self, week: int) -> None:
        self.cellar.answered(week, "B-1")
        self.cellar.fill(week, "B-1", bottling.RYE)
        held = {"place": {"lot": "RY-2"}, "state": "held", "reason": "waiting for the mill's certificate"}
        self.pen.at(self.days.at(week, 2, 9), "Oskar").write("state", held)
        free = {"place": {"lot": "RY-2"}, "state": "released", "signed": signed("Ines")}
        self.pen.at(self.days.at(week, 4, 11), "Ines").write("state", free)

    def cellar_4(self, week: int) -> None:
        """The second water goes in twelve parts in a hundred too much, and the spirit kept back puts it right."""
        office.own_list(self.pen.at(self.days.at(week, -1, 15), "Ines"))
        self.cellar.reduce(week, "S-2", "S-4", 40.4, left_l=45, slip=1.12)
        self.cellar.filter(week, "S-4", "B-1", 40.0)

    def cellar_5(self, week: int) -> None:
        self.cellar.answered(week, "B-1")
        self.cellar.fill(week, "B-1", bottling.RYE)
        self.cellar.lemon(week)
        self.spill(week)

    def spill(self, week: int) -> None:
        pen = self.pen.at(self.days.at(week, 4, 17, 30), "Jonas")
        book, left = pen.book("P-1"), cellar.gauge(pen, pen.book("P-1"), 18.0, off=-0.03)
        said = {"vessel": "P-1", "cause": "spillage", "words": "hose came off its coupling; hosed down to the sump"}
        pen.write("loss", said | {"by": "left", "gauge": left, "book": book})

    def cellar_6(self, week: int) -> None:
        self.cellar.reduce(week, "S-1", "S-3", 40.4, left_l=75)
        pressed = self.cellar.filter(week, "S-3", "B-1", 40.0, bar=(2.1, 0.5))
        words = "Sheets changed before the next lot; the old pack was on its ninth run."
        office.answer(self.pen.at(self.days.at(week, 3, 16), "Maren"), f"sheets/{pressed}", words)

    def cellar_7(self, week: int) -> None:
        self.cellar.answered(week, "B-1")
        self.cellar.answered(week, "B-2", hour=10)
        self.cellar.fill(week, "B-1", bottling.RYE, broken=3)
        bottling.sample(self.pen.at(self.days.at(week, 4, 10), "Ines"), "S-5", "customs", 0.3)

    def cellar_8(self, week: int) -> None:
        self.cellar.reduce(week, "S-2", "S-4", 40.4)
        cellar.move_gauged(self.pen.at(self.days.at(week, 1, 16), "Maren"), "S-1", "S-2")
        self.cellar.fill(week, "B-2", bottling.LEMON, day=2)
        self.cellar.filter(week, "S-4", "B-1", 40.0, day=3)

    def cellar_9(self, week: int) -> None:
        self.cellar.answered(week, "B-1")
        self.cellar.fill(week, "B-1", bottling.RYE)
        self.cellar.blend(week)
        old = {"mass": number(office.left_of(self.pen, "PO-1") / 1e6, "kg", 0)}
        self.pen.at(self.days.at(week, 2, 8), "Oskar")
        office.count_lot(self.pen, "PO-1", "written_off", old, "spoiled", "sprouted; to the farm as feed")
        office.burn(self.pen.at(self.days.at(week, 2, 14), "Ines"), "W-1", "F. Reiter, customs")

    def cellar_10(self, week: int) -> None:
        """Last week's hearts were under 96: they go round once more."""
        self.cellar.answered(week, "B-2")
        words = "Dephlegmator scaled; cleaned with acid. The hearts stay in their receiver and are rectified again."
        office.answer(self.pen.at(self.days.at(week, 0, 8), "Ines"), f"hearts_weak/{self.house.weak[0]}", words)
        self.house.pass_again(week, "H-1", ["H-2"], "S-1", "P-3", "P-3")
        self.cellar.fill(week, "B-2", bottling.HOUSE, day=3)

    def cellar_11(self, week: int) -> None:
        self.cellar.reduce(week, "S-1", "S-3", 40.4)
        self.cellar.filter(week, "S-3", "B-1", 40.0)

    def cellar_12(self, week: int) -> None:
        self.cellar.answered(week, "B-1", methanol=7.9)
        self.cellar.fill(week, "B-1", bottling.POTATO)
        self.pen.at(self.days.at(week, 0, 15), "Maren")
        self.cellar.wait("S-2")
        found = self.cellar.answered(week, "S-2", day=4, ethyl_acetate=1.72)
        words = "S-2 stays in quarantine; the column takes it once more next week, and a new sample goes out."
        office.answer(self.pen.later(50), f"residue/{found}/ethyl acetate", words)

    def cellar_13(self, week: int) -> None:
        self.house.pass_again(week, "S-2", ["H-2", "H-1"], "S-2", "W-2", "P-2")
        self.pen.at(self.days.at(week, 2, 13), "Maren")
        self.cellar.wait("S-2")

    def cellar_14(self, week: int) -> None:
        self.cellar.answered(week, "S-2", hour=8)
        self.cellar.reduce(week, "S-2", "S-4", 37.9)
        self.cellar.reduce(week, "S-1", "S-3", 40.4)
        self.cellar.filter(week, "S-3", "B-1", 40.0)
        self.cellar.filter(week, "S-4", "B-2", 37.5, day=4)
        rest = {"mass": number(office.left_of(self.pen, "RY-2") / 1e6 - 9, "kg", 0)}
        self.pen.at(self.days.at(week, 0, 7), "Oskar")
        office.count_lot(self.pen, "RY-2", "counted", rest, "lost", "weighed out of bin 2 before it was swept")
        office.denature(self.pen.at(self.days.at(week, 2, 15), "Ines"), "W-2", "F. Reiter, customs")

    def cellar_15(self, week: int) -> None:
        self.cellar.answered(week, "B-1")
        self.cellar.answered(week, "B-2", day=2)
        office.send_denatured(self.pen.at(self.days.at(week, 1, 14), "Ines"), "W-2")
        self.cellar.fill(week, "B-1", bottling.RYE)
        self.cellar.fill(week, "B-2", bottling.MOLASSES, day=3)

    def cellar_16(self, week: int) -> None:
        """The newest batch waits for the laboratory; S-5 is read short, and nobody has said why yet."""
        self.cellar.reduce(week, "S-2", "S-4", 40.4)
        self.cellar.filter(week, "S-4", "B-1", 40.0)
        cellar.look(self.pen.at(self.days.at(week, 4, 17), "Oskar"), "S-5", "round before the weekend", off=-0.017)
