"""A whole run foreseen: from a charge down to the strength at which it is stopped."""

from typing import NamedTuple

from server.reckon.asked import number, number_or, whole
from server.reckon.column import Column, column_of, distillate_at, pot_at, rayleigh
from server.reckon.density import fraction_at_abv
from server.reckon.equilibrium import at_pressure
from server.reckon.holdup import State, filled, follow
from server.reckon.liquid import Liquid, lpa_l, read_liquid, volume_20c_l
from server.reckon.mixing import LEAST_KG
from server.reckon.refusal import figure, refuse, rounded, shown
from server.reckon.strength import abv_of
from server.reckon.tables import SAYS
from server.reckon.vle import (
    ETHANOL_KG_KMOL,
    WATER_KG_KMOL,
    ZERO_C_K,
    abv_of_mole,
    bubble,
    fraction_of_mole,
    mole_of,
    read_pressure,
)

CHARGE_MAX_PCT = 95.0
POINTS = 40  # parts of the curve
APART_PCT = 0.01
LEAST_L = 1e-6


class Charge(NamedTuple):
    """kmol of ethanol and water, ethanol in them by moles, extract beside them [kg]; what boils is never extract."""

    kmol: float
    x: float
    extract_kg: float


def read_charge(request: dict) -> Liquid:
    """The liquid under charge, of which there must be some; raises ReckonError."""
    given = request.get("charge")
    if not isinstance(given, dict):
        refuse("charge", shown(given), "liquid", "charge_missing" if given is None else "part", name="charge")
    liquid = read_liquid(given, "charge.")
    if liquid.mass_kg < LEAST_KG:
        refuse("charge", figure(liquid.mass_kg) + " kg", "more", "small_amount")
    return liquid


def run(request: dict) -> dict:
    """want run: what a charge gives until its run-off has fallen to a strength, and what is left in the pot.

    plates 0 is a simple pot, for which efficiency, reflux and hold-up have no part to play. With plates, both are
    needed; holdup_l_per_plate, 0 where left out, is held by the condenser too. The column gives from the moment it is
    steady over the pot: what a longer start at full reflux would gather at the top is not foreseen, nor are heads.
    share_pct: alcohol taken off of that charged; held_lpa_l: still on the plates; curve: POINTS + 1 moments.
    source: batch_runs: Rayleigh without hold-up, each place's balance with it; within 0.5 % of a library's quadrature
            without hold-up. Constant molar overflow is good to 2 %; real columns to two or three times that.
    """
    liquid = read_charge(request)
    plates, kpa, stop_pct = whole(request, "plates"), read_pressure(request), number(request, "stop_abv_pct")
    litres = number_or(request, "holdup_l_per_plate", 0.0)
    e = _with_plates(request, plates, "efficiency", "plate_efficiency", 1.0)
    column = column_of(at_pressure(kpa), plates, e, _with_plates(request, plates, "reflux", "reflux", 0.0))
    charge = _charge_of(liquid)
    _check_stop(stop_pct, distillate_at(column, charge.x))
    stop = mole_of_abv(stop_pct)
    held = plates > 0 and litres > 0.0
    states = _with_holdup(column, charge, litres, stop, stop_pct) if held else _without(column, charge, stop)
    return _foreseen(charge, kpa, states)


def mole_of_abv(abv_pct: float) -> float:
    """Ethanol by moles of a strength in % vol at 20 °C, 0..100."""
    return mole_of(fraction_at_abv(abv_pct))


def _with_plates(request: dict, plates: int, key: str, limits: str, usual: float) -> float:
    """A number that only plates need; a pot may leave it out."""
    value = number(request, key, "", limits) if plates else number_or(request, key, usual, "", limits)
    return value if plates else usual


def _charge_of(liquid: Liquid) -> Charge:
    water_kg = liquid.mass_kg - liquid.ethanol_kg - liquid.extract_kg
    ethanol = liquid.ethanol_kg / ETHANOL_KG_KMOL
    kmol = ethanol + (water_kg / WATER_KG_KMOL if water_kg > 0.0 else 0.0)
    x = ethanol / kmol
    if abv_of_mole(x) > CHARGE_MAX_PCT:
        texts = {"max": figure(CHARGE_MAX_PCT), "unit": " % vol"}
        refuse("charge", rounded(abv_of_mole(x)) + " % vol", "below", "charge_strong", **texts)
    return Charge(kmol, x, liquid.extract_kg)


def _check_stop(stop_pct: float, xd: float) -> None:
    start_pct = abv_of_mole(xd)
    if stop_pct > start_pct - APART_PCT:
        unit, start = SAYS["fields"]["stop_abv_pct"]["unit"], rounded(start_pct)
        refuse("stop_abv_pct", figure(stop_pct) + unit, "below", "stop_above_start", start=start, max=start, unit=unit)


def _without(column: Column, charge: Charge, stop: float) -> list[State]:
    """The run with nothing held on the plates."""
    kmol, x0, _ = charge
    nodes = rayleigh(column, x0, pot_at(column, stop))
    return [
        State(kmol * (1.0 - node.left), kmol * (x0 - node.left * node.x), node.xd, node.x, kmol * node.left, 0.0)
        for node in nodes
    ]


def _with_holdup(column: Column, charge: Charge, litres: float, stop: float, stop_pct: float) -> list[State]:
    given = figure(litres) + " L"
    spec = SAYS["fields"]["holdup_l_per_plate"]
    texts = {"min": figure(spec["min"]), "max": figure(spec["max"]), "unit": spec["unit"]}
    if litres < LEAST_L:
        refuse("holdup_l_per_plate", given, "range", "plates_hold_little", **texts)
    start = filled(column, charge.kmol, charge.x, litres)
    if start is None:
        refuse("holdup_l_per_plate", given, "range", "plates_hold_all", **texts)
    _check_stop(stop_pct, start.xd)
    states = follow(column, start, stop)
    if states is None:
        refuse("holdup_l_per_plate", given, "range", "plates_hold_little", **texts)
    return states


def _foreseen(charge: Charge, kpa: float, states: list[State]) -> dict:
    curve = [_moment(charge, kpa, state) for state in _thinned(states)]
    last, final = states[-1], curve[-1]
    pot_kg = last.left * (last.x * ETHANOL_KG_KMOL + (1.0 - last.x) * WATER_KG_KMOL)
    return {
        "start_abv_pct": curve[0]["abv_pct"],
        "lpa_l": final["lpa_l"],
        "volume_20c_l": final["volume_20c_l"],
        "mean_abv_pct": abv_of_mole(last.ethanol / last.off),
        "pot_abv_pct": final["pot_abv_pct"],
        "kettle_c": final["kettle_c"],
        "share_pct": 100.0 * last.ethanol / (charge.kmol * charge.x),
        "held_lpa_l": lpa_l(last.held * ETHANOL_KG_KMOL),
        "pot_volume_20c_l": volume_20c_l(
            pot_kg + charge.extract_kg, fraction_of_mole(last.x), charge.extract_kg / pot_kg
        ),
        "curve": curve,
    }


def _moment(charge: Charge, kpa: float, state: State) -> dict:
    """What a person would see at that moment of the run."""
    ethanol_kg = state.ethanol * ETHANOL_KG_KMOL
    mass_kg = ethanol_kg + (state.off - state.ethanol) * WATER_KG_KMOL
    pot_kg = state.left * (state.x * ETHANOL_KG_KMOL + (1.0 - state.x) * WATER_KG_KMOL)
    return {
        "lpa_l": lpa_l(ethanol_kg),
        "volume_20c_l": volume_20c_l(mass_kg, ethanol_kg / mass_kg, 0.0) if mass_kg > 0.0 else 0.0,
        "abv_pct": abv_of_mole(state.xd),
        "pot_abv_pct": abv_of(fraction_of_mole(state.x), charge.extract_kg / pot_kg),
        "kettle_c": bubble(state.x, kpa)[0] - ZERO_C_K,
    }


def _thinned(states: list[State]) -> list[State]:
    """POINTS + 1 states at even steps of alcohol taken off, between the steps as a straight line."""
    total, thin, at = states[-1].ethanol, [states[0]], 1
    for i in range(1, POINTS):
        target = total * i / POINTS
        while at < len(states) - 1 and states[at].ethanol < target:
            at += 1
        before, after = states[at - 1], states[at]
        part = (target - before.ethanol) / (after.ethanol - before.ethanol)
        thin.append(State(*(a + part * (b - a) for a, b in zip(before, after, strict=True))))
    return [*thin, states[-1]]
