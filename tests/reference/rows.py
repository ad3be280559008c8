"""Reading the reference rows: printed and library values, each with its own tolerance and source."""

import csv
import json
from collections.abc import Callable
from pathlib import Path

from server.reckon import reckon

LB_KG = 0.45359237  # definition
GAL_L = 3.785411784  # definition: 231 cubic inches


class Row:
    """One row of a reference file: kind, inputs, value, unit, tolerance, source."""

    def __init__(self, at: int, row: dict) -> None:
        self.kind, self.unit, self.source = row["kind"], row["unit"], row["source"]
        self.inputs: dict = json.loads(row["inputs"])
        self.value, self.tolerance = float(row["value"]), float(row["tolerance"])
        self.id = f"line{at}-{self.kind}"

    def name(self) -> str:
        """The kind, with the result asked for where the row names one."""
        return f"{self.kind}.{self.inputs['result']}" if "result" in self.inputs else self.kind

    def holds(self, found: float) -> None:
        against = f"{found} {self.unit} against {self.value} ± {self.tolerance}"
        told = f"{self.name()} {self.inputs}: {against}; {self.source}"
        # A row printed without any tolerance is a definition: its own last digit is all that may differ.
        assert abs(found - self.value) <= (self.tolerance or abs(self.value) * 1e-15), told


def rows_of(name: str) -> list[Row]:
    with (Path(__file__).parent / name).open(newline="", encoding="utf-8") as file:
        return [Row(at, row) for at, row in enumerate(csv.DictReader(file), start=2)]


def expressed(rows: list[Row], expressions: dict[str, Callable]) -> list[Row]:
    return [row for row in rows if row.name() in expressions]


def ask(want: str, **given) -> dict:
    """An answer of the reckoning; a refusal fails the test with its own words."""
    answer = reckon({"want": want, **given})
    assert "error" not in answer, answer["error"]["say"]
    return answer


def celsius(f: float) -> float:
    return (f - 32) * 5 / 9


def rho(t: float, **strength) -> float:
    """Density in vacuum at t °C."""
    return ask("density", temperature_c=t, **strength)["density_kg_m3"]


def mass_pct_at(vol_pct: float, t: float) -> float:
    """% mass of a liquid of % vol at another temperature than 20 °C, found by halving over densities."""
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = (low + high) / 2
        if middle * rho(t, mass_pct=middle) / rho(t, mass_pct=100) < vol_pct:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def strength_of(inputs: dict) -> dict:
    """A row's strength in the contract's keys: % mass, % vol at 20 °C, 60 °F (twice that is proof) or elsewhere."""
    if "mass_pct" in inputs:
        return {"mass_pct": inputs["mass_pct"]}
    if inputs.get("t_ref_f", inputs.get("t_f")) == 60:
        return {"proof": 2 * inputs["vol_pct"]}
    return {"mass_pct": mass_pct_at(inputs["vol_pct"], inputs["t_ref_c"])}
