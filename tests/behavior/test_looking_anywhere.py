"""Sight and content on random cabinets: what holds for every one, whatever its shape and wherever people stand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from tests.strategies import as_project, examples, known, project_data

from casewright.behavior.content import showing_of
from casewright.behavior.shading import NEAR_GLASS, is_shaded, shades
from casewright.behavior.sight import sight_of
from casewright.catalog.load import load_catalog
from casewright.geometry.build import build_cabinet
from casewright.geometry.fastening import screw_sizes
from casewright.geometry.solids import solid_of
from casewright.workflow import open_project, work_out

CATALOG = load_catalog()
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


@settings(max_examples=examples(40), suppress_health_check=SLOW, deadline=None)
@given(data=project_data())
def test_shares_are_shares_and_what_is_asked_hides_nothing(data):
    project = as_project(data)
    cabinet = build_cabinet(project, known(project), screw_sizes(CATALOG, project.unit))
    sight = sight_of(cabinet)
    for one in sight.sightings:
        for view in one.views:
            assert -1e-9 <= view.share <= 1 + 1e-9
            assert view.off_square_deg >= 0
            for shade in view.shades:
                assert shade.area.area <= view.area * (1 + 1e-9)
            if view.hidden > 1e-6 and one.throat.levels:
                assert view.share < 1
        for up in (False, True):
            asked = one.margin_asked(one.chamfer, up=up)
            if asked <= one.margins[up] + 1e-9 and abs(one.throat.depth - one.through) < 1e-6:
                names = ("lower", "upper") if up else ("left", "right")
                edges = [e for view in one.playing for e in view.edges if e.name in names]
                assert all(edge.hidden <= 1e-6 for edge in edges)
    assert len({number.key for number in sight.numbers}) == len(sight.numbers)
    for screen in showing_of(cabinet, CATALOG).screens:
        assert screen.room.width >= 0 and screen.room.height >= 0
        for fit in screen.own.shown:
            assert 0 < fit.share <= 1 + 1e-9


EXAMPLES = Path(__file__).parents[2] / "examples"

EDGE_ON = [
    (-312.1993314763587, -588.4344819762273, 144.08138497021858),
    (453.0392626017597, -1102.6219836088796, 119.42951792762034),
]
"""Where shadows that were joined without a grid lost much of their area in the kiosk."""


def is_hit(eye: np.ndarray, targets: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    """Whether the way from each target to the eye meets a triangle. Source: Möller and Trumbore, 1997."""
    ways = eye - targets
    one, two = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    hit = np.zeros(len(targets), dtype=bool)
    for i, (target, way) in enumerate(zip(targets, ways, strict=True)):
        across = np.cross(way, two)
        volume = np.einsum("ij,ij->i", one, across)
        flat = np.abs(volume) < 1e-9
        scale = 1 / np.where(flat, 1.0, volume)
        off = target - triangles[:, 0]
        u = np.einsum("ij,ij->i", off, across) * scale
        turned = np.cross(off, one)
        v = turned @ way * scale
        t = np.einsum("ij,ij->i", two, turned) * scale
        met = (u >= 0) & (v >= 0) & (u + v <= 1) & (t * way[2] > NEAR_GLASS) & (t < 0.999) & ~flat
        hit[i] = met.any()
    return hit


@pytest.mark.parametrize("name", ["kiosk", "library-duel"])
def test_what_is_in_a_shadow_is_what_no_ray_reaches(name):
    """From low and odd places too, where faces are seen edge on; points on a shadow's rim are left out."""
    worked = work_out(open_project(EXAMPLES / f"{name}.cabinet.yaml"))
    rng = np.random.default_rng(7)
    for one in worked.behavior.sight.sightings:
        obstacles, outline = one.obstacles, one.throat.outline
        frame = np.array([one.throat.frame.u, one.throat.frame.v, one.throat.frame.n])
        meshes = [(solid_of(thing).mesh, thing) for thing in obstacles.things]
        triangles = np.concatenate([points[faces] for (points, faces), _ in meshes])
        triangles = (triangles - np.array(one.throat.frame.origin)) @ frame.T
        places = rng.uniform((-400, -1500, -100), (900, -50, 900), (12, 3))
        for eye in [*EDGE_ON, *(one.throat.frame.local(tuple(place)) for place in places)]:
            if eye[2] <= 1:
                continue
            hiding = shades(obstacles, eye, outline)
            dark = shapely.union_all([shade.area for shade in hiding], grid_size=1e-7)
            spots = rng.uniform(outline[:2], outline[2:], (80, 2))
            points = shapely.points(spots)
            spots = spots[shapely.distance(dark.boundary, points) > 1.0]
            targets = np.column_stack([spots, np.zeros(len(spots))])
            told = shapely.contains_xy(dark, spots[:, 0], spots[:, 1])
            assert (told == is_hit(np.array(eye), targets, triangles)).all(), eye
            for limit in (1.0, 10.0, 60.0):
                larger = any(shade.size > limit for shade in hiding)
                assert is_shaded(obstacles, eye, outline, limit) == larger
