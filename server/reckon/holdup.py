"""A column whose plates hold liquid, followed step by step of vapour boiled: the drop comes later and steeper."""

from typing import NamedTuple

from server.reckon.column import Column, distillate_at, pot_at, rayleigh, steps
from server.reckon.equilibrium import volatility_at
from server.reckon.liquid import volume_20c_l
from server.reckon.vle import ETHANOL_KG_KMOL, WATER_KG_KMOL, fraction_of_mole

HALVINGS = 50
FEW = 20  # intervals, for a first look
SHARE = 0.6  # of what the liveliest place could follow in a step
WORK_MAX = 1000000  # places times steps: some seconds
POT_LEAST = 0.5  # of the charge must be left in the pot when the plates are filled


class State(NamedTuple):
    """off, ethanol: taken off so far [kmol]; xd: distillate, x: pot, by moles; left: in the pot [kmol]; held: ethanol
    on the plates [kmol]."""

    off: float
    ethanol: float
    xd: float
    x: float
    left: float
    held: float


class Filled(NamedTuple):
    """x in the pot and xd of the distillate by moles; liquids by moles and holds [kmol] from the lowest plate up, the
    condenser as the last; left: in the pot [kmol]."""

    x: float
    xd: float
    liquids: list[float]
    holds: list[float]
    left: float


def litres_per_kmol(x: float) -> float:
    """Litres at 20 °C of a kmol with ethanol x by moles."""
    return volume_20c_l(x * ETHANOL_KG_KMOL + (1.0 - x) * WATER_KG_KMOL, fraction_of_mole(x), 0.0)


def filled(column: Column, w0: float, x0: float, litres: float) -> Filled | None:
    """The column when it begins to give: its plates filled out of the charge, each as steady over the pot.

    w0: charge [kmol]; x0: its ethanol by moles; litres: at 20 °C on each plate, and as much behind the condenser
    returns: None where the plates would take more than half of the charge
    """
    holds = [litres / litres_per_kmol(x) for x in _profile(column, x0)]
    left = w0
    for hold in holds:
        left = left - hold
    if left < POT_LEAST * w0:
        return None
    low, high = 0.0, x0
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        if _ethanol(_profile(column, middle), holds) + left * middle < w0 * x0:
            low = middle
        else:
            high = middle
    x = 0.5 * (low + high)
    liquids = _profile(column, x)
    return Filled(x, liquids[-1], liquids, holds, left)


def _profile(column: Column, x: float) -> list[float]:
    """Liquids over a pot of x from the lowest plate up, the condenser's as the last."""
    xd = distillate_at(column, x)
    return [*steps(column, xd)[-2::-1], xd]


def _ethanol(liquids: list[float], holds: list[float]) -> float:
    total = 0.0
    for x, hold in zip(liquids, holds, strict=True):
        total = total + x * hold
    return total


def follow(column: Column, start: Filled, stop: float) -> list[State] | None:
    """Every step from the start until the distillate has fallen to stop, by moles; the last lies exactly there.

    returns: None where it would take more than WORK_MAX
    source:  a balance of each place; vapour leaves a plate by equilibrium times efficiency; constant molar overflow
    """
    liquids, holds = list(start.liquids), start.holds
    state = State(0.0, 0.0, start.xd, start.x, start.left, _ethanol(liquids, holds))
    states = [state]
    if _work(column, start, state, stop) > WORK_MAX:
        return None
    for _ in range(WORK_MAX // len(holds)):
        following = _step(column, liquids, holds, state)
        if following.xd <= stop:
            part = (state.xd - stop) / (state.xd - following.xd)
            between = (a + part * (b - a) for a, b in zip(state, following, strict=True))
            return [*states, State(*between)._replace(xd=stop)]
        state = following
        states.append(state)
    return None


def _work(column: Column, start: Filled, state: State, stop: float) -> float:
    """Places times steps that it will take at least: the vapour of a run with nothing held, by the size of the first
    step, which later ones never pass by much."""
    end = pot_at(column, stop)
    if end >= start.x:
        return 0.0
    off = start.left * (1.0 - rayleigh(column, start.x, end, FEW)[-1].left)
    first = _step(column, list(start.liquids), start.holds, state)
    return off / first.off * len(start.holds)


def _step(column: Column, liquids: list[float], holds: list[float], state: State) -> State:
    """One step; liquids are changed in place. Its vapour is what the liveliest place can follow without swinging."""
    table, e, n = column.table, column.e, len(liquids) - 1
    k = volatility_at(table, state.x)
    y = k * state.x
    liveliest = (k + 1.0) / state.left
    vapours = [y]
    for j in range(n):
        k = volatility_at(table, liquids[j])
        y = y + e * (k * liquids[j] - y)
        vapours.append(y)
        lively = (e * k + 1.0) / holds[j]
        liveliest = lively if lively > liveliest else liveliest
    liveliest = liveliest if liveliest > 1.0 / holds[n] else 1.0 / holds[n]
    dv = SHARE / liveliest
    back = dv * column.reflux / (column.reflux + 1.0)
    off, lowest, held = dv - back, liquids[0], 0.0
    for j in range(n):
        move = back * (liquids[j + 1] - liquids[j]) + dv * (vapours[j] - vapours[j + 1])
        liquids[j] = liquids[j] + move / holds[j]
        held = held + liquids[j] * holds[j]
    xd = liquids[n]
    liquids[n] = xd + dv * (vapours[n] - xd) / holds[n]
    left = state.left - off
    x = (state.left * state.x + back * lowest - dv * vapours[0]) / left
    held = held + liquids[n] * holds[n]
    return State(state.off + off, state.ethanol + off * xd, liquids[n], x, left, held)
