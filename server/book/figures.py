"""Figures inside findings, written alike in both languages. static/book/figures.js is the twin."""

import math

from server.reckon.liquid import lpa_l


def one_decimal(value: float) -> str:
    """One decimal, half up, with a real minus: neither language's own rounding, since they differ on ties."""
    tenths = math.floor(abs(value) * 10.0 + 0.5)
    sign = "−" if value < 0 and tenths > 0 else ""
    return f"{sign}{tenths // 10}.{tenths % 10}"


def lpa_of(ethanol_mg: int) -> str:
    return one_decimal(lpa_l(ethanol_mg / 1e6))


def serials(entry: dict) -> str:
    device = entry.get("device")
    letters = device.split(".")[0] if isinstance(device, str) else "?"
    n = entry.get("n")
    return f"{letters}-{n if isinstance(n, int) and not isinstance(n, bool) else '?'}"
