"""Air through openings: against handbook formulas and printed examples."""

from __future__ import annotations

import math

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from casewright.behavior.air import (
    DISCHARGE,
    HEAT_OF_AIR,
    Blower,
    Opening,
    air_flow,
    density,
    root,
    vent_area,
)


@pytest.mark.parametrize(
    ("air_c", "printed"), [(20, 1.204), (25, 1.184), (30, 1.164), (35, 1.145), (40, 1.127)]
)
def test_density_is_that_of_the_property_table(air_c, printed):
    """Cengel, Heat transfer, table A-15, air at 1 atm, three decimals."""
    assert density(air_c) == pytest.approx(printed, abs=0.001)


def test_stack_flow_by_the_handbook_formula():
    """ASHRAE Handbook, Fundamentals (1997), ch. 25: Q = Cd × A × √(2 × g × ΔH × (Ti − To) ÷ Ti).

    ΔH is the height from the opening to the neutral level.

    50 cm² in and out, neutral level 0.2 m from either, 40 °C inside, 25 °C outside, Cd 0.65: 5.07 m³/h. The formula
    takes one density for both sides, which is 2 % here.
    """
    q = DISCHARGE * 0.005 * math.sqrt(2 * 9.81 * 0.2 * (313.15 - 298.15) / 313.15)
    assert q * 3600 == pytest.approx(5.072, abs=0.001)
    flow = air_flow([Opening("in", 0, 0.005), Opening("out", 0.4, 0.005)], [], 40, 25)
    assert flow.volume * 3600 == pytest.approx(5.072, rel=0.025)


def test_older_form_of_the_handbook():
    """The older form Q[cfm] = 9.4 × A[ft²] × √(h[ft] × ΔT[°F]), from a table page on flue effect.

    Its 9.4 stands for 65 % effectiveness of equal openings, h between them; seen to a few per cent.
    """
    area, height, warmer = 0.5, 3.0, 20.0
    cfm = 9.4 * area * math.sqrt(height * warmer)
    openings = [
        Opening("in", 0, area * 0.09290304),
        Opening("out", height * 0.3048, area * 0.09290304),
    ]
    flow = air_flow(openings, [], 20 + warmer / 1.8, 20)
    assert flow.volume / (0.3048**3) * 60 == pytest.approx(cfm, rel=0.05)


def test_area_asked_is_the_area_that_gives_the_flow():
    area = vent_area(0.002, 0.5, 45, 25)
    flow = air_flow([Opening("in", 0, area), Opening("out", 0.5, area)], [], 45, 25)
    assert flow.mass == pytest.approx(0.002, rel=1e-6)


def test_the_neutral_level_lies_nearer_to_the_larger_opening():
    """Mass in is mass out: with areas 1 to 2 the pressures are as 4 to 1 (densities apart)."""
    flow = air_flow([Opening("in", 0, 0.01), Opening("out", 1.0, 0.02)], [], 25.001, 25)
    slope = (density(25) - density(25.001)) * 9.80665
    expected = DISCHARGE * 0.01 * math.sqrt(2 * density(25) * slope * 0.8)
    assert flow.mass == pytest.approx(expected, rel=1e-3)


def test_a_fan_behind_a_vent_works_where_both_curves_meet():
    """Straight fan curve against √ of the opening: the crossing found by scipy."""
    free, most, area = 20 / 3600, 15.0, 0.0015
    blower = Blower("fan", 0.0, free, most)
    flow = air_flow([Opening("vent", 0.0, area)], [blower], 25, 25)

    def off(q: float) -> float:
        return most * (1 - q / free) - density(25) / 2 * (q / (DISCHARGE * area)) ** 2

    assert flow.volume == pytest.approx(brentq(off, 0, free), rel=1e-6)
    inward = air_flow(
        [Opening("vent", 0.0, area)], [Blower("fan", 0.0, free, most, outward=False)], 25, 25
    )
    assert inward.volume == pytest.approx(flow.volume, rel=1e-6)


def test_a_fan_with_a_wide_vent_moves_what_its_maker_says():
    flow = air_flow([Opening("vent", 0.0, 1.0)], [Blower("fan", 0.0, 0.01, 15)], 25, 25)
    assert flow.volume == pytest.approx(0.01, rel=1e-3)


def test_sixty_watts_and_ten_degrees():
    """Fan rule CFM = 1.757 × W ÷ ΔT (an electronics magazine's design idea, 2005): 10.5 cfm; exact 10.66."""
    volume = 60 / (density(25) * HEAT_OF_AIR * 10)
    cfm = volume * 60 / 0.3048**3
    assert cfm == pytest.approx(1.757 * 60 / 10, rel=0.015)
    assert cfm == pytest.approx(10.663, abs=0.005)


def test_nothing_moves_where_nothing_is_open_or_warmer():
    assert air_flow([], [], 40, 25).mass == 0
    assert air_flow([], [Blower("fan", 0, 0.01, 15)], 40, 25).mass == 0
    both = [Opening("in", 0, 0.005), Opening("out", 0.4, 0.005)]
    assert air_flow(both, [], 25, 25).mass == pytest.approx(0, abs=1e-9)


@given(
    st.lists(st.tuples(st.floats(0, 2), st.floats(1e-5, 0.05)), min_size=2, max_size=6),
    st.floats(26, 80),
)
def test_as_much_comes_in_as_goes_out_and_it_comes_in_below(spots, inside):
    openings = [Opening(str(n), z, a) for n, (z, a) in enumerate(spots)]
    flow = air_flow(openings, [], inside, 25)
    assert math.fsum(m for _, m in flow.out) == pytest.approx(0, abs=max(1e-6, 1e-3 * flow.mass))
    heights = {str(n): z for n, (z, _) in enumerate(spots)}
    ins = [heights[k] for k, m in flow.out if m < -1e-9]
    outs = [heights[k] for k, m in flow.out if m > 1e-9]
    assert not ins or not outs or max(ins) <= min(outs)


@given(st.floats(-5, 5), st.floats(0.1, 5))
def test_root_finds_what_scipy_finds(at, steep):
    def cubic(x: float) -> float:
        return steep * (x - at) ** 3 + 0.1 * (x - at)

    assert root(cubic, -10, 10) == pytest.approx(brentq(cubic, -10, 10), abs=1e-6)


def test_root_stays_at_an_end_it_need_not_leave():
    assert root(lambda x: x + 1, 0, 1) == 0
    assert root(lambda x: x - 2, 0, 1) == 1


# ---- against the library fluids, made apart from this one ----


@pytest.mark.parametrize("air_c", [0, 20, 35, 60])
def test_density_against_a_library(air_c):
    """fluids: ATMOSPHERE_1976.density, the U.S. Standard Atmosphere's gas law."""
    assert density(air_c) == pytest.approx(
        fluids.ATMOSPHERE_1976.density(air_c + 273.15, 101325.0), rel=2e-4
    )


@pytest.mark.parametrize(("warm_c", "rise", "area"), [(35, 0.2, 0.002), (40, 0.4, 0.005)])
def test_stack_flow_through_two_losses_in_series(warm_c, rise, area):
    """fluids: `dP_from_K` with K = 1 ÷ Cd² at inlet and outlet; both drops use up the column's lift."""
    cold, warm = (fluids.ATMOSPHERE_1976.density(c + 273.15, 101325.0) for c in (25, warm_c))
    lift = (cold - warm) * 9.80665 * rise

    def off(mass: float) -> float:
        drops = (fluids.dP_from_K(1 / 0.65**2, rho, mass / rho / area) for rho in (cold, warm))
        return sum(drops) - lift

    flow = air_flow([Opening("in", 0, area), Opening("out", rise, area)], [], warm_c, 25)
    assert flow.mass == pytest.approx(brentq(off, 1e-9, 1), rel=2e-3)


@pytest.mark.parametrize("share", [0.1, 0.2, 0.3])
def test_share_that_an_orifice_uses(share):
    """A vent is a hole in a board: between a thin sharp orifice and a short duct, both from fluids.

    ISO 5167's orifice with corner taps in a much wider pipe uses 0.60; a short duct with a sharp entrance (K 0.57) and
    a free exit (K 1) uses 1 ÷ √1.57 = 0.80.
    """
    mass = fluids.differential_pressure_meter_solver(
        D=1.0,
        D2=share,
        P1=101325.0,
        P2=101225.0,
        rho=1.184,
        mu=1.85e-5,
        k=1.4,
        meter_type="ISO 5167 orifice",
        taps="corner",
    )
    thin = mass / (math.pi * share**2 / 4 * math.sqrt(2 * 1.184 * 100))
    duct = 1 / math.sqrt(fluids.entrance_sharp() + fluids.exit_normal())
    assert 0.59 < thin < DISCHARGE < duct < 0.81
    # Nearer the thin one: a vent is not reckoned to carry more than a tenth more than that.
    assert thin >= DISCHARGE / 1.1
