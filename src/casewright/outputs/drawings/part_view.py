"""Drawings of a cabinet's pieces: one sheet for every face that something is worked from.

A sheet stands on the datum corner of the blank as seen on that face, in true millimeters; lettering is sized for the
scale at which the sheet fits its place on the page. Every feature stands in the table of the one face it is worked
from.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from casewright.basics.units import LengthStyle
from casewright.design.project import Project
from casewright.geometry.model import Cabinet, Circle, FaceName, Feature, Piece
from casewright.outputs.drawings.dimensions import Ordinate, ordinates
from casewright.outputs.drawings.face_view import FACE_WORDS, SQUARE, FaceView
from casewright.outputs.drawings.feature_marks import feature_box, feature_marks
from casewright.outputs.drawings.ground import Ground
from casewright.outputs.drawings.heading import heading, material_words
from casewright.outputs.drawings.hole_table import (
    MANY,
    HoleRow,
    clusters,
    depth_words,
    figure,
    hole_rows,
    size_words,
)
from casewright.outputs.drawings.marking_out import MarkRow, marking_out
from casewright.outputs.drawings.marks import (
    Box,
    Drawing,
    Line,
    Mark,
    Material,
    Operation,
    Polyline,
    Region,
    bounds,
    rectangle,
)
from casewright.outputs.drawings.piece_section import piece_section
from casewright.outputs.drawings.same_pieces import same_pieces, shared_label
from casewright.outputs.drawings.scales import ROOM, SIDE_ROOM, fitting_scales
from casewright.outputs.drawings.side_view import corner_marks, corner_ordinates
from casewright.outputs.drawings.symbols import DatumMark

FEW = 12
"""Up to so many holes are dimensioned on the drawing too; more stand in the table alone."""
AROUND = (19.0, 40.0)
"""The least that figures left of a part, and figures below and the heading above it take. [mm on paper]"""
TAG, FIGURE = 2.5, 3.5
"""Heights on paper: steps of ISO 3098-1. [mm]"""


@dataclass(frozen=True)
class PartSheet:
    """One face of a piece, or of several equal ones."""

    piece: str
    """Key of the piece; the first of several equal ones."""
    label: str
    face: FaceName
    face_words: str
    drawing: Drawing
    """With dimensions, laid out for `scale`; true millimeters, the datum corner at (0, 0)."""
    bare: Drawing
    """Without dimensions, laid out at 1:1, for templates and machines."""
    hole_rows: tuple[HoleRow, ...]
    section: Drawing
    notes: tuple[str, ...] = ()
    scale: float = 1.0
    """Paper millimeters to one real millimeter."""
    pieces: tuple[str, ...] = ()
    """Keys of all the equal pieces."""
    mark_rows: tuple[MarkRow, ...] = field(default=())
    """Footprints to mark out, on the inner face of a side."""

    @property
    def quantity(self) -> int:
        """How many to make."""
        return len(self.pieces)


def part_drawings(
    cabinet: Cabinet,
    style: LengthStyle,
    *,
    room: tuple[float, float] = ROOM,
    side_room: tuple[float, float] = SIDE_ROOM,
) -> tuple[PartSheet, ...]:
    """Draw every piece of a cabinet.

    Args:
        cabinet: The cabinet.
        style: The user's unit.
        room: Width and height that a drawing may take on the page. [mm]
        side_room: The same for the sides, whose sheets say more.

    Returns:
        Sheets in the order of the pieces, show face first. A piece has a sheet for each face that something is worked
        from, and one of its show face where nothing is; a side has both.
    """
    labels = known_labels(cabinet)
    sheets = []
    for equal in same_pieces(cabinet.pieces):
        for face in faces_of(equal[0]):
            space = side_room if equal[0].kind == "side" else room
            sheets.append(part_sheet(cabinet, equal, face, style, labels=labels, room=space))
    return tuple(sheets)


def faces_of(piece: Piece) -> tuple[FaceName, ...]:
    """The faces that get a sheet."""
    if piece.kind == "side":
        return ("show", "back")
    worked: set[FaceName] = {feature.face for feature in piece.features}
    return tuple(face for face in FACE_WORDS if face in worked) or ("show",)


def known_labels(cabinet: Cabinet) -> Mapping[str, str]:
    """What pieces and parts are called, by key."""
    return {
        **{piece.key: piece.label for piece in cabinet.pieces},
        **{placed.key: placed.label for placed in cabinet.placed},
    }


def part_sheet(
    cabinet: Cabinet,
    equal: Sequence[Piece],
    face: FaceName,
    style: LengthStyle,
    *,
    labels: Mapping[str, str],
    room: tuple[float, float],
) -> PartSheet:
    """One sheet, at the largest scale that fits the room."""
    piece = equal[0]
    view = FaceView(piece, face)
    rows = hole_rows(view, style, labels)
    footprints = marking_out(cabinet, view, style) if piece.kind == "side" else None
    label = shared_label([p.label for p in equal])
    sheet = _Sheet(cabinet, view, rows, style, label, room, len(equal))
    drawing = None
    scales = fitting_scales(piece.width, piece.height, room, around=AROUND)
    for scale, height in ((s, h) for s in scales for h in (FIGURE, TAG)):
        drawing = sheet.drawn(scale, height)
        if (
            drawing.bounds.width * scale <= room[0] + 1e-6
            and drawing.bounds.height * scale <= room[1] + 1e-6
        ):
            break
    assert drawing is not None, "there is always a smallest scale"
    stack = tuple(p for p in cabinet.pieces if _same_stack(p, piece))
    return PartSheet(
        piece=piece.key,
        label=label,
        face=face,
        face_words=FACE_WORDS[face],
        drawing=drawing,
        bare=sheet.bare(),
        hole_rows=rows,
        section=piece_section(piece, stack, cabinet.project, style),
        notes=_notes(view, cabinet.project, rows),
        scale=drawing.scale,
        pieces=tuple(p.key for p in equal),
        mark_rows=footprints.rows if footprints and face == "back" else (),
    )


class _Sheet:
    """What is the same at every scale."""

    def __init__(
        self,
        cabinet: Cabinet,
        view: FaceView,
        rows: tuple[HoleRow, ...],
        style: LengthStyle,
        label: str,
        room: tuple[float, float],
        count: int,
    ) -> None:
        self.count = count
        self.cabinet, self.view, self.rows = cabinet, view, rows
        self.style, self.label, self.room = style, label, room
        self.piece = view.piece
        self.title = f"{label}, {FACE_WORDS[view.face]}"

    def drawn(self, scale: float, height: float) -> Drawing:
        """With dimensions, the figures no higher than this on paper. [mm]"""
        view, style = self.view, self.style
        blank = view.box
        ground = self._ground(scale, spare=40.0)
        xs, ys = self._ordinates(scale)
        side = self.piece.kind == "side"
        figures = [*ordinate_marks(blank, xs, ys, figure(0.0, style), scale, height)]
        ground.take(figures)
        for mark in figures:
            if isinstance(mark, Polyline):
                ground.block_below(mark.points, blank.bottom)
        shapes = list(self._shapes(scale))
        lettering: list[Mark] = []
        if side and view.face == "show":
            lettering += corner_marks(self.cabinet, view, ground, style, scale=scale)
        if side and view.face == "back":
            out = marking_out(self.cabinet, view, style)
            shapes = [*shapes[:2], *out.marks, *shapes[2:]]
            lettering += out.lettered(ground, scale=scale)
        lettering += self._edge_words(ground, scale)
        lettering += self._tags(ground, scale)
        # Extension lines lie under holes and lettering.
        marks: list[Mark] = [*shapes[:1], *figures, *shapes[1:], *lettering]
        top = bounds([*marks, rectangle(blank)], scale).top
        marks += heading(
            self.piece,
            view.face,
            self.label,
            blank,
            self.cabinet.project,
            style,
            scale=scale,
            width=max(self.room[0] - 26.0, 60.0),
            top=top,
            count=self.count,
        )
        return Drawing(self.title, tuple(marks), unit=style.unit, scale=scale)

    def bare(self) -> Drawing:
        """Without dimensions, at true size."""
        ground = self._ground(1.0, spare=60.0)
        marks: list[Mark] = [*self._shapes(1.0), DatumMark((0.0, 0.0))]
        if self.piece.kind == "side" and self.view.face == "back":
            out = marking_out(self.cabinet, self.view, self.style)
            marks += [*out.marks, *out.lettered(ground, scale=1.0)]
        marks += self._edge_words(ground, 1.0)
        marks += self._tags(ground, 1.0, sized=True)
        return Drawing(self.title, tuple(marks), unit=self.style.unit)

    def _ground(self, scale: float, *, spare: float) -> Ground:
        """Lettering may stand on the part, right of it and above it."""
        blank = self.view.box
        room = Box(
            blank.left - 0.2 / scale,
            blank.bottom - 0.2 / scale,
            blank.right + spare / scale,
            blank.top + spare / scale,
        )
        ground = Ground(scale, room, part=self.view.near)
        ground.block_edges(self.view.near)
        ground.block_edges(self.view.far)
        for feature in self.piece.features:
            box = feature_box(feature, self.view.motion)
            if min(box.width, box.height) * scale > 40.0:
                x0, y0, x1, y1 = box.left, box.bottom, box.right, box.top
                ground.block_edges(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
            else:
                ground.block(box)
        return ground

    def _shapes(self, scale: float) -> tuple[Mark, ...]:
        """The part's ground first, then its edges and features, the deep ones over the wide ones."""
        view = self.view
        marks = list(outline_marks(view, self._ground_material()))
        features = sorted(self.piece.features, key=lambda f: _area(feature_box(f, view.motion)))
        for feature in reversed(features):
            marks += feature_marks(feature, view.face, view.motion, scale=scale)
        return tuple(marks)

    def _ground_material(self) -> Material:
        material = self.cabinet.project.materials.get(self.piece.material)
        clear = material is not None and material.kind in ("acrylic", "polycarbonate")
        return "paper" if clear else "face"

    def _ordinates(self, scale: float) -> tuple[list[Ordinate], list[Ordinate]]:
        view, style = self.view, self.style
        xs, ys = edge_ordinates(view, style)
        if self.piece.kind == "side":
            more_x, more_y = corner_ordinates(view, style)
            xs, ys = [*xs, *more_x], [*ys, *more_y]
            if view.face == "back":
                return xs, ys
        # A grille or a row of slots stands in the table alone.
        single = [f for f in self.piece.features if not self._one_of_many(f)]
        tiers: list[list[Feature]] = [
            [f for f in single if f.kind == "opening" and f.depth is None],
            [f for f in single if f.face == view.face and _wide(f)],
            [f for f in single if f.face == view.face and not _wide(f)],
        ]
        many = sum(isinstance(row.feature.shape, Circle) for row in self.rows) > FEW
        if many:
            tiers[2] = []
        for tier in tiers:
            if len(tier) > FEW:
                continue
            more_x, more_y = feature_ordinates(tier, view, style)
            if _fits([*xs, *more_x], view.box.width * scale):
                xs += more_x
            if _fits([*ys, *more_y], view.box.height * scale):
                ys += more_y
        return xs, ys

    def _one_of_many(self, feature: Feature) -> bool:
        alike = [
            f for f in self.piece.features if f.owner == feature.owner and f.kind == feature.kind
        ]
        return bool(feature.owner) and len(alike) >= MANY and feature.kind in ("hole", "opening")

    def _edge_words(self, ground: Ground, scale: float) -> list[Mark]:
        marks: list[Mark] = []
        inward = 1.0 if self.view.face == "show" else -1.0  # the mirrored outline runs clockwise
        for bevel in self.view.bevels:
            words = f"{bevel.edge} edge: {bevel.words}"
            a, b = bevel.start, bevel.end
            offsets = [inward * off for off in (2.6, -2.6, 4.6, -4.6)]
            ground_material = self._ground_material()
            marks += ground.along(
                words, a, b, offsets=offsets, height=TAG, weight="bold", backing=ground_material
            )
        return marks

    def _tags(self, ground: Ground, scale: float, *, sized: bool = False) -> list[Mark]:
        marks: list[Mark] = []
        motion = self.view.motion
        heaps = heaped(clusters(self.rows, close=9.0 / scale))
        # the large ones first: they have one good place, the small ones have many
        boxed = [(heap, _around([feature_box(r.feature, motion) for r in heap])) for heap in heaps]
        for heap, box in sorted(boxed, key=lambda item: -_area(item[1])):
            shaped = not isinstance(heap[0].feature.shape, Circle)
            inside = shaped and len(heap) == 1 and min(box.width, box.height) * scale >= 6.0
            backing = None if inside else self._ground_material()
            for lines in tag_choices(heap, self.style, sized=sized):
                if len(lines) == 1 or (inside and ground.fitting(lines, box, height=TAG)):
                    marks += ground.tag(lines, box, height=TAG, backing=backing, inside=inside)
                    break
        return marks


def tag_choices(
    heap: Sequence[HoleRow], style: LengthStyle, *, sized: bool
) -> tuple[tuple[str, ...], ...]:
    """What may be written at a feature, the fullest first; the last always goes."""
    first, last = heap[0], heap[-1]
    same = all(row.letter == first.letter for row in heap)
    tag = first.tag
    if len(heap) > 1:
        tag = f"{first.tag}–{last.tag}" if same else " + ".join(row.tag for row in heap)
    feature = first.feature
    deep = f", {depth_words(feature, style)} deep" if feature.depth is not None else ""
    shaped = not isinstance(feature.shape, Circle)
    worth = shaped or feature.kind == "counterbore"
    short = (f"{tag}{deep}",) if worth and len(heap) == 1 else (tag,)
    if sized and len(heap) == 1 and not shaped:
        short = (f"{tag} {size_words(feature, style)}",)
    full = (f"{tag} {feature.kind}", *size_words(feature, style).split(", "))
    if deep:
        full = (*full, deep.lstrip(", "))
    return (full, short) if shaped and len(heap) == 1 else (short,)


def heaped(groups: Sequence[Sequence[HoleRow]]) -> tuple[tuple[HoleRow, ...], ...]:
    """Groups with one centre share a tag: a screw's head over its shank."""
    at: dict[tuple[float, float], list[HoleRow]] = {}
    alone: list[tuple[HoleRow, ...]] = []
    for group in groups:
        if len(group) > 1:
            alone.append(tuple(group))
        else:
            row = group[0]
            at.setdefault((round(row.x, 2), round(row.y, 2)), []).append(row)
    return (*alone, *(tuple(rows) for rows in at.values()))


def outline_marks(view: FaceView, ground: Material) -> tuple[Mark, ...]:
    """The part's own ground, its blank and its edges on both faces."""
    cut = Operation("cut", tool="saw")
    near, far = view.near, view.far
    region = Region(Polyline(near), material=ground)
    if not view.bevels:
        return (region, Polyline(near, operation=cut))
    blank = _blank(view)
    marks: list[Mark] = [
        Region(Polyline(blank), material=ground),
        Polyline(blank, operation=cut),
    ]
    for index in range(len(near)):
        after = (index + 1) % len(near)
        for points, seen in ((near, True), (far, False)):
            a, b = points[index], points[after]
            if not _on_outline(a, b, blank):
                bevel = Operation("bevel", view.face, tool="saw") if seen else None
                marks.append(Line(a, b, "visible" if seen else "hidden", bevel))
    return tuple(marks)


def edge_ordinates(view: FaceView, style: LengthStyle) -> tuple[list[Ordinate], list[Ordinate]]:
    """The blank's far edges, and the edges of this face where they differ from the blank's."""
    xs = [Ordinate(view.box.right, figure(view.box.right, style))]
    ys = [Ordinate(view.box.top, figure(view.box.top, style))]
    if view.piece.kind != "side":
        for index, places, most in ((0, xs, view.box.right), (1, ys, view.box.top)):
            for at in sorted({round(p[index], 6) for p in view.near}):
                if SQUARE < at < most - SQUARE:
                    places.append(Ordinate(at, figure(at, style)))
    return xs, ys


def feature_ordinates(
    features: Sequence[Feature], view: FaceView, style: LengthStyle
) -> tuple[list[Ordinate], list[Ordinate]]:
    """Centres of round ones, edges of the others."""
    xs, ys = [], []
    for feature in features:
        box = feature_box(replace(feature, chamfer=0.0), view.motion)
        x, y = box.centre
        if isinstance(feature.shape, Circle):
            xs.append(Ordinate(x, figure(x, style), y))
            ys.append(Ordinate(y, figure(y, style), x))
            continue
        for at in (box.left, box.right):
            if SQUARE < at < view.box.right - SQUARE:
                xs.append(Ordinate(at, figure(at, style), box.bottom))
        for at in (box.bottom, box.top):
            if SQUARE < at < view.box.top - SQUARE:
                ys.append(Ordinate(at, figure(at, style), box.left))
    return xs, ys


def ordinate_marks(
    box: Box,
    xs: Sequence[Ordinate],
    ys: Sequence[Ordinate],
    zero: str,
    scale: float,
    height: float = FIGURE,
) -> tuple[Mark, ...]:
    """Figures from the datum corner; smaller ones where the large ones have no room."""
    roomy = all(
        _fits(places, extent * scale, height=height)
        for places, extent in ((xs, box.width), (ys, box.height))
    )
    height = height if roomy else TAG
    return ordinates(box, xs=xs, ys=ys, zero=zero, scale=scale, height=height, reach=9.0)


def _fits(places: Sequence[Ordinate], extent: float, *, height: float = TAG) -> bool:
    """Whether figures stand side by side along this extent on paper. [mm]"""
    figures = len({(round(place.at, 2), place.label) for place in places}) + 1
    return (figures - 1) * 1.55 * height <= max(extent, 3 * 1.55 * height)


def _wide(feature: Feature) -> bool:
    return not (isinstance(feature.shape, Circle) and feature.shape.diameter < 5.5)


def _area(box: Box) -> float:
    return box.width * box.height


def _around(boxes: Sequence[Box]) -> Box:
    return Box(
        min(b.left for b in boxes),
        min(b.bottom for b in boxes),
        max(b.right for b in boxes),
        max(b.top for b in boxes),
    )


def _blank(view: FaceView) -> tuple[tuple[float, float], ...]:
    """The smallest outline round both faces."""
    from shapely.geometry import MultiPoint
    from shapely.geometry.polygon import orient

    hull = MultiPoint([*view.near, *view.far]).convex_hull
    return tuple((x, y) for x, y in orient(hull).exterior.coords[:-1])


def _on_outline(
    a: tuple[float, float], b: tuple[float, float], outline: Sequence[tuple[float, float]]
) -> bool:
    from shapely.geometry import LinearRing, LineString

    return bool(LinearRing(outline).buffer(SQUARE).covers(LineString([a, b])))


def _same_stack(other: Piece, piece: Piece) -> bool:
    if piece.kind not in ("panel", "overlay"):
        return other.key == piece.key
    return other.panel == piece.panel and other.kind in ("panel", "overlay")


def _notes(view: FaceView, project: Project, rows: Sequence[HoleRow]) -> tuple[str, ...]:
    piece = view.piece
    notes = [f"Material: {material_words(piece, project)}."]
    if piece.grain == "none":
        notes.append("The grain may run either way.")
    if view.face == "back":
        notes.append("Lay the show face down: this is what you see. Left and right are swapped.")
    through = [
        row for row in rows if row.feature.depth is None and row.kind in ("hole", "clearance")
    ]
    if through:
        other = "back" if view.face == "show" else "show"
        notes.append(f"Press a backing board against the {other} face before drilling through.")
    if any(row.feature.chamfer for row in rows):
        notes.append(
            "Cut the chamfer last, from this face, with the bearing on the opening's edge."
        )
    if view.bevels:
        notes.append("All sizes are measured from the blank's lower left corner, bevels included.")
    return tuple(notes)


__all__ = [
    "AROUND",
    "FEW",
    "PartSheet",
    "edge_ordinates",
    "faces_of",
    "feature_ordinates",
    "heaped",
    "known_labels",
    "ordinate_marks",
    "outline_marks",
    "part_drawings",
    "part_sheet",
    "tag_choices",
]
