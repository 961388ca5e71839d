"""Pieces by hand, the examples worked out, and what lettering covers."""

from functools import cache
from itertools import combinations
from pathlib import Path

from shapely.geometry import Polygon

from casewright.geometry.model import Feature, Frame, Piece
from casewright.outputs.drawings.marks import Drawing, Text
from casewright.outputs.drawings.part_view import PartSheet, part_drawings
from casewright.workflow import Worked, open_project, work_out

EXAMPLES = Path(__file__).parents[3] / "examples"
NAMES = ("library-duel", "mill-console")
UPRIGHT = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))


@cache
def example(name: str) -> Worked:
    """An example project, worked out once for all tests."""
    return work_out(open_project(EXAMPLES / f"{name}.cabinet.yaml"))


@cache
def sheets_of(name: str) -> tuple[PartSheet, ...]:
    """An example's sheets of pieces, drawn once for all tests."""
    worked = example(name)
    return tuple(part_drawings(worked.cabinet, worked.opened.style))


def board(
    width: float = 300.0,
    height: float = 200.0,
    *features: Feature,
    thickness: float = 12.0,
    upper_back: float = 0.0,
    at: tuple[float, float] = (0.0, 0.0),
    **more: object,
) -> Piece:
    """A board whose upper edge on the back face reaches `upper_back` beyond the show face. [mm]"""
    u, v = at
    show = ((u, v), (u + width, v), (u + width, v + height), (u, v + height))
    high = v + height + upper_back
    back = ((u, v), (u + width, v), (u + width, high), (u, high))
    words = {"key": "board", "label": "board", "kind": "panel", "role": "other", "material": "ply"}
    return Piece(
        **{**words, **more},
        thickness=thickness,
        frame=UPRIGHT,
        show=show,
        back=back,
        features=features,
        panel="board",
    )


def crossing_words(drawing: Drawing) -> list[tuple[str, str]]:
    """Pairs of lettering that cover each other by more than 0.3 mm² on paper."""
    texts = [mark for mark in drawing.simple() if isinstance(mark, Text)]
    shapes = [Polygon(text.corners(drawing.scale)) for text in texts]
    return [
        (a.text, b.text)
        for (a, p), (b, q) in combinations(zip(texts, shapes, strict=True), 2)
        if p.intersection(q).area * drawing.scale**2 > 0.3
    ]
