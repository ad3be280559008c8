"""Columns against worked problems of textbooks, with the equilibria that those used, row by row."""

from itertools import pairwise

import pytest
from reference.distillation.textbook import constant_alpha, perry_curve, perry_lines
from reference.rows import ask, expressed, rows_of

from server.reckon.column import Column, column_of, distillate_at, pot_at, rayleigh
from server.reckon.equilibrium import at_pressure
from server.reckon.ladder import Flows, count, least_reflux
from server.reckon.vle import ETHANOL_KG_KMOL, WATER_KG_KMOL, mole_of

ROWS = rows_of("distillation/checks.csv")


def column(i: dict, reflux: float | None = None) -> Column:
    """The problem's column: its steps count the still."""
    return column_of(perry_curve(), i["equilibrium_steps_incl_still"] - 1, 1.0, i["R"] if reflux is None else reflux)


def simple(i: dict) -> Column:
    table = constant_alpha(i["alpha"]) if i["vle"] == "constant_alpha" else perry_lines()
    return column_of(table, 0, 1.0, 0.0)


def left(i: dict) -> float:
    """What is left in the pot over what was there."""
    still = column(i) if "R" in i else simple(i)
    return rayleigh(still, i["xF"], i["x_final"])[-1].left


def rayleigh_integral(i: dict) -> float:
    nodes = rayleigh(column(i) if "R" in i else simple(i), i["xF"], i["x_final"])
    return sum((a.x - b.x) * (1 / (a.xd - a.x) + 1 / (b.xd - b.x)) / 2 for a, b in pairwise(nodes))


def average(i: dict) -> float:
    return (i["xF"] - left(i) * i["x_final"]) / (1 - left(i))


def reflux_for(i: dict, x_pot: float) -> float:
    """The reflux that keeps the distillate over a pot of that strength, by halving."""
    low, high, still = 0.0, 20.0, column(i, 1.0)
    for _ in range(30):
        middle = (low + high) / 2
        if pot_at(still._replace(reflux=middle), i["xD"]) > x_pot:  # ideal plates: their look-up knows no reflux
            low = middle
        else:
            high = middle
    return low


def taken_off(i: dict, x_pot: float) -> float:
    """Distillate of constant strength, by balance."""
    return i["F_kmol"] * (i["xF"] - x_pot) / (i["xD"] - x_pot)


def integral_r_dd(i: dict, slices: int = 40) -> float:
    """Reflux times distillate, summed over the batch while the reflux rises."""
    last = pot_at(column(i, i["R_final"]), i["xD"])
    pots = [i["xF"] - (i["xF"] - last) * k / slices for k in range(slices + 1)]
    points = [(taken_off(i, x), reflux_for(i, x)) for x in pots]
    return sum((d1 - d0) * (r0 + r1) / 2 for (d0, r0), (d1, r1) in pairwise(points))


def open_steam(i: dict) -> dict:
    given = {"feed_mole_pct": 100 * i["xF"], "distillate_mole_pct": 100 * i["xD"], "recovery_pct": 100 * i["recovery"]}
    return ask("ladder", reflux=i["R"], feed_liquid=i["q"], open_steam=True, **given)


def open_steam_stages(i: dict) -> float:
    """The same balance on the textbook's own equilibrium."""
    found = open_steam(i)
    d, b, v = (found[key] for key in ("distillate_per_feed", "bottoms_per_feed", "vapour_per_feed"))
    flows = Flows(d, i["R"] * d + 1, v, b, found["bottoms_mole_pct"] / 100)
    return count(perry_curve(), i["xD"], i["R"], flows.xb, flows)[0]


def least_lv(i: dict) -> float:
    least = least_reflux(perry_curve(), i["xF"], i["xD"], i["q"])
    return least / (least + 1)


def rates(i: dict) -> tuple[float, float]:
    """Distillate and bottoms in kg/h of a column whose streams are told by mass."""
    feed, top, bottom = (mole_of(i[key]) for key in ("wF", "wD", "wB"))
    found = ask(
        "ladder", feed_mole_pct=100 * feed, distillate_mole_pct=100 * top, bottoms_mole_pct=100 * bottom, reflux=20
    )
    kmol_h = i["F_kg_h"] / molar_mass(feed)
    d, b = found["distillate_per_feed"], found["bottoms_per_feed"]
    return kmol_h * d * molar_mass(top), kmol_h * b * molar_mass(bottom)


def molar_mass(x: float) -> float:
    return x * ETHANOL_KG_KMOL + (1 - x) * WATER_KG_KMOL


EXPRESSED = {
    "rayleigh_integral": rayleigh_integral,
    "rayleigh_D": lambda i: i["F_mol"] * (1 - left(i)),
    "rayleigh_W": lambda i: i["F_mol"] * left(i),
    "rayleigh_xD_avg": average,
    "reflux_for_pot_x": lambda i: reflux_for(i, i["x_pot"]),
    "pot_x_at_reflux": lambda i: pot_at(column(i), i["xD"]),
    "distillate_kmol": lambda i: taken_off(i, pot_at(column(i, i["R_final"]), i["xD"])),
    "integral_R_dD": integral_r_dd,
    "xD_for_pot_x": lambda i: distillate_at(column(i), i["x_pot"]),
    "charge_ratio_F_over_W": lambda i: 1 / left(i),
    "open_steam_rate": lambda i: i["F_kmol_h"] * open_steam(i)["vapour_per_feed"],
    "bottoms_x": lambda i: open_steam(i)["bottoms_mole_pct"] / 100,
    "LV_min": least_lv,
    "stages_open_steam": open_steam_stages,
    "distillate_rate": lambda i: rates(i)[0],
    "bottoms_rate": lambda i: rates(i)[1],
}


@pytest.mark.parametrize("row", expressed(ROWS, EXPRESSED), ids=lambda row: row.id)
def test_agrees_with_the_worked_problem(row):
    row.holds(EXPRESSED[row.name()](row.inputs))


@pytest.mark.parametrize("stages", [1, 3, 6])
def test_the_ladder_counts_what_the_column_has(stages):
    """The pot that a column of so many plates gives is reached in so many stages: two functions, one curve."""
    feed = pot_at(column_of(at_pressure(101.325), stages - 1, 1.0, 3.0), 0.7)
    found = ask("ladder", feed_mole_pct=100 * feed, distillate_mole_pct=70, reflux=3)
    assert found["stages"] == pytest.approx(stages, abs=1e-6)
