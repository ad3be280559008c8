"""Ethanol and water at the boil: at what temperature, and how strong the vapour is."""

import math

from server.reckon.asked import number, one_of
from server.reckon.density import fraction_at_abv
from server.reckon.refusal import figure, refuse, rounded
from server.reckon.strength import abv_of, read_strength
from server.reckon.tables import SAYS, STILL

_V = STILL["vle"]
_A12, _B12, _A21, _B21, _ALPHA = (_V["nrtl"][key] for key in ("a12", "b12_k", "a21", "b21_k", "alpha"))
_ETHANOL, _WATER = _V["antoine"]["ethanol"], _V["antoine"]["water"]
_AIR = _V["atmosphere"]
ETHANOL_KG_KMOL, WATER_KG_KMOL = _V["molar_mass"]["ethanol"], _V["molar_mass"]["water"]
SEA_KPA = _AIR["kpa"]
ZERO_C_K = 273.15
START_K = 353.0
PASSES = 10  # each takes off all but a twentieth of what is missing, so that nothing of it is left in a double
SLOPE_K = 5000.0  # heat of evaporation over the gas constant, near enough to both liquids'
STEPS = 50
FLAT_MOLE = _V["flat_mole"]["value"]
SPREAD_C, WEATHER_C = _V["spread_c"]["value"], _V["weather_c"]["value"]
_LN10 = 2.302585092994046


def mole_of(p: float) -> float:
    """Ethanol by moles [kmol/kmol] from ethanol by mass p [kg/kg], both 0..1 of ethanol and water."""
    ethanol = p / ETHANOL_KG_KMOL
    return ethanol / (ethanol + (1.0 - p) / WATER_KG_KMOL)


def fraction_of_mole(x: float) -> float:
    """Ethanol by mass [kg/kg] from ethanol by moles x, both 0..1 of ethanol and water."""
    return x * ETHANOL_KG_KMOL / (x * ETHANOL_KG_KMOL + (1.0 - x) * WATER_KG_KMOL)


def abv_of_mole(x: float) -> float:
    """Strength [% vol at 20 °C] of ethanol and water with ethanol x by moles, 0..1."""
    return abv_of(fraction_of_mole(x), 0.0)


def saturation_kpa(antoine: dict, t: float) -> float:
    """Vapour pressure [kPa] of ethanol or water alone at t [K], by its Antoine constants; ranges are in still.json."""
    return math.exp(_LN10 * (antoine["a"] - antoine["b"] / (t + antoine["c"])))


def ethanol_kpa(t: float) -> float:
    """Vapour pressure [kPa] of ethanol at t [K], 293..374: NIST WebBook, Ambrose and Sprake."""
    return saturation_kpa(_ETHANOL, t)


def water_kpa(t: float) -> float:
    """Vapour pressure [kPa] of water at t [K], 313..378: fitted to IAPWS-95 within 0.034 %."""
    return saturation_kpa(_WATER, t)


def ln_gammas(x: float, t: float) -> tuple[float, float]:
    """Logarithms of the activity coefficients of ethanol and of water.

    x:      ethanol by moles, 0..1; t: temperature [K], 320..375 (not checked here)
    source: NRTL, constants in still.json; agrees with the NRTL class of the library thermo to 2e-6
    """
    tau12, tau21 = _A12 + _B12 / t, _A21 + _B21 / t
    g12, g21 = math.exp(-_ALPHA * tau12), math.exp(-_ALPHA * tau21)
    z = 1.0 - x
    e1, e2 = g21 / (x + z * g21), g12 / (z + x * g12)
    ethanol = z * z * (tau21 * e1 * e1 + tau12 * g12 / ((z + x * g12) * (z + x * g12)))
    water = x * x * (tau12 * e2 * e2 + tau21 * g21 / ((x + z * g21) * (x + z * g21)))
    return ethanol, water


def pressures_kpa(x: float, t: float) -> tuple[float, float]:
    """What ethanol and water would press [kPa] at t [K] per share of moles: activity coefficient x vapour pressure."""
    ethanol, water = ln_gammas(x, t)
    return math.exp(ethanol) * ethanol_kpa(t), math.exp(water) * water_kpa(t)


def bubble(x: float, kpa: float, start_k: float = START_K, passes: int = PASSES) -> tuple[float, float]:
    """Boiling point and volatility of a mixture, by modified Raoult's law with ideal vapour.

    x:       ethanol by moles, 0..1; kpa: 30..105 (not checked here); start_k, passes: a near guess needs fewer
    returns: temperature [K]; ethanol in the vapour over ethanol in the liquid, by moles
    source:  within 0.3 °C and 0.012 in y of Kamihama (2012) at 101.3 kPa; 0.5 °C and 0.026 in y of sets at 33 kPa
    """
    t, k = start_k, 1.0
    for _ in range(passes):
        ethanol, water = pressures_kpa(x, t)
        p = x * ethanol + (1.0 - x) * water
        k = ethanol / p
        t = t + math.log(kpa / p) * t * t / SLOPE_K
    return t, k


def at_altitude(metres: float) -> float:
    """Usual air pressure [kPa] at an altitude [m], -300..9000: US Standard Atmosphere 1976; weather moves it 2 kPa."""
    return SEA_KPA * math.exp(_AIR["power"] * math.log(1.0 - _AIR["per_m"] * metres))


def read_pressure(request: dict) -> float:
    """The air pressure of a question [kPa]: the barometer's, or the usual one at an altitude; raises ReckonError."""
    key = one_of(request, ("pressure_kpa", "altitude_m"), "pressure", "no_pressure", "two_of")
    value = number(request, key)
    return value if key == "pressure_kpa" else at_altitude(value)


def boil(request: dict) -> dict:
    """want boil: at what temperature a liquid boils, and how strong the vapour over it is.

    source: bubble; extract is left out, which raises the boiling point by about 0.03 °C for each % of its mass
    """
    x = mole_of(read_strength(request).p)
    kpa = read_pressure(request)
    t, k = bubble(x, kpa)
    return {
        "boiling_c": t - ZERO_C_K,
        "vapour_abv_pct": abv_of_mole(x * k),
        "plus_minus_c": _spread_c(request),
        "pressure_kpa": kpa,
    }


def _spread_c(request: dict) -> float:
    """What the boiling point is known to [°C]: the model's spread, and the weather's where only altitude is told."""
    if request.get("pressure_kpa") is not None:
        return SPREAD_C
    return math.sqrt(SPREAD_C * SPREAD_C + WEATHER_C * WEATHER_C)


def pot_strength(request: dict) -> dict:
    """want pot_strength: how strong the boiling liquid in a kettle is, by its temperature.

    source: bubble turned round by halving up to 0.6 of ethanol by moles; plus_minus_pct is the spread of the boiling
            point over its slope. Up to that spread above boiling water the kettle counts as water.
    """
    kettle_c = number(request, "kettle_c")
    kpa = read_pressure(request)
    spread_c = _spread_c(request)
    x = _mole_boiling_at(kettle_c, kpa, spread_c)
    abv_pct = abv_of_mole(x)
    return {
        "abv_pct": abv_pct,
        "vapour_abv_pct": abv_of_mole(x * bubble(x, kpa)[1]),
        "plus_minus_pct": spread_c / _fall_c(abv_pct, kpa),
        "pressure_kpa": kpa,
    }


def _mole_boiling_at(kettle_c: float, kpa: float, spread_c: float) -> float:
    spec = SAYS["fields"]["kettle_c"]
    highest, lowest = (bubble(x, kpa)[0] - ZERO_C_K for x in (0.0, FLAT_MOLE))
    texts = {"highest": rounded(highest), "lowest": rounded(lowest), "unit": spec["unit"]}
    texts |= {"min": texts["lowest"], "max": texts["highest"]}
    if kettle_c > highest + spread_c:
        refuse("kettle_c", figure(kettle_c) + spec["unit"], "range", "kettle_hot", **texts)
    if kettle_c < lowest:
        refuse("kettle_c", figure(kettle_c) + spec["unit"], "range", "kettle_cold", **texts)
    if kettle_c >= highest:
        return 0.0
    low, high = 0.0, FLAT_MOLE
    for _ in range(STEPS):
        middle = 0.5 * (low + high)
        if bubble(middle, kpa)[0] - ZERO_C_K > kettle_c:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _fall_c(abv_pct: float, kpa: float) -> float:
    """How far the boiling point falls for each % vol [°C] at a strength."""
    low, high = (abv_pct - 0.25 if abv_pct > 0.25 else 0.0), abv_pct + 0.25
    at_low, at_high = (bubble(mole_of(fraction_at_abv(abv)), kpa)[0] for abv in (low, high))
    return (at_low - at_high) / (high - low)
