"""Sight and content on random cabinets: what holds for every one, whatever its shape and wherever people stand."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from tests.strategies import as_project, examples, known, project_data

from casewright.behavior.content import showing_of
from casewright.behavior.sight import sight_of
from casewright.catalog.load import load_catalog
from casewright.geometry.build import build_cabinet
from casewright.geometry.fastening import screw_sizes

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
