"""The ladder between equilibrium curve and operating lines: how many stages, and the least reflux."""

from typing import NamedTuple

from server.reckon.asked import number, number_or, one_of
from server.reckon.equilibrium import NODES, at_pressure, azeotrope, inverse, liquid, vapour
from server.reckon.refusal import figure, refuse, rounded, shown
from server.reckon.tables import SAYS
from server.reckon.vle import SEA_KPA, read_pressure

STAGES_MAX = 300


class Flows(NamedTuple):
    """Per kmol of feed: distillate, liquid and vapour below the feed, what leaves at the bottom, and its strength."""

    distillate: float
    liquid: float
    vapour: float
    bottoms: float
    xb: float


def least_reflux(table: list[float], feed: float, distillate: float, feed_liquid: float = 1.0) -> float:
    """Reflux at which no number of stages would do any more: the steepest line to touch the curve.

    feed, distillate: ethanol by moles; feed_liquid: liquid share of the feed, 0..1
    source: the curve of ethanol and water bends inwards near 0.75, so the line may touch it there before it meets it
            at the feed; the nodes of the table are looked through, within 1e-4
    """
    first = liquid(inverse(table, feed_liquid, 1.0 - feed_liquid), feed)
    steepest = (distillate - vapour(table, first)) / (distillate - first)
    steepest = steepest if steepest > 0.0 else 0.0
    for i in range(1, NODES):
        x = i / NODES * (i / NODES)
        if first < x < distillate:
            slope = (distillate - x * table[i]) / (distillate - x)
            steepest = slope if slope > steepest else steepest
    return steepest / (1.0 - steepest)


def count(table: list[float], distillate: float, reflux: float, target: float, flows: Flows | None) -> tuple:
    """Stages from the distillate down to a liquid of target, the last as the part of it that is needed.

    flows:   below the feed, or None for a pot without feed
    returns: stages, and the one on which the feed comes in (None for a pot); (None, None) beyond STAGES_MAX
    source:  constant molar overflow: each stage goes to the curve, then to the lower of the two operating lines
    """
    pot = inverse(table, 0.0, 1.0)
    y, above, feed_stage = distillate, distillate, None
    for stage in range(1, STAGES_MAX + 1):
        x = liquid(pot, y)
        y = (reflux * x + distillate) / (reflux + 1.0)
        if flows is not None:
            below = (flows.liquid * x - flows.bottoms * flows.xb) / flows.vapour
            if below < y and feed_stage is None:
                feed_stage = stage
            y = below if below < y else y
        if x <= target:
            return stage - 1 + (above - target) / (above - x), feed_stage
        above = x
    return None, None


def ladder(request: dict) -> dict:
    """want ladder: stages and least reflux of a column, by equilibrium stages and constant molar overflow.

    Without bottoms_mole_pct or recovery_pct the feed is the pot of a batch still, itself the last stage. With one of
    them it is a continuous column; its reboiler is the last stage unless open_steam blows live steam into it.
    pressure_kpa or altitude_m may be left out: at sea level, then. Near the azeotrope the count hangs on the last
    digits of the curve: by 10 % and more.
    """
    feed, distillate = (number(request, key) / 100.0 for key in ("feed_mole_pct", "distillate_mole_pct"))
    reflux, q = number(request, "reflux"), number_or(request, "feed_liquid", 1.0)
    usual = request.get("pressure_kpa") is None and request.get("altitude_m") is None
    kpa = SEA_KPA if usual else read_pressure(request)
    table = at_pressure(kpa)
    _check_order(request, table)
    flows = _flows(request, feed, distillate, reflux, q)
    least = least_reflux(table, feed, distillate, q if flows else 1.0)
    texts = {"least": rounded(least, 100.0), "min": rounded(least, 100.0), "unit": "", "most": str(STAGES_MAX)}
    if reflux <= least:
        refuse("reflux", figure(reflux), "above", "reflux_low", **texts)
    if flows and flows.vapour <= 0.0:
        refuse("reflux", figure(reflux), "above", "no_boilup", **texts)
    stages, feed_stage = count(table, distillate, reflux, flows.xb if flows else feed, flows)
    if stages is None:
        refuse("reflux", figure(reflux), "above", "too_many_stages", **texts)
    return {
        "stages": stages,
        "minimum_reflux": least,
        "feed_stage": feed_stage,
        "bottoms_mole_pct": 100.0 * flows.xb if flows else None,
        "distillate_per_feed": flows.distillate if flows else None,
        "bottoms_per_feed": flows.bottoms if flows else None,
        "vapour_per_feed": flows.vapour if flows else None,
        "pressure_kpa": kpa,
    }


def _check_order(request: dict, table: list[float]) -> None:
    """Bottoms below feed below distillate below the azeotrope."""
    feed, distillate = request["feed_mole_pct"], request["distillate_mole_pct"]
    spec, highest = SAYS["fields"]["distillate_mole_pct"], 100.0 * azeotrope(table)
    texts = {"name": spec["name"], "unit": spec["unit"], "weak": figure(feed), "min": figure(feed)}
    texts |= {"highest": rounded(highest), "max": rounded(highest)}
    if distillate >= highest:
        refuse("distillate_mole_pct", figure(distillate) + spec["unit"], "below", "past_azeotrope", **texts)
    if distillate <= feed:
        refuse("distillate_mole_pct", figure(distillate) + spec["unit"], "above", "not_stronger", **texts)


def _flows(request: dict, feed: float, distillate: float, reflux: float, q: float) -> Flows | None:
    """The balance of a continuous column per kmol of feed, or None where the feed is a pot."""
    open_steam = request.get("open_steam")
    if open_steam is not None and not isinstance(open_steam, bool):
        refuse("open_steam", shown(open_steam), "yes_no", "yes_no")
    keys = ("bottoms_mole_pct", "recovery_pct")
    if all(request.get(key) is None for key in keys):
        return None
    key = one_of(request, keys, "bottoms", "two_of", "two_of")
    if key == "recovery_pct":
        share = number(request, key) / 100.0
        d = share * feed / distillate
        b = reflux * d + q if open_steam else 1.0 - d
        xb = (1.0 - share) * feed / b
    else:
        xb = _bottoms(request, feed)
        d = (feed - q * xb) / (distillate + reflux * xb) if open_steam else (feed - xb) / (distillate - xb)
        b = reflux * d + q if open_steam else 1.0 - d
    return Flows(d, reflux * d + q, (reflux + 1.0) * d - (1.0 - q), b, xb)


def _bottoms(request: dict, feed: float) -> float:
    given, spec = number(request, "bottoms_mole_pct"), SAYS["fields"]["bottoms_mole_pct"]
    if given / 100.0 >= feed:
        strong = figure(request["feed_mole_pct"])
        texts = {"name": spec["name"], "unit": spec["unit"], "strong": strong, "max": strong}
        refuse("bottoms_mole_pct", figure(given) + spec["unit"], "below", "not_weaker_bottom", **texts)
    return given / 100.0
