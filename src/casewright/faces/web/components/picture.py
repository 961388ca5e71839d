"""The cabinet as a line picture, for browsers that cannot draw it in space."""

from __future__ import annotations

from collections import Counter

from casewright.basics.wording import counted
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.hidden_lines import project_lines
from casewright.outputs.drawings.marks import Drawing, Polyline
from casewright.outputs.drawings.svg import write_svg
from casewright.outputs.drawings.viewpoint import VIEWS, View

_LINES_PER_MM = 0.4  # line widths against the picture: as on a sheet at 1:2.5


def line_picture(cabinet: Cabinet, view: View = VIEWS["cover"]) -> str:
    """The cabinet's visible edges as an SVG document."""
    lines = project_lines(cabinet, view, least=1.0).visible
    marks = tuple(
        Polyline(
            line.points[:-1] if line.is_closed else line.points, closed=line.is_closed, pen="thin"
        )
        for line in lines
    )
    return write_svg(Drawing(cabinet.project.name, marks), scale=_LINES_PER_MM)


def picture_text(cabinet: Cabinet) -> str:
    """What the picture shows, in words: the pieces and how many bought parts are on each."""
    on = Counter(placed.piece for placed in cabinet.placed)
    pieces = [
        f"{piece.label} ({on[piece.key]} parts)" if on[piece.key] else piece.label
        for piece in cabinet.pieces
    ]
    return f"{counted(len(pieces), 'piece')}: {', '.join(pieces)}."


__all__ = ["line_picture", "picture_text"]
