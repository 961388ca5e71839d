"""One sheet put together: the face with its features, figures from the datum corner, tags, words and heading."""

from __future__ import annotations

import math
from collections.abc import Sequence

from casewright.basics.units import LengthStyle
from casewright.geometry.model import Cabinet, Circle, Feature
from casewright.outputs.drawings.dimensions import Ordinate
from casewright.outputs.drawings.face_view import FACE_WORDS, FaceView
from casewright.outputs.drawings.feature_marks import SMALL, feature_box, feature_marks
from casewright.outputs.drawings.ground import Edge, Ground
from casewright.outputs.drawings.heading import heading
from casewright.outputs.drawings.hinge_marks import hinge_boxes, hinge_ordinates, hinge_outlines
from casewright.outputs.drawings.hole_table import MANY, HoleRow, clusters, figure
from casewright.outputs.drawings.marking_out import marking_out
from casewright.outputs.drawings.marks import (
    Box,
    Drawing,
    Mark,
    Material,
    Polyline,
    Region,
    bounds,
    rectangle,
)
from casewright.outputs.drawings.part_ordinates import (
    FIGURE,
    TAG,
    edge_ordinates,
    feature_ordinates,
    fits_along,
    ordinate_marks,
)
from casewright.outputs.drawings.part_outline import outline_marks
from casewright.outputs.drawings.part_tags import heaped, tag_choices
from casewright.outputs.drawings.side_view import corner_marks, corner_ordinates
from casewright.outputs.drawings.symbols import DatumMark

FEW = 12
"""Up to so many holes are dimensioned on the drawing too; more stand in the table alone."""

TINTS: frozenset[Material] = frozenset({"face", "paper", "part"})
"""Plain grounds, which say nothing that lines do not say."""


class SheetLayout:
    """Lays one face of a piece out at any scale."""

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
        self.hinges = hinge_boxes(cabinet, view)

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
                # a side's many footprints need the ground left of it
                left = -math.inf if side else blank.left
                ground.block_outside(mark.points, below=blank.bottom, left_of=left)
        shapes = list(self._shapes(scale))
        lettering: list[Mark] = []
        if side and view.face == "show":
            lettering += corner_marks(self.cabinet, view, ground, style, scale=scale)
        if side and view.face == "back":
            out = marking_out(self.cabinet, view, style)
            shapes = [*shapes[:2], *out.marks, *shapes[2:]]
            lettering += out.lettered(ground, scale=scale, numbers=True)
        lettering += self._edge_words(ground, scale)
        lettering += self._tags(ground, scale)
        # Extension lines lie under holes and lettering.
        marks: list[Mark] = [*shapes[:1], *figures, *shapes[1:], *lettering]
        so_far = bounds([*marks, rectangle(blank)], scale)
        marks += heading(
            self.piece,
            view.face,
            self.label,
            blank,
            self.cabinet.project,
            style,
            scale=scale,
            width=max(self.room[0] - (blank.left - so_far.left) * scale, 60.0),
            top=so_far.top,
            count=self.count,
        )
        return Drawing(self.title, tuple(marks), unit=style.unit, scale=scale)

    def bare(self, keep_off: Sequence[Edge] = ()) -> Drawing:
        """Without dimensions, at true size, and without the tints that would only cost ink on a template.

        Args:
            keep_off: Where the paper ends: no lettering runs across if that can be helped. [mm]
        """
        ground = self._ground(1.0, spare=60.0)
        for edge in keep_off:
            ground.block_edges(edge, closed=False)
        marks: list[Mark] = [*self._shapes(1.0), DatumMark((0.0, 0.0))]
        if self.piece.kind == "side" and self.view.face == "back":
            out = marking_out(self.cabinet, self.view, self.style)
            marks += [*out.marks, *out.lettered(ground, scale=1.0, height=FIGURE)]
        marks += self._edge_words(ground, 1.0, height=FIGURE)
        marks += self._tags(ground, 1.0, sized=True, height=FIGURE)
        inked = [m for m in marks if not (isinstance(m, Region) and m.material in TINTS)]
        return Drawing(self.title, tuple(inked), unit=self.style.unit)

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
                for at in (box, box.grown(-feature.chamfer)):
                    ground.block_edges(rectangle(at).points)
            elif feature.face == self.view.face:
                ground.block(box.grown(1.2 / scale))  # its centre mark reaches out
            elif feature.depth is None or min(box.width, box.height) >= SMALL:
                ground.block(box)
        return ground

    def _shapes(self, scale: float) -> tuple[Mark, ...]:
        """The part's ground first, then its edges and features, the deep ones over the wide ones."""
        view = self.view
        marks = list(outline_marks(view, self._ground_material()))
        features = sorted(self.piece.features, key=lambda f: _area(feature_box(f, view.motion)))
        for feature in reversed(features):
            marks += feature_marks(feature, view.face, view.motion, scale=scale)
        marks += hinge_outlines(self.hinges)
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
        hinge_xs, hinge_ys = hinge_ordinates(self.hinges, style)
        if fits_along([*xs, *hinge_xs], view.box.width * scale):
            xs += hinge_xs
        if fits_along([*ys, *hinge_ys], view.box.height * scale):
            ys += hinge_ys
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
            if fits_along([*xs, *more_x], view.box.width * scale):
                xs += more_x
            if fits_along([*ys, *more_y], view.box.height * scale):
                ys += more_y
        return xs, ys

    def _one_of_many(self, feature: Feature) -> bool:
        alike = [
            f for f in self.piece.features if f.owner == feature.owner and f.kind == feature.kind
        ]
        return bool(feature.owner) and len(alike) >= MANY and feature.kind in ("hole", "opening")

    def _edge_words(self, ground: Ground, scale: float, *, height: float = TAG) -> list[Mark]:
        marks: list[Mark] = []
        inward = 1.0 if self.view.face == "show" else -1.0  # the mirrored outline runs clockwise
        for bevel in self.view.bevels:
            named = f"{bevel.edge} edge: {bevel.words}"
            a, b = bevel.start, bevel.end
            offsets = [inward * off * height / TAG for off in (2.6, -2.6, 4.6, -4.6)]
            ground_material = self._ground_material()
            marks += ground.along(
                bevel.words,
                a,
                b,
                offsets=offsets,
                height=height,
                weight="bold",
                backing=ground_material,
                otherwise=named,
            )
        return marks

    def _tags(
        self, ground: Ground, scale: float, *, sized: bool = False, height: float = TAG
    ) -> list[Mark]:
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
                if len(lines) == 1 or (inside and ground.fitting(lines, box, height=height)):
                    marks += ground.tag(lines, box, height=height, backing=backing, inside=inside)
                    break
        for box, _ in self.hinges:
            marks += ground.tag(["hinge"], box, height=height, backing=self._ground_material())
        return marks


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


__all__ = ["FEW", "TINTS", "SheetLayout"]
