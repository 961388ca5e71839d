"""Wire against printed tables, and its drop against worked examples."""

from __future__ import annotations

import math

import numpy as np
import pytest

from casewright.behavior.light_strip import joint_count, strip_drop, strip_ohms
from casewright.behavior.wires import FUSES, WIRES, awg_diameter, awg_wire, fuse_for, wire_for
from casewright.catalog.kinds import Strip

# Wire resistance table of a cable-test maker (values as in ASTM B258): gauge, diameter, area, ohm per 1000 ft.
AWG = [
    (14, 1.628, 2.0809, 2.525),
    (16, 1.291, 1.3087, 4.016),
    (18, 1.024, 0.823, 6.385),
    (20, 0.812, 0.5176, 10.15),
    (22, 0.644, 0.3255, 16.14),
    (24, 0.511, 0.2047, 25.67),
]


@pytest.mark.parametrize(("gauge", "diameter", "area", "ohms"), AWG)
def test_awg_sizes(gauge, diameter, area, ohms):
    wire = awg_wire(gauge)
    assert awg_diameter(gauge) == pytest.approx(diameter, abs=0.001)
    assert wire.area == pytest.approx(area, rel=0.001)
    assert wire.ohms_per_km * 0.3048 == pytest.approx(ohms, rel=0.003)


def test_flexible_wire_is_the_standards():
    """IEC 60228, class 5: largest resistance at 20 °C, as reprinted in a cable maker's conductor tables. [Ω/km]"""
    printed = {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.3}
    ours = {wire.area: wire.ohms_per_km for wire in WIRES["mm2"]}
    assert {area: ours[area] for area in printed} == printed
    assert ours[0.25] == pytest.approx(79, rel=0.02)  # the German national part of it, from memory


def test_worked_drops():
    """5 V, 3 A over 1 m (2 m there and back) of 20 AWG: 0.1998 V; 4 A over 2.5 m of 0.75 mm²: 0.52 V. V = 2 L I R."""
    assert awg_wire(20).drop(1000, 3) == pytest.approx(0.1998, abs=0.0003)
    wire = next(w for w in WIRES["mm2"] if w.area == 0.75)
    assert wire.drop(2500, 4) == pytest.approx(0.52)


@pytest.mark.parametrize(
    ("gauge", "in_air", "at_700_mils"),
    [(16, 22, 3.7), (18, 16, 2.3), (20, 11, 1.5), (22, 7, 0.92), (24, 3.5, 0.577)],
)
def test_currents_lie_between_both_columns_of_the_handbook(gauge, in_air, at_700_mils):
    """Handbook of Electronic Tables and Formulas for AWG: single wire in air, and 700 circular mils for an ampere.

    22 AWG is below the appliance standard's 0.5 mm², so that it carries no more than 24 AWG does.
    """
    carries = awg_wire(gauge).carries
    assert carries < in_air
    assert carries >= (0.577 if gauge == 22 else at_700_mils)


def test_a_fuse_is_a_quarter_over_and_its_wire_carries_it():
    for amps in np.linspace(0.1, 20, 60):
        fuse = fuse_for(float(amps))
        assert fuse in FUSES and fuse >= 1.25 * amps - 1e-9
        assert all(smaller < 1.25 * amps for smaller in FUSES if smaller < fuse)
        for system in ("mm2", "awg"):
            wire = wire_for(float(amps), 500, 1.0, system, fuse=fuse)
            assert wire is not None and wire.carries >= fuse
    assert math.isinf(fuse_for(25))


def test_a_longer_way_asks_for_thicker_wire_until_there_is_none():
    areas = [wire_for(4, length, 0.36, "mm2", fuse=5) for length in (200, 1500, 4000, 9000)]
    assert [wire and wire.area for wire in areas] == [0.75, 0.75, 2.5, 4.0]
    assert wire_for(4, 90_000, 0.36, "mm2", fuse=5) is None


@pytest.mark.parametrize("feed", ["one end", "both ends", "middle"])
def test_drop_of_a_strip_against_a_ladder(feed):
    """The strip as a ladder of 400 resistors with a lamp's current at each node, solved as linear equations."""
    metres, amps, ohms, count = 2.4, 3.0, 0.28, 400
    step = ohms * metres / count
    current = amps / count
    # Nodes 0..count; Kirchhoff: the sum of what flows in equals the lamp's current.
    matrix = np.zeros((count + 1, count + 1))
    drawn = np.full(count + 1, -current)
    drawn[[0, -1]] /= 2
    for node in range(count):
        matrix[node, node] -= 1 / step
        matrix[node + 1, node + 1] -= 1 / step
        matrix[node, node + 1] += 1 / step
        matrix[node + 1, node] += 1 / step
    volts = 12.0
    held = {"one end": [0], "both ends": [0, count], "middle": [count // 2]}[feed]
    for node in held:
        matrix[node, :] = 0
        matrix[node, node], drawn[node] = 1, volts
    # In `matrix @ v = drawn`, free nodes lose what their lamp draws.
    free = [n for n in range(count + 1) if n not in held]
    drawn[free] = -drawn[free]
    lost = volts - np.linalg.solve(matrix, drawn).min()
    assert strip_drop(metres, amps, ohms, feed) == pytest.approx(lost, rel=0.01)


def test_both_ends_lose_a_quarter_of_one_end():
    one, both = (strip_drop(5, 4, 0.28, feed) for feed in ("one end", "both ends"))
    assert both == pytest.approx(one / 4)
    assert strip_drop(0, 0, 0.28, "one end") == 0


def test_resistance_of_a_strip():
    """Plain arithmetic: 35 µm × 3.5 mm of copper is 0.1225 mm², 0.1407 Ω/m, twice for both rails."""
    assert strip_ohms(Strip(width=10)) == pytest.approx(2 * 0.017241 / 0.1225, rel=1e-3)
    assert strip_ohms(Strip(width=10, ohms_per_m=0.11)) == 0.11


def test_soldered_ends():
    """Counted on paper: feed 2; a bridge of 2 wires has 4 ends."""
    assert joint_count(1, 2, "one end") == 2
    assert joint_count(2, 2, "one end") == 6
    assert joint_count(2, 3, "both ends") == 12
