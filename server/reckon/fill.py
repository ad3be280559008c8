"""What goes into a bottle: by mass on the scale, by volume at today's temperature, and how short it may be."""

import math
from typing import Any

from server.reckon.asked import number
from server.reckon.liquid import read_temperature
from server.reckon.refusal import refuse, shown
from server.reckon.strength import AIR, WEIGHTS_LIFT, read_strength, whole_density
from server.reckon.tables import MARKETS

USUAL_C = 20.0


def fill_bottle(request: dict) -> dict:
    """want fill: net mass, scale's figure, set volume at today's temperature, and the limits of a market for a bottle.

    nominal_ml: 5..15000; a strength, abv_pct or another, with extract_g_l where there is sugar; temperature_c: today's
    returns: net_g in vacuum; on_scale_g in air of 1.2 against weights of 8000 kg/m3; set_volume_ml: fills to it today;
             lines null where the market has none; content_at_c: the temperature at which the law counts content
    source:  OIML R 22; the market's documents stand in markets.json; glass that swells by 25e-6 per K is left out
    """
    nominal = number(request, "nominal_ml")
    strength = read_strength(request)
    t = read_temperature(request, "temperature_c", strength)
    market = _market(request.get("market"))
    at = _content_at_c(market)
    net_g = nominal * whole_density(strength.p, strength.x, at) / 1000.0
    rho = whole_density(strength.p, strength.x, t)
    short = negative_error_tenths(market["negative_errors"], nominal)
    return {
        "net_g": net_g,
        "on_scale_g": net_g * (1.0 - AIR / rho) / WEIGHTS_LIFT,
        "set_volume_ml": net_g * 1000.0 / rho,
        "negative_error_ml": None if short is None else short / 10.0,
        "first_line_ml": None if short is None else (nominal * 10.0 - short) / 10.0,
        "second_line_ml": None if short is None else (nominal * 10.0 - 2.0 * short) / 10.0,
        "variation_pct": _variation_pct(market["fill_variation"], nominal),
        "content_at_c": at,
    }


def _market(given: Any) -> dict:
    places = MARKETS["markets"]
    known = ", ".join(places)
    if given is None:
        refuse("market", shown(given), "unit", "no_market", known=known)
    if not isinstance(given, str) or given not in places:
        refuse("market", shown(given), "unit", "market", known=known)
    return places[given]


def _content_at_c(market: dict) -> float:
    """The temperature at which content counts [°C]; where it is told in °F, exactly that."""
    at = market["content_at_c"]
    if at is None:
        return USUAL_C
    return (at["fahrenheit"] - 32.0) * 5.0 / 9.0 if "fahrenheit" in at else float(at["value"])


def negative_error_tenths(errors: dict | None, nominal: float) -> float | None:
    """The tolerable negative error in tenths of a mL, shares of the nominal rounded up, or None where there is none."""
    if errors is None:
        return None
    for band in errors["bands"]:
        if nominal <= band["to_ml"]:
            value = float(band["value"])
            return value * 10.0 if band["unit"] == "mL" else float(math.ceil(nominal * value / 10.0))
    return None


def _variation_pct(variation: dict | None, nominal: float) -> float | None:
    """The fill variation either way [%]; between two bands, such as 999.5 mL, the tighter one."""
    if variation is None:
        return None
    for band in variation["bands"]:
        if band["to_ml"] is None or nominal <= band["to_ml"]:
            return float(band["value"])
    return None
