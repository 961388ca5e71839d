"""Sides, panels, overlays, inner boards, loose boards and doors as pieces to cut."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.plane import Line, Point, crossing, line_through
from casewright.basics.reckoning import Reckoning, Term, derived, total
from casewright.basics.remembering import remembered
from casewright.basics.units import TOUCHING
from casewright.design.panels import Board, Door, Inner, Panel
from casewright.design.project import Project
from casewright.geometry.hinges import edge_of
from casewright.geometry.model import (
    Feature,
    Frame,
    Piece,
    Point2,
    Point3,
    Polygon,
    Rectangle,
    Run,
    Slab,
    SolvedShape,
)
from casewright.geometry.stop_strips import stop_strips

Fixing = Literal["glued", "screwed", "magnets", "locks"]

LEFT, RIGHT = "left", "right"


def thicknesses(project: Project, shape: SolvedShape) -> dict[str, float]:
    """All layers of each panel together. [mm]"""
    return {
        key: sum(t for _, _, t in layers_of(project, key, panel))
        for key, panel in shape.panels.items()
    }


def layers_of(project: Project, key: str, panel: Panel) -> tuple[tuple[str, str, float], ...]:
    """(layer key, material, thickness) from the show face inward; the board's key is "". [mm]"""
    board = panel.material or project.shape.board
    return (
        *(
            (x.key, x.material, project.thickness(f"{key}.{x.key}", x.material))
            for x in panel.layers
        ),
        ("", board, project.thickness(key, board)),
    )


@dataclass(frozen=True)
class SideGroove:
    """A groove for a board's end in the inner faces of the sides."""

    owner: str
    outline: tuple[Point2, ...]
    """In (y, z). [mm]"""
    depth: float
    sides: tuple[str, ...] = (LEFT, RIGHT)
    """Those it is cut into: a board that ends short of a side needs none there."""
    label: str = ""
    """Of the board."""


def side_pieces(
    project: Project, shape: SolvedShape, grooves: tuple[SideGroove, ...]
) -> tuple[Piece, Piece]:
    """The two sides, a mirrored pair but for grooves of boards that reach one of them only."""
    material = project.materials[project.shape.side.material]
    depth = max(y for y, _ in shape.corners.values())
    outline = tuple(shape.corners.values())
    pieces = []
    for key, x, u, n in (
        (LEFT, 0.0, (0.0, -1.0, 0.0), (-1.0, 0.0, 0.0)),
        (RIGHT, shape.width, (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
    ):
        mirrored = key == LEFT
        frame = Frame((x, depth if mirrored else 0.0, 0.0), u, (0.0, 0.0, 1.0), n)
        face = face_points(outline, depth, mirrored=mirrored)
        features = tuple(
            Feature(
                key=f"{groove.owner}.groove",
                kind="groove",
                shape=Polygon(face_points(groove.outline, depth, mirrored=mirrored)),
                face="back",
                depth=groove.depth,
                tool="straight",
                owner=groove.owner,
                label=f"groove for {groove.label or groove.owner}",
            )
            for groove in grooves
            if key in groove.sides
        )
        pieces.append(
            Piece(
                key=key,
                label=f"{key} side",
                kind="side",
                role="other",
                material=project.shape.side.material,
                thickness=project.thickness(key, project.shape.side.material),
                frame=frame,
                show=face,
                back=face,
                features=features,
                panel=key,
                grain="v" if material.grain == "length" else "none",
            )
        )
    return pieces[0], pieces[1]


def face_points(points: tuple[Point2, ...], depth: float, *, mirrored: bool) -> tuple[Point2, ...]:
    """Points given in (y, z) as (u, v) of a side's show face, counter-clockwise as seen there."""
    if not mirrored:
        return points
    return tuple((depth - y, z) for y, z in reversed(points))


def run_frame(run: Run, *, shift: float, left: float, right: float) -> Frame:
    """Axes of a panel on a run: u = 0 at its left inner edge, v = 0 at the run's lower or front end.

    Args:
        run: The run.
        shift: Show face behind the run. [mm]
        left: x of the left side's inner face. [mm]
        right: x of the right side's inner face. [mm]
    """
    ey, ez = run.direction
    ny, nz = run.normal
    if run.climbs:
        y, z = run.p
        return Frame(
            (right, y - ny * shift, z - nz * shift), (-1.0, 0.0, 0.0), (0.0, ey, ez), (0.0, ny, nz)
        )
    y, z = run.q
    return Frame(
        (left, y - ny * shift, z - nz * shift), (1.0, 0.0, 0.0), (0.0, -ey, -ez), (0.0, ny, nz)
    )


def panel_pieces(
    project: Project, shape: SolvedShape, slab: Slab
) -> tuple[tuple[Piece, ...], tuple[Reckoning, ...], tuple[SideGroove, ...]]:
    """A panel's layers, outermost first and the board last; its numbers; its grooves in the sides."""
    panel = shape.panels[slab.panel]
    sides = project.side_thicknesses
    length = panel_length(slab.panel, panel, width=shape.width, sides=sides)
    groove = panel.groove_depth if panel.joint == "groove" else 0.0
    # One that is flush with the sides' edges sits in a rabbet, and may come off.
    is_captive = slab.reveal > TOUCHING and groove - panel.clearance > TOUCHING
    pieces: list[Piece] = []
    grooves: list[SideGroove] = []
    depth = 0.0
    for (layer, material_key, thickness), inset in zip(
        layers_of(project, slab.panel, panel), (*(x.inset for x in panel.layers), 0.0), strict=True
    ):
        is_board = layer == ""
        into = groove if is_board else 0.0
        low, high = (
            -into + panel.clearance + inset,
            shape.width - sum(sides) + into - panel.clearance - inset,
        )
        left, right = sides[0], shape.width - sides[1]
        frame = run_frame(slab.run, shift=slab.reveal + depth, left=left, right=right)
        show = _strip_ends(slab, depth)
        back = _strip_ends(slab, depth + thickness)
        material = project.materials[material_key]
        label = panel.label or slab.panel.replace("-", " ").replace("_", " ")
        if not is_board:
            label = (
                next((x.label for x in panel.layers if x.key == layer), "") or f"{label} {layer}"
            )
        pieces.append(
            Piece(
                key=slab.panel if is_board else f"{slab.panel}.{layer}",
                label=label,
                kind="panel" if is_board else "overlay",
                role=panel.role,
                material=material_key,
                thickness=thickness,
                frame=frame,
                show=_rectangle(low, high, *show),
                back=_rectangle(low, high, *back),
                panel=slab.panel,
                grain=_grain(panel, material.grain) if is_board else "none",
                fixing=_held(panel.fixing, is_captive=is_captive),
            )
        )
        if is_board and groove:
            # a panel flush with the side's edge sits in a rabbet: nothing is cut beyond the edge
            outline = _groove(slab, depth, thickness, panel.groove_play, most_out=slab.reveal)
            grooves.append(SideGroove(slab.panel, outline, groove, label=pieces[-1].label))
        depth += thickness
    numbers = (length, *_slab_numbers(slab))
    return tuple(pieces), numbers, tuple(grooves)


def panel_length(key: str, panel: Panel, *, width: float, sides: tuple[float, float]) -> Reckoning:
    """Length of a panel from side to side.

    Example:
        >>> panel_length("deck", Panel(), width=470.0, sides=(18.0, 18.0)).value
        434.0
    """
    left, right = sides
    terms = [Term("width over the sides", width, 1, "width")]
    if left == right:
        terms.append(Term("side thickness", left, -2))
    else:
        terms += [Term("left side", left, -1), Term("right side", right, -1)]
    if panel.joint == "groove":
        terms.append(Term("groove depth", panel.groove_depth, 2))
    if panel.clearance:
        terms.append(Term("clearance at each end", panel.clearance, -2))
    return total(f"{key}.length", f"length of {key}, side to side", terms)


def inner_pieces(
    project: Project, shape: SolvedShape, slabs: tuple[Slab, ...], key: str, inner: Inner
) -> tuple[Piece, tuple[SideGroove, ...]]:
    """A board inside the cabinet, and its grooves in the sides that it reaches into.

    Raises:
        InputErrors: its start and end are the same place.
    """
    if inner.start == inner.end:
        raise InputErrors(
            [
                InputError(
                    f"inner.{key}.end",
                    got="the same place as its start",
                    want="another point of the side view",
                )
            ]
        )
    material = project.materials[inner.material]
    thickness = project.thickness(key, inner.material)
    sides = project.side_thicknesses
    run = Run(f"{key} start", f"{key} end", inner.start, inner.end, key, inner.role)
    show_line = Line(run.p, run.direction)
    back_line = show_line.shifted(thickness)
    starts, ends = Line(run.p, show_line.left), Line(run.q, show_line.left)
    if inner.until == "panels":
        starts = _facing(slabs, show_line, run.length / 2, backward=True) or starts
        ends = _facing(slabs, show_line, run.length / 2, backward=False) or ends
    points = [crossing(a, b) for a in (show_line, back_line) for b in (starts, ends)]
    a, b, c, d = (p if p is not None else run.p for p in points)
    slab = Slab(key, run, 0.0, thickness, a, b, d, c, 0.0, 0.0)
    groove = inner.groove_depth if inner.joint == "groove" else 0.0
    frame = run_frame(run, shift=0.0, left=sides[0], right=shape.width - sides[1])
    low, high = -groove + inner.clearance, shape.width - sum(sides) + groove - inner.clearance
    if inner.left is not None:
        low = _u_of(frame, inner.left) if frame.u[0] > 0 else low
        high = _u_of(frame, inner.left) if frame.u[0] < 0 else high
    if inner.right is not None:
        high = _u_of(frame, inner.right) if frame.u[0] > 0 else high
        low = _u_of(frame, inner.right) if frame.u[0] < 0 else low
    is_captive = groove > 0 and low < -TOUCHING and high > shape.width - sum(sides) + TOUCHING
    piece = Piece(
        key=key,
        label=inner.label or key.replace("-", " "),
        kind="light board" if inner.role == "light board" else "inner",
        role=inner.role,
        material=inner.material,
        thickness=thickness,
        frame=frame,
        show=_rectangle(low, high, *_strip_ends(slab, 0.0)),
        back=_rectangle(low, high, *_strip_ends(slab, thickness)),
        panel=key,
        grain="u" if material.grain == "length" else "none",
        fixing=_held(inner.fixing, is_captive=is_captive),
    )
    reached = tuple(
        side
        for side, is_in in zip(
            (LEFT, RIGHT) if frame.u[0] > 0 else (RIGHT, LEFT),
            (low < -TOUCHING, high > shape.width - sum(sides) + TOUCHING),
            strict=True,
        )
        if is_in
    )
    # A board that butts has no groove, even where it runs into a side.
    if not groove or not reached:
        return piece, ()
    outline = _groove(slab, 0.0, thickness, inner.groove_play)
    return piece, (SideGroove(key, outline, groove, reached, piece.label),)


def _held(fixing: Fixing, *, is_captive: bool) -> Fixing:
    """What holds a board: one in a groove of both sides stays for good, there is nothing to unscrew."""
    return "glued" if is_captive and fixing == "screwed" else fixing


def board_piece(project: Project, key: str, board: Board) -> Piece:
    """A loose rectangular board."""
    t = project.thickness(key, board.material)
    x, y, z = board.at
    first, second = board.size
    frame = {
        "side": Frame((x + t, y, z), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
        "front": Frame((x, y, z), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)),
        "level": Frame((x, y, z + t), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    }[board.plane]
    face = _rectangle(0.0, first, 0.0, second)
    grain = {"first": "u", "second": "v", "none": "none"}[board.grain]
    return Piece(
        key=key,
        label=board.label or key.replace("-", " "),
        kind="board",
        role="other",
        material=board.material,
        thickness=t,
        frame=frame,
        show=face,
        back=face,
        panel=key,
        grain="u" if grain == "u" else "v" if grain == "v" else "none",
        fixing=board.fixing,
    )


def door_pieces(
    project: Project, key: str, door: Door, host: Piece, boards: Sequence[Piece] = ()
) -> tuple[tuple[Piece, ...], Feature]:
    """A door with its stop strips, and its opening, to be cut through the host board and all its overlays.

    The strips go round the boards that are given: shelves and dividers that meet the host's back.

    The door's back lies on the strips, so one that is thicker than its host stands proud of it and a thinner one lies
    behind it; without strips their show faces are flush.
    """
    low_u, low_v, high_u, high_v = host.extent
    u = door.u if door.u is not None else (low_u + high_u) / 2
    v = door.v if door.v is not None else (low_v + high_v) / 2
    material_key = door.material or host.material
    thickness = project.thickness(key, material_key)
    half_w, half_h = door.width / 2, door.height / 2
    low_u, high_u, low_v, high_v = u - half_w, u + half_w, v - half_h, v + half_h
    face = _rectangle(low_u, high_u, low_v, high_v)
    back = face
    if door.fixing == "hinges" and door.bevel_deg:
        off = thickness * math.tan(math.radians(door.bevel_deg))
        back = {
            "left": _rectangle(low_u, high_u - off, low_v, high_v),
            "right": _rectangle(low_u + off, high_u, low_v, high_v),
            "top": _rectangle(low_u, high_u, low_v + off, high_v),
            "bottom": _rectangle(low_u, high_u, low_v, high_v - off),
        }[edge_of(door)]
    label = door.label or key.replace("-", " ")
    proud = thickness - host.thickness if door.lip > 0 else 0.0
    pieces = [
        Piece(
            key=key,
            label=label,
            kind="door",
            role="door",
            material=material_key,
            thickness=thickness,
            frame=replace(host.frame, origin=host.frame.point(0.0, 0.0, proud)),
            show=face,
            back=back,
            panel=key,
            grain=host.grain,
            fixing=door.fixing,
        )
    ]
    if door.lip > 0:
        pieces += stop_strips(key, label, door, host, (u, v), boards)
    opening = Feature(
        key=f"{key}.opening",
        kind="opening",
        shape=Rectangle(u, v, door.width + 2 * door.gap, door.height + 2 * door.gap),
        face="show",
        depth=None,
        tool="jigsaw",
        owner=key,
        label=f"opening for {label}",
    )
    return tuple(pieces), opening


@remembered(512)
def with_features(piece: Piece, features: tuple[Feature, ...]) -> Piece:
    """The piece with more features."""
    return replace(piece, features=(*piece.features, *features)) if features else piece


def _slab_numbers(slab: Slab) -> tuple[Reckoning, ...]:
    key = slab.panel
    rule = "Each panel ends on its neighbors by the seam rules."
    low, high = ("start", "end") if slab.run.climbs else ("end", "start")
    tilts = {"start": slab.start_tilt_deg, "end": slab.end_tilt_deg}
    run = Term("run of the outline", slab.run.length)
    return (
        derived(
            f"{key}.show_height",
            f"{key}, show face from end to end",
            slab.show_length,
            "run, ended on its neighbors",
            (run, Term("change at the ends", slab.show_length - slab.run.length)),
            rule=rule,
        ),
        derived(
            f"{key}.back_height",
            f"{key}, back face from end to end",
            slab.back_length,
            "run, ended on its neighbors",
            (run, Term("change at the ends", slab.back_length - slab.run.length)),
            rule=rule,
        ),
        *(
            derived(
                f"{key}.tilt_{name}",
                f"{key}, saw tilt at its {name} edge",
                tilts[which],
                "angle between the end plane and the panel's normal; positive: show face longer",
                (Term("thickness", slab.thickness),),
                unit="deg",
                rule=rule,
            )
            for name, which in (("lower", low), ("upper", high))
        ),
    )


def _strip_ends(slab: Slab, depth: float) -> tuple[float, float]:
    """Least and most v of the slab at a depth below its show face. [mm]"""
    share = depth / slab.thickness
    run = slab.run
    origin = run.p if run.climbs else run.q
    ey, ez = run.direction
    sign = 1.0 if run.climbs else -1.0

    def v(show: Point2, back: Point2) -> float:
        y = show[0] + (back[0] - show[0]) * share
        z = show[1] + (back[1] - show[1]) * share
        return sign * ((y - origin[0]) * ey + (z - origin[1]) * ez)

    ends = (v(slab.show_start, slab.back_start), v(slab.show_end, slab.back_end))
    return min(ends), max(ends)


def _groove(
    slab: Slab, depth: float, thickness: float, play: float, *, most_out: float = math.inf
) -> tuple[Point2, ...]:
    """Outline of a groove in (y, z): the board's own section, wider by the play.

    Args:
        slab: The board's section, all layers together.
        depth: Of the board below the section's show face. [mm]
        thickness: Of the board. [mm]
        play: Groove wider than the board by this, half on either face. [mm]
        most_out: How far beyond the section's show face it may go. [mm]
    """
    run = slab.run
    line = Line(run.p, run.direction).shifted(slab.reveal)
    outer = line.shifted(max(depth - play / 2, -most_out))
    inner = line.shifted(depth + thickness + play / 2)
    start = line_through(slab.show_start, slab.back_start)
    end = line_through(slab.show_end, slab.back_end)
    points = (
        crossing(outer, start),
        crossing(outer, end),
        crossing(inner, end),
        crossing(inner, start),
    )
    return tuple(point for point in points if point is not None)


def _facing(slabs: tuple[Slab, ...], line: Line, middle: float, *, backward: bool) -> Line | None:
    """Back line of the first slab met from the middle of an inner board."""
    best: tuple[float, Line] | None = None
    for slab in slabs:
        back = line_through(slab.back_start, slab.back_end)
        meeting = crossing(line, back)
        if meeting is None:
            continue
        if not -1e-6 <= back.along(meeting) <= slab.back_length + 1e-6:
            continue
        distance = line.along(meeting) - middle
        distance = -distance if backward else distance
        if distance > 0 and (best is None or distance < best[0]):
            best = (distance, back)
    return best[1] if best else None


def _u_of(frame: Frame, x: float) -> float:
    return (x - frame.origin[0]) * frame.u[0]


def _grain(panel: Panel, material_grain: str) -> Literal["u", "v", "none"]:
    wish = panel.grain or ("across" if material_grain == "length" else "none")
    return "u" if wish == "across" else "v" if wish == "up" else "none"


def _rectangle(u_low: float, u_high: float, v_low: float, v_high: float) -> tuple[Point, ...]:
    return ((u_low, v_low), (u_high, v_low), (u_high, v_high), (u_low, v_high))


def pieces_by_key(pieces: tuple[Piece, ...]) -> Mapping[str, Piece]:
    """Pieces by their keys."""
    return {piece.key: piece for piece in pieces}


__all__ = [
    "LEFT",
    "RIGHT",
    "Point3",
    "SideGroove",
    "board_piece",
    "door_pieces",
    "face_points",
    "inner_pieces",
    "layers_of",
    "panel_length",
    "panel_pieces",
    "pieces_by_key",
    "run_frame",
    "side_pieces",
    "thicknesses",
    "with_features",
]
