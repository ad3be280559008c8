"""The textbooks' own equilibria, as tables that columns can look up: their answers were worked with these."""

import csv
import functools
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

from server.reckon.equilibrium import tabulate


@functools.cache
def points() -> tuple[tuple[float, float], ...]:
    """Perry's table at 760 mmHg, with water alone put before it and its azeotrope the last."""
    with Path(__file__).with_name("vle_ethanol_water.csv").open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["set"] == "Perry_101.325"]
    return ((0.0, 0.0), *sorted((float(row["x_ethanol_mol"]), float(row["y_ethanol_mol"])) for row in rows))


@functools.cache
def perry_lines() -> list[float]:
    """Straight from point to point, as the handbook's own example reads its table."""
    return tabulate(lambda x: _volatility(x, _on_line))


@functools.cache
def perry_curve() -> list[float]:
    """A monotone cubic through the points (Fritsch and Carlson, three-point slopes), as a smooth hand draws it."""
    return tabulate(lambda x: _volatility(x, _on_curve))


def constant_alpha(alpha: float) -> list[float]:
    return tabulate(lambda x: alpha / (1 + (alpha - 1) * x))


def _volatility(x: float, vapour: Callable[[float], float]) -> float:
    """y over x; beyond the azeotrope, where nothing is asked, a little under 1."""
    if x > points()[-1][0]:
        return 1.0 - 0.01 * (x - points()[-1][0])
    return vapour(x) / x if x > 0 else vapour(1e-9) / 1e-9


def _interval(x: float) -> int:
    return max(i for i, (start, _) in enumerate(points()[:-1]) if start <= x)


def _on_line(x: float) -> float:
    i = _interval(x)
    (x0, y0), (x1, y1) = points()[i : i + 2]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


@functools.cache
def _slopes() -> list[float]:
    widths = [b[0] - a[0] for a, b in pairwise(points())]
    rises = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(points())]
    inner = []
    for (h0, d0), (h1, d1) in pairwise(zip(widths, rises, strict=True)):
        w0, w1 = 2 * h1 + h0, h1 + 2 * h0
        inner.append((w0 + w1) / (w0 / d0 + w1 / d1))
    return [_end(*widths[:2], *rises[:2]), *inner, _end(*widths[:-3:-1], *rises[:-3:-1])]


def _end(h0: float, h1: float, d0: float, d1: float) -> float:
    slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    return min(max(slope, 0.0), 3 * d0)


def _on_curve(x: float) -> float:
    i = _interval(x)
    (x0, y0), (x1, y1) = points()[i : i + 2]
    h, s = x1 - x0, (x - x0) / (x1 - x0)
    m0, m1 = _slopes()[i] * h, _slopes()[i + 1] * h
    return (1 + 2 * s) * (1 - s) ** 2 * y0 + s * (1 - s) ** 2 * m0 + s * s * (3 - 2 * s) * y1 + s * s * (s - 1) * m1
