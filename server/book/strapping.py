"""From a dip to a volume, by a vessel's strapping table. static/book/strapping.js is the twin."""

from server.book.figures import one_decimal
from server.reckon import ReckonError


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
        return high_l
    return low_l + (high_l - low_l) * ((cm - low_cm) / (high_cm - low_cm))
