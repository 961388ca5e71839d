"""What holds for every outline that a recipe gives."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from tests.strategies import as_project, known, outline_data, recipe_data

from casewright.basics.errors import InputErrors
from casewright.basics.reckoning import total
from casewright.catalog.kinds import Display
from casewright.geometry.display_face import display_face
from casewright.geometry.model import SolvedShape
from casewright.geometry.recipes import solve_shape


def is_outline(shape: SolvedShape) -> bool:
    """Simple and counter-clockwise, by shapely (GEOS)."""
    ring = shapely.LinearRing(list(shape.corners.values()))
    return bool(ring.is_simple and ring.is_ccw)


@settings(max_examples=150)
@given(recipe_data())
def test_parts_alone_give_a_simple_outline_without_a_stop(data):
    project = as_project(data)
    shape = solve_shape(project, known(project))
    assert is_outline(shape)
    assert [f.rule for f in shape.findings if f.severity.value == "stop"] == []
    assert shape.width > 0


@settings(max_examples=150)
@given(recipe_data(free=False))
def test_any_wishes_give_a_simple_outline_or_say_which_is_wrong(data):
    project = as_project(data)
    try:
        shape = solve_shape(project, known(project))
    except InputErrors as refused:
        assert all(error.field.startswith("shape.") for error in refused.errors)
        return
    assert is_outline(shape)
    for finding in shape.findings:
        assert finding.remedies


@settings(max_examples=60)
@given(recipe_data())
def test_inches_and_millimeters_give_the_same_outline(data):
    made = []
    for unit in ("mm", "in"):
        project = as_project(data, unit)
        made.append(solve_shape(project, known(project)))
    metric, inches = made
    assert metric.width == pytest.approx(inches.width, abs=1e-9)
    assert metric.corners.keys() == inches.corners.keys()
    for name, point in metric.corners.items():
        assert point == pytest.approx(inches.corners[name], abs=1e-6)
    assert [run.panel for run in metric.runs] == [run.panel for run in inches.runs]


@settings(max_examples=60)
@given(recipe_data(("tabletop", "standing")))
def test_a_screen_is_as_long_as_housing_margins_and_ends(data):
    """Housing and twice the margin, and not more than the panels at both ends can take."""
    project = as_project(data)
    parts = known(project)
    shape = solve_shape(project, parts)
    part = parts["display"].data
    assert isinstance(part, Display)
    face = display_face(part, project.parts["display"].placed[0].turn)
    run = next(run for run in shape.runs if run.panel == "screen")
    shown = face.housing_height + 2 * project.shape.screen_margin
    thick = sum(m.thickness for m in project.materials.values())
    assert shown - 1e-6 <= run.length <= shown + 3 * thick
    number = next(n for n in shape.numbers if n.key == "shape.screen_length")
    assert number.value == pytest.approx(run.length)


@settings(max_examples=60)
@given(recipe_data(free=False))
def test_numbers_that_are_sums_are_the_sum_of_their_terms(data):
    project = as_project(data)
    try:
        shape = solve_shape(project, known(project))
    except InputErrors:
        return
    keys = [n.key for n in shape.numbers]
    assert len(keys) == len(set(keys))
    for number in shape.numbers:
        if number.terms and not number.formula:
            assert total("", "", number.terms).value == pytest.approx(number.value)
    by_key = {n.key: n.value for n in shape.numbers}
    assert by_key["shape.height"] == pytest.approx(max(z for _, z in shape.corners.values()))
    assert by_key["shape.depth"] == pytest.approx(max(y for y, _ in shape.corners.values()))
    assert by_key["shape.width"] == pytest.approx(shape.width)


@settings(max_examples=60)
@given(outline_data())
def test_random_free_outlines_are_outlines(data):
    project = as_project(data)
    shape = solve_shape(project, known(project))
    assert is_outline(shape)
    assert all(math.isfinite(run.length) and run.length > 0 for run in shape.runs)
