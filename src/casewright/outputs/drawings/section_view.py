"""The whole cabinet cut from front to back, seen from the right: y to the right, z up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from casewright.basics.units import LengthStyle
from casewright.catalog.kinds import Display
from casewright.geometry import model
from casewright.geometry.columns import cut_groups
from casewright.geometry.cuts import cut_of
from casewright.geometry.facets import TOLERANCE
from casewright.geometry.model import Body, Cabinet, Feature, Piece, Placed, Point2, Point3
from casewright.geometry.solids import body_solid, piece_solid
from casewright.geometry.viewers import front_and_underside, viewers
from casewright.outputs.drawings.dimensions import SAME, linear
from casewright.outputs.drawings.ground import Ground
from casewright.outputs.drawings.heading import unit_words
from casewright.outputs.drawings.hole_table import figure
from casewright.outputs.drawings.marks import (
    Box,
    Drawing,
    Line,
    Mark,
    Point,
    Polyline,
    Region,
    Text,
    bounds,
)
from casewright.outputs.drawings.piece_section import material_of
from casewright.outputs.drawings.scales import SIDE_ROOM, fitting_scales, scale_words
from casewright.outputs.drawings.side_view import inside_angle

AROUND = (60.0, 42.0)
"""Room for lines of sight, dimensions and words, on paper. [mm]"""
SIGHT = 24.0
"""Shown of a line of sight in front of the cabinet, on paper. [mm]"""
OVER = 10.0
"""Shown of it above the cabinet, on paper. [mm]"""
THIN = 0.5
"""Slices smaller than this in both directions are left out. [mm]"""
NEAR = 1.0
"""From a feature on within which a cut may meet it, as far as rounding goes. [mm]"""
TO_SECTION = ((0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0))
"""Carries (x, y, z) to (y, z, x), so that a level slice is a cut at one x."""


def side_section(
    cabinet: Cabinet,
    style: LengthStyle,
    *,
    x: float | None = None,
    sight: bool = True,
    room: tuple[float, float] = SIDE_ROOM,
) -> Drawing:
    """Draw the cabinet cut at one x.

    Args:
        cabinet: The cabinet.
        style: The user's unit.
        x: Where it is cut; left out, through its middle, and all bought parts are shown as if they stood there. [mm]
        sight: Draw the lines of sight of everybody in front of it to the ends of the lit areas.
        room: Width and height that the drawing may take on the page. [mm]

    Returns:
        Cut wood and plastic hatched, with all layers; bought parts outlined; the outline's corners with their names
        and angles; the lit areas in blue; dimensions over all.

    Source:
        Plain geometry: slices of the same solids that the collision test uses.
    """
    around = _whole(cabinet)
    at = cabinet.shape.width / 2 if x is None else x
    drawing = None
    for scale in fitting_scales(around.width, around.height, room, around=AROUND):
        marks = _drawn(cabinet, style, at, everything=x is None, sight=sight, scale=scale)
        drawing = Drawing("side view, cut", marks, unit=style.unit, scale=scale)
        if drawing.bounds.width * scale <= room[0] and drawing.bounds.height * scale <= room[1]:
            break
    assert drawing is not None, "there is always a smallest scale"
    return drawing


def _drawn(
    cabinet: Cabinet,
    style: LengthStyle,
    x: float,
    *,
    everything: bool,
    sight: bool,
    scale: float,
) -> tuple[Mark, ...]:
    corners = tuple(cabinet.shape.corners.items())
    outline = tuple(point for _, point in corners)
    around = bounds([Polyline(outline)])
    ground = Ground(scale, part=outline)
    ground.block_edges(outline)
    # The far side is seen behind all that is cut.
    marks: list[Mark] = [
        Region(Polyline(outline), material="paper"),
        Polyline(outline, pen="thin"),
    ]
    bodies = list(_bodies(cabinet.bodies, x, everything=everything))
    for mark in bodies:
        if isinstance(mark, Polyline):
            ground.block_edges(mark.points)
    marks += bodies
    for piece in cabinet.pieces:
        if piece.kind != "side":
            marks += cut_piece(cabinet, piece, x, everything=everything)
    lit = lit_ends(cabinet)
    for low, high in lit.values():
        marks.append(Line(low, high, "accent"))
    if sight:
        marks += _sight(cabinet, tuple(lit.values()), around, ground, scale)
    for index, (name, point) in enumerate(corners):
        before, after = corners[index - 1][1], corners[(index + 1) % len(corners)][1]
        about = Box(*point, *point).grown(0.6 / scale)
        words = (f"{name} {inside_angle(before, point, after):.1f}°",)
        marks += ground.tag(words, about, weight="bold", backing="paper")
    for slab in cabinet.slabs:
        a, b = slab.show_start, slab.show_end
        label = cabinet.shape.panels[slab.panel].label or slab.panel
        # the cabinet's inside is left of every run
        thick = slab.thickness * scale
        offsets = (-2.8, thick + 2.8, -5.2, thick + 5.4)
        marks += ground.along(label, a, b, offsets=offsets, backing="paper")
    marks += _over_all(marks, around, _whole(cabinet), style, scale)
    where = "cut through the middle" if everything else f"cut at x = {figure(x, style)}"
    note = f"seen from the right, {where}  ·  scale {scale_words(scale)}  ·  sizes in {unit_words(style)}"
    whole = bounds(marks, scale)
    lines = [note, *(eye_words(cabinet, style) if sight and lit else ())]
    for number, line in enumerate(reversed(lines)):
        marks.append(Text((whole.left, whole.top + (4.0 + 4.0 * number) / scale), line, 2.5))
    return tuple(marks)


def cut_piece(
    cabinet: Cabinet, piece: Piece, x: float, *, everything: bool = False
) -> tuple[Mark, ...]:
    """A piece cut at x, hatched by its material; a board behind the cut is outlined, other wood if everything is."""
    material = material_of(piece, cabinet.project)
    marks: list[Mark] = []
    for shape in piece_slices(piece, x):
        outer, holes = Polyline(shape[0], pen="thin"), [Polyline(h) for h in shape[1]]
        marks += [Region(outer, tuple(holes), material=material), outer]
        marks += [Polyline(hole.points, pen="thin") for hole in holes]
    corners = _corners(piece)
    behind = piece.kind == "board" and max(p[0] for p in corners) <= x
    if not marks and (behind or (everything and piece.kind in ("cleat", "rail"))):
        hull = silhouette(corners)
        marks += (
            [Polyline(hull, pen="thin" if piece.kind == "board" else "phantom")] if hull else []
        )
    return tuple(marks)


def piece_slices(
    piece: Piece, x: float
) -> tuple[tuple[tuple[Point, ...], tuple[tuple[Point, ...], ...]], ...]:
    """The cut of a piece at x as (outline, holes) in (y, z).

    Of its features only those are made that the cut may meet: most pieces have many holes, and a cut meets few.
    """
    xs = [point[0] for point in _corners(piece)]
    if not min(xs) < x < max(xs):
        return ()
    met = tuple(feature for feature in piece.features if _reaches(piece, feature, x))
    return slices(piece_solid(replace(piece, features=met)), x)


def _corners(piece: Piece) -> list[Point3]:
    """Of both faces, in the cabinet frame."""
    show = [piece.frame.point(u, v) for u, v in piece.show]
    return show + [piece.frame.point(u, v, -piece.thickness) for u, v in piece.back]


def _reaches(piece: Piece, feature: Feature, x: float) -> bool:
    """Whether the plane at x comes near a feature, its chamfer counted."""
    (group,) = cut_groups((cut_of(feature),), piece.thickness, TOLERANCE)
    left, down, right, up = group.extent
    corners = [
        (u, v, n) for u in (left, right) for v in (down, up) for n in (0.0, -piece.thickness)
    ]
    xs = [piece.frame.point(*corner)[0] for corner in corners]
    beside = feature.chamfer + NEAR
    return min(xs) - beside < x < max(xs) + beside


def slices(
    solid: object, x: float
) -> tuple[tuple[tuple[Point, ...], tuple[tuple[Point, ...], ...]], ...]:
    """The cut of a solid at x as (outline, holes) in (y, z)."""
    import numpy as np
    from manifold3d import Manifold
    from shapely.geometry import Polygon

    assert isinstance(solid, Manifold)
    low, high = solid.bounding_box()[0], solid.bounding_box()[3]
    if not low < x < high:
        return ()
    section = solid.transform(np.array(TO_SECTION)).slice(x)
    rings = [Polygon(ring) for ring in section.to_polygons() if len(ring) >= 3]
    rings = sorted((r for r in rings if r.area > THIN * THIN), key=lambda r: -r.area)
    found: list[tuple[Polygon, list[Polygon]]] = []
    for ring in rings:
        holder = next((item for item in reversed(found) if item[0].contains(ring)), None)
        depth = sum(other.contains(ring) for other in rings if other is not ring)
        if depth % 2 and holder is not None:
            holder[1].append(ring)
        else:
            found.append((ring, []))
    return tuple((_points(outer), tuple(_points(h) for h in holes)) for outer, holes in found)


def silhouette(points: Iterable[Point3]) -> tuple[Point, ...]:
    """Outline of a convex thing seen from the right."""
    from shapely import multipoints
    from shapely.geometry import Polygon

    hull = multipoints([(y, z) for _, y, z in points]).convex_hull  # all points at once
    return _points(hull) if isinstance(hull, Polygon) else ()


def lit_ends(cabinet: Cabinet) -> dict[str, tuple[Point2, Point2]]:
    """Lower and upper end of every display's lit area in (y, z), by the placed part's key."""
    ends = {}
    for placed in cabinet.placed:
        if isinstance(placed.part.data, Display):
            found = _lit(cabinet, placed)
            if found is not None:
                ends[placed.key] = found
    return ends


def _lit(cabinet: Cabinet, placed: Placed) -> tuple[Point2, Point2] | None:
    """From the body that shows its picture, which geometry has put in its place."""
    for body in cabinet.bodies:
        if body.owner == placed.key and body.look == "lit":
            points = body_corners(body)
            front = [p for p in points if body.frame.local(p)[2] >= _front(body) - 1e-6]
            ordered = sorted(front, key=lambda p: (p[2], p[1]))
            return (ordered[0][1], ordered[0][2]), (ordered[-1][1], ordered[-1][2])
    return None


def _front(body: Body) -> float:
    return body.shape.n_high


def body_corners(body: Body) -> tuple[Point3, ...]:
    """Corners of the box round a body, in the cabinet frame."""
    shape = body.shape
    if isinstance(shape, model.Box):
        half_u, half_v = shape.width / 2, shape.height / 2
    else:
        half_u = half_v = max(shape.diameter, shape.top_diameter or 0.0) / 2
    return tuple(
        body.frame.point(shape.u + i * half_u, shape.v + j * half_v, n)
        for n in (shape.n_low, shape.n_high)
        for i in (-1, 1)
        for j in (-1, 1)
    )


def _bodies(bodies: Sequence[Body], x: float, *, everything: bool) -> Iterable[Mark]:
    """Bought parts: solid ones as what is cut or all that there is; equal outlines once."""
    seen: set[tuple[Point, ...]] = set()
    for body in bodies:
        if body.kind != "solid":
            continue
        if everything:
            solid = body_solid(body)
            outlines = [_seen_from_the_right(solid)]
        else:
            outlines = [outer for outer, _ in slices(body_solid(body), x)]
        for outline in outlines:
            key = tuple((round(y, 1), round(z, 1)) for y, z in outline)
            if len(outline) < 3 or key in seen:
                continue
            seen.add(key)
            if not everything:
                yield Region(Polyline(outline), material="lit" if body.look == "lit" else "part")
            yield Polyline(outline, pen="thin")


def _seen_from_the_right(solid: object) -> tuple[Point, ...]:
    from manifold3d import Manifold

    assert isinstance(solid, Manifold)
    return silhouette([(v[0], v[1], v[2]) for v in solid.to_mesh().vert_properties[:, :3].tolist()])


def _sight(
    cabinet: Cabinet,
    lit: Sequence[tuple[Point2, Point2]],
    around: Box,
    ground: Ground,
    scale: float,
) -> list[Mark]:
    """From the ends of the lit areas toward every eye, as far as the page goes."""
    if not lit or not cabinet.project.people:
        return []
    page = Box(around.left - SIGHT / scale, around.bottom, around.right, around.top + OVER / scale)
    marks: list[Mark] = []
    tips: list[tuple[str, Point]] = []
    everybody = viewers(cabinet.project, cabinet.parts, width=cabinet.shape.width)
    for number, viewer in enumerate(everybody, 1):
        eye = (viewer.eye[1], viewer.eye[2])
        for ends in lit:
            for end in ends:
                tip = _until(end, eye, page)
                marks.append(Line(end, tip, "sight"))
                ground.block_edges((end, tip), closed=False)
            tips.append((str(number), _until(ends[1], eye, page)))
    for label, tip in tips:
        about = Box(tip[0], tip[1], tip[0], tip[1])
        marks += ground.tag((label,), about, height=3.5, weight="bold", pen="accent-thin")
    return marks


def eye_words(cabinet: Cabinet, style: LengthStyle) -> tuple[str, ...]:
    """Where everybody's eyes are, in words."""
    if not cabinet.project.people:
        return ()
    everybody = viewers(cabinet.project, cabinet.parts, width=cabinet.shape.width)
    _, low = front_and_underside(cabinet.project)
    return tuple(
        f"{number}  {v.label}: eye {figure(v.distance, style)} in front of the front edge,"
        f" {figure(v.eye[2] - low, style)} over the underside"
        for number, v in enumerate(everybody, 1)
    )


def _until(start: Point, end: Point, page: Box) -> Point:
    """As far from start toward end as the page goes."""
    share = 1.0
    if end[0] < page.left:
        share = min(share, (page.left - start[0]) / (end[0] - start[0]))
    if end[1] > page.top:
        share = min(share, (page.top - start[1]) / (end[1] - start[1]))
    return (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)


def _over_all(
    marks: Sequence[Mark], around: Box, whole: Box, style: LengthStyle, scale: float
) -> tuple[Mark, ...]:
    """The outline's depth and height; those of all wood outside of them, where it reaches beyond."""
    drawn = bounds(marks, scale)
    found: list[Mark] = []
    for number, box in enumerate((around, whole)):
        if number and abs(box.width - around.width) <= SAME:
            continue
        below = (box.bottom - drawn.bottom) * scale + 8.0 + 8.0 * number
        a, b = (box.left, box.bottom), (box.right, box.bottom)
        words = figure(box.width, style)
        found += linear(a, b, words, offset=-below, direction_deg=0.0, scale=scale)
    for number, box in enumerate((around, whole)):
        if number and abs(box.height - around.height) <= SAME:
            continue
        a, b = (drawn.right, box.bottom), (drawn.right, box.top)
        words = figure(box.height, style)
        off = -8.0 - 8.0 * number
        found += linear(a, b, words, offset=off, direction_deg=90.0, scale=scale)
    return tuple(found)


def _whole(cabinet: Cabinet) -> Box:
    """Round all pieces of wood and plastic, in (y, z)."""
    points = [
        piece.frame.point(u, v, n)
        for piece in cabinet.pieces
        for face, n in ((piece.show, 0.0), (piece.back, -piece.thickness))
        for u, v in face
    ]
    ys, zs = [p[1] for p in points], [p[2] for p in points]
    return Box(min(ys), min(zs), max(ys), max(zs))


def _points(polygon: object) -> tuple[Point, ...]:
    from shapely.geometry import Polygon

    assert isinstance(polygon, Polygon)
    return tuple((x, y) for x, y in polygon.exterior.coords[:-1])


__all__ = [
    "body_corners",
    "cut_piece",
    "eye_words",
    "lit_ends",
    "piece_slices",
    "side_section",
    "silhouette",
    "slices",
]
