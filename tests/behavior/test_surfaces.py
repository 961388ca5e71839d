"""Areas to paint against the meshes of the solids, and against boxes worked out by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.checks.bench import box, hole, subject_of

from casewright.behavior.surfaces import surfaces
from casewright.geometry.solids import local_solid
from casewright.workflow import open_project, work_out

EXAMPLES = Path(__file__).parents[2] / "examples"


def meshed(piece):
    """Areas of a solid's triangles: in the plane of the show face, of the back face, and all others."""
    points, triangles = local_solid(piece).mesh
    a, b, c = (points[triangles[:, i]] for i in range(3))
    crossed = np.cross(b - a, c - a)
    area = np.linalg.norm(crossed, axis=1) / 2
    level = (a[:, 2] + b[:, 2] + c[:, 2]) / 3
    flat = np.abs(crossed[:, 2]) > 0.999 * 2 * area
    show = flat & (np.abs(level) < 1e-6)
    back = flat & (np.abs(level + piece.thickness) < 1e-6)
    return area[show].sum(), area[back].sum(), area[~show & ~back].sum()


@pytest.mark.parametrize("name", ["library-duel", "mill-console", "speaker-case"])
def test_faces_are_those_of_the_solids(name):
    """A general mesh kernel (manifold3d) cuts every board; its triangles in the planes of the faces add up to them."""
    cabinet = work_out(open_project(EXAMPLES / f"{name}.cabinet.yaml")).cabinet
    found = surfaces(cabinet)
    assert found
    for surface in found:
        show, back, _ = meshed(cabinet.piece_by_key[surface.piece])
        assert surface.outside + surface.inside == pytest.approx(show + back, rel=2e-4)


def test_edges_and_rims_are_those_of_the_solids():
    """Of a deck with one chamfered opening: every triangle out of the planes of the faces."""
    opening = {"on": "deck", "shape": "rectangle", "u": 250, "v": 150, "width": 200, "height": 100}
    data = box(features=[{**opening, "radius": 10, "chamfer": 3}])
    cabinet = subject_of(data).cabinet
    deck = next(s for s in surfaces(cabinet) if s.piece == "deck")
    whole = cabinet.piece_by_key["deck"]
    _, _, rest = meshed(replace(whole, features=(whole.feature("own1"),)))
    assert deck.edges + deck.glued == pytest.approx(rest, rel=1e-3)


def test_a_box_by_hand():
    """Sides 300 × 200; base, back, deck and front stand between them: their ends at the sides are glue faces."""
    areas = {s.piece: s for s in surfaces(subject_of(box()).cabinet)}
    assert areas["left"].outside == pytest.approx(300 * 200)
    assert areas["left"].edges == pytest.approx(2 * (300 + 200) * 12)
    assert areas["left"].glued == 0
    deck = areas["deck"]  # covers front and back: its own long edges are free
    assert deck.outside == pytest.approx(576 * 300)
    assert deck.edges == pytest.approx(2 * 576 * 12)
    assert deck.glued == pytest.approx(2 * 300 * 12)
    front = areas["front"]  # against the deck above, the sides at both ends
    assert front.outside == pytest.approx(576 * (200 - 12))


def test_bores_of_parts_are_no_rims():
    plain = {s.piece: s for s in surfaces(subject_of(box()).cabinet)}
    bored = {s.piece: s for s in surfaces(subject_of(box(features=[hole(200, 150)])).cabinet)}
    assert bored["deck"].edges == pytest.approx(plain["deck"].edges)
    missing = plain["deck"].outside - bored["deck"].outside
    assert missing == pytest.approx(np.pi * 15**2, rel=1e-4)


def test_acrylic_and_metal_are_not_painted():
    data = box(materials={"ply": {"kind": "acrylic", "species": "acrylic-clear"}})
    assert surfaces(subject_of(data).cabinet) == ()
