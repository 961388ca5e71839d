"""What the board shows of the side view, as plain JSON: the outline, what is in it, who looks at it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import partial

from casewright.basics.units import LengthStyle, format_length
from casewright.faces.web.components.board_marks import (
    Json,
    dimension_mark,
    fine,
    from_drawing,
    grid_step,
    line_mark,
    writing,
)
from casewright.geometry.model import Body, Cabinet, Corner, Cylinder, Point2, Point3
from casewright.geometry.slabs import goes_on
from casewright.geometry.viewers import viewers
from casewright.outputs.drawings.section_view import body_corners, cut_piece, lit_ends, silhouette
from casewright.session.grips import RUN

EYE = "eye:"
"""Keys of eyes begin so; the person's number from 1 follows. No key of a project has a colon."""
RING = 24
"""Points that stand for the rim of a cylinder. They lie on it, so the outline is at most 1 % of the radius inside."""
EYES = (0.9, 0.3)
"""Eyes up to here in front of the cabinet and above it are in sight, as shares of its larger side."""
SIGHT_ROOM = 0.35
"""Shown in front of the cabinet where no eye is in sight."""
ROOM = 0.07
"""Shown on the other sides."""
SQUARE = 0.05
"""Tilts below this are a square cut. Nobody sets a blade finer. [degrees]"""

_WAYS = {"miter": "mitered", "gap": "with a gap", "free": "ends as given"}


def side_scene(
    cabinet: Cabinet, style: LengthStyle, *, movable: Collection[str] | None = None
) -> Json:
    """The side view from the right: y to the right, z up.

    Args:
        cabinet: The cabinet.
        style: The user's unit.
        movable: Keys of the corners that can be dragged; left out, all of them. A recipe's pull at a wish.
    """
    shape = cabinet.shape
    corners = shape.corners
    free = cabinet.project.shape.recipe == "outline"
    can_move = set(corners) if movable is None else set(movable)
    low, high = _box(corners.values())
    bodies, wood = list(_bodies(cabinet)), list(_wood(cabinet))
    size = partial(format_length, style=style, with_unit=False, glyphs="typeset")
    ends = lit_ends(cabinet)
    eyes = _eyes(cabinet, tuple(ends.values()))
    return {
        "id": "side",
        "kind": "side",
        "title": "side view, from the right",
        "about": f"The cabinet from the right, {format_length(high[0] - low[0], style)} deep, "
        f"{format_length(high[1] - low[1], style)} high, {len(corners)} corners.",
        "axes": ["y", "z"],
        "writing": writing(style),
        "grid": grid_step(style),
        "extent": _extent(*_box([low, high, *_points([*bodies, *wood])]), eyes),
        "outline": list(corners),
        "layers": [
            {
                "key": "inside",
                "marks": [line_mark(corners.values(), "thin", fill="inside")],
            },
            {"key": "bodies", "marks": bodies},
            {"key": "wood", "marks": wood},
            {
                "key": "lit",
                "marks": [line_mark(pair, "accent", closed=False) for pair in ends.values()],
            },
            {
                "key": "size",
                "marks": [
                    dimension_mark((high[0], low[1]), low, size(high[0] - low[0]), off=40),
                    dimension_mark(high, (high[0], low[1]), size(high[1] - low[1]), off=36),
                ],
            },
        ],
        "eyes": eyes,
        "corners": [
            {
                "key": key,
                "label": f"corner {key}",
                "at": [point[0], point[1]],
                "movable": key in can_move,
                "wished": not free,
                "says": "" if free else "follows from the wishes; a pull sets one",
            }
            for key, point in corners.items()
        ],
        "runs": list(_runs(cabinet, free)),
        "seams": [_seam(cabinet, corner) for corner in cabinet.corners],
        "items": [],
    }


def _runs(cabinet: Cabinet, free: bool) -> Iterator[Json]:
    """Whole edges, each held by its middle; it moves square to itself."""
    shape = cabinet.shape
    for run in shape.runs:
        label = shape.panels[run.panel].label or run.panel if run.panel in shape.panels else "open"
        (ay, az), (by, bz) = run.p, run.q
        yield {
            "key": f"{RUN}{run.start}-{run.end}",
            "label": f"edge {run.start}-{run.end}, {label}",
            "at": fine(((ay + by) / 2, (az + bz) / 2)),
            "normal": fine((run.direction[1], -run.direction[0])),
            "length": round(run.length, 2),
            "movable": True,
            "wished": True,
            "says": "moves square to itself; the slopes beside it stay"
            if free
            else "follows from the wishes; a pull sets one",
        }


def _box(points: Iterable[Sequence[float]]) -> tuple[Point2, Point2]:
    """Lowest and highest corner of the box round points."""
    ys, zs = zip(*points, strict=True)
    return (min(ys), min(zs)), (max(ys), max(zs))


def _points(marks: Sequence[Json]) -> Iterator[Sequence[float]]:
    """All that lines and areas go through."""
    for mark in marks:
        yield from mark.get("points", ())
        for ring in mark.get("rings", ()):
            yield from ring


def _extent(low: Point2, high: Point2, eyes: Sequence[Json]) -> list[float]:
    """What "all of it" shows: the cabinet with what stands under and on it, and eyes that are not far off."""
    most = max(high[0] - low[0], high[1] - low[1])
    left, top = (low[0] - SIGHT_ROOM * most if eyes else low[0]), high[1]
    for y, z in (eye["at"] for eye in eyes):
        if y >= low[0] - EYES[0] * most and z <= high[1] + EYES[1] * most:
            left, top = min(left, y), max(top, z)
    room = ROOM * most
    return [left - room, low[1] - room, high[0] + room, top + room]


def _wood(cabinet: Cabinet) -> Iterator[Json]:
    """Every piece but the sides, cut through the cabinet's middle; the far side is seen behind them."""
    x = cabinet.shape.width / 2
    for piece in cabinet.pieces:
        if piece.kind != "side":
            yield from from_drawing(cut_piece(cabinet, piece, x, everything=True))


def _bodies(cabinet: Cabinet) -> Iterator[Json]:
    """Bought parts as seen from the right, equal outlines once."""
    seen: set[tuple[tuple[float, float], ...]] = set()
    for body in cabinet.bodies:
        if body.kind != "solid":
            continue
        outline = silhouette(_rim(body))
        key = tuple(sorted((round(y, 1), round(z, 1)) for y, z in outline))
        if len(outline) >= 3 and key not in seen:
            seen.add(key)
            yield line_mark(outline, "soft", fill="lit" if body.look == "lit" else "part")


def _rim(body: Body) -> tuple[Point3, ...]:
    """Points whose hull is the body's."""
    shape = body.shape
    if not isinstance(shape, Cylinder):
        return body_corners(body)
    top = shape.diameter if shape.top_diameter is None else shape.top_diameter
    return tuple(
        body.frame.point(
            shape.u + diameter / 2 * math.cos(turn), shape.v + diameter / 2 * math.sin(turn), n
        )
        for n, diameter in ((shape.n_low, shape.diameter), (shape.n_high, top))
        for turn in (2 * math.pi * step / RING for step in range(RING))
    )


def _eyes(cabinet: Cabinet, lit: tuple[tuple[Point2, Point2], ...]) -> list[Json]:
    """Everybody's eye with the lines of sight to the ends of what is lit."""
    project = cabinet.project
    everybody = viewers(project, cabinet.parts, width=cabinet.shape.width)
    return [
        {
            "key": f"{EYE}{number}",
            "label": viewer.label,
            "at": fine(viewer.eye[1:]),
            "movable": True,
            "wished": True,
            "says": "its person's distance and height follow it",
            "sights": [fine(end) for pair in lit for end in pair],
        }
        for number, viewer in enumerate(everybody, start=1)
        if lit
    ]


def _seam(cabinet: Cabinet, corner: Corner) -> Json:
    labels = {key: panel.label or key for key, panel in cabinet.shape.panels.items()}
    first, second = (labels.get(key, key) for key in (corner.first, corner.second))
    tilts = (corner.first_tilt_deg, corner.second_tilt_deg)
    words = [
        f"{label}: {_tilt_words(tilt)}"
        for label, key, tilt in (
            (first, corner.first, tilts[0]),
            (second, corner.second, tilts[1]),
        )
        if key
    ]
    if not corner.wished:
        words.append("chosen for you")
    return {
        "key": f"seam-{corner.name}",
        "corner": corner.name,
        "panels": [key for key in (corner.first, corner.second) if key],
        "at": fine(corner.point),
        "inward": _inward(cabinet, corner),
        "title": _title(corner, first, second),
        "words": words,
        "tag": _tag(tilts),
        "wished": corner.wished,
    }


def _title(corner: Corner, first: str, second: str) -> str:
    if not corner.first or not corner.second:
        return f"{first or second} ends free"
    if corner.rule == "gap" and goes_on(180 - corner.inside_deg):
        return f"{first} and {second}, {_WAYS[corner.rule]}"
    if corner.rule in ("cover", "gap"):
        over, under = (first, second) if corner.over == corner.first else (second, first)
        return f"{over} covers {under}" + (", with a gap" if corner.rule == "gap" else "")
    return f"{first} and {second}, {_WAYS[corner.rule]}"


def _tilt_words(tilt: float) -> str:
    if abs(tilt) < SQUARE:
        return "cut square"
    return f"saw tilt {abs(tilt):.1f}°, long point on the {'show' if tilt > 0 else 'back'} face"


def _tag(tilts: tuple[float, float]) -> str:
    a, b = (abs(tilt) for tilt in tilts)
    if max(a, b) < SQUARE:
        return ""
    return f"{a:.1f}°" if abs(a - b) < SQUARE else f"{a:.1f}° / {b:.1f}°"


def _inward(cabinet: Cabinet, corner: Corner) -> list[float]:
    """Unit vector from the corner into the cabinet, halfway between its two runs."""
    names = list(cabinet.shape.corners)
    index = names.index(corner.name)
    points = list(cabinet.shape.corners.values())
    here, before, after = points[index], points[index - 1], points[(index + 1) % len(points)]
    start = math.atan2(after[1] - here[1], after[0] - here[0])
    back = math.atan2(before[1] - here[1], before[0] - here[0])
    # Counter-clockwise round the outline, the inside lies from the way on to the way back.
    middle = start + ((back - start) % (2 * math.pi)) / 2
    return [round(math.cos(middle), 6) + 0.0, round(math.sin(middle), 6) + 0.0]


__all__ = ["EYE", "side_scene"]
