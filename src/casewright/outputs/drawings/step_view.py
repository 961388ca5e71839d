"""The picture of a step: what stands so far, and in the accent color what the step adds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from casewright.geometry.model import Body, Cabinet, Piece
from casewright.geometry.solids import box_of
from casewright.outputs.drawings.marks import Box, Drawing, Mark, Material, Pen, Polyline, Region
from casewright.outputs.drawings.plain_pieces import without_small
from casewright.outputs.drawings.seen_solids import COARSE, SeenSolid, seen_solids
from casewright.outputs.drawings.shaded import SeenFace, ShadedPicture, seen_share, shade_solids
from casewright.outputs.drawings.step_scenes import Scene, step_scenes
from casewright.outputs.drawings.viewpoint import VIEWS, View, around
from casewright.planning.work import Step

SPECK = 0.02
"""What is smaller than this share of the cabinet is left out of these small pictures."""
CLEARLY = 1.4
"""Another view than the usual one must show so many times more of what is new."""
UNSEEN = 0.2
"""What shows less than this share of what it would from below is looked at from below."""
MOSTLY = 0.6
"""The usual view will do if it shows so much of what is new."""
FILLED = 3.0
"""Once parts are fitted, holes up to so many times a speck are left out: most have a part in them."""
TRIED = 8
"""So many of the new things are looked at to choose the view."""
DARK = 0.86
"""Faces of a lower tone are drawn in the shade."""

_STANDING = (
    VIEWS["cover"],
    around("from the right", aside_deg=32.0, above_deg=24.0),
    VIEWS["from behind"],
)
_BELOW = around("from below", aside_deg=-32.0, above_deg=-26.0)
"""Easily read as a view into an open box: only for what no other view shows."""


def step_drawings(
    cabinet: Cabinet,
    steps: Sequence[Step],
    *,
    room: tuple[float, float],
    only: str = "",
) -> dict[str, Drawing]:
    """A picture by the key of every step that puts something in its place.

    Args:
        cabinet: The cabinet.
        steps: In the order of work.
        room: Width and height that each picture may take. [mm on paper]
        only: Key of the one step to draw; all if not given.
    """
    boxes = [box_of(piece) for piece in cabinet.pieces]
    if not boxes:
        return {}
    least = SPECK * max(
        max(high[axis] for _, high in boxes) - min(low[axis] for low, _ in boxes)
        for axis in range(3)
    )
    bodies = {b.key: b for b in cabinet.bodies if b.kind == "solid" and _extent(b) > least}
    drawings = {}
    joining, fitting = (
        _Seen({**{p.key: p for p in without_small(cabinet.pieces, size)}, **bodies})
        for size in (least, least * FILLED)
    )
    for scene in step_scenes(cabinet, steps):
        if only and scene.step != only:
            continue
        seen = fitting if any(key in bodies for key in (*scene.new, *scene.so_far)) else joining
        drawing = _drawn(scene, seen, least, room)
        if drawing is not None:
            drawings[scene.step] = drawing
    return drawings


class _Seen:
    """Solids in the axes of views, each worked out once."""

    def __init__(self, things: Mapping[str, Piece | Body]) -> None:
        self.things = things
        self.found: dict[tuple[View, str], SeenSolid | None] = {}
        self.covered: dict[View, set[str]] = {}
        """What the growing carcass has covered whole; more of it cannot bring that to light again."""

    def solids(self, view: View, keys: Iterable[str]) -> dict[str, SeenSolid]:
        """Of these things, by key; nothing for what is too small or cut away whole."""
        solids = {}
        for key in keys:
            if (view, key) not in self.found:
                some = [self.things[key]] if key in self.things else []
                shapes = seen_solids(some, view, fine=COARSE)[1]
                self.found[view, key] = shapes[0] if shapes else None
            solid = self.found[view, key]
            if solid is not None:
                solids[key] = solid
        return solids

    def scene(self, view: View, scene: Scene) -> dict[str, SeenSolid]:
        """What is to be drawn of a scene."""
        covered = self.covered.get(view, set()) if not scene.host else set()
        return self.solids(view, (*(key for key in scene.so_far if key not in covered), *scene.new))

    def group(self, key: str) -> str:
        """Bodies of one bought part belong together."""
        thing = self.things[key]
        return thing.owner if isinstance(thing, Body) else key


def _extent(body: Body) -> float:
    """Its longest side. [mm]"""
    low, high = box_of(body)
    return max(b - a for a, b in zip(low, high, strict=True))


def _drawn(scene: Scene, seen: _Seen, least: float, room: tuple[float, float]) -> Drawing | None:
    view = _view(scene, seen)
    solids = seen.scene(view, scene)
    if not solids:
        return None
    new = frozenset(scene.new)
    picture = shade_solids(
        tuple(solids),
        tuple(solids.values()),
        groups=[seen.group(key) for key in solids],
        hidden=new,
        least=least / 8,
    )
    if scene.stays and not scene.host:
        shown = {face.key for face in picture.faces} | {line.key for line in picture.lines}
        seen.covered.setdefault(view, set()).update(key for key in solids if key not in shown)
    left, bottom = (min(float(solid.low[axis]) for solid in solids.values()) for axis in (0, 1))
    right, top = (max(float(solid.high[axis]) for solid in solids.values()) for axis in (0, 1))
    scale = min(room[0] / (right - left), room[1] / (top - bottom))
    box = Box(left, bottom, right, top)
    return Drawing(view.name, tuple(_marks(picture, new)), box, scale=scale)


def _view(scene: Scene, seen: _Seen) -> View:
    """The usual view if it shows most of what is new, else the one that shows clearly more of it."""
    host = seen.things.get(scene.host)
    views = _lying(host) if isinstance(host, Piece) else _STANDING
    areas: list[float] = []
    for view in views:
        area, share = _seen_of(scene, seen, view)
        if not areas and share > MOSTLY and scene.stays:
            return view
        areas.append(area)
    most = max(areas)
    if not scene.host and most < UNSEEN * _seen_of(scene, seen, _BELOW)[0]:
        return _BELOW
    return views[0] if most < CLEARLY * areas[0] else views[areas.index(most)]


def _seen_of(scene: Scene, seen: _Seen, view: View) -> tuple[float, float]:
    """Area that a view shows of what is new, and its share. [mm² of the picture]"""
    # Boards are what hides things, and a few of the new ones stand for all.
    boards = [key for key in scene.so_far if isinstance(seen.things.get(key), Piece)]
    some = scene.new[:: -(-len(scene.new) // TRIED)]
    solids = seen.solids(view, (*boards, *some))
    of = [index for index, key in enumerate(solids) if key in some]
    return seen_share(tuple(solids.values()), of)


def _lying(piece: Piece) -> tuple[View, ...]:
    """A piece on the bench, its back face up or its show face, from its lower edge."""
    u, v, n = piece.frame.u, piece.frame.v, piece.frame.n

    def toward(side: float) -> tuple[float, float, float]:
        x, y, z = (0.25 * u[i] - 0.55 * v[i] + side * n[i] for i in range(3))
        return (x, y, z)

    return (View("back face up", toward(-1.0), v), View("show face up", toward(1.0), v))


def _marks(picture: ShadedPicture, new: frozenset[str]) -> Iterator[Mark]:
    """Areas first, then hidden edges, edges, and the edges of what is new on top."""
    for face in picture.faces:
        yield _area(face, new)
    seen = {face.key for face in picture.faces if face.key in new}
    runs = [(line, "accent-hidden") for line in picture.hidden if line.key in new - seen]
    runs += [(line, "thin") for line in picture.lines if line.key not in new]
    runs += [(line, "accent-thin") for line in picture.lines if line.key in new]
    for line, name in runs:
        pen: Pen = "accent-hidden" if name == "accent-hidden" else "accent-thin"
        if name == "thin":
            pen = "thin"
        points = line.points[:-1] if line.is_closed else line.points
        yield Polyline(points, closed=line.is_closed, pen=pen)


def _area(face: SeenFace, new: frozenset[str]) -> Region:
    material: Material = "new" if face.key in new else "face" if face.tone >= DARK else "shade"
    return Region(Polyline(face.outer), tuple(Polyline(hole) for hole in face.holes), material)


__all__ = ["step_drawings"]
