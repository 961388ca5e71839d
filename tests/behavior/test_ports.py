"""Ports of loudspeaker boxes: cut, taking air, tuning the box; against plain geometry and the Helmholtz resonator."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold
from tests.behavior.test_sound import closed_case, sound
from tests.checks.bench import applied, cures, found, merged, subject_of
from tests.strategies import examples

from casewright.behavior.acoustics import (
    RIPPLE,
    port_least,
    port_length,
    port_tuning,
    slot_diameter,
    vented_at,
    vented_box,
    vented_litres_for,
)
from casewright.checks.rules import collision_room, collision_solid, sound_box, sound_port
from casewright.geometry.solids import body_solid, piece_solid

PORT: dict[str, Any] = {
    "kind": "port",
    "measured": {"width": 50, "wall": 3, "length": 120},
    "placed": [{"key": "port", "on": "front", "v": 320}],
}


def case(litres: float = 17, port: dict[str, Any] | None = None, **driver: Any) -> dict[str, Any]:
    """A box for a volume, driver low and port high in the front; the port's dimensions as given."""
    data = closed_case(litres, **{"travel": 2.5, **driver})
    data["parts"]["driver"]["placed"][0].update(u=None, v=120)
    data["parts"]["driver"]["placed"][0].pop("u")
    if port is not None:
        data["parts"]["pipe"] = merged(PORT, {"measured": port})
    return data


def test_a_port_is_a_hole_and_a_pipe_that_takes_air() -> None:
    """The pipe, 56 mm outside and 120 − 12 mm behind the panel, is all that the air loses."""
    bare, ported = sound(case()).drivers[0], sound(case(port={})).drivers[0]
    pipe = math.pi * 56**2 / 4 * (120 - 12) / 1e6
    assert bare.litres - ported.litres == pytest.approx(pipe, rel=0.01)
    cabinet = subject_of(case(port={})).cabinet
    front = cabinet.piece_by_key["front"]
    (hole,) = (f for f in front.features if f.owner == "port")
    assert hole.shape.diameter >= 56
    wood = piece_solid(front)
    for body in cabinet.bodies:
        if body.owner == "port" and body.kind == "solid":
            assert (wood ^ body_solid(body)).volume() < 1.0


def test_the_placed_port_tunes_as_a_helmholtz_resonator() -> None:
    """f = c ÷ 2π × √(area ÷ (volume × effective length)), c 344 m/s; 0.732 diameters for one flush and one free end."""
    (driver,) = sound(case(port={})).drivers
    assert driver.built is not None
    area, length = math.pi * 0.05**2 / 4, 0.120 + 0.732 * 0.05
    tuned = 344.0 / (2 * math.pi) * math.sqrt(area / (driver.litres / 1000 * length))
    assert driver.built.tuning == pytest.approx(tuned, rel=2e-3)


def test_end_corrections_are_those_of_a_flanged_and_a_free_pipe() -> None:
    """Rayleigh's 8 ÷ 3π radii for a flanged end, Levine and Schwinger's 0.6133 radii for a free one; from memory."""
    assert (8 / (3 * math.pi) + 0.6133) / 2 == pytest.approx(0.732, abs=0.002)


def test_a_slot_tunes_as_a_pipe_of_its_area() -> None:
    slot = {"shape": "slot", "width": 120, "height": 20, "wall": 6, "length": 150}
    (driver,) = sound(case(port=slot)).drivers
    assert driver.built is not None
    wide = slot_diameter(120, 20)
    assert math.pi * wide**2 / 4 == pytest.approx(120 * 20)
    assert driver.built.tuning == pytest.approx(port_tuning(driver.litres, [(wide, 150)]))
    bare = sound(case()).drivers[0].litres
    duct = (120 + 12) * (20 + 12) * (150 - 12) / 1e6
    assert bare - driver.litres == pytest.approx(duct, rel=0.01)


def test_two_ports_tune_higher_than_one() -> None:
    """Twice the area on the same air: √2 higher, for the air the second takes a little more."""
    data = case(port={})
    one = sound(data).drivers[0]
    data["parts"]["pipe"]["placed"][0]["u"] = 60
    data["parts"]["pipe"]["placed"].append({"key": "port2", "on": "front", "u": 176, "v": 320})
    two = sound(data).drivers[0]
    assert one.built is not None and two.built is not None
    higher = math.sqrt(2 * one.litres / two.litres)
    assert two.built.tuning / one.built.tuning == pytest.approx(higher, rel=1e-6)


@given(st.floats(4, 80), st.floats(25, 90), st.floats(30, 110))
def test_length_and_tuning_are_each_others_inverse(
    litres: float, tuning: float, wide: float
) -> None:
    length = port_length(litres, tuning, wide)
    if length > 0:
        assert port_tuning(litres, [(wide, length)]) == pytest.approx(tuning)


def test_the_box_as_tuned_is_the_box_of_that_tuning() -> None:
    best = vented_box(55, 0.40, 18, 15)
    same = vented_at(55, 0.40, 18, 15, best.tuning)
    assert same.f3 == pytest.approx(best.f3, rel=0.005)
    assert same.hump == pytest.approx(best.hump, abs=0.02)


def test_numbers_of_the_port_say_why() -> None:
    told = sound(case(port={}))
    numbers = {n.key: n for n in told.numbers}
    built = told.drivers[0].built
    assert built is not None
    assert numbers["sound.woofer.tuning"].value == pytest.approx(built.tuning)
    assert numbers["sound.woofer.vented_f3"].value == pytest.approx(built.f3)
    area = subject_of(case(port={})).cabinet.numbers["port.area"]
    assert area.value == pytest.approx(math.pi * 25**2 / 100)


def test_an_inch_project_tunes_the_same() -> None:
    """Bare lengths of parts are inches there; the rest stays as the model has it."""
    metric = sound(case(port={})).drivers[0].built
    data = case(port={"width": "1.968504", "wall": "0.1181102", "length": "4.724409"})
    driver = data["parts"]["driver"]["measured"]
    for field in ("cutout", "frame", "depth", "holes_square", "travel"):
        driver[field] = f"{driver[field] / 25.4:.6f}"
    data["batten"] = {
        "width": "20 mm",
        "height": "20 mm",
    }  # it takes room inside; 3/4 in is usual there
    inches = sound({**data, "unit": "in"}).drivers[0].built
    assert metric is not None and inches is not None
    assert inches.tuning == pytest.approx(metric.tuning, rel=1e-3)


# ---- the rule ----


@pytest.mark.parametrize("length", [30, 60, 180])
def test_a_port_off_its_tuning_is_cured_by_the_length_that_is_named(length: float) -> None:
    data = case(port={"length": length})
    assert not found(sound_box, data)
    cures(sound_port, data)
    cured = applied(data, next(r for r in found(sound_port, data)[0].remedies if r.field))
    (driver,) = sound(cured).drivers
    assert driver.built is not None and driver.vented is not None
    assert driver.built.tuning == pytest.approx(driver.vented.tuning, rel=0.03)
    assert driver.built.hump <= 2 * RIPPLE


def test_a_port_too_short_booms_and_says_by_how_much() -> None:
    data = case(port={"length": 12}, total_q=0.5)
    finding = found(sound_port, data)[0]
    (driver,) = sound(data).drivers
    assert driver.built is not None
    assert f"{driver.built.hump:.1f} dB" in finding.message


def test_its_inner_end_keeps_off_the_wall_to_the_very_limit() -> None:
    """The front's show face to the back's inner face, by the pieces themselves, less length and width."""
    cabinet = subject_of(case()).cabinet
    ys = {k: [p[1] for p in _corners(cabinet.piece_by_key[k])] for k in ("front", "back")}
    deep = min(ys["back"]) - min(ys["front"])
    assert sound(case(port={})).ports[0].depth == pytest.approx(deep, abs=1e-6)
    limit = deep - 50
    assert not [f for f in found(sound_port, case(port={"length": limit})) if "ends" in f.message]
    data = case(port={"length": limit + 1})
    (near,) = (f for f in found(sound_port, data) if "ends" in f.message)
    assert "49" in near.message
    # The wall is told once, by the rule that knows a length.
    assert found(collision_room, data, collide=True) == []
    through = case(port={"length": deep + 5})
    assert found(collision_solid, through, collide=True)


def test_where_the_tuned_length_does_not_go_in_a_narrower_pipe_is_named() -> None:
    """Its length by the port formula, tried in the project itself."""
    data = case(port={"width": 68, "wall": 3.5, "length": 60})
    (driver,) = sound(data).drivers
    wanted = driver.wanted()
    assert wanted is not None and not wanted.goes_in
    finding = found(sound_port, data)[0]
    narrow = next(w for w in map(driver.wanted, (57.0, 50.0, 40.0)) if w is not None and w.goes_in)
    remedy = finding.remedies[0]
    length = ("parts.pipe.measured.length", float(round(narrow.length)))
    assert (remedy.field, remedy.value) == ("parts.pipe.measured.width", narrow.diameter)
    assert remedy.also == (length,)
    better = case(port={"width": narrow.diameter, "wall": 3.5, "length": round(narrow.length)})
    assert applied(data, remedy)["parts"]["pipe"]["measured"] == better["parts"]["pipe"]["measured"]
    assert [f for f in found(sound_port, better) if "huff" not in f.message] == []


def test_a_narrow_port_huffs() -> None:
    """Least diameter by the port page's formula; a driver with little travel gets by with the same pipe."""
    data = case(port={"width": 34, "length": 40})
    (driver,) = sound(data).drivers
    assert driver.built is not None
    assert driver.least_port == pytest.approx(port_least(116, 2.5, driver.built.tuning))
    assert driver.least_port > 34
    assert [f for f in found(sound_port, data) if "huff" in f.message]
    quiet = case(port={"width": 34, "length": 40}, travel=0.3)
    assert not [f for f in found(sound_port, quiet) if "huff" in f.message]


def test_a_driver_that_no_port_suits_is_told_so() -> None:
    (finding,) = (
        f for f in found(sound_port, case(port={}, total_q=1.0)) if "no port" in f.message
    )
    assert not any(r.field for r in finding.remedies)


def test_a_port_without_a_loudspeaker_tunes_nothing() -> None:
    data = case(port={})
    del data["parts"]["driver"]
    (finding,) = found(sound_port, data)
    assert finding.place.names == ("port",)


def test_no_port_no_finding() -> None:
    assert found(sound_port, case()) == []
    assert sound(case()).drivers[0].built is None


def _corners(piece: Any) -> list[tuple[float, float, float]]:
    shown = [piece.frame.point(u, v, 0.0) for u, v in piece.show]
    return shown + [piece.frame.point(u, v, -piece.thickness) for u, v in piece.back]


@settings(max_examples=examples(25), deadline=None)
@given(
    st.floats(8, 40),
    st.sampled_from([25.0, 34.0, 50.0, 68.0, 90.0]),
    st.integers(15, 260),
    st.floats(35, 90),
    st.floats(0.25, 0.7),
    st.floats(4, 40),
)
def test_whatever_the_driver_a_named_length_cures(
    litres: float, wide: float, length: int, fs: float, q: float, vas: float
) -> None:
    """Every remedy that can be written down is tried: after it the port tunes well and ends clear."""
    data = case(
        litres,
        port={"width": wide, "length": length},
        free_air_hz=fs,
        total_q=q,
        compliance_litres=vas,
    )
    for finding in found(sound_port, data):
        assert not re.search(r"\bnan\b", finding.message)
        assert finding.remedies
        for remedy in (r for r in finding.remedies if r.field):
            left = found(sound_port, applied(data, remedy))
            assert not [f for f in left if "ends" in f.message or "is best" in f.message]


# ---- slots: their walls are pieces -----------------------------------------------------------------------------------


SLOT = {"shape": "slot", "width": 90, "height": 18, "wall": 12, "length": 110}


def test_walls_of_a_slot_are_pieces_round_its_duct() -> None:
    """Four boards of 12 mm, 110 − 12 long behind the panel: their wood is the duct's outside less its inside."""
    cabinet = subject_of(case(port=SLOT)).cabinet
    walls = [piece for piece in cabinet.pieces if piece.kind == "duct"]
    assert sorted(piece.key for piece in walls) == [
        "port.bottom",
        "port.left",
        "port.right",
        "port.top",
    ]
    solids = [piece_solid(piece) for piece in walls]
    deep = 110 - 12
    wood = ((90 + 24) * (18 + 24) - 90 * 18) * deep
    assert sum(solid.volume() for solid in solids) == pytest.approx(wood, rel=1e-9)
    whole = solids[0] + solids[1] + solids[2] + solids[3]
    assert whole.volume() == pytest.approx(wood, rel=1e-9)  # none shares space with another
    (mouth,) = (f for f in cabinet.piece_by_key["front"].features if f.owner == "port")
    placed = cabinet.placed_by_key["port"]
    air = Manifold.cube((90, 18, deep), True).transform(
        np.column_stack(
            (
                placed.frame.u,
                placed.frame.v,
                placed.frame.n,
                placed.frame.point(0, 0, -12 - deep / 2),
            )
        )
    )
    assert (whole ^ air).volume() < 1e-3  # its inside is free, in line with the mouth
    assert (mouth.shape.width, mouth.shape.height) == (90, 18)
    assert (whole ^ piece_solid(cabinet.piece_by_key["front"])).volume() < 1e-3


def test_a_slot_too_high_for_the_depth_is_made_lower_and_shorter() -> None:
    """By the port formula 120 × 40 does not go in. The slot that is named tunes best, and ends clear."""
    data = case(port={**SLOT, "width": 120, "height": 40, "length": 100})
    (driver,) = sound(data).drivers
    wanted = driver.wanted()
    assert wanted is not None and not wanted.goes_in
    finding = found(sound_port, data)[0]
    remedy = next(r for r in finding.remedies if r.field)
    assert remedy.field == "parts.pipe.measured.height"
    assert [field for field, _ in remedy.also] == ["parts.pipe.measured.length"]
    after = applied(data, remedy)
    assert not [f for f in found(sound_port, after) if "huff" not in f.message]
    (driver,) = sound(after).drivers
    assert driver.built is not None and driver.vented is not None
    assert driver.built.tuning == pytest.approx(driver.vented.tuning, rel=0.03)


def test_a_slot_takes_as_much_air_as_one_block() -> None:
    """Wood and air of the duct together belong to the port: outside dimensions × depth behind the panel."""
    bare, slotted = sound(case()).drivers[0], sound(case(port=SLOT)).drivers[0]
    assert bare.litres - slotted.litres == pytest.approx(114 * 42 * 98 / 1e6, rel=1e-6)
    (port,) = sound(case(port=SLOT)).ports
    assert port.taken(110) == pytest.approx(114 * 42 * 98 / 1e6)


def test_a_slot_of_no_boards_thickness_is_told_and_the_nearest_board_mends_it() -> None:
    data = case(port={**SLOT, "wall": 6})
    (said,) = [f for f in subject_of(data).cabinet.findings if f.rule == "port.walls"]
    after = subject_of(applied(data, said.remedies[0])).cabinet
    assert not [f for f in after.findings if f.rule == "port.walls"]
    assert len([piece for piece in after.pieces if piece.kind == "duct"]) == 4


def test_nothing_is_weighed_or_bought_for_a_slot() -> None:
    behavior = subject_of(case(port=SLOT)).behavior
    assert behavior is not None
    assert "port" not in behavior.balance.missing
    walls = [item for item in behavior.balance.items if item.key.startswith("port.")]
    assert len(walls) == 4
    assert all(item.mass_kg > 0 for item in walls)


def test_a_box_too_small_for_any_port_is_told_its_volume() -> None:
    """A Vas of 80 in 15 L: a lumped circuit of driver, air, leak and port, tried over tunings, agrees on the volume."""
    data = case(17, port={}, total_q=0.45, compliance_litres=80)
    (finding,) = (f for f in found(sound_port, data) if "no port" in f.message)
    words = next(r.text for r in finding.remedies if r.text.startswith("Make the box for"))
    larger = merged(data, {"shape": {"net_litres": float(words.split()[4])}})
    assert not any("no port" in f.message for f in found(sound_port, larger))
    driver = sound(data).drivers[0].data
    litres = vented_litres_for(driver.free_air_hz, 0.45, 80)
    humps = [least_circuit_hump(driver.free_air_hz, 0.45, 80, litres * k) for k in (0.95, 1.0)]
    assert humps[0] > RIPPLE > humps[1] - 0.03


def least_circuit_hump(fs: float, q: float, vas: float, litres: float) -> float:
    """Of all tunings, by impedances: acoustic masses, compliances and a leak of 7 (Small 1973)."""
    s = 2j * math.pi * np.geomspace(fs / 4, fs * 40, 1500)
    ws, box = 2 * math.pi * fs, litres / vas
    humps = []
    for wb in np.linspace(0.4, 2.0, 81) * ws:
        air = 1 / (s * box + wb * box / 7 + wb**2 * box / s)
        flow = 1 / (1 / (q * ws) + s / ws**2 + 1 / s + air)
        level = np.abs(s**2 * box * air * flow) / ws**2
        humps.append(20 * math.log10(level.max() / level[-1]))
    return max(min(humps), 0.0)


def test_a_driver_for_open_cabinets_is_told_to_go() -> None:
    data = case(port={}, total_q=0.9)
    (finding,) = (f for f in found(sound_port, data) if "no port" in f.message)
    assert "0.4 or less" in finding.remedies[0].text


def test_where_no_quiet_pipe_goes_in_its_length_is_told() -> None:
    data = case(15, port={"width": 24, "length": 60})
    (finding,) = (f for f in found(sound_port, data) if "huff" in f.message)
    assert all(r.text[0] == "A" or r.text.startswith(("Or", "Take")) for r in finding.remedies)
    assert len(finding.remedies) == 2
