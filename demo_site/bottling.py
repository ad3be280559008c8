"""From the bottling tank to the customer: laboratory, release, filling, checks, and what becomes of the bottles."""

from dataclasses import dataclass

from demo_site.checks import session
from demo_site.gauging import gauge, read_with, strength
from demo_site.pen import Pen, abv, litres, number, signed
from server.book.lines_steps import per_bottle
from server.reckon import reckon

LABORATORY = "Landlabor Aunitz"
METHOD = "gas chromatography"
USUAL = {"methanol": 4.1, "ethyl acetate": 0.62, "acetaldehyde": 0.28, "higher alcohols": 0.31, "furfural": 0.02}
CASE = 6


@dataclass(frozen=True)
class Product:
    name: str
    size_ml: int
    label_abv: float
    bottle: str


RYE = Product("Emmerfold Rye Vodka", 700, 40.0, "BO-7")
POTATO = Product("Emmerfold Potato Vodka", 500, 40.0, "BO-5")
MOLASSES = Product("Emmerfold Molasses Vodka", 500, 37.5, "BO-5")
HOUSE = Product("House Vodka, wheat and rye", 1000, 37.5, "BO-10")
LEMON = Product("Lemon & Caraway, flavoured vodka", 500, 38.0, "BO-5")


def sample(pen: Pen, tank: str, why: str = "laboratory", volume_l: float = 0.5) -> None:
    book = pen.book(tank)
    drawn = {"volume": number(volume_l, "L"), "temperature": read_with(pen, "TH-1", 18, "C"), "book": book}
    pen.write("sample", {"vessel": tank, "why": why, "gauge": drawn, "book": book})


def held(pen: Pen, tank: str, reason: str = "waiting for the laboratory") -> None:
    pen.write("state", {"place": {"vessel": tank}, "state": "quarantine", "reason": reason})


def result(pen: Pen, tank: str, ref: str, **other: float) -> str:
    """What the laboratory answered, per hL of pure alcohol; returns the entry's id. other: values off the usual."""
    rows = []
    for what, usual in USUAL.items():
        value = other.get(what.replace(" ", "_"), usual * pen.near(1, 0.12))
        rows.append({"what": what, "value": number(value, "g_hL", 2), "method": METHOD})
    said = {"place": {"vessel": tank}, "laboratory": LABORATORY, "ref": ref, "results": rows}
    return pen.write("lab", said)["id"]


def release(pen: Pen, tank: str, ref: str) -> None:
    said = {"place": {"vessel": tank}, "state": "released", "reason": f"by result {ref}", "signed": signed("Ines")}
    pen.later(30, "Ines").write("state", said)


def fill(pen: Pen, lot: str, product: Product, tank: str, broken: int = 0) -> None:
    """The checks, the line, and what the scale and the glass said on it."""
    checks = session(pen, "bottling", tank, minutes=2)
    book, warm = pen.book(tank), pen.near(18.2, 0.4)
    before = gauge(pen, book, warm, tank)
    said = {
        "lot": lot,
        "product": product.name,
        "vessel": tank,
        "size_ml": product.size_ml,
        "label_abv": number(product.label_abv, "abv"),
        "gauge_before": before,
        "gauge_after": None,
        "book": book,
        "checks": checks,
    }
    whole_l = litres(book, 20.0)
    filled = int(whole_l * (1 - pen.near(0.0009, 0.0002)) * 1000 / product.size_ml)
    rejected = int(pen.chance.uniform(0, 2.5))
    count = filled - broken  # what is rejected is poured back and filled again
    parts = [(product.bottle, count + rejected + broken), ("CL-1", count + rejected), ("LA-1", count + rejected)]
    said |= {
        "count": count,
        "rejected": rejected,
        "broken": broken,
        "cases": count // CASE,
        "per_case": CASE,
        "materials": [{"lot": mark, "count": many} for mark, many in parts],
        "fill_checks": fill_checks(pen, product, book),
        "strength_checks": strength_checks(pen, book),
    }
    pen.bottles[lot] = {"count": count, "filled": count, "per_bottle": per_bottle({**said, "count": count})}
    pen.later(count * 0.28 + 60).write("bottling", said)


def fill_checks(pen: Pen, product: Product, book: dict) -> list[dict]:
    """A dozen bottles on the scale: the filler stands a shade above nominal."""
    extract = book["extract_mg"] / 1000.0 / litres(book, 20.0)
    asked = {"want": "fill", "nominal_ml": product.size_ml, "abv_pct": abv(book), "temperature_c": 18.0}
    sweet = {"extract_g_l": extract} if extract > 0.01 else {}
    net_g = reckon({**asked, **sweet, "market": "EU"})["on_scale_g"]
    nets = [net_g * (1 + pen.near(0.0011, 0.0006)) for _ in range(12)]
    return [{"net": read_with(pen, "SC-2", net, "g")} for net in nets]


def strength_checks(pen: Pen, book: dict) -> list[dict]:
    if book["extract_mg"] > 0:
        return [{"strength": read_with(pen, "DM-1", abv(book), "abv", 2)}]
    rows = []
    for _ in range(2):
        rows.append(strength(pen, book, pen.near(19.2, 0.3)))
    return rows


def send(pen: Pen, lot: str, count: int, way: str, to: str | None = None, ref: str | None = None) -> dict:
    """So many bottles out of the door."""
    known = pen.bottles[lot]
    known["count"] -= count
    said = {"lot": lot, "count": count, "way": way, "per_bottle": known["per_bottle"]}
    return pen.write("dispatch", said | ({"to": to} if to else {}) | ({"ref": ref} if ref else {}))


def come_back(pen: Pen, lot: str, count: int, sender: str, why: str) -> None:
    known = pen.bottles[lot]
    known["count"] += count
    said = {"lot": lot, "count": count, "from": sender, "why": why, "per_bottle": known["per_bottle"]}
    pen.write("customer_return", said)


def count_stock(pen: Pen, lot: str, missing: int = 0, cause: str | None = None, words: str | None = None) -> str:
    """Bottles counted against the book; returns the entry's id."""
    known = pen.bottles[lot]
    said = {"lot": lot, "counted": known["count"] - missing, "book_count": known["count"]}
    known["count"] -= missing
    said |= {"per_bottle": known["per_bottle"]} | ({"cause": cause} if cause else {})
    return pen.write("stocktake", said | ({"words": words} if words else {}))["id"]


def destroy_bottles(pen: Pen, lot: str, count: int, witness: str) -> None:
    known = pen.bottles[lot]
    known["count"] -= count
    place = {"stock": lot, "count": count, "per_bottle": known["per_bottle"]}
    said = {"place": place, "manner": "opened and poured into the digester", "where": "yard, digester pit"}
    pen.write("destroy", {**said, "witness": witness, "notice_ref": "N-0093", "signed": signed("Ines")})
