"""How the invented stills behave: enough physics for readings that hang together, not a forecast.

Vapour over the kettle by modified Raoult's law with NRTL activity coefficients and Antoine pressures; the pot
strips by Rayleigh's equation; the column holds a plateau and falls off when the kettle runs weak. The column's
curve is invented; what binds it is the balance, because every litre drawn is taken out of the kettle.
"""

from dataclasses import dataclass
from math import exp, log

ETHANOL_KG_MOL = 0.046068
WATER_KG_MOL = 0.018015


def mole_fraction(mass_fraction: float) -> float:
    """Ethanol, mole per mole, of a liquid with that mass fraction 0..1."""
    ethanol, water = mass_fraction / ETHANOL_KG_MOL, (1 - mass_fraction) / WATER_KG_MOL
    return ethanol / (ethanol + water)


def mass_fraction(mole: float) -> float:
    """Ethanol, kg per kg, of a liquid with that mole fraction 0..1."""
    ethanol, water = mole * ETHANOL_KG_MOL, (1 - mole) * WATER_KG_MOL
    return ethanol / (ethanol + water)


def boil(x: float, pressure_kpa: float) -> tuple[float, float]:
    """Boiling point [°C] and vapour [mole fraction of ethanol] over a liquid of mole fraction x."""
    kelvin = 353.0
    for _ in range(12):
        tau12, tau21 = -0.8009 + 246.18 / kelvin, 3.4578 - 586.0809 / kelvin
        g12, g21 = exp(-0.3 * tau12), exp(-0.3 * tau21)
        z = 1 - x
        d1, d2 = x + z * g21, z + x * g12
        gamma1 = exp(z * z * (tau21 * (g21 / d1) ** 2 + tau12 * g12 / d2**2))
        gamma2 = exp(x * x * (tau12 * (g12 / d2) ** 2 + tau21 * g21 / d1**2))
        p1 = x * gamma1 * 10 ** (7.24677 - 1598.673 / (kelvin - 46.424))
        p2 = z * gamma2 * 10 ** (7.11785 - 1684.406 / (kelvin - 43.630))
        kelvin += log(pressure_kpa / (p1 + p2)) * kelvin * kelvin / 5000
    return kelvin - 273.15, p1 / (p1 + p2)


@dataclass
class Kettle:
    """What boils: masses in kg, drawn down drop by drop."""

    liquid_kg: float
    ethanol_kg: float
    pressure_kpa: float = 101.0

    @property
    def fraction(self) -> float:
        return self.ethanol_kg / self.liquid_kg

    def temperature_c(self) -> float:
        return boil(mole_fraction(self.fraction), self.pressure_kpa)[0]

    def vapour(self) -> float:
        """Mass fraction of the vapour that leaves the kettle."""
        return mass_fraction(boil(mole_fraction(self.fraction), self.pressure_kpa)[1])

    def draw(self, mass_kg: float, strength: float) -> tuple[float, float]:
        """Take that mass at that mass fraction away; what really left (liquid, ethanol), never more than there is."""
        ethanol = min(mass_kg * strength, self.ethanol_kg * 0.6)
        self.liquid_kg -= mass_kg
        self.ethanol_kg -= ethanol
        return mass_kg, ethanol


def plateau(kettle: Kettle, plates: int, best: float) -> float:
    """Mass fraction at the parrot of a column run at steady reflux: `best` until the kettle is too weak to feed it."""
    mole = mole_fraction(kettle.fraction)
    y = mole
    for _ in range(plates):
        y = boil(y, kettle.pressure_kpa)[1]
    rich = mass_fraction(y)
    pinch = 1 - exp(-kettle.fraction / 0.006)
    return min(best, rich) * pinch + kettle.vapour() * (1 - pinch)
