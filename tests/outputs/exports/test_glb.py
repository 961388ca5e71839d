"""glTF files, read back with another library and by the specification's own rules (Khronos glTF 2.0)."""

from __future__ import annotations

import io
import json
import struct

import numpy as np
import pytest
import trimesh
from tests.geometry.pieces_by_hand import board, body, cabinet, frame, hole, project, rectangle

from casewright.geometry.model import Box, Cylinder, Feature, Rectangle
from casewright.geometry.solids import solid_of
from casewright.outputs.exports.glb import write_glb


@pytest.fixture(scope="module")
def case():
    """A sloped, bevelled, drilled deck with a clear overlay, a button and the room for its wires."""
    opening = Feature(
        "o", "opening", Rectangle(200, 100, 90, 50, 6), "show", None, "jigsaw", chamfer=4
    )
    at = frame((20, 30, 100), 10)
    pieces = [
        board(
            "deck",
            rectangle(300, 200),
            back=((0, 5), (300, 5), (300, 200), (0, 200)),
            features=[hole("h", 60, 60, 28.6), opening],
            at=at,
        ),
        board("deck.overlay", rectangle(300, 200), at=at, material="clear", thickness=3),
    ]
    bodies = [
        body("red.body", Cylinder(60, 60, 26, -50, 0), at=at),
        body("red.wires", Box(60, 60, 30, 30, -80, -50), at=at, kind="room"),
    ]
    clear = {"kind": "acrylic", "nominal": 3, "color": "#D5E6EC"}
    return cabinet(pieces, bodies, of=project(clear=clear))


def parts_of(data: bytes) -> tuple[dict, bytes]:
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON" and size % 4 == 0
    document = json.loads(data[20 : 20 + size])
    rest = data[20 + size :]
    binary = b""
    if rest:
        size, kind = struct.unpack_from("<I4s", rest)
        assert kind == b"BIN\0" and size % 4 == 0 and len(rest) == 8 + size
        binary = rest[8:]
    return document, binary


def test_names_volumes_and_places_come_back(case):
    scene = trimesh.load(io.BytesIO(write_glb(case)), file_type="glb")
    things = {thing.key: thing for thing in (*case.pieces, case.bodies[0])}
    assert set(scene.graph.nodes_geometry) == set(things)
    for key, thing in things.items():
        transform, geometry = scene.graph[key]
        mesh = scene.geometry[geometry].copy()
        mesh.apply_transform(transform)
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        solid = solid_of(thing)
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(solid.volume * 1e-9, rel=1e-5)  # m³
        (x0, y0, z0), (x1, y1, z1) = solid.box
        # y up in the file: (x, y, z) is written as (x, z, -y), in meters.
        low, high = np.array((x0, z0, -y1)) / 1000, np.array((x1, z1, -y0)) / 1000
        assert mesh.bounds == pytest.approx(np.array((low, high)), abs=1e-6)


def test_nodes_say_what_they_are(case):
    document, _ = parts_of(write_glb(case))
    nodes = {node["name"]: node for node in document["nodes"]}
    assert nodes["deck.overlay"]["extras"]["material"] == "clear"
    assert nodes["deck"]["extras"]["kind"] == "panel"
    assert nodes["red.body"]["extras"]["owner"] == "red"
    assert "red.wires" not in nodes
    with_rooms, _ = parts_of(write_glb(case, rooms=True))
    assert "red.wires" in {node["name"] for node in with_rooms["nodes"]}


def test_materials_are_dull_and_acrylic_lets_light_through(case):
    document, _ = parts_of(write_glb(case))
    materials = {m["name"]: m for m in document["materials"]}
    assert all(m["pbrMetallicRoughness"]["metallicFactor"] == 0 for m in materials.values())
    clear = materials["clear"]
    assert clear["alphaMode"] == "BLEND"
    red, green, blue, opacity = clear["pbrMetallicRoughness"]["baseColorFactor"]
    assert opacity < 1
    # IEC 61966-2-1: a stored 0xD5 = 213 is ((213/255 + 0.055) / 1.055) ** 2.4 of full light.
    assert red == pytest.approx(((213 / 255 + 0.055) / 1.055) ** 2.4, abs=1e-5)
    assert red < green < blue


def test_accessors_lie_in_the_buffer_and_state_their_bounds(case):
    document, binary = parts_of(write_glb(case))
    assert document["buffers"][0]["byteLength"] == len(binary)
    for view in document["bufferViews"]:
        assert view["byteOffset"] % 4 == 0
        assert view["byteOffset"] + view["byteLength"] <= len(binary)
    for mesh in document["meshes"]:
        (primitive,) = mesh["primitives"]
        position = document["accessors"][primitive["attributes"]["POSITION"]]
        normal = document["accessors"][primitive["attributes"]["NORMAL"]]
        view = document["bufferViews"][position["bufferView"]]
        points = np.frombuffer(binary, "<f4", position["count"] * 3, view["byteOffset"])
        points = points.reshape(-1, 3)
        assert points.min(axis=0).tolist() == position["min"]
        assert points.max(axis=0).tolist() == position["max"]
        view = document["bufferViews"][normal["bufferView"]]
        normals = np.frombuffer(binary, "<f4", normal["count"] * 3, view["byteOffset"])
        assert np.linalg.norm(normals.reshape(-1, 3), axis=1) == pytest.approx(1.0, abs=1e-6)
        index = document["accessors"][primitive["indices"]]
        view = document["bufferViews"][index["bufferView"]]
        indices = np.frombuffer(binary, "<u4", index["count"], view["byteOffset"])
        assert indices.max() == position["count"] - 1
        # Each triangle runs counter-clockwise round the normal of its corners (section 3.7.2.1).
        corners = points[indices].reshape(-1, 3, 3)
        cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        along = np.einsum("ij,ij->i", cross, normals.reshape(-1, 3)[indices[::3]])
        assert (along > -1e-3).all()


def test_the_same_cabinet_gives_the_same_bytes(case):
    assert write_glb(case) == write_glb(case)


def test_an_empty_cabinet_is_still_a_file():
    document, binary = parts_of(write_glb(cabinet()))
    assert [node["name"] for node in document["nodes"]] == ["cabinet"]
    assert binary == b""
