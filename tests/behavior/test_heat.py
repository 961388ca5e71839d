"""Air inside: against hand computations by ISO 6946 and a model of natural convection made apart."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import ht
import numpy as np
import pytest
from scipy.optimize import brentq
from tests.checks.bench import box, cures, device, found, merged, subject_of

from casewright.behavior.air import DISCHARGE, Opening
from casewright.behavior.heat import FAN_SHARE, Heat, steady
from casewright.catalog.load import load_catalog
from casewright.checks.rules import heat_air, heat_vent

FEET = {
    "type": "foot-rubber-30",
    "placed": [
        {"key": f"foot{n}", "on": "base", "u": u, "v": v}
        for n, (u, v) in enumerate([(40, 30), (530, 30), (40, 260), (530, 260)])
    ],
}
VENTS = {
    "kind": "vent",
    "measured": {"slot_length": 80, "slot_width": 6, "count": 2, "pitch": 12},
    "placed": [
        {"key": "low", "on": "back", "u": 280, "v": 50},
        {"key": "high", "on": "back", "u": 280, "v": 135},
    ],
}
FAN = {
    "kind": "fan",
    "measured": {
        "size": 60,
        "thickness": 15,
        "opening": 56,
        "pitch": 50,
        "flow_m3h": 20,
        "mass_kg": 0.05,
    },
    "placed": [{"key": "fan", "on": "back", "u": 120, "v": 120}],
}


def warm(watts: float, **sections) -> dict:
    """The box with a device of this usual power, on feet."""
    one = device("board", 200, typical_w=watts)
    more = sections.pop("parts", {})
    return box(parts={"board": one, "feet": FEET, **more}, site={"on": "table"}, **sections)


def heat(data) -> Heat:
    behavior = subject_of(data).behavior
    assert behavior is not None
    return behavior.heat


def test_a_wall_of_18_mm_mdf_and_a_sealed_box():
    """ISO 6946 resistances, k 0.14 from the panel industry's range: U 2.5735 W/(m²K); 20 W, 0.8 m²: 9.714 K."""
    assert pytest.approx(2.5735, abs=1e-4) == 1 / (0.13 + 0.018 / 0.14 + 0.13)
    air, flow = steady(20, 0.8 * 2.5735, (), (), 25)
    assert air - 25 == pytest.approx(9.714, abs=0.001)
    assert flow.mass == 0


def test_the_box_loses_what_its_walls_add_up_to():
    """Inside 576 × 276 × 176 of 12 mm birch plywood, k 0.15: six faces by ISO 6946, by hand."""
    board = 0.012 / 0.15
    sides = 2 * 0.276 * 0.176 / (board + 0.26)
    upright = 2 * 0.576 * 0.176 / (board + 0.26)
    top = 0.576 * 0.276 / (board + 0.20)
    bottom = 0.576 * 0.276 / (board + 0.34)
    found_ = heat(warm(30))
    assert found_.loss_w_k == pytest.approx(sides + upright + top + bottom, rel=1e-3)
    assert found_.closed_c == pytest.approx(25 + 30 / found_.loss_w_k)
    assert found_.inside.volume == pytest.approx(576 * 276 * 176, rel=1e-4)


def test_films_of_the_standard_are_on_the_warm_side_of_natural_convection():
    """The same closed box with Churchill and Chu's correlation on upright plates, 0.54 and 0.27 Ra^¼ on level ones.

    Convection outside and inside, radiation with emissivity 0.9; properties of air at 30 °C from Cengel's table A-15.
    The correlation reproduces Cengel's printed solution 9-19E (Ra 5.503e8, Nu 102.6).
    """

    def churchill_chu(ra: float, pr: float) -> float:
        return (0.825 + 0.387 * ra ** (1 / 6) / (1 + (0.492 / pr) ** (9 / 16)) ** (8 / 27)) ** 2

    assert churchill_chu(5.503e8, 0.7256) == pytest.approx(102.6, abs=0.1)
    k, nu, pr = 0.02588, 1.608e-5, 0.7282

    def film(way: str, length: float, difference: float) -> float:
        ra = 9.81 / 303.15 * max(difference, 1e-6) * length**3 / nu**2 * pr
        nusselt = {
            "level": churchill_chu(ra, pr),
            "up": 0.54 * ra**0.25,
            "down": 0.27 * ra**0.25,
        }[way]
        return nusselt * k / length + 4 * 0.9 * 5.670374e-8 * 303.15**3

    def through(way: str, area: float, length: float, rise: float) -> float:
        """Heat through one wall: the drops over both films and the board add up to the rise."""

        def left(flux: float) -> float:
            inner = brentq(lambda d: film(way, length, d) * d - flux, 0, 1000)
            return rise - 2 * inner - flux * 0.012 / 0.15

        return area * brentq(left, 1e-6, rise * 12)

    def loss(rise: float) -> float:
        level = 0.576 * 0.276
        plate = level / (2 * (0.576 + 0.276))
        return (
            2 * through("level", 0.276 * 0.176, 0.176, rise)
            + 2 * through("level", 0.576 * 0.176, 0.176, rise)
            + through("up", level, plate, rise)
            + through("down", level, plate, rise)
        )

    real = brentq(lambda rise: loss(rise) - 30, 1, 60)
    ours = heat(warm(30)).closed_c - 25
    assert real <= ours <= 1.35 * real


@pytest.mark.parametrize("watts", [15, 30, 60])
def test_the_closed_box_against_a_library_of_heat_transfer(watts):
    """ht: `Nu_free_vertical_plate`, `Nu_free_horizontal_plate` and `q_rad`; the same box, 576 × 276 × 176 inside.

    Every wall is a chain: film inside, 12 mm of board, film outside. Films are those of the library at each wall's own
    difference, radiation at emissivity 0.9 against the room outside and against the air's temperature inside. The
    standard's fixed films are on the warm side by at most a third.
    """
    nu, pr, k = 1.608e-5, 0.7282, 0.02588  # air at 30 °C: Cengel, table A-15

    def flux(way: str, length: float, warm: float, cold: float) -> float:
        """Through one film. [W/m²]"""
        gr = 9.81 / (273.15 + (warm + cold) / 2) * (warm - cold) * length**3 / nu**2
        if way == "level":
            nusselt = ht.Nu_free_vertical_plate(pr, gr, buoyancy=True)
        else:
            nusselt = ht.Nu_free_horizontal_plate(pr, gr, buoyancy=way == "up", L=length, W=length)
        radiated = ht.q_rad(0.9, warm + 273.15, cold + 273.15)
        return nusselt * k / length * (warm - cold) + radiated

    def wall(way: str, length: float, air: float) -> float:
        """Flux from the air inside to a room of 25 °C. [W/m²]"""

        def off(outside: float) -> float:
            q = flux(way, length, outside, 25)
            inside = outside + q * 0.012 / 0.15
            return q - flux(way, length, air, inside) if inside < air else q

        return flux(way, length, brentq(off, 25 + 1e-9, air), 25)

    def loss(air: float) -> float:
        level = 0.576 * 0.276
        length = level / (2 * (0.576 + 0.276))  # of level plates: area over rim
        upright = 2 * (0.276 + 0.576) * 0.176
        return upright * wall("level", 0.176, air) + level * (
            wall("up", length, air) + wall("down", length, air)
        )

    real = brentq(lambda air: loss(air) - watts, 26, 120) - 25
    ours = heat(warm(watts)).closed_c - 25
    assert real <= ours <= 4 / 3 * real


@pytest.mark.parametrize(
    ("species", "table"),
    [
        ("plywood-birch", "Wood, plywood {} kg/m^3"),
        ("plywood-softwood", "Wood, plywood {} kg/m^3"),
        ("plywood-poplar", "Wood, plywood {} kg/m^3"),
        ("plywood-hardwood", "Wood, plywood {} kg/m^3"),
        ("mdf", "Wood, fibreboard, {} kg/m^3"),
        ("particleboard", "Wood, particleboard, {} kg/m^3"),
    ],
)
def test_conductivity_of_boards_against_the_building_standard(species, table):
    """ISO 10456's design values, as ht's `k_material` has them, between two of its densities.

    They are for boards at 50 % of damp; dry ones carry a little less. Ours are never over them, so that no box is
    reckoned cooler for it, and not more than a quarter under.
    """
    known = load_catalog().species[species]
    densities = {"ply": (300, 500, 700, 1000), "mdf": (250, 400, 600, 800)}.get(
        species[:3], (300, 600, 900)
    )
    values = [ht.k_material(table.format(d)) for d in densities]
    design = float(np.interp(known.density, densities, values))
    assert 0.75 * design <= known.conductivity <= design


def test_vents_carry_what_the_walls_do_not():
    """The balance holds: power = rise × (walls + air × 1007), and it is cooler than shut, warmer than the room."""
    found_ = heat(warm(60, parts={"vents": VENTS}))
    rise = found_.air_c - 25
    assert pytest.approx(rise * (found_.loss_w_k + found_.flow.mass * 1007), rel=1e-6) == 60
    assert 25 < found_.air_c < found_.closed_c
    mass = {key: m for key, m in found_.flow.out}
    assert mass["low|low"] < 0 < mass["high|high"]


def test_more_vent_is_cooler_and_more_power_is_warmer():
    airs = [
        heat(warm(60, parts={"vents": merged(VENTS, {"measured": {"count": n}})})).air_c
        for n in (1, 2, 3, 4)
    ]
    assert airs == sorted(airs, reverse=True)
    powers = [heat(warm(watts, parts={"vents": VENTS})).air_c for watts in (0, 10, 40, 400)]
    assert powers == sorted(powers)
    assert powers[0] == 25


def test_a_fan_cools_and_its_stop_is_told():
    found_ = heat(warm(60, parts={"vents": VENTS, "fan": FAN}))
    still = heat(warm(60, parts={"vents": VENTS}))
    assert found_.air_c < found_.off_c
    assert found_.off_c == pytest.approx(still.air_c, abs=1e-6)
    assert found_.fans[0].key == "fan"


def test_needed_vents_keep_the_limit():
    """Two vents of the area asked, at the heights asked, in the same balance."""
    found_ = heat(warm(80, limits={"air_c": 40}))
    area = found_.needed_vent / 1e6
    two = [Opening("low", 0.0, area), Opening("high", found_.vent_rise / 1000, area)]
    air, _ = steady(found_.power_w, found_.loss_w_k, two, (), found_.room_c)
    assert air == pytest.approx(40, abs=0.01)
    moved = (
        found_.needed_fan * FAN_SHARE / 3600 * 1.184
    )  # kg/s, air at 25 °C from the property table
    assert 80 / (found_.loss_w_k + moved * 1007) == pytest.approx(15, rel=1e-3)


def test_a_supply_inside_adds_its_loss_and_one_outside_adds_nothing():
    def with_supply(outside):
        supply = device("supply", 400, role="supply", volts=12, efficiency=0.8, outside=outside)
        data = warm(40, parts={"supply": supply})
        if outside:
            del data["parts"]["supply"]["placed"]
        return heat(data)

    assert with_supply(True).power_w == pytest.approx(40)
    assert with_supply(False).power_w == pytest.approx(50)  # 40 W at 80 %


def test_a_base_that_lies_on_the_table_lets_nothing_through():
    lifted = heat(warm(30))
    data = warm(30)
    del data["parts"]["feet"]
    flat = heat(data)
    assert flat.loss_w_k < lifted.loss_w_k
    assert {w.key for w in flat.inside.walls if not w.exposed} == {"base"}


def test_an_open_back_is_a_large_vent():
    data = warm(60)
    shut = heat(data)
    del data["panels"]["back"]
    data["seams"] = data["seams"][:1]
    open_ = heat(data)
    assert open_.inside.gaps[0][0] == pytest.approx(576 * 176, rel=0.15)
    assert open_.loss_w_k < shut.loss_w_k
    assert 25 < open_.air_c < 35 < shut.air_c


def test_nothing_inside_is_as_warm_as_the_room():
    found_ = heat(box(site={"room_c": 31}))
    assert (found_.power_w, found_.air_c, found_.numbers) == (0, 31, ())


def test_the_same_box_in_an_inch_project_is_as_warm():
    """Bare numbers are inches there; those with a unit stay what they are."""
    metric = heat(warm(60, parts={"vents": VENTS}))
    vents = {
        f: f"{VENTS['measured'][f] / 25.4:.6f}" for f in ("slot_length", "slot_width", "pitch")
    }
    data = warm(60, parts={"vents": merged(VENTS, {"measured": vents})}, unit="in")
    sizes = {f: f"{v} mm" for f, v in (("width", 100), ("height", 60), ("depth", 40))}
    data["parts"]["board"]["measured"].update(sizes)
    assert heat(data).air_c == pytest.approx(metric.air_c, abs=1e-3)


def test_numbers_say_why():
    found_ = heat(warm(60, parts={"vents": VENTS}, limits={"air_c": 35}))
    numbers = {n.key: n for n in found_.numbers}
    assert numbers["heat.air"].value == pytest.approx(found_.air_c)
    assert numbers["heat.power"].value == pytest.approx(
        sum(t.value for t in numbers["heat.power"].terms)
    )
    assert numbers["heat.walls"].value == pytest.approx(found_.loss_w_k)
    assert numbers["heat.flow"].value == pytest.approx(found_.flow.volume * 3600, rel=1e-6)
    assert numbers["heat.vent_area"].value == pytest.approx(found_.needed_vent / 100)


# ---- rules ----


def test_too_warm_is_told_with_slots_that_cure():
    four = heat(warm(42, parts={"vents": merged(VENTS, {"measured": {"count": 4}})})).air_c
    data = warm(42, parts={"vents": VENTS}, limits={"air_c": four + 0.05})
    finding = found(heat_air, data)[0]
    assert finding.severity.value == "caution"
    assert next(r.value for r in finding.remedies if r.field) == 4
    cures(heat_air, data)
    remedy = next(r for r in finding.remedies if r.field)
    fewer = merged(data, {"parts": {"vents": {"measured": {"count": remedy.value - 1}}}})
    assert found(heat_air, fewer)  # no more slots than needed


def test_where_hardly_any_heat_gets_out_all_of_it_must_go():
    """A box of a millimeter: warmer than any figure; the share that must go is 1, no figure that is none."""
    subject = subject_of(warm(42))
    assert subject.behavior is not None
    endless = replace(subject.behavior.heat, air_c=math.inf)
    behavior = replace(subject.behavior, heat=endless)
    (finding,) = heat_air.find(replace(subject, behavior=behavior))
    assert "Or bring 42 W less inside" in finding.remedies[-1].text


def test_on_the_limit_it_passes():
    air = heat(warm(42)).air_c
    assert found(heat_air, warm(42, limits={"air_c": air})) == []
    assert found(heat_air, warm(42, limits={"air_c": air - 0.1}))


def test_no_cooler_than_the_room():
    data = warm(40, limits={"air_c": 25})
    cures(heat_air, data)


def test_no_slots_are_proposed_where_the_wall_has_no_room():
    data = warm(900, parts={"vents": VENTS}, limits={"air_c": 30})
    finding = found(heat_air, data)[0]
    assert not any(r.field for r in finding.remedies)
    assert any("cm²" in r.text for r in finding.remedies)


def test_a_vent_on_the_table_is_none():
    under = merged(VENTS, {"placed": [{"key": "under", "on": "base", "u": 280, "v": 150}]})
    assert found(heat_vent, warm(40, parts={"vents": under})) == []
    data = warm(40, parts={"vents": under})
    del data["parts"]["feet"]
    assert [f.place.names for f in found(heat_vent, data)] == [("under",)]


def test_a_fan_wants_air_from_somewhere():
    (choked,) = found(heat_vent, warm(40, parts={"fan": FAN}))
    assert choked.severity.value == "caution"
    wide = merged(VENTS, {"measured": {"count": 6}})
    assert found(heat_vent, warm(40, parts={"fan": FAN, "vents": wide})) == []
    small = merged(VENTS, {"measured": {"count": 1}, "placed": VENTS["placed"][:1]})
    (little,) = found(heat_vent, warm(40, parts={"fan": FAN, "vents": small}))
    assert little.place.names == ("fan",)
    assert math.isfinite(little.place.point[2])


def test_a_warm_room_with_no_power_inside_is_nobodys_fault():
    assert found(heat_air, box(site={"room_c": 40}, limits={"air_c": 30})) == []


# ---- ports of loudspeakers -------------------------------------------------------------------------------------------


def ported(watts: float = 30, **measured) -> dict:
    """The warm box with a port high in its back and a vent low in it."""
    low = merged(VENTS, {"placed": [VENTS["placed"][0]]})
    pipe = {
        "kind": "port",
        "measured": {"width": 50, "wall": 3, "length": 60, **measured},
        "placed": [{"key": "port", "on": "back", "u": 450, "v": 120}],
    }
    return warm(watts, parts={"vents": low, "pipe": pipe})


def test_a_port_to_warm_air_is_a_vent_of_its_inner_area():
    """A port of the area of a vent's slots, at its height, lets as much through: the same air inside."""
    found_heat = heat(ported())
    (port,) = [hole for hole in found_heat.holes if hole.is_port]
    assert port.area == pytest.approx(math.pi * 50**2 / 4)
    assert port.key == "port"
    without = ported()
    without["parts"].pop("pipe")
    assert found_heat.air_c < heat(without).air_c - 1.0
    assert found_heat.flow.mass > heat(without).flow.mass


def test_a_pipe_lets_more_through_than_is_reckoned():
    """Losses of a sharp-edged entry, an open end and slow flow in a pipe, by the library fluids: a vent uses less.

    A port as long as three diameters, air at 0.3 m/s.
    """
    from fluids.fittings import entrance_sharp, exit_normal
    from fluids.friction import friction_factor

    speed, width = 0.3, 0.05
    friction = friction_factor(Re=speed * width / 1.6e-5) * 3
    used = 1 / math.sqrt(entrance_sharp() + exit_normal() + friction)
    assert used > DISCHARGE


def test_a_slot_port_counts_with_its_mouth():
    (port,) = [h for h in heat(ported(shape="slot", width=100, height=20)).holes if h.is_port]
    assert port.area == pytest.approx(100 * 20)


def test_a_port_into_a_box_of_its_own_cools_nothing():
    """An inner board from side to side parts the port's air from the warm part's."""
    data = ported(length=20)
    data["inner"] = {
        "wall": {"material": "ply", "start": [255, 12], "end": [255, 188], "cleats": False}
    }
    assert not [hole for hole in heat(data).holes if hole.is_port]
    data["inner"]["wall"]["end"] = [255, 120]  # open above: one and the same air
    assert [hole for hole in heat(data).holes if hole.is_port]


def test_what_runs_from_mains_warms_the_air_too():
    """A display of 40 W with its own mains supply inside: its watts are heat like any others'."""
    tv = device("tv", 480, 220, role="other", mains=True, typical_w=40, peak_w=90)
    behavior = subject_of(box(parts={"tv": tv})).behavior
    assert behavior is not None
    assert behavior.heat.power_w == pytest.approx(40)


def test_the_fan_that_is_named_keeps_the_limit_with_the_vents_that_are_named():
    """Both numbers of the sentence are written into the project, and the air is cool enough."""
    small = merged(FAN, {"measured": {"flow_m3h": 6}})
    data = warm(120, parts={"vents": VENTS, "fan": small}, limits={"air_c": 40})
    (finding,) = found(heat_air, data)
    words = next(r.text for r in finding.remedies if "fan of" in r.text)
    flow = float(re.search(r"fan of ([\d.]+) m³/h", words)[1])
    more = re.search(r"and (\d+) cm² more of vents", words)
    vents = VENTS["measured"]
    slot = vents["slot_length"] * vents["slot_width"] / 100  # cm², a little less with round ends
    count = vents["count"] + (math.ceil(float(more[1]) / (0.95 * slot)) if more else 0)
    cured = merged(
        data,
        {
            "parts": {
                "fan": {"measured": {"flow_m3h": flow}},
                "vents": {"measured": {"count": count}},
            }
        },
    )
    assert found(heat_air, cured) == []
    only = merged(data, {"parts": {"fan": {"measured": {"flow_m3h": flow}}}})
    assert bool(found(heat_air, only)) == bool(more)
