"""Words in the picture of the heat stand in the air or beside the cabinet, never across its outline."""

from __future__ import annotations

import pytest
import shapely
from tests.outputs.drawings.sheets_bench import EXAMPLES, example

from casewright.basics.units import Unit
from casewright.outputs.drawings.marks import Polyline, Text
from casewright.outputs.topics.heat import sheet
from casewright.workflow import Worked, open_text, starter_text, work_out

NAMES = sorted(path.name.partition(".")[0] for path in EXAMPLES.glob("*.cabinet.yaml"))


def words_and_crossed(made: Worked) -> tuple[list[str], list[str]]:
    """What is told of the air, and what of it crosses the largest outline of the drawing."""
    heat = sheet(made.cabinet, made.behavior)
    if heat is None:
        return [], []
    drawing = heat.pictures[0].drawing
    shapes = [shapely.Polygon(m.points) for m in drawing.marks if isinstance(m, Polyline)]
    ring = max(shapes, key=lambda shape: shape.area).exterior
    words = [mark for mark in drawing.marks if isinstance(mark, Text)]
    crossed = [w for w in words if ring.intersects(shapely.Polygon(w.corners(drawing.scale)))]
    return [word.text for word in words], [word.text for word in crossed]


@pytest.mark.parametrize("name", NAMES)
def test_words_about_the_air_keep_off_the_outline(name: str) -> None:
    words, crossed = words_and_crossed(example(name))
    heat = example(name).behavior.heat
    assert bool(words) == (heat is not None and heat.power_w > 0)
    assert [word for word in crossed if word.startswith("inside")] == []


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_in_a_tall_slim_cabinet_they_do_too(unit: Unit) -> None:
    """Its side view is so narrow on paper that one line of words is wider than the inside."""
    text = starter_text("standing", name="slim", unit=unit, display="display-32", players=2)
    words, crossed = words_and_crossed(work_out(open_text(text)))
    assert any(word.startswith("inside") for word in words)
    assert crossed == []
