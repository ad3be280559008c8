"""The office: instruments and tables, the house's own checklist, answers to findings, waste spirit, duty."""

from datetime import UTC, datetime, timedelta

from demo_site.checks import session
from demo_site.house import SITE
from demo_site.pen import Pen, number, signed
from demo_site.weeks import Calendar
from server.book.account import account, known_of
from server.book.checks import items_of
from server.book.compose import iso_of
from server.book.fold import fold
from server.book.gauges import NOTHING, add, only_sums
from server.book.materials import mass_mg
from server.book.periods import begin_of, month_after, month_of
from server.book.recall import recall

# Mark, sort, from, to, unit, good to, days until due as seen from today. TK-1 stands in the pot's kettle, TK-2 in the
# column's, TC-1 in its head; DM-1 reads what a distilled sample or the stillage holds; VM-1 counts what is pumped.
INSTRUMENTS = [
    ("HY-1", "hydrometer", 0, 40, "glass", 0.1, 210),
    ("HY-2", "hydrometer", 35, 70, "glass", 0.1, 210),
    ("HY-3", "hydrometer", 70, 100, "glass", 0.1, 130),
    ("SA-1", "hydrometer", -5, 25, "plato", 0.1, 60),
    ("DM-1", "density_meter", 0, 100, "abv", 0.1, 190),
    ("TH-1", "thermometer", -5, 110, "C", 0.2, 150),
    ("TH-2", "thermometer", 0, 110, "C", 0.3, 150),
    ("TK-1", "thermometer", 0, 130, "C", 0.3, 80),
    ("TK-2", "thermometer", 0, 130, "C", 0.3, 80),
    ("TC-1", "thermometer", 0, 130, "C", 0.2, 80),
    ("SC-1", "scale", 0, 600, "kg", 0.2, 95),
    ("SC-2", "scale", 0, 3000, "g", 0.2, 95),
    ("PH-1", "ph", 2, 10, "pH", 0.05, 40),
    ("DP-1", "dip", 0, 250, "cm", 0.3, 320),
    ("VM-1", "meter", 0, 900000, "L", 0.5, 45),
    ("FM-1", "meter", 0, 500, "L_h", 2, -12),
]

CORRECTIONS = {"HY-2": 0.1, "SC-2": -0.2}

# vessel, its section in square decimetres, its height in centimetres: what a strapping table of a plain tank says
UPRIGHT = [("S-1", 38.5, 132), ("S-2", 38.5, 132), ("S-3", 70.0, 145), ("S-4", 70.0, 145), ("B-1", 70.0, 145)]


def equip(pen: Pen, days: Calendar) -> None:
    """Instruments with the day by which each is checked again, and the tables of the tanks that are dipped."""
    for tag, sort, low, high, unit, within, due_days in INSTRUMENTS:
        due = (days.today + timedelta(days=due_days)).isoformat()
        said = {"tag": tag, "sort": sort, "from": number(low, unit), "to": number(high, unit), "due": due}
        said |= {"plus_minus": number(within, unit, 2), "certificate": f"K-{3000 + due_days}"}
        if tag in CORRECTIONS:
            said["correction"] = number(CORRECTIONS[tag], unit)
        set_up_tool(pen.later(2), said)
    for tag, section_dm2, height_cm in UPRIGHT:
        rows = [{"dip": number(cm, "cm"), "volume": number(section_dm2 * cm / 10, "L")} for cm in steps(height_cm)]
        entry = pen.later(3).write("strapping", {"vessel": tag, "rows": rows})
        table = [[float(row["dip"]["typed"]), float(row["volume"]["typed"])] for row in rows]
        pen.tables[tag] = {"id": entry["id"], "rows": table, "reference_cm": None}


def set_up_tool(pen: Pen, said: dict) -> None:
    """Into the book, and into the pen as the book will have it."""
    pen.write("instrument", said)
    names = ("from", "to", "correction", "points", "plus_minus")
    pen.tools[said["tag"]] = {name: said.get(name) for name in names} | {"unit": said["from"]["unit"]}


def steps(height_cm: int) -> list[int]:
    return [*range(0, height_cm, 10), height_cm]


def renew(pen: Pen, days: Calendar) -> None:
    """A hydrometer back from the office of weights, a tenth off."""
    said = {"tag": "HY-3", "sort": "hydrometer", "from": number(70, "glass"), "to": number(100, "glass")}
    said |= {"correction": number(-0.1, "glass"), "plus_minus": number(0.1, "glass", 2), "certificate": "K-3377"}
    set_up_tool(pen, {**said, "due": (days.today + timedelta(days=310)).isoformat()})


def duty_rate(pen: Pen) -> None:
    """A round figure for the account to multiply; the law of the place says the true one."""
    said = {"amount": 1000, "currency": "EUR", "per": "hL", "source": "a round figure for the demo"}
    pen.write("duty_rate", said)


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
    said = {"about": rivals["about"], "winner": rivals["winner"], "signed": signed("Ines")}
    pen.write("choose", said)


def burn(pen: Pen, tag: str, witness: str) -> None:
    """The waste spirit goes, and somebody looks on."""
    place = {"vessel": tag, "by": "all", "book": pen.book(tag)}
    said = {"place": place, "manner": "incinerated by the disposal works", "where": "Aunitz, kiln 2"}
    pen.write("destroy", {**said, "witness": witness, "notice_ref": "N-0081", "signed": signed("Ines")})


def denature(pen: Pen, tag: str, witness: str) -> None:
    bitter = [{"lot": "AD-5", "mass": number(0.02, "kg", 2)}]
    pen.write("denature", {"vessel": tag, "materials": bitter, "witness": witness, "signed": signed("Ines")})


def send_denatured(pen: Pen, tag: str) -> None:
    """Fetched in a drum by who makes window cleaner of it."""
    said = {"vessel": tag, "by": "all", "book": pen.book(tag), "way": "denatured", "to": "Reiss Window Cleaner Works"}
    pen.write("send", {**said, "ref": "DN-0031", "seals": "drum 12, seal 90417"})


def left_of(pen: Pen, lot: str) -> int:
    """What the book has left of a lot, mg or pieces."""
    came = next(entry["said"] for entry in pen.entries if entry["kind"] == "lot" and entry["said"]["lot"] == lot)
    left = came["count"] if "count" in came else mass_mg(came["mass"])
    for entry in pen.entries:
        for row in [*entry["said"].get("materials", []), *entry["said"].get("additions", [])]:
            if row["lot"] == lot:
                left -= row["count"] if "count" in row else mass_mg(row["mass"])
    return left


def count_lot(pen: Pen, lot: str, by: str, amount: dict, cause: str, words: str) -> None:
    """A lot counted, or what is left of it written off."""
    said = {"lot": lot, "by": by, "amount": amount, "book_left": left_of(pen, lot), "cause": cause, "words": words}
    pen.write("count_lot", said)


def close_months(pen: Pen, days: Calendar) -> None:
    """Each calendar month that has ended is closed on the first of the next, by what was known then."""
    month = month_of(int(days.at(0, -1, 12).timestamp() * 1000), SITE)
    while True:
        ended = datetime.fromtimestamp(begin_of(month_after(month), SITE) / 1000, UTC)
        moment = ended + timedelta(hours=2, minutes=40)
        if not days.is_past(moment):
            return
        known = [entry for entry in pen.numbered() if entry["written"] < iso_of(int(moment.timestamp() * 1000))]
        # Nothing came late to a closed month: the closings before change nothing here, and without them it is one fold.
        rows = account([entry for entry in known if entry["kind"] != "close"], month)["rows"]
        closing = [{"account": name, "sums": only_sums(row["closing"])} for name, row in rows.items()]
        said = {"month": month, "known": known_of(known), "closing": closing, "signed": signed("Ines")}
        pen.at(moment, "Ines").write("close", said)
        month = month_after(month)


def recall_exercise(pen: Pen, moment: datetime, of: str, seconds: int, words: str) -> None:
    """Somebody asks where a lot went, by the clock; what is found is what the book had then."""
    before = iso_of(int(moment.timestamp() * 1000))
    found = recall(fold([entry for entry in pen.numbered() if entry["written"] < before]), {"of": of})
    sums = {name: NOTHING for name in ("affected", "not", "unknown")}
    for group in found["totals"].values():
        sums = {name: add(whole, group[name]) for name, whole in sums.items()}
    bad = {name: [one for one in found[name] if one["status"] == "affected"] for name in ("places", "stock", "rows")}
    sent = [one for one in bad["rows"] if one["to"].startswith("gone/") and one["liquid_mg"] > 0]
    said = {"of": of, "why": "exercise", "seconds": seconds, "affected": sums["affected"], "words": words}
    said |= {"not_affected": sums["not"], "unknown": sums["unknown"]}
    said |= {"vessels": len(bad["places"]), "lots": len(bad["stock"]), "consignments": len(sent)}
    said |= {f"bottles_{name}": sum(one["bottles"][name] for one in bad["stock"]) for name in ("here", "sent")}
    pen.at(moment, "Ines").write("recall", said)


def duty(pen: Pen, place: dict, status: str, account: str | None = None) -> None:
    pen.write("duty", {"place": place, "status": status} | ({"account": account} if account else {}))


def cleaning(pen: Pen, vessel: str) -> None:
    """Caustic round a fermenter and its hoses, by the list."""
    session(pen, "cip", vessel, minutes=6)
