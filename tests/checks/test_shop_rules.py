"""What the saw can do, seams, sizes, passages, mass, and the way in."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.checks.bench import (
    BUTTON,
    applied,
    board,
    box,
    button,
    cures,
    device,
    found,
    hole,
    merged,
    subject_of,
)

from casewright.basics.findings import Severity
from casewright.checks import Subject, run_checks
from casewright.checks.rules import (
    bevel_small,
    bit_length,
    chamfer_width,
    mass_limit,
    panel_fence,
    panel_narrow,
    panel_sliver,
    passage,
    seam_tilt,
    seam_unequal,
    service_part,
    service_way_in,
    site_room,
)
from casewright.checks.sizes import excess, passes_turned


def changed(subject: Subject, **fields) -> Subject:
    return replace(subject, cabinet=replace(subject.cabinet, **fields))


# ---- seams and saw -------------------------------------------------------------------------------------------------


def mitered(inside_deg: float, tilt_most: float = 45):
    """The front meets the deck at an angle, both 12, mitered."""
    lean = math.radians(inside_deg)
    foot = 300 - 200 / math.tan(lean) if inside_deg < 90 else 300
    corners = {"A": [300 - foot, 0], "B": [500, 0], "C": [500, 200], "D": [0, 200]}
    return box(
        shape={"corners": corners},
        shop={"tilt_most": tilt_most},
        seams=[{"between": ["deck", "front"], "rule": "miter"}],
    )


@pytest.mark.parametrize(("tilt_most", "count"), [(56, 0), (55, 0), (54, 1)])
def test_saw_tilt_at_an_acute_corner(tilt_most, count):
    """Plain geometry: a miter of equal boards at 70 degrees needs 90 - 70/2 = 55."""
    data = mitered(70, tilt_most)
    subject = subject_of(data)
    corner = next(c for c in subject.cabinet.corners if {c.first, c.second} == {"deck", "front"})
    assert corner.first_tilt_deg == pytest.approx(55, abs=0.01)
    findings = list(seam_tilt.find(subject))
    assert {frozenset(f.place.names) for f in findings} == (
        {frozenset({"deck", "front"})} if count else set()
    )
    assert all(f.severity is Severity.STOP for f in findings)


@pytest.mark.parametrize(
    ("parts", "made_of"),
    [
        ({}, ("panels.front.material", "thick")),
        # A button on the front keeps its board: its thread is made for it.
        (
            {"b": merged(BUTTON, {"placed": [{"key": "b", "on": "front"}]})},
            ("panels.deck.material", "ply"),
        ),
    ],
)
def test_a_miter_too_steep_for_unequal_boards_is_told_the_board_that_cures(parts, made_of):
    """At a right angle a front of 12 against a deck of 18 needs atan(18/12) = 56.3°; one of 15 still atan(18/15) =
    50.2°; equal boards 45°."""
    ply = {"kind": "plywood", "species": "plywood-birch"}
    data = box(
        materials={
            "mid": {**ply, "nominal": 15, "measured": 15},
            "thick": {**ply, "nominal": 18, "measured": 18},
        },
        panels={"deck": {"material": "thick"}},
        seams=[{"between": ["deck", "front"], "rule": "miter"}],
        parts=parts,
    )
    (finding,) = (f for f in run_checks(subject_of(data)) if f.rule == "seam.tilt")
    assert "56.3°" in finding.message
    remedy = next(r for r in finding.remedies if r.field.endswith(".material"))
    assert (remedy.field, remedy.value) == made_of
    assert "45.0° and 45.0° then" in remedy.text
    after = run_checks(subject_of(applied(data, remedy)))
    assert "seam.tilt" not in {f.rule for f in after}


@pytest.mark.parametrize(("tilts", "count"), [((40, 40), 0), ((40, 40.05), 0), ((52.5, 21.7), 1)])
def test_unequal_miter(tilts, count):
    subject = subject_of(mitered(70))
    corners = tuple(
        replace(c, first_tilt_deg=tilts[0], second_tilt_deg=tilts[1])
        if {c.first, c.second} == {"deck", "front"}
        else c
        for c in subject.cabinet.corners
    )
    findings = list(seam_unequal.find(changed(subject, corners=corners)))
    assert [f.severity for f in findings] == [Severity.NOTE] * count


@pytest.mark.parametrize(("height", "count"), [(20, 0), (12, 0), (11, 1)])
def test_sliver(height, count):
    """A board of 12 whose back face is `height` high."""
    subject = subject_of(box())
    slabs = tuple(
        replace(
            s,
            back_end=(
                s.back_start[0] + s.run.direction[0] * height,
                s.back_start[1] + s.run.direction[1] * height,
            ),
        )
        if s.panel == "front"
        else s
        for s in subject.cabinet.slabs
    )
    assert len(list(panel_sliver.find(changed(subject, slabs=slabs)))) == count


@pytest.mark.parametrize(("reach", "count"), [(600, 0), (576, 0), (575, 1)])
def test_fence_reach(reach, count):
    """Panels between sides of 12 in 600 are 576 long."""
    data = box(shop={"fence_reach": reach})
    findings = found(panel_fence, data)
    assert len(findings) == count
    if count:
        assert "⟦599.0000⟧" in findings[0].remedies[-1].text
        assert found(panel_fence, box(shop={"fence_reach": reach}, shape={"width": 599})) == []


@pytest.mark.parametrize(("width", "count"), [(80, 0), (75, 0), (74, 1)])
def test_narrow_strip(width, count):
    """Common practice: 75 mm between fence and blade."""
    strip = {
        "strip": {"material": "ply", "plane": "level", "at": [50, 50, 60], "size": [200, width]}
    }
    assert len(found(panel_narrow, box(boards=strip))) == count


@pytest.mark.parametrize(
    ("height", "tilt", "count"), [(80, 10, 0), (75, 10, 0), (74, 10, 1), (74, 0, 0)]
)
def test_bevel_on_a_small_piece(height, tilt, count):
    """Common practice: 75 across a bevelled cut."""
    subject = subject_of(box())
    face = ((0.0, 0.0), (576.0, 0.0), (576.0, float(height)), (0.0, float(height)))
    pieces = tuple(
        replace(p, show=face, back=face) if p.key == "front" else p for p in subject.cabinet.pieces
    )
    slabs = tuple(
        replace(s, start_tilt_deg=float(tilt), end_tilt_deg=0.0)
        for s in subject.cabinet.slabs
        if s.panel == "front"
    )
    findings = list(bevel_small.find(changed(subject, pieces=pieces, slabs=slabs)))
    assert [f.place.names for f in findings] == [("front",)] * count


# ---- place and passages --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("width", "count"), [(610, 0), (600, 0), (599, 1)])
def test_place_in_width(width, count):
    data = box(site={"width": width})
    findings = found(site_room, data)
    assert [f.severity for f in findings] == [Severity.STOP] * count
    if count:
        assert findings[0].remedies[0].field == "shape.width"
        cures(site_room, data)


@pytest.mark.parametrize(("depth", "count"), [(310, 0), (300, 0), (299, 1)])
def test_place_in_depth(depth, count):
    assert len(found(site_room, box(site={"depth": depth}))) == count


@pytest.mark.parametrize(
    ("opening", "severity"),
    [
        ((310, 210, None), None),  # on end, 10 to spare
        ((210, 310, None), None),
        ((305, 210, None), Severity.CAUTION),
        ((300, 200, None), Severity.CAUTION),
        ((250, 190, None), Severity.STOP),
        ((310, 210, 605), Severity.CAUTION),
        ((310, 210, 590), Severity.STOP),
        ((620, 310, 210), None),  # flat
    ],
)
def test_passage_for_a_box_of_600_by_300_by_200(opening, severity):
    """Plain geometry."""
    width, height, depth = opening
    limits = {"passages": [{"label": "hatch", "width": width, "height": height, "depth": depth}]}
    findings = found(passage, box(limits=limits))
    assert [f.severity for f in findings] == ([severity] if severity else [])


def test_feet_count():
    feet = {
        "kind": "foot",
        "measured": {"height": 12, "mass_kg": 0.01},
        "placed": [{"key": "foot", "on": "base", "u": 100, "v": 100}],
    }
    limits = {"passages": [{"label": "hatch", "width": 310, "height": 210}]}
    assert found(passage, box(limits=limits)) == []
    assert len(found(passage, box(limits=limits, parts={"feet": feet}))) == 1


def test_bolted_boards_come_off():
    leg = {"material": "ply", "plane": "side", "at": [0, 0, -500], "size": [300, 500]}
    limits = {"passages": [{"label": "hatch", "width": 620, "height": 310, "depth": 300}]}
    data = box(limits=limits, boards={"leg": {**leg, "fixing": "bolted"}})
    assert [f.severity for f in found(passage, data)] == [Severity.NOTE]
    glued = box(limits=limits, boards={"leg": {**leg, "fixing": "glued"}})
    assert [f.severity for f in found(passage, glued)] == [Severity.STOP]


side = st.floats(10, 100)


@given(side, side, side, side)
def test_turning_against_trying_every_tenth_of_a_degree(p, q, a, b):
    """A rectangle turned by t has the extents p·cos t + q·sin t and p·sin t + q·cos t."""
    turns = [math.radians(t / 10) for t in range(901)]
    slack = max(
        min(a - p * math.cos(t) - q * math.sin(t), b - p * math.sin(t) - q * math.cos(t))
        for t in turns
    )
    size = (p, q, 1000.0)  # the third only goes through
    if slack > 1e-9:
        assert passes_turned(size, a, b, None)
    elif slack < -0.3:
        assert not passes_turned(size, a, b, None)
    assert (excess(size, a, b, None) <= 0) == (min(p, q) <= min(a, b) and max(p, q) <= max(a, b))


# ---- mass ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("limits", "severity"),
    [
        ({"mass_kg": 1.0}, None),
        ({"mass_kg": 0.0}, None),
        ({"mass_kg": -0.1}, Severity.STOP),
        ({"mass_kg": 5.0, "heavy_kg": -0.1}, Severity.NOTE),
        ({"mass_kg": 5.0, "heavy_kg": 0.0}, None),
    ],
)
def test_mass_over_what_it_weighs(limits, severity):
    """Limits are given as so much over the box's own mass."""
    data = box()
    balance = subject_of(data).balance
    assert balance is not None
    over = {key: balance.total_kg + value for key, value in limits.items()}
    findings = found(mass_limit, box(limits=over))
    assert [f.severity for f in findings] == ([severity] if severity else [])


def test_what_is_not_weighed_is_named():
    data = box(limits={"mass_kg": 50}, parts={"d": device("d", 200)})
    data["parts"]["d"]["measured"]["mass_kg"] = None
    (finding,) = found(mass_limit, data)
    assert finding.severity is Severity.NOTE
    assert finding.missing == "parts.d.measured.mass_kg"


# ---- service -------------------------------------------------------------------------------------------------------


def test_a_way_in():
    parts = {"b": button((200, 150))}
    assert found(service_way_in, box(parts=parts)) == []
    closed = box(parts=parts, panels={"back": {"fixing": "glued"}})
    (finding,) = found(service_way_in, closed)
    assert finding.remedies[0].field == "panels.back.fixing"
    cures(service_way_in, closed)


def test_nothing_inside_needs_no_way_in():
    assert (
        found(service_way_in, box(panels={"back": {"fixing": "glued"}}, features=[hole(200, 150)]))
        == []
    )


@pytest.mark.parametrize(("high", "count"), [(150, 0), (178, 0), (179, 1)])
def test_part_comes_out_through_the_back(high, count):
    """The deck of 12 lies on the back, which is 188 high; a box goes through with 10 to spare."""
    data = box(parts={"d": device("d", 300, height=high, width=400, depth=high)})
    assert board(data, "back").height == pytest.approx(188)
    assert len(found(service_part, data)) == count


def test_a_door_lets_out_what_the_panel_does_not():
    door = {"hatch": {"on": "back", "width": 400, "height": 120, "lip": 10}}
    glued = {"back": {"fixing": "glued"}}

    def inside(high):
        part = device("d", 300, height=high, width=300, depth=high)
        return box(panels=glued, doors=door, parts={"d": part})

    # 120 and two gaps of 1.5, less two lips of 10: 103; a part of 93 and 10.
    assert found(service_part, inside(93)) == []
    assert len(found(service_part, inside(93.5))) == 1


@pytest.mark.parametrize(("length", "count"), [(14, 0), (13, 0), (12.9, 1), (0, 0)])
def test_router_bit_reaches_through(length, count):
    """Common practice: 1 mm more than the board, here 12; a length of 0 is not known."""
    bits = [{"kind": "flush trim", "sizes": [12.7], "length": length}]
    hole = {"shape": "rectangle", "on": "front", "u": 288, "v": 90, "width": 100, "height": 60}
    findings = found(bit_length, box(shop={"bits": bits}, features=[hole]))
    assert len(findings) == count
    if count:
        assert "⟦13.0000" in findings[0].remedies[0].text


@pytest.mark.parametrize(
    ("bit", "chamfer", "count"),
    [
        ({"sizes": [35], "length": 12}, 12.0, 0),
        ({"sizes": [35], "length": 12}, 12.1, 1),
        ({"sizes": [12]}, 6.0, 0),  # pointed: half of 12
        ({"sizes": [12]}, 6.1, 1),
        ({"sizes": [12, 30]}, 14.0, 0),  # the larger one serves
        ({"sizes": [12], "length": 10}, 6.1, 1),  # no edge reaches beyond the bit itself
    ],
)
def test_chamfer_bit_is_as_wide_as_the_chamfer(bit, chamfer, count):
    """Plain geometry: at 45° the edge reaches out as far as it is high, and never past the bit's own radius."""
    hole = {"shape": "rectangle", "on": "front", "u": 288, "v": 90, "width": 100, "height": 60}
    hole["chamfer"] = chamfer
    subject = box(shop={"bits": [{"kind": "chamfer", **bit}]}, features=[hole])
    findings = found(chamfer_width, subject)
    assert len(findings) == count
    if count:
        assert f"⟦{chamfer:.4f}" in findings[0].remedies[0].text
    assert found(chamfer_width, box(features=[hole])) == []  # no chamfer bit is listed


def test_what_comes_off_is_named_with_what_is_left():
    """A door off is enough where the rest is light enough; else two carry what is left."""
    door = {"on": "back", "width": 300, "height": 120, "gap": 1.5, "fixing": "magnets"}
    data = box(doors={"hatch": door})
    balance = subject_of(data).balance
    assert balance is not None
    (hatch,) = (item for item in balance.items if item.key == "hatch")
    rest = balance.total_kg - hatch.mass_kg
    for most, words in ((rest + 0.001, "in two trips"), (rest - 0.2, "with two people")):
        (finding,) = found(mass_limit, {**data, "limits": {"mass_kg": most}})
        assert words in finding.remedies[1].text
        assert "trolley" not in finding.remedies[1].text
        assert f"{rest:.1f} kg" in finding.remedies[1].text


def test_what_two_may_not_lift_goes_on_a_trolley():
    """A device of 60 kg: more than two may lift by the lifting equation, whose constant is 23 kg for one."""
    data = box(parts={"d": device("d", 200)}, limits={"mass_kg": 30})
    data["parts"]["d"]["measured"]["mass_kg"] = 60
    (finding,) = found(mass_limit, data)
    assert "trolley" in finding.remedies[1].text and "two people" not in finding.remedies[1].text
