"""How sure each place is, in mg of ethanol: a simple model, kept beside the sums. static/book/plusMinus.js is the twin.

Common practice, no source: thermometer 0.3 K, hydrometer 0.2 %vol, level or dip 0.5 %, scale 0.1 %, wash by its
gravities 3 %. Parts add in quadrature; what is gauged anew takes the gauge's own figure. Squares are kept as floats
in one written order, so that both languages give the same. What the instrument itself is good to, frozen beside the
number, comes before these; a dip's centimetres become litres by the slope of its table.
"""

import math

from server.book.amounts import is_empty, metered_l, net_kg, read_l, way_of
from server.book.strapping import length_cm, slope_l_cm
from server.reckon import ReckonError
from server.reckon.units import based, number_of, to_base

THERMOMETER_K = 0.3
HYDROMETER_PCT = 0.2
LEVEL_SHARE = 0.005
SCALE_SHARE = 0.001
WASH_SHARE = 0.03
READING_PCT_PER_K = 0.35  # what one kelvin in the jar does to a strength near 40 %vol
VOLUME_PER_K = 0.001  # how strong spirit swells
MOST_SQUARE = 1e32  # mg^2, of ten thousand tonnes


def root_mg(square: float) -> int:
    return math.floor(math.sqrt(square) + 0.5)


def gauge_square(gauge: dict, sums: dict, book_share: float) -> float:
    """The square of a gauge's plus-minus, mg^2.

    sums:       what the gauge gave, mg
    book_share: plus-minus of the book's own figure as a share, for what was not read
    """
    ethanol, liquid = float(sums["ethanol_mg"]), float(sums["liquid_mg"])
    way = way_of(gauge)
    amount = amount_share(gauge, way) if way else book_share
    by_amount = amount * ethanol
    by_strength = strength_mg(gauge, ethanol, liquid) if gauge.get("strength") else book_share * ethanol
    if not gauge.get("strength") and way is None:
        by_strength = 0.0
    # Shares of next to nothing grow without end where gauges follow each other; beyond all that a book holds they stop.
    return min(by_amount * by_amount + by_strength * by_strength, MOST_SQUARE)


def own(typed: object) -> float | None:
    """What the instrument is good to, in the unit of the reading; None where no instrument says it."""
    text = typed.get("plus_minus") if isinstance(typed, dict) else None
    return None if text is None else abs(number_of(text))


def own_base(typed: dict) -> float | None:
    size = own(typed)
    return None if size is None else based(size, typed["unit"]) - based(0.0, typed["unit"])


def kelvins(typed: object) -> float:
    size = own_base(typed) if isinstance(typed, dict) else None
    return THERMOMETER_K if size is None else size


def amount_share(gauge: dict, way: str) -> float:
    """Plus-minus of an amount that was read, as a share of it."""
    try:
        if is_empty(gauge):
            return 0.0
        if way in ("weight", "gross"):
            return scale_share(gauge, way)
        level = level_share(gauge, way)
    except ReckonError:
        level = LEVEL_SHARE
    warm = kelvins(gauge.get("temperature")) * VOLUME_PER_K
    return math.sqrt(level * level + warm * warm)


def weighed(typed: dict) -> float:
    size = own_base(typed)
    return SCALE_SHARE * to_base(typed) if size is None else size


def scale_share(gauge: dict, way: str) -> float:
    """A net weight is the difference of two readings of the scale."""
    if way == "weight":
        size = own_base(gauge["weight"])
        return SCALE_SHARE if size is None else size / net_kg(gauge)
    gross, tare = weighed(gauge["gross"]), weighed(gauge["tare"]) if gauge.get("tare") else 0.0
    return math.sqrt(gross * gross + tare * tare) / net_kg(gauge)


def level_share(gauge: dict, way: str) -> float:
    if way == "meter":
        size = own_base(gauge["meter"]["end"])
        return LEVEL_SHARE if size is None else size / metered_l(gauge["meter"])
    if way == "volume":
        size = own_base(gauge["volume"])
        return LEVEL_SHARE if size is None else size / read_l(gauge)
    size = own(gauge[way])
    if size is None:
        return LEVEL_SHARE
    return length_cm(size, gauge[way]["unit"]) * slope_l_cm(gauge["strapping"]["rows"]) / read_l(gauge)


def strength_pct(gauge: dict, share: float) -> float:
    """Plus-minus of a strength that was read, %vol.

    share: ethanol in the liquid by mass, for what a density meter's kg/m3 are worth
    """
    strength, jar = gauge["strength"], gauge.get("strength_temperature")
    warm = kelvins(jar) * READING_PCT_PER_K if jar else 0.0
    size = own(strength)
    glass = HYDROMETER_PCT if size is None else in_pct(size, strength["unit"], share)
    return math.sqrt(glass * glass + warm * warm)


def in_pct(size: float, unit: str, share: float) -> float:
    """%vol that a strength's own unit is worth: good to a third, enough for a plus-minus."""
    if unit in ("proof", "glass_proof"):
        return size / 2.0
    if unit == "kg_m3":
        return size / 210.0 * (99.8 - 42.0 * share) / 0.789
    return size


def strength_mg(gauge: dict, ethanol: float, liquid: float) -> float:
    """Ethanol in mg that the hydrometer's and the jar thermometer's plus-minus stand for."""
    if liquid <= 0:
        return 0.0
    pct = strength_pct(gauge, ethanol / liquid)
    density = 0.998 - 0.21 * (ethanol / liquid)  # kg/L, good to 2 %: enough for a plus-minus
    return liquid / density * (pct / 100.0) * 0.789


def share_of(walk: dict, place: str, sums: dict) -> float:
    ethanol = sums["ethanol_mg"]
    return math.sqrt(walk["pm2"].get(place, 0.0)) / ethanol if ethanol > 0 else 0.0


def raise_by(walk: dict, place: str, square: float) -> None:
    walk["pm2"][place] = walk["pm2"].get(place, 0.0) + square


def empty_of(walk: dict, place: str) -> float:
    """The square that a place had, which leaves with all of its liquid."""
    square = walk["pm2"].get(place, 0.0)
    walk["pm2"][place] = 0.0
    return square


def here(walk: dict, place: str) -> dict:
    return walk["state"]["places"].get(place) or {"ethanol_mg": 0, "liquid_mg": 0, "extract_mg": 0}


def spread(walk: dict, record: dict, moved: list) -> None:
    """Carry the plus-minus along with the lines that were just booked."""
    said = record["entry"]["said"]
    worker = SPREAD.get(record["entry"]["kind"])
    if worker:
        worker(walk, said, moved, record)


def spread_opening(walk: dict, said: dict, moved: list, record: dict) -> None:
    place = f"vessel/{said['vessel']}"
    for line in moved:
        raise_by(walk, place, gauge_square(said["gauge"], line, 0.0))


def spread_wash(walk: dict, said: dict, moved: list, record: dict) -> None:
    for line in moved:
        off = WASH_SHARE * line["ethanol_mg"]
        raise_by(walk, line["to"], off * off)


def spread_settle(walk: dict, said: dict, moved: list, record: dict) -> None:
    place = f"vessel/{said['vessel']}"
    share = share_of(walk, place, said["book"])
    walk["pm2"][place] = gauge_square(said["gauge"], here(walk, place), share)


def taken(walk: dict, part: dict, source: str, target: str, line: dict | None) -> None:
    """All of it takes the source's plus-minus along; a measured part, or what is left, brings the gauge's own."""
    if part["by"] == "all":
        raise_by(walk, target, empty_of(walk, source))
    elif part["by"] == "left":
        by_end(walk, part, source, target)
    elif line is not None:
        square = gauge_square(part["gauge"], line, share_of(walk, source, part["book"]))
        raise_by(walk, source, square)
        raise_by(walk, target, square)


def by_end(walk: dict, part: dict, gauged: str, other: str) -> None:
    """One end is read afterwards: it is as sure as its gauge, and the other takes up what it was and what it is."""
    square = gauge_square(part["gauge"], here(walk, gauged), share_of(walk, gauged, part["book"]))
    raise_by(walk, other, square + empty_of(walk, gauged))
    raise_by(walk, gauged, square)


def spread_transfer(walk: dict, said: dict, moved: list, record: dict) -> None:
    source, target = f"vessel/{said['from']}", f"vessel/{said['to']}"
    if said["by"] in ("all", "amount"):
        taken(walk, said, source, target, moved[0] if moved else None)
        return
    by_end(walk, said, *((source, target) if said["by"] == "source" else (target, source)))


def spread_loss(walk: dict, said: dict, moved: list, record: dict) -> None:
    taken(walk, said, f"vessel/{said['vessel']}", f"lost/{said['cause']}", moved[0] if moved else None)


def spread_sample(walk: dict, said: dict, moved: list, record: dict) -> None:
    part = {**said, "by": "amount"}
    taken(walk, part, f"vessel/{said['vessel']}", f"sampled/{said['why']}", moved[0] if moved else None)


def spread_charge(walk: dict, said: dict, moved: list, record: dict) -> None:
    target = f"still/{said['still']}"
    for part in said["parts"]:
        if part.get("vessel") is not None:
            source = f"vessel/{part['vessel']}"
            taken(walk, part, source, target, next((line for line in moved if line["from"] == source), None))


def fill(walk: dict, source: str, receiver: str, gauge: dict, before: dict, reached: dict) -> None:
    square = gauge_square(gauge, reached, share_of(walk, receiver, before))
    raise_by(walk, source, square + empty_of(walk, receiver))
    raise_by(walk, receiver, square)


def spread_cut(walk: dict, said: dict, moved: list, record: dict) -> None:
    closing = said.get("from")
    if closing and closing.get("gauge"):
        receiver = f"vessel/{closing['receiver']}"
        fill(walk, f"still/{said['still']}", receiver, closing["gauge"], closing["before"], here(walk, receiver))


def spread_fill_gauge(walk: dict, said: dict, moved: list, record: dict) -> None:
    receiver = f"vessel/{said['receiver']}"
    source = "lost/unexplained" if said.get("after_end") else f"still/{said['still']}"
    fill(walk, source, receiver, said["gauge"], said["before"], here(walk, receiver))


def spread_drain(walk: dict, said: dict, moved: list, record: dict) -> None:
    receiver, before = f"vessel/{said['receiver']}", said["before"]
    filling = next((line for line in moved if line["to"] == receiver), None)
    reached = {name: before[name] + (filling[name] if filling else 0) for name in ("ethanol_mg", "liquid_mg")}
    square = gauge_square(said["gauge_before"], reached, share_of(walk, receiver, before))
    raise_by(walk, f"still/{said['still']}", square + empty_of(walk, receiver))
    after = 0.0
    if said.get("gauge_after"):
        share = math.sqrt(square) / (reached["ethanol_mg"] or 1)
        after = gauge_square(said["gauge_after"], here(walk, receiver), share)
    raise_by(walk, receiver, after)
    raise_by(walk, f"vessel/{said['to']}", square + after)


def spread_end(walk: dict, said: dict, moved: list, record: dict) -> None:
    """The difference at the end is as sure as all that went in and came out; the still keeps the heel's own."""
    place = f"still/{said['still']}"
    book = empty_of(walk, place)
    stillage = next((line for line in moved if line["to"] == "lost/stillage"), None)
    square = book
    if stillage and not said["stillage"].get("by_balance"):
        square += gauge_square(said["stillage"], stillage, 0.0)
    heel = gauge_square(said["heel"], here(walk, place), 0.0) if said.get("heel") else 0.0
    walk["end_square"] = square + heel
    raise_by(walk, place, heel)


SPREAD = {
    "opening": spread_opening,
    "wash": spread_wash,
    "settle": spread_settle,
    "transfer": spread_transfer,
    "loss": spread_loss,
    "sample": spread_sample,
    "charge": spread_charge,
    "cut": spread_cut,
    "fill_gauge": spread_fill_gauge,
    "drain": spread_drain,
    "end": spread_end,
}
