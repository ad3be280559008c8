"""From a dip to a volume, by a vessel's strapping table. static/book/strapping.js is the twin.

A gauge by dip carries the two rows that its volume lies between, so that its lines follow from it alone.
"""

from server.book.figures import one_decimal
from server.reckon import ReckonError
from server.reckon.units import read_of


def length_cm(value: float, unit: str) -> float:
    """Centimetres of a length in cm, mm or in."""
    if unit == "mm":
        return value / 10.0
    return value * 2.54 if unit == "in" else value


def dip_cm(gauge: dict) -> float:
    """The dip from the bottom, cm; an ullage is taken from the table's reference height."""
    if gauge.get("dip"):
        return length_cm(read_of(gauge["dip"]), gauge["dip"]["unit"])
    return gauge["strapping"]["reference_cm"] - length_cm(read_of(gauge["ullage"]), gauge["ullage"]["unit"])


def dipped_l(gauge: dict) -> float:
    """Litres of a gauge by dip or ullage, by the rows that it carries."""
    return volume_of_dip(gauge["strapping"]["rows"], dip_cm(gauge))


def slope_l_cm(rows: list) -> float:
    """What a centimetre is worth between the two rows that a gauge carries."""
    (low_cm, low_l), (high_cm, high_l) = rows
    return (high_l - low_l) / (high_cm - low_cm) if high_cm > low_cm else 0.0


def frozen(table: dict, cm: float) -> dict:
    """What a gauge carries of a table: its id, the rows on both sides of the dip (outside of the table its two ends,
    so that the refusal says how far it goes), its reference height where it has one.

    table: as `state["strappings"][tag]`, at least two rows
    """
    rows = table["rows"]
    upper = next((at for at in range(1, len(rows)) if rows[at - 1][0] <= cm <= rows[at][0]), None)
    two = [rows[0], rows[-1]] if upper is None else rows[upper - 1 : upper + 1]
    kept = {"id": table["id"], "rows": [list(row) for row in two]}
    return kept if table["reference_cm"] is None else {**kept, "reference_cm": table["reference_cm"]}


def volume_of_dip(rows: list, cm: float) -> float:
    """Litres at a dip, between two rows in proportion.

    rows:   [[cm, litres]], rising in cm, as `state["strappings"][tag]["rows"]`; at least two
    cm:     within the table
    raises: ReckonError outside it: a table is never carried on
    """
    if len(rows) < 2 or not rows[0][0] <= cm <= rows[-1][0]:
        low, high = (one_decimal(rows[0][0]), one_decimal(rows[-1][0])) if rows else ("0", "0")
        say = f"The strapping table goes from {low} to {high} cm. Dip again, or gauge by weight."
        raise ReckonError("dip", one_decimal(cm), f"{low} to {high} cm", say)
    upper = next(at for at in range(1, len(rows)) if cm <= rows[at][0])
    (low_cm, low_l), (high_cm, high_l) = rows[upper - 1], rows[upper]
    if high_cm == low_cm:
        return float(high_l)
    return low_l + (high_l - low_l) * ((cm - low_cm) / (high_cm - low_cm))
