"""Gravity of wash and wort, and the alcohol born between two gravities."""

from server.reckon.asked import number, one_of
from server.reckon.density import WATER_20C, water_density
from server.reckon.refusal import figure, refuse
from server.reckon.tables import SAYS

_ASBC = (-616.868, 1111.14, -630.272, 135.997)
STEPS = 60
WATER_KG_L = 0.998203  # at 20 °C, Reg. (EC) 2870/2000
ETHANOL_KG_L = 0.7892391  # at 20 °C, OIML R 22
WITHIN = 0.03  # of the strength: sugar and enzyme washes give 2-4 % more per gram than the malt wort behind Balling
DRIEST = -1.0  # % of mass; two gravities read to 0.002 can put a fully fermented wash so far below nothing

# HMRC Excise Notice 226, section 30.3: highest drop in tenths of a degree of gravity, factor.
_FACTORS = (
    (69, 0.125),
    (104, 0.126),
    (172, 0.127),
    (261, 0.128),
    (360, 0.129),
    (465, 0.130),
    (571, 0.131),
    (679, 0.132),
    (788, 0.133),
    (897, 0.134),
    (1007, 0.135),
)


def plato_of(sg: float) -> float:
    """Degrees Plato from apparent specific gravity 20/20 °C.

    sg:      0.98..1.178
    returns: % extract by mass of a malt wort or sugar solution; 0 just above 1, where the cubic dips to -0.003
    source:  ASBC polynomial; below 1 it runs on smoothly, as finished washes need
    """
    plato = ((_ASBC[3] * sg + _ASBC[2]) * sg + _ASBC[1]) * sg + _ASBC[0]
    return 0.0 if sg >= 1.0 and plato < 0.0 else plato


def sg_of(plato: float) -> float:
    """Apparent specific gravity 20/20 °C from degrees Plato, -5..39.9: the cubic turned round by halving."""
    if plato == 0.0:
        return 1.0
    low, high = (0.97, 1.0) if plato < 0.0 else (1.0, 1.18)
    for _ in range(STEPS):
        middle = 0.5 * (low + high)
        if plato_of(middle) < plato:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def table_factor(drop: float) -> float | None:
    """Factor of Excise Notice 226 for a drop in degrees of gravity (1000 x sg), or None outside the table."""
    tenths = int(drop * 10.0 + 0.5)
    for highest, factor in _FACTORS:
        if tenths <= highest:
            return factor
    return None


def balling(original_sg: float, final_sg: float) -> tuple[float, float]:
    """Real extract and alcohol of a fermented wash, both in % of mass.

    original_sg, final_sg: apparent 20/20 °C, final not above original
    source: Balling: 2.0665 g extract give 1 g alcohol, 0.9565 g carbon dioxide and 0.11 g yeast; malt wort
    """
    oe, ae = plato_of(original_sg), plato_of(final_sg)
    real = 0.1808 * oe + 0.8192 * ae
    return real, (oe - real) / (2.0665 - 0.010665 * oe)


def _gravities(request: dict) -> tuple[float, float, float, float]:
    """original, final, real extract, alcohol; refused where no fermentation gives them."""
    original, final = number(request, "original_sg"), number(request, "final_sg")
    spec = SAYS["fields"]["final_sg"]
    texts = {"given_original": figure(original), "min": figure(spec["min"]), "max": figure(original), "unit": ""}
    if final > original:
        refuse("final_sg", figure(final), "final", "final_above", **texts)
    real, alcohol = balling(original, final)
    if real < DRIEST:
        refuse("final_sg", figure(final), "range", "too_dry", **texts)
    return original, final, real, alcohol


def gravity(request: dict) -> dict:
    """want gravity: sg or plato_pct into both."""
    key = one_of(request, ("sg", "plato_pct"), "gravity", "no_gravity", "two_gravities")
    value = number(request, key)
    if key == "sg":
        return {"sg": value, "plato_pct": plato_of(value)}
    return {"sg": sg_of(value), "plato_pct": value}


def wash(request: dict) -> dict:
    """want wash: strength from two gravities, by Balling and by the official table."""
    original, final, real, alcohol = _gravities(request)
    abv_pct = alcohol * final / 0.79067
    drop = (original - final) * 1000.0
    factor = table_factor(drop)
    return {
        "abv_pct": abv_pct,
        "abv_table_pct": None if factor is None else drop * factor,
        "real_extract_pct": real,
        "plus_minus_pct": WITHIN * abv_pct,
    }


def wash_liquid(request: dict) -> dict:
    """want wash_liquid: a volume of wash and its two gravities into mass.

    source: the contract's own words: volume to 20 °C as water goes, times final gravity and water's density; shares by
            Balling. co2_kg is the carbon dioxide that left while this alcohol was made.
    """
    volume = number(request, "volume_l")
    t = number(request, "temperature_c", "", "wash_temperature_c")
    _, final, real, alcohol = _gravities(request)
    mass_kg = volume * (water_density(t) / WATER_20C) * final * WATER_KG_L
    ethanol_kg = mass_kg * alcohol / 100.0
    return {
        "mass_kg": mass_kg,
        "ethanol_kg": ethanol_kg,
        "extract_kg": mass_kg * real / 100.0 if real > 0.0 else 0.0,
        "lpa_l": ethanol_kg / ETHANOL_KG_L,
        "co2_kg": ethanol_kg * 0.9565,
    }
