"""A panel from its show face with the bought parts in it: what is seen in ink, what is behind in dashes."""

from __future__ import annotations

from casewright.basics.errors import InputError
from casewright.basics.units import LengthStyle
from casewright.geometry import model
from casewright.geometry.model import Body, Cabinet, Piece
from casewright.outputs.drawings.face_view import FaceView
from casewright.outputs.drawings.feature_marks import feature_box, feature_outline
from casewright.outputs.drawings.ground import Ground
from casewright.outputs.drawings.heading import unit_words
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.marks import (
    Box,
    Circle,
    Drawing,
    Mark,
    Material,
    Motion,
    Pen,
    Point,
    Polyline,
    Region,
    Text,
    bounds,
    rectangle,
)
from casewright.outputs.drawings.scales import ROOM, fitting_scales, scale_words

AROUND = (8.0, 24.0)
"""Names beside and words above the panel, on paper. [mm]"""
FLUSH = 0.05
"""Parts that reach out over the show face by more than this are seen. [mm]"""


def deck_view(
    cabinet: Cabinet,
    panel: str,
    style: LengthStyle,
    *,
    room: tuple[float, float] = ROOM,
) -> Drawing:
    """Draw a panel as it looks when its parts are in.

    Args:
        cabinet: The cabinet.
        panel: Key of the panel.
        style: The user's unit.
        room: Width and height that the drawing may take on the page. [mm]

    Returns:
        The panel's outermost layer from its show face at (0, 0), with its openings; parts over it in ink, parts and
        cleats behind it in dashes; every part with its name.

    Raises:
        InputError: There is no such panel.
    """
    stack = [p for p in cabinet.pieces if p.panel == panel and p.kind in ("overlay", "panel")]
    stack = stack or [p for p in cabinet.pieces if p.key == panel]
    if not stack:
        known = ", ".join(cabinet.shape.panels)
        raise InputError("panel", got=panel, want=f"one of {known}")
    outer = stack[0]
    drawing = None
    for scale in fitting_scales(outer.width, outer.height, room, around=AROUND):
        marks = _drawn(cabinet, outer, stack, style, scale)
        drawing = Drawing(f"{stack[-1].label}, parts", marks, unit=style.unit, scale=scale)
        if drawing.bounds.width * scale <= room[0] and drawing.bounds.height * scale <= room[1]:
            break
    assert drawing is not None, "there is always a smallest scale"
    return drawing


def _drawn(
    cabinet: Cabinet, outer: Piece, stack: list[Piece], style: LengthStyle, scale: float
) -> tuple[Mark, ...]:
    view = FaceView(outer, "show")
    spare = 60.0 / scale
    room = Box(-spare, -spare, view.box.right + spare, view.box.top + spare)
    ground = Ground(scale, room, part=view.near)
    ground.block_edges(view.near)
    keys = {piece.key for piece in stack}
    placed = [p for p in cabinet.placed if p.piece in keys]
    owners = {p.key for p in placed}
    bodies = [b for b in cabinet.bodies if b.owner in owners and b.kind == "solid"]
    holes: list[Circle | Polyline] = []
    for feature in outer.features:
        if feature.depth is None and feature.kind in ("hole", "opening", "notch"):
            outline = feature_outline(feature.shape).through(view.motion)
            holes.append(outline)
            ground.block(feature_box(feature, view.motion))
    # What is lit shows through the openings: first it, then the panel round them.
    marks: list[Mark] = []
    for body in bodies:
        lit = _body_outline(body, outer, view.motion)
        if body.look == "lit" and lit is not None:
            marks.append(Region(lit, material="lit"))
    marks.append(Region(Polyline(view.near), tuple(holes), material="face"))
    marks.append(Polyline(view.near))
    marks += [_penned(hole, "thin") for hole in holes]
    for body in sorted(bodies, key=lambda b: _reach(b, outer)):
        if not _swallowed(body, bodies, outer, view.motion):
            marks += _body_marks(body, outer, view.motion)
        seen = _body_outline(body, outer, view.motion)
        if seen is not None:
            ground.block_edges(_square(bounds([seen])))
    names: list[Mark] = []
    for part in placed:
        u, v, _ = outer.frame.local(part.frame.origin)
        at = view.point((u, v))
        mine = [b for b in bodies if b.owner == part.key]
        about = _about(mine, outer, view.motion, at)
        ground.block(about)
        label = part.label or part.part.label or part.key
        inside = min(about.width, about.height) * scale > 20.0
        backing: Material | None = None if inside else "face"
        names += ground.tag((label,), about, backing=backing, inside=inside)
    marks += names
    top = bounds(marks, scale).top
    words = (
        f"show face, {figure(view.box.width, style)} × {figure(view.box.height, style)}"
        f"  ·  scale {scale_words(scale)}  ·  sizes in {unit_words(style)}"
    )
    marks.append(Text((0.0, top + 4.0 / scale), words, 2.5))
    return tuple(marks)


def _body_marks(body: Body, outer: Piece, motion: Motion) -> tuple[Mark, ...]:
    outline = _body_outline(body, outer, motion)
    if outline is None:
        return ()
    if _reach(body, outer) <= FLUSH:
        return (_penned(outline, "hidden"),)
    material = "lit" if body.look == "lit" else "part"
    return (Region(outline, material=material), _penned(outline, "visible"))  # type: ignore[arg-type]


def _body_outline(body: Body, outer: Piece, motion: Motion) -> Circle | Polyline | None:
    """As seen square to the panel; None for a part that stands askew to it."""
    tilt = sum(a * b for a, b in zip(body.frame.n, outer.frame.n, strict=True))
    if abs(abs(tilt) - 1.0) > 1e-6:
        return None

    def at(u: float, v: float) -> Point:
        local = outer.frame.local(body.frame.point(u, v, 0.0))
        return motion.point((local[0], local[1]))

    shape = body.shape
    if isinstance(shape, model.Cylinder):
        return Circle(at(shape.u, shape.v), max(shape.diameter, shape.top_diameter or 0.0) / 2)
    a, b = shape.width / 2, shape.height / 2
    corners = ((-a, -b), (a, -b), (a, b), (-a, b))
    return Polyline(tuple(at(shape.u + du, shape.v + dv) for du, dv in corners))


def _reach(body: Body, outer: Piece) -> float:
    """How far a body reaches out over the show face. [mm]"""
    ends = [
        body.frame.point(body.shape.u, body.shape.v, n)
        for n in (body.shape.n_low, body.shape.n_high)
    ]
    return max(outer.frame.local(end)[2] for end in ends)


def _about(bodies: list[Body], outer: Piece, motion: Motion, at: Point) -> Box:
    """Round what is seen of a part, else round all of it, else round its middle."""
    known = [(body, _body_outline(body, outer, motion)) for body in bodies]
    there = [(body, outline) for body, outline in known if outline is not None]
    seen = [outline for body, outline in there if _reach(body, outer) > FLUSH]
    outlines = seen or [outline for _, outline in there]
    if not outlines:
        return bounds([rectangle(Box(*at, *at).grown(1.0))])
    return bounds(outlines)


def _swallowed(body: Body, bodies: list[Body], outer: Piece, motion: Motion) -> bool:
    """Behind the panel and inside of another such outline of its part: dashes on dashes would read as a full line."""
    mine = _body_outline(body, outer, motion)
    if mine is None or _reach(body, outer) > FLUSH:
        return False
    box = bounds([mine]).grown(-0.01)
    for other in bodies:
        if other is body or other.owner != body.owner or _reach(other, outer) > FLUSH:
            continue
        theirs = _body_outline(other, outer, motion)
        if theirs is None:
            continue
        whole = bounds([theirs])
        if (
            box.left > whole.left
            and box.right < whole.right
            and box.bottom > whole.bottom
            and box.top < whole.top
        ):
            return True
    return False


def _square(box: Box) -> tuple[Point, ...]:
    return (
        (box.left, box.bottom),
        (box.right, box.bottom),
        (box.right, box.top),
        (box.left, box.top),
    )


def _penned(outline: Circle | Polyline, pen: Pen) -> Circle | Polyline:
    if isinstance(outline, Circle):
        return Circle(outline.centre, outline.radius, pen)
    return Polyline(outline.points, outline.bulges, True, pen)


__all__ = ["deck_view"]
