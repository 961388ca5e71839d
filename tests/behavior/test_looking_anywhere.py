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
from casewright.geometry.model import Body
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
    ways = (eye - targets)[:, None]
    one, two = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    across = np.cross(ways, two)
    volume = np.einsum("tj,ptj->pt", one, across)
    flat = np.abs(volume) < 1e-9
    scale = 1 / np.where(flat, 1.0, volume)
    off = targets[:, None] - triangles[:, 0]
    u = np.einsum("ptj,ptj->pt", off, across) * scale
    turned = np.cross(off, one)
    v = np.einsum("ptj,pqj->pt", turned, ways) * scale
    t = np.einsum("tj,ptj->pt", two, turned) * scale
    before = (t * ways[:, :, 2] > NEAR_GLASS) & (t < 0.999)
    met = (u >= 0) & (v >= 0) & (u + v <= 1) & before & ~flat
    return met.any(axis=1)


@pytest.mark.parametrize("name", ["kiosk", "library-duel"])
def test_what_is_in_a_shadow_is_what_no_ray_reaches(name):
    """From low and odd places too, where faces are seen edge on; points on a shadow's rim are left out."""
    worked = work_out(open_project(EXAMPLES / f"{name}.cabinet.yaml"))
    rng = np.random.default_rng(7)
    for one in worked.behavior.sight.sightings:
        obstacles, outline = one.obstacles, one.throat.outline
        frame = np.array([one.throat.frame.u, one.throat.frame.v, one.throat.frame.n])
        triangles: dict[str, list[np.ndarray]] = {}
        for thing in obstacles.things:
            corners, faces = solid_of(thing).mesh
            key = thing.owner if isinstance(thing, Body) else thing.key
            there = (corners[faces] - np.array(one.throat.frame.origin)) @ frame.T
            triangles.setdefault(key, []).append(there)
        places = rng.uniform((-400, -1500, -100), (900, -50, 900), (6, 3))
        for eye in [*EDGE_ON, *(one.throat.frame.local(tuple(place)) for place in places)]:
            if eye[2] <= 1:
                continue
            hiding = shades(obstacles, eye, outline)
            areas = {shade.key: shade.area for shade in hiding}
            spots = rng.uniform(outline[:2], outline[2:], (40, 2))
            for key, there in triangles.items():
                dark = areas.get(key, shapely.Polygon())
                inner = spots[~(shapely.distance(dark.boundary, shapely.points(spots)) < 1.0)]
                targets = np.column_stack([inner, np.zeros(len(inner))])
                told = shapely.contains_xy(dark, inner[:, 0], inner[:, 1])
                assert (told == is_hit(np.array(eye), targets, np.concatenate(there))).all(), key
            for limit in (1.0, 10.0, 60.0):
                larger = any(shade.size > limit for shade in hiding)
                assert is_shaded(obstacles, eye, outline, limit) == larger
