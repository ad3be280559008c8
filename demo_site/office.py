"""The office: instruments and tables, the house's own checklist, answers to findings, waste spirit, duty."""

from datetime import timedelta

from demo_site.checks import go_round
from demo_site.pen import Pen, number
from demo_site.weeks import Calendar
from server.book.checks import items_of

# mark, sort, from, to, unit, good to, days until due as seen from today
INSTRUMENTS = [
    ("HY-1", "hydrometer", 0, 40, "abv", 0.1, 210),
    ("HY-2", "hydrometer", 35, 70, "abv", 0.1, 210),
    ("HY-3", "hydrometer", 70, 100, "abv", 0.1, 130),
    ("TH-1", "thermometer", -5, 110, "C", 0.2, 150),
    ("SC-1", "scale", 0, 600, "kg", 0.2, 95),
    ("SC-2", "scale", 0, 3000, "g", 0.2, 95),
    ("PH-1", "ph", 2, 10, "pH", 0.05, 40),
    ("DP-1", "dip", 0, 250, "cm", 0.1, 320),
    ("FM-1", "meter", 0, 500, "L_h", 2, -12),
]

# vessel, its section in square decimetres, its height in centimetres: what a strapping table of a plain tank says
UPRIGHT = [("S-1", 38.5, 132), ("S-2", 38.5, 132), ("S-3", 70.0, 145), ("S-4", 70.0, 145), ("B-1", 70.0, 145)]


def equip(pen: Pen, days: Calendar) -> None:
    """Instruments with the day by which each is checked again, and the tables of the tanks that are dipped."""
    for tag, sort, low, high, unit, within, due_days in INSTRUMENTS:
        due = (days.today + timedelta(days=due_days)).isoformat()
        said = {"tag": tag, "sort": sort, "from": number(low, unit), "to": number(high, unit), "due": due}
        said |= {"plus_minus": number(within, unit, 2), "certificate": f"EA-{3000 + due_days}"}
        pen.later(2).write("instrument", said)
    for tag, section_dm2, height_cm in UPRIGHT:
        rows = [{"dip": number(cm, "cm"), "volume": number(section_dm2 * cm / 10, "L")} for cm in steps(height_cm)]
        pen.later(3).write("strapping", {"vessel": tag, "rows": rows})


def steps(height_cm: int) -> list[int]:
    return [*range(0, height_cm, 10), height_cm]


def renew(pen: Pen, days: Calendar) -> None:
    """A hydrometer back from the office of weights, a tenth off."""
    said = {"tag": "HY-3", "sort": "hydrometer", "from": number(70, "abv"), "to": number(100, "abv")}
    said |= {"correction": number(0, "abv"), "plus_minus": number(0.1, "abv", 2), "certificate": "EA-3377"}
    pen.write("instrument", {**said, "due": (days.today + timedelta(days=310)).isoformat()})


def own_list(pen: Pen) -> None:
    """The house's own wording of the mash-in list: one item more, since a bolt went through the mill."""
    items = [{key: item[key] for key in ("id", "text", "stop", "why")} for item in items_of("mash_in")]
    trap = "Magnet trap emptied and looked at"
    items.insert(1, {"id": "magnet", "text": trap, "stop": True, "why": "A bolt went through the mill in spring."})
    pen.write("checklist", {"list": "mash_in", "list_v": 2, "items": items})
    pen.lists["mash_in"] = {"v": 2, "items": items}


def answer(pen: Pen, finding: str, words: str) -> None:
    pen.write("answer", {"finding": finding, "words": words})


def choose(pen: Pen, rivals: dict) -> None:
    """Two people mended one reading without knowing of each other; Ines looks at the slate and picks one."""
    said = {"about": rivals["about"], "winner": rivals["winner"], "signed": "Ines"}
    pen.write("choose", said)


def burn(pen: Pen, tag: str, witness: str) -> None:
    """The waste spirit goes, and somebody looks on."""
    place = {"vessel": tag, "by": "all", "book": pen.book(tag)}
    said = {"place": place, "manner": "incinerated by the disposal works", "where": "Aunitz, kiln 2"}
    pen.write("destroy", {**said, "witness": witness, "notice_ref": "N-0081", "signed": "Ines"})


def denature(pen: Pen, tag: str, witness: str) -> None:
    bitter = [{"lot": "AD-5", "mass": number(0.02, "kg", 2)}]
    pen.write("denature", {"vessel": tag, "materials": bitter, "witness": witness, "signed": "Ines"})


def duty(pen: Pen, place: dict, status: str, account: str | None = None) -> None:
    pen.write("duty", {"place": place, "status": status} | ({"account": account} if account else {}))


def cleaning(pen: Pen) -> None:
    """Caustic round a fermenter and its hoses, by the list."""
    go_round(pen, "cip", minutes=6)
