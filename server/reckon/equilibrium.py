"""Vapour over liquid as a table, and liquid under vapour as another: what columns look up thousands of times."""

import functools
import math
from collections.abc import Callable
from typing import NamedTuple

from server.reckon.vle import bubble

NODES = 2000  # even in the square root of x, where the curve is steep at the weak end
WARM_PASSES = 6


def tabulate(volatility: Callable[[float], float]) -> list[float]:
    """Volatility y/x at NODES + 1 shares of ethanol x, 0..1, even in the square root of x; all of them positive."""
    return [volatility(i / NODES * (i / NODES)) for i in range(NODES + 1)]


@functools.lru_cache(maxsize=4)
def at_pressure(kpa: float) -> list[float]:
    """The table of ethanol and water at a pressure [kPa], 30..105; each boiling point starts from its neighbour's."""
    last_k = bubble(0.0, kpa)[0]

    def volatility(x: float) -> float:
        nonlocal last_k
        last_k, k = bubble(x, kpa, last_k, WARM_PASSES)
        return k

    return tabulate(volatility)


def volatility_at(table: list[float], x: float) -> float:
    """Ethanol in the vapour over ethanol in the liquid x, by moles, 0..1; within 1e-6 of the table's formula."""
    at = math.sqrt(x) * NODES
    i = int(at) if at < NODES else NODES - 1
    return table[i] + (at - i) * (table[i + 1] - table[i])


def vapour(table: list[float], x: float) -> float:
    """Ethanol in the vapour over a liquid of x, both by moles, 0..1."""
    return x * volatility_at(table, x)


class Inverse(NamedTuple):
    """x over h at NODES + 1 values of h, even in its square root, up to highest; see inverse."""

    highest: float
    ratio: list[float]


def inverse(table: list[float], a: float, b: float) -> Inverse:
    """The rising function h(x) = a x + b y(x) turned round: a, b >= 0 and not both 0."""
    h = [(a + b * table[i]) * (i / NODES) * (i / NODES) for i in range(NODES + 1)]
    ratio, j = [1.0 / (a + b * table[0])], 0
    for i in range(1, NODES + 1):
        target = i / NODES * (i / NODES) * h[NODES]
        while j < NODES - 1 and h[j + 1] < target:
            j += 1
        low, high = j / NODES * (j / NODES), (j + 1) / NODES * ((j + 1) / NODES)
        x = low + (high - low) * ((target - h[j]) / (h[j + 1] - h[j]))
        ratio.append(x / target)
    return Inverse(h[NODES], ratio)


def liquid(turned: Inverse, h: float) -> float:
    """The x at which a x + b y(x) is h; h from 0 to the highest."""
    at = math.sqrt(h / turned.highest) * NODES
    i = int(at) if at < NODES else NODES - 1
    return h * (turned.ratio[i] + (at - i) * (turned.ratio[i + 1] - turned.ratio[i]))


def azeotrope(table: list[float]) -> float:
    """The share of ethanol at which vapour and liquid are alike, above 0.5; 1 where there is none."""
    i = int(math.sqrt(0.5) * NODES)
    while i < NODES and table[i + 1] > 1.0:
        i += 1
    if i >= NODES:
        return 1.0
    s = (i + (table[i] - 1.0) / (table[i] - table[i + 1])) / NODES
    return s * s
