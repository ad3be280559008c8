"""Water to a strength, blends, and how much of a second liquid hits a strength: always by mass."""

from server.reckon.asked import in_range, number
from server.reckon.density import ETHANOL_20C, fraction_at_abv, solve, water_density
from server.reckon.liquid import AMOUNTS, Liquid, lpa_l, read_liquid, read_temperature, volume_20c_l, volume_l
from server.reckon.refusal import figure, refuse, shown
from server.reckon.strength import AIR, EXTRACT_L_KG, WEIGHTS_LIFT, Strength, abv_of, read_strength, whole_density
from server.reckon.tables import SAYS

LEAST_KG = 1e-6
PARTS_MAX = 1000
ADD_MAX_KG = 1e9


def _enough(request: dict) -> Liquid:
    """The liquid of a question, of which there must be enough to divide by."""
    liquid = read_liquid(request)
    if liquid.mass_kg < LEAST_KG:
        key = next(key for key in AMOUNTS if request.get(key) is not None)
        refuse(key, figure(liquid.mass_kg) + " kg", "more", "small_amount")
    return liquid


def _target(request: dict, highest: float) -> float:
    """The strength to reach with water, below the liquid's own."""
    to = number(request, "to_abv_pct")
    if to >= highest:
        texts = {"min": "0", "max": figure(highest), "unit": " % vol", "from": figure(highest)}
        refuse("to_abv_pct", figure(to) + " % vol", "between", "not_weaker", **texts)
    return to


def water(request: dict) -> dict:
    """want water: how much water brings a liquid down to a strength.

    source: procedure 3: alcohol and extract stay, water is what is missing in mass; simple proportion is shown beside
            it as what it is: the litres that volumes alone would ask for, and the strength that those litres give
    """
    liquid = _enough(request)
    to = _target(request, liquid.abv_pct)
    t = number(request, "water_temperature_c")
    water_kg = _water_kg(liquid, to)
    rho = water_density(t)
    product_kg = liquid.mass_kg + water_kg
    p, x = _diluted(liquid, water_kg)
    before_l = volume_20c_l(liquid.mass_kg, liquid.p, liquid.x)
    after_l = volume_20c_l(product_kg, p, x)
    simple_l = before_l * (liquid.abv_pct / to - 1.0)
    simple_p, simple_x = _diluted(liquid, simple_l * rho / 1000.0)
    at_l = None
    if request.get("product_temperature_c") is not None:
        at_l = volume_l(product_kg, p, x, number(request, "product_temperature_c"))
    return {
        "water_kg": water_kg,
        "water_on_scale_kg": water_kg * (1.0 - AIR / rho) / WEIGHTS_LIFT,
        "water_l": water_kg * 1000.0 / rho,
        "product_kg": product_kg,
        "product_20c_l": after_l,
        "product_l": at_l,
        "contraction_l": before_l + volume_20c_l(water_kg, 0.0, 0.0) - after_l,
        "simple_proportion_l": simple_l,
        "simple_proportion_abv_pct": abv_of(simple_p, simple_x),
    }


def _water_kg(liquid: Liquid, to: float) -> float:
    """Water [kg] that brings a liquid to % vol of the whole; extract keeps its own room."""
    if liquid.x == 0.0:
        p = fraction_at_abv(to)
    else:
        ethanol_l = liquid.ethanol_kg * 1000.0 / ETHANOL_20C
        whole_l = ethanol_l / (to / 100.0)
        p = fraction_at_abv(100.0 * (ethanol_l / (whole_l - liquid.extract_kg * EXTRACT_L_KG)))
    water_kg = (liquid.mass_kg - liquid.extract_kg) * (liquid.p - p) / p
    return water_kg if water_kg > 0.0 else 0.0


def _diluted(liquid: Liquid, water_kg: float) -> tuple[float, float]:
    """p and x of a liquid after water went in."""
    rest = liquid.mass_kg - liquid.extract_kg + water_kg
    return liquid.ethanol_kg / rest, liquid.extract_kg / rest


def blend(request: dict) -> dict:
    """want blend: liquids poured together.

    source: procedure 4: masses add and alcohol adds; volumes do not, and what they lose is the contraction
    """
    parts = _parts(request)
    mass = ethanol = extract = volume = 0.0
    for part in parts:
        mass = mass + part.mass_kg
        ethanol = ethanol + part.ethanol_kg
        extract = extract + part.extract_kg
        volume = volume + volume_20c_l(part.mass_kg, part.p, part.x)
    if mass < LEAST_KG:
        refuse("parts", figure(mass) + " kg", "some", "nothing")
    rest = mass - extract
    p, x = ethanol / rest, extract / rest
    p = p if p < 1.0 else 1.0
    after_l = volume_20c_l(mass, p, x)
    return {
        "mass_kg": mass,
        "abv_pct": abv_of(p, x),
        "volume_20c_l": after_l,
        "lpa_l": lpa_l(ethanol),
        "contraction_l": volume - after_l,
        "ethanol_kg": ethanol,
        "extract_kg": extract,
    }


def _parts(request: dict) -> list[Liquid]:
    given = request.get("parts")
    if not isinstance(given, list) or not 1 <= len(given) <= PARTS_MAX:
        refuse("parts", shown(given), "parts", "parts")
    liquids = []
    for at, part in enumerate(given):
        path = f"parts[{at}]"
        if not isinstance(part, dict):
            refuse(path, shown(part), "liquid", "part", name=path)
        liquids.append(read_liquid(part, path + "."))
    return liquids


def blend_to(request: dict) -> dict:
    """want blend_to: how much of a second liquid brings the first to a strength between the two.

    source: procedure 4: mB = mA (pA - pT)/(pT - pB); with extract, the share of the second by halving
    """
    first = _enough(request)
    given = request.get("with")
    if not isinstance(given, dict):
        refuse("with", shown(given), "liquid", "with" if given is None else "part", name="with")
    second = read_strength(given, "with.")
    t = read_temperature(given, "temperature_c", second, "with.")
    to = _between(request, first.abv_pct, second.abv_pct)
    add_kg = _add_kg(first, second, to)
    added = add_kg / (1.0 + second.x)
    rest = first.mass_kg - first.extract_kg + added
    p = (first.ethanol_kg + added * second.p) / rest
    x = (first.extract_kg + added * second.x) / rest
    return {
        "add_kg": add_kg,
        "add_l": volume_l(add_kg, second.p, second.x, t),
        "add_20c_l": volume_20c_l(add_kg, second.p, second.x),
        "product_20c_l": volume_20c_l(first.mass_kg + add_kg, p if p < 1.0 else 1.0, x),
        "product_kg": first.mass_kg + add_kg,
        "add_on_scale_kg": add_kg * (1.0 - AIR / whole_density(second.p, second.x, t)) / WEIGHTS_LIFT,
    }


def _between(request: dict, a: float, b: float) -> float:
    """The strength to reach, strictly between two."""
    spec = SAYS["fields"]["to_abv_pct"] | {"min": 0}
    to = in_range(request.get("to_abv_pct"), "to_abv_pct", spec)
    low, high = (a, b) if a < b else (b, a)
    texts = {"low": figure(low), "high": figure(high), "min": figure(low), "max": figure(high), "unit": " % vol"}
    if low == high:
        refuse("to_abv_pct", figure(to) + " % vol", "between", "same_strength", **texts)
    if not low < to < high:
        refuse("to_abv_pct", figure(to) + " % vol", "between", "outside_two", **texts)
    return to


def _add_kg(first: Liquid, second: Strength, to: float) -> float:
    """Mass [kg] of the second to add; refused where the strength wanted is too near to the second's own."""
    if first.x == 0.0 and second.x == 0.0:
        p = fraction_at_abv(to)
        missing, each = first.p - p, p - second.p
        add_kg = first.mass_kg * (missing / each) if _apart(each) else ADD_MAX_KG
    else:
        share = _share_of_second(first, second, to)
        kept = 1.0 - share
        ratio = share / kept if _apart(kept) else ADD_MAX_KG
        add_kg = first.mass_kg / (1.0 + first.x) * ratio * (1.0 + second.x)
    if add_kg >= ADD_MAX_KG:
        texts = {"min": "0", "max": "100", "unit": " % vol", "second": figure(second.abv_pct)}
        refuse("to_abv_pct", figure(to) + " % vol", "between", "too_near", **texts)
    return add_kg if add_kg > 0.0 else 0.0


def _apart(difference: float) -> bool:
    """Whether two shares differ by more than the last digits of a double."""
    return difference > 1e-15 or difference < -1e-15


def _share_of_second(first: Liquid, second: Strength, to: float) -> float:
    """The share of ethanol and water that comes from the second, where there is extract."""
    falling = second.abv_pct < first.abv_pct

    def strength(share: float) -> float:
        kept = 1.0 - share
        abv = abv_of(kept * first.p + share * second.p, kept * first.x + share * second.x)
        return -abv if falling else abv  # signed so that it rises

    return solve(strength, -to if falling else to)
