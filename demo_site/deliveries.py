"""What the lorries bring: raw materials, yeast and enzymes, carbon and sheets, bottles; one load is sent back."""

from demo_site.pen import Pen, number
from demo_site.weeks import Calendar

MILL, FARM, SUGAR = "Hollerbach Mill", "Tannhof Farm", "Weidach Sugar Works"
CELLAR, GLASS = "Brandl Cellar Supplies", "Aunitz Glass"

# week, day, mark, sort, supplier, its own lot, kg, and what was measured or where it lies
GRAIN = [
    (0, 0, "RY-1", "rye", MILL, "7733", 3100, {"moisture": 13.4, "starch": 57.2, "bin": "bin 1"}),
    (3, 2, "RY-2", "rye", MILL, "7790", 3000, {"moisture": 13.1, "starch": 57.8, "bin": "bin 2"}),
    (8, 0, "PO-1", "potato", FARM, "field 4", 2050, {"moisture": 77.0, "starch": 17.4, "bin": "clamp"}),
    (9, 0, "PO-2", "potato", FARM, "field 6", 2000, {"moisture": 76.2, "starch": 17.9, "bin": "clamp"}),
    (10, 0, "MO-1", "molasses", SUGAR, "C-118", 1000, {"sugar": 50.8, "bin": "drum store"}),
    (11, 2, "RY-3", "rye", MILL, "7846", 3200, {"moisture": 14.0, "starch": 56.6, "bin": "bin 1"}),
    (0, 0, "YE-1", "yeast", CELLAR, "A40", 8, {"bin": "cold room"}),
    (9, 0, "YE-2", "yeast", CELLAR, "A52", 8, {"bin": "cold room"}),
    (0, 0, "EN-A", "enzyme", CELLAR, "alpha 21", 12, {"name": "heat-stable amylase", "bin": "cold room"}),
    (0, 0, "EN-G", "enzyme", CELLAR, "gluco 17", 14, {"name": "glucoamylase", "bin": "cold room"}),
    (0, 1, "CA-1", "carbon", CELLAR, "S 8x30", 90, {"name": "birch carbon"}),
    (5, 2, "AD-1", "additive", "Kammer Spices", "KS-9", 6, {"name": "caraway"}),
    (5, 2, "AD-2", "additive", "Kammer Spices", "KL-3", 5, {"name": "lemon peel, dried"}),
    (6, 1, "AD-3", "additive", SUGAR, "I-77", 25, {"name": "invert syrup", "sugar": 65}),
    (6, 1, "AD-4", "additive", "Kammer Spices", "KD-1", 5, {"name": "lemon distillate"}),
    (0, 1, "AD-5", "additive", CELLAR, "BX-2", 1, {"name": "denaturant, bitter"}),
]
PIECES = [
    (0, 1, "SH-1", "sheets", CELLAR, "K-200", 400, "sheets 40 x 40"),
    (0, 1, "BO-7", "bottle", GLASS, "G-700", 7200, "700 mL, clear"),
    (0, 1, "BO-5", "bottle", GLASS, "G-500", 3200, "500 mL, clear"),
    (7, 1, "BO-10", "bottle", GLASS, "G-1000", 700, "1 L, clear"),
    (0, 1, "CL-1", "closure", GLASS, "cork 19", 12000, "bar-top cork"),
    (0, 1, "LA-1", "label", "Prenner Print", "2291", 12000, "front and back"),
]


def take_in(pen: Pen, days: Calendar) -> None:
    """Each delivery at the gate, in the order of the clock."""
    rows = [(week, day, weighed(*rest)) for week, day, *rest in GRAIN]
    rows += [(week, day, counted(*rest)) for week, day, *rest in PIECES]
    rows.append((2, 2, refused()))
    for at, (week, day, said) in enumerate(sorted(rows, key=lambda row: row[:2])):
        pen.at(days.at(week, day, 6, 5 + 2 * (at % 20)), "Oskar").write("lot", said)


def weighed(mark: str, sort: str, supplier: str, supplier_lot: str, mass_kg: float, more: dict) -> dict:
    said = {"lot": mark, "sort": sort, "supplier": supplier, "supplier_lot": supplier_lot}
    said["mass"] = number(mass_kg, "kg", 0)
    for name in ("moisture", "starch", "sugar"):
        if name in more:
            said[name] = number(more[name], "pct")
    return said | {name: more[name] for name in ("name", "bin") if name in more}


def counted(mark: str, sort: str, supplier: str, supplier_lot: str, count: int, name: str) -> dict:
    said = {"lot": mark, "sort": sort, "supplier": supplier, "supplier_lot": supplier_lot}
    return said | {"name": name, "count": count}


def refused() -> dict:
    """A load of rye that smelled of mould and stayed on the lorry."""
    said = weighed("RY-X", "rye", "Gassner Grain", "n/a", 2500, {"moisture": 17.2})
    return said | {"refused": True, "refusal": "17.2 % moisture and a musty smell; sent back with the lorry"}
