"""Slabs and seams against handbook angles and hand-worked sections."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.plane import Line, area, line_through
from casewright.design.panels import Panel, Seam
from casewright.geometry.model import Point2, SolvedShape
from casewright.geometry.outline import runs_between
from casewright.geometry.slabs import SeamRule, covered_tilt, cut_slabs, miter_tilts


def corner(
    inside_deg: float,
    first: float,
    second: float,
    seam: Seam | None = None,
    *,
    side: float = 400.0,
    tilt_most: float = 90.0,
    reveals: tuple[float, float] = (0.0, 0.0),
):
    """A cabinet whose corner C between the panels `a` (first) and `b` has the given angle inside.

    Its other runs are open: square to the two panels' far ends, then far away.
    """
    turn = math.radians(180 - inside_deg)
    corner_at: Point2 = (1000.0, 0.0)
    end = (1000 + side * math.cos(turn), side * math.sin(turn))
    across = (-math.sin(turn), math.cos(turn))  # both far ends are square
    corners = {
        "P": (1000.0 - side, 0.0),
        "C": corner_at,
        "Q": end,
        "R": (end[0] + 3000 * across[0], end[1] + 3000 * across[1]),
        "S": (1000.0 - side, 3000.0),
    }
    panels = {"a": Panel(run="P-C"), "b": Panel(run="C-Q")}
    panels = {
        key: panel.model_copy(update={"reveal": reveal})
        for (key, panel), reveal in zip(panels.items(), reveals, strict=True)
    }
    runs = runs_between(corners, {"P-C": "a", "C-Q": "b"}, panels)
    shape = SolvedShape(600.0, corners, runs, panels, (seam,) if seam else ())
    return cut_slabs(shape, {"a": first, "b": second}, tilt_most=tilt_most)


def seam(rule: SeamRule, **more: object) -> Seam:
    return Seam(between=("a", "b"), rule=rule, **more)


@pytest.mark.parametrize(
    ("inside_deg", "bevel_each_deg", "butt_deg"),
    [(90, 45.0, 0.0), (100, 40.0, 10.0), (120, 30.0, 30.0), (135, 22.5, 45.0), (150, 15.0, 60.0)],
)
def test_equal_boards_share_the_angle(inside_deg, bevel_each_deg, butt_deg):
    """Exact geometry, as printed in bevel tables: bevel = (180 − inside angle) / 2, butt = |90 − angle|.

    The bevels of 4, 6, 8 and 12-sided boxes with upright sides (90, 120, 135, 150 degrees) are the 45, 30, 22.5 and 15
    degrees of every woodworker's table; Jansson, "Derivation of Equations for Compound Angles in the N-sided Box".
    """
    slabs, corners, findings = corner(inside_deg, 18, 18, seam("miter"))
    assert not findings
    at_c = next(c for c in corners if c.name == "C")
    assert at_c.first_tilt_deg == pytest.approx(bevel_each_deg, abs=1e-9)
    assert at_c.second_tilt_deg == pytest.approx(bevel_each_deg, abs=1e-9)
    assert covered_tilt(inside_deg) == pytest.approx(butt_deg)
    _, corners, _ = corner(inside_deg, 18, 18, seam("cover", over="a"))
    at_c = next(c for c in corners if c.name == "C")
    assert abs(at_c.first_tilt_deg) == pytest.approx(butt_deg, abs=1e-9)
    assert abs(at_c.second_tilt_deg) == pytest.approx(butt_deg, abs=1e-9)
    assert len(slabs) == 2


def test_unequal_miter_is_not_half_the_angle():
    """Worked by hand: θ = 105.78°, x = (18.0 + 11.8 cos θ) / sin θ = 15.372; atan(x / 11.8) = 52.49°.

    For the thick board (11.8 + 18.0 cos θ) / sin θ = 7.175; atan(7.175 / 18) = 21.73°. Halving gives 37.11° for both.
    """
    _, corners, _ = corner(105.78, 11.8, 18.0, seam("miter"))
    at_c = next(c for c in corners if c.name == "C")
    assert at_c.first_tilt_deg == pytest.approx(52.49, abs=0.01)
    assert at_c.second_tilt_deg == pytest.approx(21.73, abs=0.01)
    assert miter_tilts(105.78, 11.8, 18.0) == pytest.approx((52.49, 21.73), abs=0.01)


def test_acute_nose_miter_is_past_any_home_saw():
    """θ = 70°: 90 − 70 / 2 = 55° mitered, 90 − 70 = 20° covered. Plain geometry."""
    _, corners, _ = corner(70, 12, 12, seam("miter"))
    assert next(c for c in corners if c.name == "C").first_tilt_deg == pytest.approx(55.0)
    assert covered_tilt(70) == pytest.approx(20.0)


def test_square_butt_lengths():
    """A 400 mm run, square corner: the cover keeps 400, the other loses its 18. Arithmetic."""
    slabs, _, _ = corner(90, 18, 12, seam("cover", over="a"))
    a, b = slabs
    assert (a.show_length, a.back_length) == pytest.approx((400.0, 400.0))
    assert (b.show_length, b.back_length) == pytest.approx((382.0, 382.0))


def test_gap_moves_the_covered_panel_back():
    slabs, _, _ = corner(90, 18, 12, seam("gap", over="a", gap=1.5))
    assert slabs[1].show_length == pytest.approx(400.0 - 18.0 - 1.5)
    slabs, _, _ = corner(250, 18, 12, seam("gap", over="a", gap=2.0))
    plain, _, _ = corner(250, 18, 12, seam("cover", over="a"))
    # at a reflex corner the gap is square to the cover's show face: the panel is shorter by gap / sin
    lost = plain[1].show_length - slabs[1].show_length
    assert lost == pytest.approx(2.0 / math.sin(math.radians(250 - 180)))


@pytest.mark.parametrize("inside_deg", [180, 179, 165, 136, 181, 200, 224])
@pytest.mark.parametrize("over", ["a", "b"])
def test_a_gap_between_panels_that_go_on_in_each_other(inside_deg, over):
    """Ends cut alike, half the turn each, the gap square between them: a strip of 3 mm across both boards.

    Measured by shapely on the two sections, one thinner and set back by 2; plain geometry.
    """
    slabs, corners, findings = corner(
        inside_deg, 18, 12, seam("gap", over=over, gap=3.0), tilt_most=45.0, reveals=(0.0, 2.0)
    )
    assert not findings
    at_c = next(c for c in corners if c.name == "C")
    half = (180 - inside_deg) / 2
    assert at_c.first_tilt_deg == pytest.approx(half)
    assert at_c.second_tilt_deg == pytest.approx(half)
    a, b = (shapely.Polygon(slab.polygon) for slab in slabs)
    assert a.distance(b) == pytest.approx(3.0)
    on = math.radians(half)
    strip = shapely.LineString(
        [
            (1000 - 200 * math.sin(on), 200 * math.cos(on)),
            (1000 + 200 * math.sin(on), -200 * math.cos(on)),
        ]
    )
    kept, moved = (a, b) if over == "a" else (b, a)
    assert kept.distance(strip) == pytest.approx(0.0, abs=1e-6)
    assert moved.distance(strip) == pytest.approx(3.0)


@pytest.mark.parametrize("rounded", [-1e-12, 0.0, 1e-12])
def test_a_gap_at_a_corner_stays_behind_the_cover(rounded):
    """From 45 degrees on the panel that goes over covers, as before: 90 − 135 = 45, what a saw still tilts.

    Found among random cabinets: with corners on sixteenths of an inch the last digit of 45 decided.
    """
    _, corners, _ = corner(135 + rounded, 18, 18, seam("gap", over="a", gap=3.0))
    at_c = next(c for c in corners if c.name == "C")
    assert abs(at_c.first_tilt_deg) == pytest.approx(45.0)


def test_free_end_keeps_its_tilt_and_setback():
    wish = seam("free", tilt={"a": 10.0, "b": -5.0}, setback={"a": 3.0, "b": 0.0})
    slabs, _, _ = corner(90, 18, 12, wish)
    a, b = slabs
    assert a.show_length == pytest.approx(397.0)
    assert a.back_length == pytest.approx(397.0 - 18.0 * math.tan(math.radians(10)))
    assert b.back_length == pytest.approx(400.0 + 12.0 * math.tan(math.radians(5)))


def test_reflex_corner_stands_on_the_show_face():
    """A 72° lean on a level deck: the foot's tilt is 90 − 72 = 18°. Plain geometry."""
    slabs, corners, _ = corner(180 + 72, 12, 15, seam("cover", over="b"))
    at_c = next(c for c in corners if c.name == "C")
    assert abs(at_c.first_tilt_deg) == pytest.approx(18.0)
    a, b = slabs
    assert a.show_length == pytest.approx(400.0)  # it ends where the two show faces meet
    # the covering board runs on under it, to its back face: 12 / sin 72° further on the show face
    assert b.show_length == pytest.approx(400.0 + 12.0 / math.sin(math.radians(72)))


def test_past_the_saw_the_advice_is_a_miter_or_a_butt_that_can_be_sawn():
    _, corners, _ = corner(150, 12, 12, tilt_most=45.0)
    at_c = next(c for c in corners if c.name == "C")
    assert at_c.rule == "miter"  # a butt would need 60°
    _, corners, _ = corner(60, 12, 12, tilt_most=45.0)
    assert next(c for c in corners if c.name == "C").rule == "cover"  # a miter would need 60°


def test_a_panel_with_no_room_is_a_stop_and_not_a_crash():
    slabs, _, findings = corner(90, 18, 12, seam("cover", over="a"), side=15.0)
    assert [f.rule for f in findings] == ["panel.vanishes"]
    assert [s.panel for s in slabs] == ["a"]


def test_a_run_long_enough_is_named_and_is_enough():
    """18 of the first board leave -3 of a run of 15; 12 thick, it wants 12: 15 more, 30."""
    (finding,) = corner(90, 18, 12, seam("cover", over="a"), side=15.0)[2]
    assert "⟦15.0000↑⟧" in finding.remedies[0].text
    assert "⟦30.0000↑⟧" in finding.remedies[0].text
    slabs, _, findings = corner(90, 18, 12, seam("cover", over="a"), side=30.0)
    assert findings == ()
    assert min(slabs[1].show_length, slabs[1].back_length) == pytest.approx(12.0)


def test_cover_on_a_straight_corner_is_told():
    _, _, findings = corner(180, 12, 12, seam("cover", over="a"))
    assert {f.rule for f in findings} == {"seam.unusable"}
    assert {(f.remedies[0].field, f.remedies[0].value) for f in findings} == {
        ("seams.a/b.rule", "miter")
    }
    assert corner(180, 12, 12, seam("miter"))[2] == ()


angles = st.one_of(st.floats(35, 150), st.floats(215, 325))
boards = st.floats(3, 30)


@given(
    inside=angles,
    first=boards,
    second=boards,
    rule=st.sampled_from(["miter", "cover a", "cover b"]),
    reveals=st.tuples(st.floats(0, 5), st.floats(0, 5)),
)
def test_every_seam_is_closed_and_nothing_overlaps(inside, first, second, rule, reveals):
    """Law: the end faces lie on one line, and the sections share no area."""
    wish = seam("miter") if rule == "miter" else seam("cover", over=rule[-1])
    slabs, _, findings = corner(inside, first, second, wish, side=900.0, reveals=reveals)
    assert not findings
    a, b = slabs
    end, start = line_through(a.show_end, a.back_end), line_through(b.show_start, b.back_start)
    if rule == "miter":
        assert math.dist(a.show_end, b.show_start) < 1e-6
        assert math.dist(a.back_end, b.back_start) < 1e-6
    else:
        # the covered board's end face lies on a face of the covering one
        covered, cover = (start, a) if rule[-1] == "a" else (end, b)
        face = (
            (cover.show_start, cover.show_end)
            if inside > 180
            else (cover.back_start, cover.back_end)
        )
        line = line_through(*face)
        assert abs(line.offset(covered.point)) < 1e-6
        assert abs(line.offset(covered.at(first + second))) < 1e-6
    assert overlap(a.polygon, b.polygon) < 1e-6


def overlap(first: tuple[Point2, ...], second: tuple[Point2, ...]) -> float:
    """Shared area by shapely, which knows nothing of slabs. [mm²]"""
    from shapely.geometry import Polygon

    return Polygon(first).intersection(Polygon(second)).area


@given(inside=st.floats(30, 150), first=boards, second=boards)
def test_miter_tilts_add_up_to_the_supplement(inside, first, second):
    """Law: the cut plane divides the turn of the outline between the two boards."""
    one, two = miter_tilts(inside, first, second)
    assert one + two == pytest.approx(180 - inside)


def test_line_and_area_helpers():
    assert area([(0, 0), (2, 0), (2, 3), (0, 3)]) == 6
    line = Line((0.0, 0.0), (1.0, 0.0))
    assert line.shifted(2).point == (0.0, 2.0)
    assert line.offset((5.0, 3.0)) == 3.0
