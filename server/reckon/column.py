"""A still seen as steps from the distillate down to the pot, and what its pot gives as it runs empty."""

import math
from typing import NamedTuple

from server.reckon.equilibrium import Inverse, azeotrope, inverse, liquid, vapour

STEPS = 50
INTERVALS = 160


class Column(NamedTuple):
    """table as equilibrium makes it; plates, 0 for a simple pot; e: of a plate, by the vapour (Murphree), 0.01..1;
    reflux: liquid back over liquid off; highest: ethanol by moles that nothing passes."""

    table: list[float]
    plates: int
    e: float
    reflux: float
    pot: Inverse
    plate: Inverse
    highest: float


def column_of(table: list[float], plates: int, e: float, reflux: float) -> Column:
    """A column with its own look-ups made."""
    pot = inverse(table, 0.0, 1.0)
    back = reflux / (reflux + 1.0)
    plate = pot if e == 1.0 else inverse(table, (1.0 - e) * back, e)
    return Column(table, plates, e, reflux, pot, plate, azeotrope(table))


def steps(column: Column, xd: float) -> list[float]:
    """Liquids by moles on the plates from the top down, and in the pot as the last, that give a distillate xd.

    source: constant molar overflow, total condenser; the vapour under a plate by the operating line, over it by
            equilibrium times efficiency; pot in equilibrium
    """
    r, e = column.reflux, column.e
    off = xd / (r + 1.0)
    y, liquids = xd, []
    for _ in range(column.plates):
        x = liquid(column.plate, y - (1.0 - e) * off)
        liquids.append(x)
        y = r / (r + 1.0) * x + off
    liquids.append(liquid(column.pot, y))
    return liquids


def pot_at(column: Column, xd: float) -> float:
    """Ethanol in the pot by moles when the distillate is xd, 0..highest."""
    return steps(column, xd)[-1]


def distillate_at(column: Column, x: float) -> float:
    """Ethanol in the distillate by moles over a pot of x, 0..highest; steps turned round by halving."""
    if column.plates == 0:
        return vapour(column.table, x)
    low, high = x, column.highest
    for _ in range(STEPS):
        middle = 0.5 * (low + high)
        if pot_at(column, middle) < x:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


class Node(NamedTuple):
    """x in the pot, xd of the distillate, left: what is left in the pot over what was there, all by moles."""

    x: float
    xd: float
    left: float


def rayleigh(column: Column, x0: float, x_end: float, intervals: int = INTERVALS) -> list[Node]:
    """The pot from x0 down to x_end with nothing held on the plates.

    x0, x_end: ethanol by moles, 0 < x_end <= x0 < highest
    source:    Rayleigh: ln(W0/W) is the integral of dx/(xd - x); trapezoid, even in ln x, where it stays finite
    """
    step = math.log(x0 / x_end) / intervals
    nodes, ln_left, before = [], 0.0, 0.0
    for i in range(intervals + 1):
        x = x0 * math.exp(-step * i)
        xd = distillate_at(column, x)
        here = x / (xd - x)
        if i > 0:
            ln_left = ln_left - 0.5 * step * (before + here)
        before = here
        nodes.append(Node(x, xd, math.exp(ln_left)))
    return nodes
