"""What is sent to the viewer, read back by the layout told atop the module."""

from __future__ import annotations

import json
import zlib
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import trimesh

from casewright.faces.web.components.scene import (
    END,
    Shape,
    scene_changes,
    scene_parts,
)
from casewright.geometry.model import Cabinet
from casewright.geometry.solids import local_solid
from casewright.workflow import open_text, work_out

DUEL = Path(__file__).parents[3] / "examples" / "library-duel.cabinet.yaml"
RED = "{key: red1, label: red, on: deck, u: 140.3, v: 140, player: 1}"


@cache
def duel(old: str = "", new: str = "") -> Cabinet:
    text = DUEL.read_text(encoding="utf-8")
    assert old in text
    return work_out(open_text(text.replace(old, new) if old else text)).cabinet


def unpacked(shape: Shape) -> trimesh.Trimesh:
    raw = zlib.decompress(shape.data + END, -zlib.MAX_WBITS)
    assert len(raw) == shape.size
    corners, triangles = np.frombuffer(raw[:8], "<i4")

    def numbers(start: int, count: int) -> np.ndarray:
        planes = np.frombuffer(raw[start : start + 4 * count], np.uint8).reshape(4, count)
        return np.ascontiguousarray(planes.T).view("<i4").reshape(-1)

    points = np.cumsum(numbers(8, 3 * corners).reshape(3, corners), axis=1).T / 1000
    first, second, third = numbers(8 + 12 * corners, 3 * triangles).reshape(3, triangles)
    first = np.cumsum(first)
    faces = np.stack([first, first + second, first + third], axis=1)
    return trimesh.Trimesh(points, faces, process=False)


def test_packed_shapes_are_the_solids() -> None:
    """Closed, turned outward (trimesh's own judgement) and of the solid's volume."""
    cabinet = duel()
    parts = scene_parts(cabinet)
    assert set(parts) == {thing.key for thing in (*cabinet.pieces, *cabinet.bodies)}
    for thing in (*cabinet.pieces, *cabinet.bodies):
        mesh = unpacked(parts[thing.key].shape)
        assert mesh.is_watertight, thing.key
        assert mesh.is_winding_consistent, thing.key
        exact = local_solid(thing).volume
        # 0.1 mm off an arc is less than 1 % of the thinnest tube here; a lost face would be far more.
        assert mesh.volume == pytest.approx(exact, rel=0.01), thing.key


def test_a_plain_strip_has_eight_corners_at_its_blank() -> None:
    cabinet = duel()
    strip = cabinet.piece_by_key["hatch.stop-low"]
    assert not strip.features
    mesh = unpacked(scene_parts(cabinet)["hatch.stop-low"].shape)
    assert len(mesh.vertices) == 8
    low, high = mesh.bounds
    assert [*low, *high] == pytest.approx(
        [*strip.extent[:2], -strip.thickness, *strip.extent[2:], 0.0], abs=0.0005
    )


def test_the_same_cabinet_sends_nothing() -> None:
    parts = scene_parts(duel())
    assert not scene_changes(parts, scene_parts(duel()))


def test_equal_bodies_share_one_shape() -> None:
    parts = scene_parts(duel())
    assert parts["red1.rim"].shape is parts["blue2.rim"].shape
    whole = scene_changes({}, parts)
    assert len(whole.shapes) == len({part.shape.id for part in parts.values()})
    assert len(whole.shapes) < len(parts)


def test_a_moved_button_sends_itself_its_likes_and_its_boards() -> None:
    before = scene_parts(duel())
    after = scene_parts(duel(RED, RED.replace("140.3", "143.3")))
    changes = scene_changes(before, after)
    owners = {part.owner for part in changed} if (changed := changes.changed) else set()
    assert owners == {"red1", "red2", "deck", "deck.overlay"}  # red2 is "like" red1
    assert changes.removed == ()
    assert len(changes.shapes) == 2  # the boards with their new holes; buttons only stand elsewhere
    assert len(json.dumps(changes.parts_json())) < 20_000
    moved = np.array(after["red1.rim"].place) - np.array(before["red1.rim"].place)
    assert moved == pytest.approx([0] * 9 + [3, 0, 0], abs=0.001)


def test_a_removed_part_is_named() -> None:
    foot = "foot1"
    before = scene_parts(duel())
    after = {key: part for key, part in before.items() if part.owner != foot}
    changes = scene_changes(before, after)
    assert changes.removed == (f"{foot}.body",)
    assert not changes.changed
    assert scene_changes(after, before).changed == (before[f"{foot}.body"],)
