"""The cabinet as a binary glTF 2.0 file, for viewers.

Source:
    Khronos glTF 2.0 specification (ISO/IEC 12113): section 4.4 (binary form), 3.6 (accessors), 3.9 (materials).
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator
from typing import Any

import numpy as np

from casewright.geometry.model import Body, Cabinet, Piece
from casewright.geometry.solids import Solid, solid_of
from casewright.outputs.exports.appearance import (
    Appearance,
    body_appearance,
    piece_appearance,
)

# Numbers of the specification.
_FLOAT, _UNSIGNED_INT = 5126, 5125
_VERTICES, _INDICES = 34962, 34963
_TRIANGLES = 4
_FINE = 100_000  # steps from 0 to 1 in which directions are told apart
_MAGIC, _VERSION, _JSON, _BIN = 0x46546C67, 2, 0x4E4F534A, 0x004E4942

# A file's y is up and its unit the meter; ours are z and the millimeter. Columns of a matrix, one after the other.
_Y_UP_METERS = (0.001, 0, 0, 0, 0, 0, -0.001, 0, 0, 0.001, 0, 0, 0, 0, 0, 1)


def write_glb(cabinet: Cabinet, *, rooms: bool = False) -> bytes:
    """The cabinet's solids, one node for each piece and body, named by its key.

    Args:
        cabinet: The cabinet.
        rooms: Also write the room that parts need kept free, as pale bodies.

    Returns:
        The file: meters, y up, faces flat, materials not metallic. Same cabinet, same bytes.
    """
    file = _File(cabinet.project.name)
    for piece in cabinet.pieces:
        extras = {
            "key": piece.key,
            "label": piece.label,
            "kind": piece.kind,
            "role": piece.role,
            "material": piece.material,
            "panel": piece.panel,
        }
        file.add(piece.key, solid_of(piece), piece_appearance(piece, cabinet.project), extras)
    for body in _bodies(cabinet, rooms):
        extras = {
            "key": body.key,
            "label": body.label,
            "kind": body.kind,
            "material": body.look,
            "owner": body.owner,
            "panel": _panel_of(body, cabinet),
        }
        file.add(body.key, solid_of(body), body_appearance(body), extras)
    return file.written()


def _bodies(cabinet: Cabinet, rooms: bool) -> Iterator[Body]:
    return (body for body in cabinet.bodies if rooms or body.kind == "solid")


def _panel_of(body: Body, cabinet: Cabinet) -> str:
    placed = cabinet.placed_by_key.get(body.owner)
    piece: Piece | None = cabinet.piece_by_key.get(placed.piece if placed else body.owner)
    return (piece.panel or piece.key) if piece else ""


class _File:
    """The parts of the file as they are gathered."""

    def __init__(self, title: str) -> None:
        self.title = title
        self.nodes: list[dict[str, Any]] = [{"matrix": _Y_UP_METERS, "name": "cabinet"}]
        self.meshes: list[dict[str, Any]] = []
        self.materials: dict[Appearance, int] = {}
        self.accessors: list[dict[str, Any]] = []
        self.views: list[dict[str, Any]] = []
        self.data = bytearray()

    def add(self, name: str, solid: Solid, look: Appearance, extras: dict[str, str]) -> None:
        node: dict[str, Any] = {"name": name, "extras": extras}
        if len(solid.mesh[1]):  # nothing is left of a piece that is cut away whole
            positions, normals, indices = _flat_faces(solid)
            primitive = {
                "attributes": {
                    "POSITION": self._accessor(positions, "VEC3", bounds=True),
                    "NORMAL": self._accessor(normals, "VEC3"),
                },
                "indices": self._accessor(indices, "SCALAR"),
                "material": self.materials.setdefault(look, len(self.materials)),
                "mode": _TRIANGLES,
            }
            node["mesh"] = len(self.meshes)
            self.meshes.append({"name": name, "primitives": [primitive]})
        self.nodes.append(node)

    def _accessor(self, values: np.ndarray[Any, Any], kind: str, *, bounds: bool = False) -> int:
        indices = kind == "SCALAR"
        data = values.astype("<u4" if indices else "<f4")
        accessor: dict[str, Any] = {
            "bufferView": len(self.views),
            "componentType": _UNSIGNED_INT if indices else _FLOAT,
            "count": len(data),
            "type": kind,
        }
        if bounds:
            accessor["min"] = [float(x) for x in data.min(axis=0)]
            accessor["max"] = [float(x) for x in data.max(axis=0)]
        self.views.append(
            {
                "buffer": 0,
                "byteOffset": len(self.data),
                "byteLength": data.nbytes,
                "target": _INDICES if indices else _VERTICES,
            }
        )
        self.data += data.tobytes()  # of 4-byte numbers, so that what follows stays aligned
        self.accessors.append(accessor)
        return len(self.accessors) - 1

    def written(self) -> bytes:
        if len(self.nodes) > 1:
            self.nodes[0]["children"] = list(range(1, len(self.nodes)))
        document: dict[str, Any] = {
            "asset": {"version": "2.0", "generator": "casewright"},
            "scene": 0,
            "scenes": [{"name": self.title, "nodes": [0]}],
            "nodes": self.nodes,
        }
        if self.data:
            document |= {
                "meshes": self.meshes,
                "materials": [_material(look) for look in self.materials],
                "accessors": self.accessors,
                "bufferViews": self.views,
                "buffers": [{"byteLength": len(self.data)}],
            }
        text = json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
        chunks = _chunk(_JSON, text.encode(), b" ")
        if self.data:
            chunks += _chunk(_BIN, bytes(self.data), b"\0")
        return struct.pack("<III", _MAGIC, _VERSION, 12 + len(chunks)) + chunks


def _chunk(kind: int, data: bytes, filler: bytes) -> bytes:
    data += filler * (-len(data) % 4)
    return struct.pack("<II", len(data), kind) + data


def _material(look: Appearance) -> dict[str, Any]:
    red, green, blue = (round(x, 6) for x in look.linear)
    material: dict[str, Any] = {
        "name": look.name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [red, green, blue, look.opacity],
            # Metal without surroundings to mirror would look black.
            "metallicFactor": 0,
            "roughnessFactor": look.roughness,
        },
    }
    if look.opacity < 1:
        material["alphaMode"] = "BLEND"
    return material


def _flat_faces(solid: Solid) -> tuple[np.ndarray[Any, Any], ...]:
    """Positions, normals and indices; a corner is shared only by triangles of one flat face."""
    points, triangles = solid.mesh
    a, b, c = (points[triangles[:, i]] for i in range(3))
    cross = np.cross(b - a, c - a)
    length = np.linalg.norm(cross, axis=1)
    # Triangles too thin to have a direction add nothing to see, but would leave holes if left out.
    normals = cross / np.where(length > 0, length, 1.0)[:, None]
    normals[length == 0] = (0.0, 0.0, 1.0)
    # A direction as one whole number, to a hundred-thousandth.
    steps = np.round(normals * _FINE).astype(np.int64) + _FINE
    packed = (steps[:, 0] * (2 * _FINE + 1) + steps[:, 1]) * (2 * _FINE + 1) + steps[:, 2]
    _, first, direction = np.unique(packed, return_index=True, return_inverse=True)
    directions = normals[first]
    corner = triangles * len(directions) + direction.reshape(-1, 1)
    used, indices = np.unique(corner.reshape(-1), return_inverse=True)
    return (
        points[used // len(directions)],
        directions[used % len(directions)],
        indices.reshape(-1),
    )


__all__ = ["write_glb"]
