"""What the viewer is sent of a cabinet: one small record a piece or body, and each shape once.

A shape is packed in its own frame (u, v, n), so that a button that moves sends only where it stands now, and all its
likes share one shape. Corners are whole micrometers and triangles are numbers of corners; both are written as steps
from one to the next and deflated, which leaves a tenth of what plain floats would take. Normals and edges follow from
them and are made by the viewer.

Shapes that are sent together are one deflated stream (RFC 1951): the browser takes longer to begin one than to read it.
Each is deflated by itself beforehand, up to a byte's border, so that joining them is all that is left to do.

A shape after base64 and inflation (RFC 4648), all numbers little-endian int32, each array as its four byte planes one
after the other:

    corners N, triangles M                      8 bytes, not in planes
    steps of u, then of v, then of n            3 N
    steps of the first corner's number          M
    second corner minus first                   M
    third corner minus first                    M

Everything is remembered by value: a shape that was packed once is not packed again.
"""

from __future__ import annotations

import base64
import hashlib
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from casewright.faces.web.components.scene_works import TOLERANCE, Band, bands_of
from casewright.geometry.model import Body, Cabinet, Circle, Cylinder, Frame, Piece, Point3
from casewright.geometry.solids import Solid, local_solid
from casewright.outputs.drawings.apart import moved_apart
from casewright.outputs.exports.appearance import (
    Appearance,
    body_appearance,
    piece_appearance,
)

STEPS_PER_MM = 1000
"""Corners are packed to a thousandth of a millimeter."""
END = b"\x03\x00"
"""The last block of a deflated stream, with nothing in it (RFC 1951, 3.2.3 and 3.2.6)."""

Group = Literal["piece", "part", "room"]
"""piece: cut by the maker; part: body of a bought part; room: kept free for one."""


@dataclass(frozen=True)
class Shape:
    """A packed shape in its own frame."""

    id: str
    """Equal shapes have equal ids."""
    data: bytes
    """Deflated, as told atop this module; a stretch of a stream, without its end."""
    size: int
    """Of what it is when inflated. [bytes]"""


@dataclass(frozen=True)
class PartMesh:
    """One piece or body as the viewer is told of it."""

    key: str
    label: str
    group: Group
    owner: str
    """Key of the placed part a body belongs to; a piece's own key."""
    panel: str
    """Key of the panel it goes with."""
    piece: Piece | None
    """None for a body."""
    color: str
    opacity: float
    roughness: float
    hatched: bool
    """Whether it is hatched where it is cut open: what the maker cuts."""
    lit: bool
    """Whether it shines by itself, so that no shadow falls on it."""
    grain: Literal["u", "v", "none"]
    place: tuple[float, ...]
    """Frame in the cabinet: u, v, n and origin, one after the other. [mm]"""
    apart: Point3
    """Move when the cabinet is wholly taken apart. [mm]"""
    centres: tuple[Point3, ...]
    """Centres of round holes and ends, in its own frame, to measure from. [mm]"""
    shape: Shape

    @cached_property
    def worked(self) -> tuple[Band, ...]:
        """What is worked into it; found and sent only when it is to be shown."""
        return bands_of(self.piece) if self.piece else ()

    def as_json(self) -> dict[str, Any]:
        """Plain data, the shape by its id."""
        return {
            "key": self.key,
            "label": self.label,
            "group": self.group,
            "owner": self.owner,
            "panel": self.panel,
            "color": self.color,
            "opacity": self.opacity,
            "roughness": self.roughness,
            "hatched": self.hatched,
            "lit": self.lit,
            "grain": self.grain,
            "place": list(self.place),
            "apart": list(self.apart),
            "centres": [x for point in self.centres for x in point],
            "shape": self.shape.id,
        }


@dataclass(frozen=True)
class SceneChanges:
    """What the viewer must be told to get from one scene to another."""

    changed: tuple[PartMesh, ...]
    removed: tuple[str, ...]
    shapes: tuple[Shape, ...]
    """Those that the old scene did not have."""

    def __bool__(self) -> bool:
        return bool(self.changed or self.removed)

    def parts_json(self) -> dict[str, Any]:
        """What the viewer's `update` takes as its first argument."""
        stream = b"".join(shape.data for shape in self.shapes) + END
        return {
            "parts": [part.as_json() for part in self.changed],
            "shapes": {
                "ids": [shape.id for shape in self.shapes],
                "sizes": [shape.size for shape in self.shapes],
                "data": base64.b64encode(stream).decode("ascii"),
            },
        }


def scene_parts(cabinet: Cabinet) -> dict[str, PartMesh]:
    """Every piece and body of a cabinet as the viewer is told of it, by key.

    What is cut away whole is left out. Equal pieces give equal records, whichever cabinet they come from.
    """
    moves = moved_apart(cabinet, 1.0, tolerance=TOLERANCE)
    parts = {}
    for piece in cabinet.pieces:
        solid = local_solid(piece, tolerance=TOLERANCE)
        if len(solid.mesh[1]):
            look = piece_appearance(piece, cabinet.project)
            parts[piece.key] = _piece(piece, solid, look, moves[piece.key])
    for body in cabinet.bodies:
        solid = local_solid(body, tolerance=TOLERANCE)
        if len(solid.mesh[1]):
            parts[body.key] = _body(body, solid, _panel_of(body, cabinet), moves[body.key])
    return parts


def scene_changes(old: Mapping[str, PartMesh], new: Mapping[str, PartMesh]) -> SceneChanges:
    """What differs between two scenes; an empty old one gives the whole new one."""
    held = {part.shape.id for part in old.values()}
    changed = tuple(part for key, part in new.items() if old.get(key) != part)
    fresh = {part.shape.id: part.shape for part in changed if part.shape.id not in held}
    return SceneChanges(changed, tuple(key for key in old if key not in new), tuple(fresh.values()))


# ---- records ---------------------------------------------------------------------------------------------------------


def _piece(piece: Piece, solid: Solid, look: Appearance, move: Point3) -> PartMesh:
    centres = []
    for feature in piece.features:
        if isinstance(feature.shape, Circle):
            n = 0.0 if feature.face == "show" else -piece.thickness
            centres.append(_rounded((feature.shape.u, feature.shape.v, n)))
    return PartMesh(
        key=piece.key,
        label=piece.label,
        group="piece",
        owner=piece.key,
        panel=piece.panel or piece.key,
        piece=piece,
        color=look.color,
        opacity=look.opacity,
        roughness=look.roughness,
        hatched=True,
        lit=False,
        grain=piece.grain,
        place=_place(piece.frame),
        apart=_rounded(move),
        centres=tuple(dict.fromkeys(centres)),
        shape=_packed(solid),
    )


def _body(body: Body, solid: Solid, panel: str, move: Point3) -> PartMesh:
    look = body_appearance(body)
    form = body.shape
    ends = (form.n_low, form.n_high) if isinstance(form, Cylinder) else ()
    return PartMesh(
        key=body.key,
        label=body.label,
        group="part" if body.kind == "solid" else "room",
        owner=body.owner,
        panel=panel,
        piece=None,
        color=look.color,
        opacity=look.opacity,
        roughness=look.roughness,
        hatched=False,
        lit=body.kind == "solid" and body.look == "lit",
        grain="none",
        place=_place(body.frame),
        apart=_rounded(move),
        centres=tuple(_rounded((form.u, form.v, n)) for n in ends),
        shape=_packed(solid),
    )


def _panel_of(body: Body, cabinet: Cabinet) -> str:
    placed = cabinet.placed_by_key.get(body.owner)
    piece = cabinet.piece_by_key.get(placed.piece if placed else body.owner)
    return (piece.panel or piece.key) if piece else ""


def _place(frame: Frame) -> tuple[float, ...]:
    axes = (*frame.u, *frame.v, *frame.n)
    return (*(round(x, 7) + 0.0 for x in axes), *_rounded(frame.origin))


def _rounded(point: Point3) -> Point3:
    x, y, z = point
    return (round(x, 3) + 0.0, round(y, 3) + 0.0, round(z, 3) + 0.0)


# ---- packing ---------------------------------------------------------------------------------------------------------


@lru_cache(maxsize=4096)
def _packed(solid: Solid) -> Shape:
    corners, triangles = _ordered(solid)
    steps = np.diff(corners, axis=0, prepend=np.zeros((1, 3), np.int64)).T.reshape(-1)
    first = triangles[:, 0]
    numbers = np.concatenate(
        [np.diff(first, prepend=0), triangles[:, 1] - first, triangles[:, 2] - first]
    )
    head = np.array([len(corners), len(triangles)], dtype="<i4").tobytes()
    raw = head + _planes(steps) + _planes(numbers)
    name = hashlib.blake2b(raw, digest_size=9).digest()
    # At 6 a hundredth longer than at 9, in half the time.
    deflate = zlib.compressobj(6, zlib.DEFLATED, -zlib.MAX_WBITS)
    data = deflate.compress(raw) + deflate.flush(zlib.Z_FULL_FLUSH)
    return Shape(base64.urlsafe_b64encode(name).decode("ascii"), data, len(raw))


def _ordered(solid: Solid) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Corners in micrometers, each once, and triangles, both sorted so that steps are short."""
    points, triangles = solid.mesh
    exact = np.round(points * STEPS_PER_MM).astype(np.int64)
    order = np.lexsort(exact.T[::-1])
    first = np.ones(len(exact), dtype=bool)
    np.any(exact[order[1:]] != exact[order[:-1]], axis=1, out=first[1:])
    corners = exact[order[first]]
    number = np.empty(len(exact), dtype=np.int64)
    number[order] = np.cumsum(first) - 1
    faces = number[triangles]
    start = faces.argmin(axis=1)[:, None]
    turned = np.take_along_axis(faces, (start + np.arange(3)) % 3, axis=1)
    sorted_faces: NDArray[np.int64] = turned[np.lexsort(turned.T[::-1])]
    return corners, sorted_faces


def _planes(values: NDArray[np.int64]) -> bytes:
    """The lowest bytes of all numbers first, then the next ones: alike stands with alike."""
    return values.astype("<i4").view(np.uint8).reshape(-1, 4).T.tobytes()


__all__ = [
    "END",
    "STEPS_PER_MM",
    "Group",
    "PartMesh",
    "SceneChanges",
    "Shape",
    "scene_changes",
    "scene_parts",
]
