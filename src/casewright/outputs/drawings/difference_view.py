"""Two states of a cabinet in one picture: what it was in narrow grey, what it is in wide lines, what is changed blue.

Side view cut through the middle, the cabinet in space, and the faces of changed pieces stand at one scale.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace

from casewright.geometry.model import Cabinet, FaceName, Feature, Piece
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.feature_marks import feature_outline
from casewright.outputs.drawings.hidden_lines import SeenLine, lines_of, project_lines
from casewright.outputs.drawings.lettering import shortened, text_width
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Line,
    Mark,
    Motion,
    Pen,
    Polyline,
    Text,
    bounds,
)
from casewright.outputs.drawings.section_view import piece_slices
from casewright.outputs.drawings.viewpoint import VIEWS

ROOM = (277.0, 190.0)
"""Width and height of the picture: a page of A4 on its side. [mm]"""
GAP = 9.0
"""Between two views, and above one for its name. [mm on paper]"""
LETTER = 3.0
NAMED = 40.0
"""Longest name above a narrow view; longer ones are shortened. [mm on paper]"""
SMALL = ("cleat", "rail", "strip", "duct", "batten")
"""Kinds of piece that come last."""
MOST = 9
"""Faces of changed pieces that are drawn; more are named in the list."""
WAS: Pen = "dimension"
IS: Pen = "visible"
CHANGED: Pen = "accent"
LEGEND = ("as it was", "as it is", "changed or new")


def difference_drawing(
    before: Cabinet,
    after: Cabinet,
    changed: Sequence[str],
    *,
    room: tuple[float, float] = ROOM,
) -> Drawing:
    """Draw what is different.

    Args:
        before: The first state.
        after: The second state.
        changed: Keys of the pieces that differ, are new or are gone.
        room: Width and height on the page. [mm]
    """
    pieces = {**before.piece_by_key, **after.piece_by_key}
    keys = sorted(
        (key for key in changed if key in pieces), key=lambda key: pieces[key].kind in SMALL
    )
    views = [
        ("side view, cut", _side(before, after, set(keys))),
        ("the cabinet", _space(before, after, set(keys))),
        *(view for key in keys[:MOST] for view in _faces(before, after, key)),
    ]
    drawn = [(name, tuple(marks), bounds(marks)) for name, marks in views if marks]
    names = [min(text_width(name, LETTER, "bold"), NAMED) for name, _, _ in drawn]
    scale, places = _packed([box for _, _, box in drawn], names, room)
    marks: list[Mark] = []
    for (name, mine, box), (left, top) in zip(drawn, places, strict=True):
        motion = Motion(left - box.left, top - box.top)
        marks += [mark.through(motion) for mark in mine]
        words = shortened(name, max(box.width * scale, NAMED), height=LETTER)
        marks.append(Text((left, top + 2.0 / scale), words, LETTER, weight="bold"))
    marks += _legend(bounds(marks, scale), scale)
    return Drawing("what is different", tuple(marks), scale=scale)


def _packed(
    boxes: Sequence[Box], names: Sequence[float], room: tuple[float, float]
) -> tuple[float, list[tuple[float, float]]]:
    """The largest scale at which the boxes stand in rows in the room, and the upper left corner of each.

    None comes nearer to the next than its name is long on paper. [mm]
    """
    scale = 1.0
    while True:
        gap = GAP / scale
        x = y = row = 0.0
        places = []
        for box, name in zip(boxes, names, strict=True):
            wide = max(box.width, name / scale)
            if x > 0 and (x + wide) * scale > room[0]:
                x, y, row = 0.0, y - row - gap - GAP / scale, 0.0
            places.append((x, y))
            x, row = x + wide + gap, max(row, box.height)
        wide = max(box.width for box in boxes)
        if (row - y + 2 * gap) * scale <= room[1] and wide * scale <= room[0]:
            return scale, places
        scale *= 0.95


def _legend(box: Box, scale: float) -> Iterator[Mark]:
    level, x = box.bottom - 7.0 / scale, 0.0
    for words, pen in zip(LEGEND, (WAS, IS, CHANGED), strict=True):
        yield Line((x, level), (x + 12.0 / scale, level), pen)
        yield Text((x + 14.0 / scale, level), words, LETTER, vertical="middle")
        x += 52.0 / scale


def _side(before: Cabinet, after: Cabinet, changed: Collection[str]) -> list[Mark]:
    """Both cut through their middles, seen from the right."""
    marks: list[Mark] = []
    for cabinet, pen in ((before, WAS), (after, IS)):
        outline = tuple(cabinet.shape.corners.values())
        marks.append(Polyline(outline, pen=pen if pen == WAS else "thin"))
        at = cabinet.shape.width / 2
        for piece in cabinet.pieces:
            mine: Pen = CHANGED if pen == IS and piece.key in changed else pen
            marks += (Polyline(outer, pen=mine) for outer, _ in piece_slices(piece, at))
    return marks


def _space(before: Cabinet, after: Cabinet, changed: Collection[str]) -> list[Mark]:
    """The second state as it is seen, over the lines of what has changed of the first."""
    view = VIEWS["cover"]
    old = [p for p in before.pieces if p.key in changed]
    marks = list(_seen(lines_of(old, view, least=1.0).visible, WAS)) if old else []
    for line in project_lines(after, view, bodies=False, least=1.0).visible:
        marks += _seen([line], CHANGED if line.key in changed else "thin")
    return marks


def _seen(lines: Iterable[SeenLine], pen: Pen) -> Iterator[Mark]:
    for line in lines:
        points = line.points[:-1] if line.is_closed else line.points
        if len(points) > 1:
            yield Polyline(points, closed=line.is_closed, pen=pen)


def _faces(before: Cabinet, after: Cabinet, key: str) -> Iterator[tuple[str, list[Mark]]]:
    """The show face of a piece in both states, and its back face where something there has changed too."""
    was, now = before.piece_by_key.get(key), after.piece_by_key.get(key)
    piece = now or was
    assert piece is not None
    gone = "" if now else ", gone"
    gone = gone if was else ", new"
    show = list(_face(was, now, "show"))
    back = list(_face(was, now, "back"))
    differ = [_told(was, face) != _told(now, face) for face in ("show", "back")]
    resized = was is None or now is None or _edges(was) != _edges(now)
    if resized or differ[0] or not differ[1]:
        yield f"{piece.label}{gone}, show face", show
    if differ[1]:
        yield f"{piece.label}{gone}, back face", back


def _face(was: Piece | None, now: Piece | None, face: FaceName) -> Iterator[Mark]:
    old = {f.key: f for f in was.features if f.face == face} if was else {}
    if was:
        view = FaceView(was, face)
        yield Polyline(view.near, pen=WAS)
        yield from (_outline(view, feature, WAS) for feature in old.values())
    if now:
        view = FaceView(now, face)
        yield Polyline(view.near, pen=IS)
        known = _told(was, face)
        for feature in now.features:
            if feature.face == face:
                same = known.get(feature.key) == _place(view, feature)
                yield _outline(view, feature, IS if same else CHANGED)


def _edges(piece: Piece) -> list[tuple[float, float]]:
    return [(round(x, 1), round(y, 1)) for x, y in FaceView(piece, "show").near]


def _outline(view: FaceView, feature: Feature, pen: Pen) -> Circle | Polyline:
    return replace(feature_outline(feature.shape).through(view.motion), pen=pen)


def _told(piece: Piece | None, face: FaceName) -> dict[str, tuple[float, ...]]:
    """Where each feature of a face is, from the corner it is measured from."""
    if piece is None:
        return {}
    view = FaceView(piece, face)
    return {f.key: _place(view, f) for f in piece.features if f.face == face}


def _place(view: FaceView, feature: Feature) -> tuple[float, ...]:
    box = bounds([feature_outline(feature.shape).through(view.motion)])
    return tuple(
        round(x, 1) for x in (box.left, box.bottom, box.right, box.top, feature.depth or 0)
    )


__all__ = ["LEGEND", "difference_drawing"]
