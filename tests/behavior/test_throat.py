"""What an opening hides: by the published matrix of shadows on a plane, and by rays against the panel's solid."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize, minimize_scalar
from tests.behavior.sight_bench import LIT, screen, sighting
from tests.checks.bench import cures, subject_of

from casewright.behavior.clear_sheets import ClearSheet, inset, light_through, shift, slope_to
from casewright.behavior.seeing import Sighting, View
from casewright.behavior.throat import edges_seen, seen_area
from casewright.checks.rules import sight_throat
from casewright.geometry.solids import solid_of

BELOW = {"eye": 20, "distance": 250}
"""An eye well under the picture's middle, near by."""


def shadow_matrix(eye: tuple[float, float, float]) -> np.ndarray:
    """J. F. Blinn, Me and my (fake) shadow, IEEE Computer Graphics and Applications 8 (1), 1988, from memory.

    The shadow of points on the plane n · p = 0 from a light l is (n · l) I − l nᵀ, in homogeneous coordinates.
    """
    light, plane = np.array([*eye, 1.0]), np.array([0.0, 0.0, 1.0, 0.0])
    return float(plane @ light) * np.eye(4) - np.outer(light, plane)


def shadows(one: Sighting, view: View) -> list[float]:
    """What each edge hides, by the matrix: left, lower, right, upper."""
    half = (LIT[0] / 2, LIT[1] / 2)
    hidden = [-np.inf] * 4
    for level in one.throat.levels:
        left, lower, right, upper = level.sides
        corners = np.array([(left, lower, level.depth, 1.0), (right, upper, level.depth, 1.0)])
        flat = corners @ shadow_matrix(view.eye).T
        (u0, v0), (u1, v1) = flat[:, :2] / flat[:, 3:]
        for i, value in enumerate((u0 + half[0], v0 + half[1], half[0] - u1, half[1] - v1)):
            hidden[i] = max(hidden[i], value)
    return hidden


@pytest.mark.parametrize("chamfer", [0, 3, 8])
@pytest.mark.parametrize("margin", [-2, 0, 1.5])
@pytest.mark.parametrize("eye", [(20, 250, 0), (320, 300, 260), (95, 400, -400)])
def test_hidden_is_the_shadow_of_the_throat(chamfer, margin, eye):
    height, distance, aside = eye
    person = {"eye": height, "distance": distance, "aside": aside}
    one = sighting(screen(person, opening={"chamfer": chamfer, "margin": margin}))
    (view,) = one.views
    assert [edge.hidden for edge in view.edges] == pytest.approx(shadows(one, view), abs=1e-9)


def test_by_hand():
    """Panel 12 thick, eye 60 over the picture's upper edge and 250 before the panel: 60 × 12 ÷ 250 = 2.88 hidden."""
    middle = sighting(screen(BELOW)).throat.frame.origin[2]
    (view,) = sighting(screen({"eye": middle + LIT[1] / 2 + 60, "distance": 250})).views
    hidden = {edge.name: edge.hidden for edge in view.edges}
    assert hidden["upper"] == pytest.approx(2.88)
    assert hidden["lower"] == pytest.approx(0.0)  # the edge itself, on the glass
    assert view.share == pytest.approx(1 - 2.88 / LIT[1])


def test_a_display_set_back_shows_less():
    """Spacers and glass behind its frame count like panel: the depth adds up."""
    near = sighting(screen(BELOW))
    set_back = sighting(screen(BELOW, display={"glass_setback": 4}))
    assert set_back.throat.depth == pytest.approx(near.throat.depth + 4) == pytest.approx(16)
    assert set_back.views[0].hidden > near.views[0].hidden


def test_what_is_seen_is_what_rays_reach():
    """Rays from the eye to a grid on the glass, against every triangle of the panel (Möller and Trumbore, 1997)."""
    person = {"eye": 10, "distance": 120, "aside": 190}
    data = screen(person, opening={"chamfer": 4, "corner_radius": 15})
    subject = subject_of(data)
    assert subject.behavior is not None
    (one,) = subject.behavior.sight.sightings
    (view,) = one.views
    points, triangles = solid_of(subject.cabinet.piece_by_key["front"]).mesh
    a, b, c = (points[triangles[:, i]] for i in range(3))
    eye = np.array(view.viewer.eye)
    us = (np.arange(100) + 0.5) / 100 * LIT[0] - LIT[0] / 2
    vs = (np.arange(60) + 0.5) / 60 * LIT[1] - LIT[1] / 2
    reached = 0
    for u in us:
        goals = np.array([one.throat.frame.point(float(u), float(v), 1e-6) for v in vs])
        reached += int((~_hit(eye, goals, a, b, c)).sum())
    assert view.share < 0.97
    assert reached / 6000 == pytest.approx(view.share, abs=0.004)


def _hit(eye, goals, a, b, c):
    """Whether the way from the eye to each goal meets a triangle."""
    way = (goals - eye)[:, None, :]
    e1, e2 = b - a, c - a
    p = np.cross(way, e2[None])
    det = (p * e1).sum(-1)
    safe = np.where(np.abs(det) < 1e-12, 1.0, det)
    t = eye - a
    u = (p * t).sum(-1) / safe
    q = np.cross(t, e1)
    v = (way * q).sum(-1) / safe
    along = (e2 * q).sum(-1) / safe
    meets = (u >= 0) & (v >= 0) & (u + v <= 1) & (along > 0) & (along < 1) & (np.abs(det) >= 1e-12)
    return meets.any(axis=1)


@settings(max_examples=12, deadline=None)
@given(
    st.floats(1, 1500), st.floats(110, 1500), st.floats(-700, 700), st.sampled_from([0.0, 3.0, 9.0])
)
def test_the_margin_and_the_chamfer_that_are_asked_hide_nothing(eye, distance, aside, chamfer):
    person = {"eye": eye, "distance": distance, "aside": aside}
    one = sighting(screen(person, opening={"chamfer": chamfer}))
    margin = max(one.margin_asked(chamfer, up=up) for up in (False, True))
    wide = sighting(screen(person, opening={"chamfer": chamfer, "margin": margin}))
    assert wide.views[0].hidden <= 1e-6
    if margin > 0.01:
        little = sighting(screen(person, opening={"chamfer": chamfer, "margin": 0.98 * margin}))
        assert little.views[0].hidden > 1e-6
    asked = one.chamfer_asked
    if chamfer < asked <= 11.9:
        cut = sighting(screen(person, opening={"chamfer": asked}))
        assert cut.views[0].hidden <= 1e-6


def test_more_chamfer_never_hides_more():
    shares = [
        sighting(screen(BELOW, opening={"chamfer": c})).views[0].share for c in (0, 2, 4, 6, 8)
    ]
    assert shares == sorted(shares)
    assert shares[0] < shares[-1]


def test_from_behind_nothing_is_seen():
    one = sighting(screen(BELOW))
    eye = one.throat.frame.local((300.0, 200.0, 100.0))
    assert eye[2] < 0
    assert edges_seen(one.throat, eye) == ()
    assert seen_area(one.throat, eye).is_empty


# ---- glass over the picture ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("glass", [1.0, 3.0, 6.0])
def test_glass_hides_what_light_of_the_shortest_time_leaves(glass):
    """Fermat: from a point of the picture to the eye light takes the way of least time, n 1.52 in the glass.

    scipy finds that way for points along the middle column; the outermost one whose way clears the opening's edges is
    where the hidden strip ends. Nothing of Snell's law is used.
    """
    plain, covered = (sighting(screen(BELOW, display={"glass": t})) for t in (0.0, glass))
    eye = covered.views[0].eye
    edge = next(e for e in covered.views[0].edges if e.hidden > 0.5)
    index = ("left", "lower", "right", "upper").index(edge.name)
    outward, lit = (-1.0 if index < 2 else 1.0), covered.throat.outline[index]
    aside, over = outward * (eye[index % 2] - lit), eye[2]

    def clears(point: float) -> float:
        """Least room between the light's way and every level; s counted outward from the picture's edge."""
        way = minimize_scalar(
            lambda s: 1.52 * math.hypot(s - point, glass) + math.hypot(aside - s, over),
            bounds=(point - 1, point + 3 * glass + 1),
            method="bounded",
            options={"xatol": 1e-9},
        )
        leaves = way.x
        room = []
        for level in covered.throat.levels:
            at = leaves + (aside - leaves) * level.depth / over
            room.append(outward * (level.sides[index] - lit) - at)
        return min(room)

    ends = brentq(clears, -60.0, 0.0)
    assert -ends == pytest.approx(edge.hidden, abs=1e-3)
    assert edge.hidden > plain.views[0].hidden


def test_a_margin_and_a_chamfer_for_glass_hide_nothing():
    data = screen({"eye": 300, "distance": 250}, display={"glass": 3})
    cures(sight_throat, data)
    one = sighting(data)
    bare = sighting(screen({"eye": 300, "distance": 250}))
    assert one.margin_asked(0.0, up=True) > bare.margin_asked(0.0, up=True)
    wide = one.margin_asked(0.0, up=True)
    data["parts"]["screen"]["placed"][0]["opening"]["margin"] = wide
    assert max(e.hidden for e in sighting(data).views[0].edges) == pytest.approx(0.0, abs=1e-6)
    assert sighting(data).views[0].share == pytest.approx(1.0, abs=1e-9)


# ---- clear sheets before the opening ---------------------------------------------------------------------------------


def test_a_clear_sheet_shifts_a_line_of_sight():
    """At 45° a sheet of 3 mm shifts the line by t × (tan θ − tan θ′): 1.4 mm toward seeing more, by Snell's law.

    Refractive index of acrylic 1.49: table 2 of an article on wedge-shaped light guide plates, International Journal of
    Polymer Science 2013.
    """
    lean = math.radians(45)
    within = math.asin(math.sin(lean) / 1.49)
    moved = shift(1.0, [ClearSheet("", 0.0, 3.0, 1.49)])
    assert moved == pytest.approx(3 * (math.tan(lean) - math.tan(within)))
    assert 1.3 < moved < 1.45
    assert inset(1.0, 1.0) == pytest.approx(math.tan(math.asin(math.sin(lean) / 1.52)))


ABOVE = {"eye": 300, "distance": 250}


def covered_screen(kind: str = "acrylic", thickness: float = 3.0, **more: Any) -> dict[str, Any]:
    """The screen behind its panel's clear overlay, seen from well above."""
    data = screen(ABOVE, **more)
    species = {"acrylic": "acrylic-clear", "polycarbonate": "polycarbonate"}[kind]
    data["materials"]["clear"] = {
        "kind": kind,
        "species": species,
        "nominal": thickness,
        "measured": thickness,
    }
    data["panels"]["front"]["layers"] = [{"key": "shield", "material": "clear"}]
    return data


@pytest.mark.parametrize(("kind", "index"), [("acrylic", 1.49), ("polycarbonate", 1.585)])
@pytest.mark.parametrize(("thickness", "glass"), [(3.0, 0.0), (10.0, 0.0), (6.0, 3.0)])
def test_a_sheet_hides_what_light_of_the_shortest_time_leaves(kind, index, thickness, glass):
    """Fermat, as above: the way of least time through picture glass, air, clear sheet and air; no law of Snell."""
    display = {"glass": glass} if glass else {}
    bare = sighting(screen(ABOVE, display=display))
    one = sighting(covered_screen(kind, thickness, display=display))
    (sheet,) = one.throat.sheets
    assert (sheet.depth, sheet.thickness) == pytest.approx((one.throat.depth, thickness))
    eye = one.views[0].eye
    edge = next(e for e in one.views[0].edges if e.hidden > 0.5)
    index_of = ("left", "lower", "right", "upper").index(edge.name)
    outward, lit = (-1.0 if index_of < 2 else 1.0), one.throat.outline[index_of]
    aside, over = outward * (eye[index_of % 2] - lit), eye[2]
    low, high = sheet.depth, sheet.depth + thickness

    def clears(point: float) -> float:
        """Least room between the light's way and every level; s counted outward from the picture's edge."""

        def time(at: np.ndarray) -> float:
            leaves, into, out_of = at if glass else (point, *at)
            return float(
                1.52 * math.hypot(leaves - point, glass)
                + math.hypot(into - leaves, low)
                + index * math.hypot(out_of - into, thickness)
                + math.hypot(aside - out_of, over - high)
            )

        guess = point + (aside - point) / over * np.array([glass, low, high])
        way = minimize(time, guess if glass else guess[1:], method="BFGS", options={"gtol": 1e-10})
        out_of_glass, into = way.x[:2] if glass else (point, way.x[0])
        room = []
        for level in one.throat.levels:
            at = out_of_glass + (into - out_of_glass) * level.depth / low
            room.append(outward * (level.sides[index_of] - lit) - at)
        return min(room)

    ends = brentq(clears, -60.0, 0.0, xtol=1e-6)
    assert -ends == pytest.approx(edge.hidden, abs=2e-3)
    assert edge.hidden < bare.views[0].hidden
    seen = one.views[0].seen.bounds
    assert outward * (seen[index_of] - lit) == pytest.approx(-edge.hidden, abs=1e-6)


def test_a_margin_and_a_chamfer_behind_a_sheet_hide_nothing():
    data = covered_screen(thickness=5.0)
    cures(sight_throat, data)
    wide = sighting(data).margin_asked(0.0, up=True)
    assert wide < sighting(screen(ABOVE)).margin_asked(0.0, up=True)
    data["parts"]["screen"]["placed"][0]["opening"]["margin"] = wide
    assert max(e.hidden for e in sighting(data).views[0].edges) == pytest.approx(0.0, abs=1e-6)


def test_more_room_at_the_edge_that_hides():
    """What `more` asks for at the deciding edge leaves nothing hidden there."""
    edge = next(e for e in sighting(covered_screen()).views[0].edges if e.hidden > 0.5)
    data = covered_screen()
    data["parts"]["screen"]["placed"][0]["opening"]["margin"] = edge.more
    after = next(e for e in sighting(data).views[0].edges if e.name == edge.name)
    assert after.hidden == pytest.approx(0.0, abs=1e-9)


def test_light_through_acrylic_is_as_published():
    """More than 92 % of the light: table 2 of the article above; window glass about as much: common practice."""
    assert 0.92 < light_through([ClearSheet("", 0, 3, 1.49)], 0.0) < 0.93
    assert light_through([ClearSheet("", 0, 3, 1.52)], 0.0) == pytest.approx(0.92, abs=0.005)
    (view,) = sighting(covered_screen()).views
    assert 0.85 < view.light < 0.93
    (plain,) = sighting(screen(ABOVE)).views
    assert plain.light == 1.0


def test_light_through_a_sheet_at_brewsters_angle():
    """At tan θ = n one polarization passes whole; of the other ((n² − 1) ÷ (n² + 1))² is thrown back at each face.

    E. Hecht, Optics, Fresnel's equations and Brewster's law, from memory.
    """
    n = 1.5
    face = ((n * n - 1) / (n * n + 1)) ** 2
    other = (1 - face) / (1 + face)
    angle = math.degrees(math.atan(n))
    assert light_through([ClearSheet("", 0, 3, n)], angle) == pytest.approx((1 + other) / 2)


@given(
    aside=st.floats(-2000, 2000),
    over=st.floats(100, 3000),
    thickness=st.floats(0.5, 20),
    index=st.floats(1.3, 1.8),
)
def test_the_slope_through_a_sheet_leads_to_the_eye(aside, over, thickness, index):
    sheets = (ClearSheet("", 0.0, thickness, index),)
    slope = slope_to(aside, over, sheets)
    reached = slope * (over - thickness) + inset(slope, thickness, index)
    assert reached == pytest.approx(aside, abs=1e-6)
