"""STEP files, read back by the geometry kernel; volumes against closed formulas with true circles."""

from __future__ import annotations

import math
import re
import sys

import pytest
from tests.geometry.pieces_by_hand import board, body, cabinet, frame, hole, project, rectangle

from casewright.basics.errors import OutputError
from casewright.geometry.model import (
    Box,
    Circle,
    Cylinder,
    Feature,
    Frame,
    Piece,
    Polygon,
    Rectangle,
)
from casewright.geometry.solids import solid_of
from casewright.outputs.exports.step import has_cad, write_step

needs_cad = pytest.mark.skipif(not has_cad(), reason="the extra `cad` is not installed")


def read_back(data: bytes, tmp_path) -> dict[str, tuple[float, tuple[float, ...], str]]:
    """Volume, extent in the cabinet frame, and color of each part by its name."""
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepGProp import BRepGProp
    from OCP.collections import Sequence_TDF_Label
    from OCP.GProp import GProp_GProps
    from OCP.Quantity import Quantity_ColorRGBA
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDF import TDF_Label
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFApp import XCAFApp_Application
    from OCP.XCAFDoc import XCAFDoc_ColorSurf, XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

    path = tmp_path / "cabinet.step"
    path.write_bytes(data)
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    XCAFApp_Application.GetApplication_s().InitDocument(document)
    reader = STEPCAFControl_Reader()
    reader.ReadFile(str(path))
    reader.Transfer(document)
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colors = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    roots, found = Sequence_TDF_Label(), {}
    tool.GetFreeShapes(roots)
    assert roots.Length() == 1
    components = Sequence_TDF_Label()
    XCAFDoc_ShapeTool.GetComponents_s(roots.Value(1), components)
    for i in range(1, components.Length() + 1):
        label = components.Value(i)
        name = TDataStd_Name()
        assert label.FindAttribute(TDataStd_Name.GetID_s(), name)
        shape = XCAFDoc_ShapeTool.GetShape_s(label)
        assert BRepCheck_Analyzer(shape).IsValid()
        mass, box = GProp_GProps(), Bnd_Box()
        BRepGProp.VolumeProperties_s(shape, mass)
        BRepBndLib.AddOptimal_s(shape, box, False, False)
        part, color = TDF_Label(), Quantity_ColorRGBA()
        assert XCAFDoc_ShapeTool.GetReferredShape_s(label, part)
        shape_color = XCAFDoc_ShapeTool.GetShape_s(part), XCAFDoc_ColorSurf, color
        known = colors.GetColor(*shape_color)
        text = Quantity_ColorRGBA.ColorToHex_s(color).ToCString().lower() if known else ""
        low, high = box.CornerMin(), box.CornerMax()
        extent = (low.X(), low.Y(), low.Z(), high.X(), high.Y(), high.Z())
        found[name.Get().ToExtString()] = (mass.Mass(), extent, text)
    return found


def flared(width: float, height: float, radius: float, chamfer: float, thickness: float) -> float:
    """Volume of a chamfered opening: its straight part, and by the prismoidal formula its flare."""

    def section(grow: float) -> float:
        r = radius + grow if radius else 0.0
        return (width + 2 * grow) * (height + 2 * grow) - (4 - math.pi) * r**2

    flare = chamfer / 6 * (section(0) + 4 * section(chamfer / 2) + section(chamfer))
    return section(0) * (thickness - chamfer) + flare


def features(face: str) -> list[tuple[Feature, float]]:
    """Features that keep clear of one another, with the volume each takes from a board of 12 mm."""

    def feature(key, kind, shape, depth=None, chamfer=0.0):
        return Feature(key, kind, shape, face, depth, "bit", chamfer=chamfer)

    opening = Rectangle(150, 100, 120, 60, 6, turn_deg=10)
    slot = Rectangle(300, 150, 60, 20, 10)
    sharp = Rectangle(300, 60, 60, 40)
    cone = math.pi * 3 / 3 * (15**2 + 15 * 18 + 18**2)
    l_shape = Polygon(((350, 20), (390, 20), (390, 30), (360, 30), (360, 60), (350, 60)))
    return [
        (feature("hole", "hole", Circle(40, 40, 28.6)), math.pi * 14.3**2 * 12),
        (
            feature("rimmed", "hole", Circle(40, 150, 30), chamfer=3),
            math.pi * 15**2 * 9 + cone,
        ),
        (feature("opening", "opening", opening, chamfer=8), flared(120, 60, 6, 8, 12)),
        (feature("slot", "opening", slot, chamfer=2), flared(60, 20, 10, 2, 12)),
        (feature("sharp", "opening", sharp, chamfer=5), flared(60, 40, 0, 5, 12)),
        (feature("pilot", "pilot", Circle(80, 20, 3), 9), math.pi * 1.5**2 * 9),
        (
            feature("sunk", "countersink", Circle(120, 20, 9), 4),
            math.pi * 4 / 3 * (4.5**2 + 2.25 + 0.25),
        ),
        (feature("groove", "groove", Rectangle(200, 190, 420, 6), 5), 400 * 6 * 5),
        (feature("corner", "notch", l_shape), (40 * 10 + 10 * 30) * 12),
    ]


def sloped_panel(face: str, bevelled: bool) -> tuple[Piece, float]:
    back = ((0, -5), (400, -5), (400, 205), (0, 205)) if bevelled else None
    blank = 400 * 12 * (200 + 210) / 2 if bevelled else 400 * 200 * 12
    cuts = features(face)
    piece = board(
        "deck",
        rectangle(400, 200),
        back=back,
        features=[feature for feature, _ in cuts],
        at=frame((20, 30, 100), 8.4),
    )
    return piece, blank - sum(taken for _, taken in cuts)


@needs_cad
@pytest.mark.parametrize("face", ["show", "back"])
@pytest.mark.parametrize("bevelled", [False, True])
def test_a_panel_comes_back_exact(face, bevelled, tmp_path):
    piece, expected = sloped_panel(face, bevelled)
    volume, extent, _ = read_back(write_step(cabinet([piece])), tmp_path)["deck"]
    assert volume == pytest.approx(expected, rel=1e-9)
    solid = solid_of(piece)
    assert solid.volume == pytest.approx(expected, rel=1e-5)  # facets keep areas but at a rim
    assert extent == pytest.approx((*solid.box[0], *solid.box[1]), abs=1e-5)


@needs_cad
def test_counterbores_cleats_and_bodies_come_back_exact(tmp_path):
    bored = board(
        "cleat",
        rectangle(200, 20),
        thickness=20,
        features=[
            Feature("b", "counterbore", Circle(50, 10, 9), "show", 6.0, "forstner"),
            Feature("c", "clearance", Circle(50, 10, 4.5), "show", None, "twist"),
            Feature("e", "slot", Rectangle(198, 10, 10, 30), "show", 2.0, "slot"),
        ],
        material="batten",
    )
    bodies = [
        body("red.body", Cylinder(0, 0, 26, -50, 0), at=frame((5, 6, 7), 90)),
        body("dial.knob", Cylinder(0, 0, 26, 0, 12, top_diameter=20)),
        body("pc.body", Box(0, 0, 90, 60, -30, 0)),
        body("pc.plugs", Box(0, 0, 90, 60, -60, -30), kind="room"),
    ]
    found = read_back(write_step(cabinet([bored], bodies)), tmp_path)
    assert set(found) == {"cleat", "red.body", "dial.knob", "pc.body"}
    bore = math.pi * (4.5**2 * 6 + 2.25**2 * 14)
    assert found["cleat"][0] == pytest.approx(200 * 20 * 20 - bore - 7 * 20 * 2, rel=1e-9)
    assert found["red.body"][0] == pytest.approx(math.pi * 13**2 * 50, rel=1e-9)
    assert found["dial.knob"][0] == pytest.approx(math.pi * 4 * (169 + 130 + 100), rel=1e-9)
    assert found["red.body"][1] == pytest.approx((-8, 6, -6, 18, 56, 20), abs=1e-5)


@needs_cad
def test_pieces_carry_their_materials_colors(tmp_path):
    goods = project(blue={"kind": "acrylic", "nominal": 3, "color": "#3a7Fb0"})
    piece = board("cover", rectangle(50, 50), thickness=3, material="blue")
    data = write_step(cabinet([piece], of=goods))
    (red, green, blue) = re.search(rb"COLOUR_RGB\('',([^,]+),([^,]+),([^)]+)\)", data).groups()
    shares = [float(x) * 255 for x in (red, green, blue)]
    assert shares == pytest.approx([0x3A, 0x7F, 0xB0], abs=0.01)
    assert read_back(data, tmp_path)["cover"][2] == "#3a7fb059"  # 0.35 opaque


@needs_cad
def test_features_that_run_into_each_other_and_over_the_edge(tmp_path):
    """What is cut twice is gone once; checked against the faceted solid, whose areas are exact but at crossings."""
    crossing = [hole("a", 100, 100, 60), hole("b", 130, 100, 60), hole("c", 0, 50, 40)]
    wide = Feature("d", "hole", Circle(300, 100, 60), "show", None, "hole saw", chamfer=20)
    piece = board("deck", rectangle(400, 200), features=[*crossing, wide])
    volume, _, _ = read_back(write_step(cabinet([piece])), tmp_path)["deck"]
    assert volume == pytest.approx(solid_of(piece).volume, rel=1e-4)


@needs_cad
def test_a_board_cut_in_two_stays_one_part(tmp_path):
    saw = Feature("s", "opening", Rectangle(200, 100, 10, 300), "show", None, "saw")
    piece = board("deck", rectangle(400, 200), features=[saw])
    found = read_back(write_step(cabinet([piece])), tmp_path)
    assert found["deck"][0] == pytest.approx((400 - 10) * 200 * 12)


@needs_cad
def test_the_same_cabinet_gives_the_same_bytes_and_prints_nothing(capfd):
    case = cabinet([sloped_panel("show", True)[0]], [body("red.body", Cylinder(0, 0, 26, -50, 0))])
    first, second = write_step(case), write_step(case)
    assert first == second
    assert b"'2000-01-01T00:00:00'" in first
    assert capfd.readouterr() == ("", "")


@needs_cad
def test_parts_keep_their_place_whatever_their_frame(tmp_path):
    side = Frame((0, 430, 0), (0, -1, 0), (0, 0, 1), (-1, 0, 0))
    piece = board("left", rectangle(430, 572), thickness=14.7, at=side)
    _, extent, _ = read_back(write_step(cabinet([piece])), tmp_path)["left"]
    assert extent == pytest.approx((0, 0, 0, 14.7, 430, 572), abs=1e-5)


@needs_cad
def test_a_title_in_any_script_is_written(tmp_path):
    titled = project().model_copy(update={"name": "Quiz-Möbel ⌀ 28'"})
    piece = board("deck", rectangle(50, 50))
    data = write_step(cabinet([piece], of=titled))
    # ISO 10303-21 (clause from memory, 6.4.3): other signs by eight hexadecimal digits each, between X4 and X0.
    assert rb"Quiz-M\X4\000000F6\X0\bel \X4\00002300\X0\ 28''" in data
    assert data.isascii()
    assert set(read_back(data, tmp_path)) == {"deck"}


def test_without_the_extra_it_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "OCP", None)
    with pytest.raises(OutputError) as caught:
        write_step(cabinet())
    assert "casewright[cad]" in caught.value.remedy
