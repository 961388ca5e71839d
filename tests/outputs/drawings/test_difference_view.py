"""The picture of what is different: each line is where plain geometry puts it, before grey and after strong."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.outputs.drawings.sheets_bench import EXAMPLES

from casewright.geometry import model
from casewright.geometry.model import Cabinet
from casewright.outputs.difference import changed_pieces
from casewright.outputs.drawings.difference_view import LEGEND, difference_drawing
from casewright.outputs.drawings.marks import Circle, Drawing, Polyline, Text
from casewright.workflow import build_up, open_text

LAP = (EXAMPLES / "lap-controller.cabinet.yaml").read_text("utf-8")


def cabinet(text: str) -> Cabinet:
    return build_up(open_text(text)).cabinet


@pytest.fixture(scope="module")
def before() -> Cabinet:
    return cabinet(LAP)


def circles(drawing: Drawing, pen: str) -> list[Circle]:
    return [m for m in drawing.marks if isinstance(m, Circle) and m.pen == pen]


def test_a_wider_cabinet_shows_every_panel_by_the_difference(before: Cabinet) -> None:
    """1 in wider: each spanning board's old outline ends 25.4 mm before the new one, at their shared datum corner."""
    assert "\n  width: 18\n" in LAP
    after = cabinet(LAP.replace("\n  width: 18\n", "\n  width: 19\n", 1))
    changed = changed_pieces(before, after)
    assert {"deck", "base", "back"} <= set(changed) and "left" not in changed
    drawing = difference_drawing(before, after, changed)
    (title,) = [m for m in drawing.marks if isinstance(m, Text) and m.text == "deck, show face"]
    near = [
        m
        for m in drawing.marks
        if isinstance(m, Polyline) and min(abs(x - title.at[0]) for x, _ in m.points) < 0.01
    ]
    wide = {
        pen: max(
            max(x for x, _ in m.points) - min(x for x, _ in m.points) for m in near if m.pen == pen
        )
        for pen in ("dimension", "visible")
    }
    assert wide["visible"] - wide["dimension"] == pytest.approx(25.4, abs=0.01)
    words = [m.text for m in drawing.marks if isinstance(m, Text)]
    assert set(LEGEND) <= set(words)
    size = drawing.bounds
    assert size.width * drawing.scale < 300 and size.height * drawing.scale < 230


def test_a_moved_button_alone_is_blue(before: Cabinet) -> None:
    """One hole moved: it is drawn grey where it was and blue where it is; the others stay as they are."""
    deck = before.piece_by_key["deck"]
    hole = next(f for f in deck.features if f.key.startswith("b1"))
    assert isinstance(hole.shape, model.Circle)
    moved = replace(hole, shape=replace(hole.shape, u=hole.shape.u + 6.0))
    features = tuple(moved if f.key == hole.key else f for f in deck.features)
    pieces = tuple(replace(p, features=features) if p.key == "deck" else p for p in before.pieces)
    after = replace(before, pieces=pieces)
    assert changed_pieces(before, after) == ("deck",)
    drawing = difference_drawing(before, after, ("deck",))
    (blue,) = circles(drawing, "accent")
    grey = min(
        circles(drawing, "dimension"), key=lambda c: abs(abs(c.centre[0] - blue.centre[0]) - 6.0)
    )
    assert blue.radius == pytest.approx(grey.radius)
    assert abs(blue.centre[0] - grey.centre[0]) == pytest.approx(6.0, abs=1e-6)
    assert blue.centre[1] == pytest.approx(grey.centre[1], abs=1e-6)


def test_nothing_changed_is_drawn_without_blue(before: Cabinet) -> None:
    assert changed_pieces(before, before) == ()
    drawing = difference_drawing(before, before, ())
    lines = [m for m in drawing.marks if isinstance(m, Polyline) and m.pen == "accent"]
    assert lines == [] and circles(drawing, "accent") == []
