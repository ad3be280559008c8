"""Density of ethanol-water mixtures by the general formula of OIML R 22, its inverses, and water alone to 100 °C."""

from collections.abc import Callable

from server.reckon.tables import R22

_A, _B, _C = (tuple(float(x) for x in R22[k]) if k != "C" else R22[k] for k in "ABC")
_WATER_A = R22["water"]["a"]
_WATER_B = R22["water"]["b"]
WATER_FROM_C = R22["water"]["used_above_c"]

STEPS = 60  # halvings of [0, 1]: the last is 2^-60, far below what a double can tell near 1
SIXTY_F_C = 140.0 / 9.0  # 60 °F
END_KG_M3 = 0.01  # a density is read to 0.01 kg/m3; so little beyond pure water or pure ethanol is that liquid


def coefficients(t: float) -> list[float]:
    """The formula at one temperature as a polynomial in p, lowest power first.

    t:       temperature [°C], -20..40 (not checked here)
    returns: 12 coefficients [kg/m3]
    source:  OIML R 22 (1975), general formula; Horner in s = t - 20
    """
    s = t - 20.0
    b = _B[5]
    for k in (4, 3, 2, 1, 0):
        b = b * s + _B[k]
    a = [_A[0] + b * s]
    for k in range(11):
        c = 0.0
        for i in (4, 3, 2, 1, 0):
            if k < len(_C[i]):
                c = (c + _C[i][k]) * s
        a.append(_A[k + 1] + c)
    return a


def horner(a: list[float], p: float) -> float:
    """The polynomial a at p; the bare evaluation that everything here rests on."""
    rho = a[11]
    for k in (10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0):
        rho = rho * p + a[k]
    return rho


AT_20C = coefficients(20.0)
AT_60F = coefficients(SIXTY_F_C)
WATER_20C = horner(AT_20C, 0.0)
ETHANOL_20C = horner(AT_20C, 1.0)
ETHANOL_60F = horner(AT_60F, 1.0)


def water_density(t: float) -> float:
    """Density of water alone.

    t:       temperature [°C], 0..100 (not checked here)
    returns: density in vacuum [kg/m3]
    source:  OIML R 22 to 40 °C, Kell (1975) above; at 40 °C Kell is 0.0023 kg/m3 higher, which is 2 parts in a million
    """
    if t <= WATER_FROM_C:
        return horner(coefficients(t), 0.0)
    a = _WATER_A[5]
    for k in (4, 3, 2, 1, 0):
        a = a * t + _WATER_A[k]
    return a / (1.0 + _WATER_B * t)


def density(p: float, t: float) -> float:
    """Density of a mixture.

    p:       ethanol by mass [kg/kg], 0..1; 0 is water alone
    t:       temperature [°C], -20..40; water alone 0..100 (not checked here)
    returns: density in vacuum [kg/m3]
    """
    return water_density(t) if p == 0.0 else horner(coefficients(t), p)


def solve(rising: Callable[[float], float], target: float) -> float:
    """The p in [0, 1] at which a rising function meets its target, by a fixed count of halvings."""
    low, high = 0.0, 1.0
    for _ in range(STEPS):
        middle = 0.5 * (low + high)
        if rising(middle) < target:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def fraction_at_density(a: list[float], rho: float) -> float | None:
    """Mass fraction from a density at the temperature of the coefficients a.

    a:       12 coefficients as `coefficients` gives them
    rho:     density in vacuum [kg/m3]
    returns: p [kg/kg] 0..1, or None where no mixture has that density
    source:  inverse of OIML R 22, which falls all the way with p
    """
    water, ethanol = horner(a, 0.0), horner(a, 1.0)
    if not ethanol - END_KG_M3 <= rho <= water + END_KG_M3:
        return None
    if rho >= water:
        return 0.0
    if rho <= ethanol:
        return 1.0
    return solve(lambda p: -horner(a, p), -rho)


def fraction_at_abv(abv_pct: float) -> float:
    """Mass fraction from % vol at 20 °C, 0..100: p rho(p, 20) is q of pure ethanol's density."""
    return _fraction_at_volume(AT_20C, abv_pct / 100.0)


def fraction_at_proof(proof: float) -> float:
    """Mass fraction from US proof, 0..200, which is twice the % vol at 60 °F."""
    return _fraction_at_volume(AT_60F, proof / 200.0)


def _fraction_at_volume(a: list[float], q: float) -> float:
    if q <= 0.0:
        return 0.0
    if q >= 1.0:
        return 1.0
    return solve(lambda p: p * horner(a, p), q * horner(a, 1.0))
