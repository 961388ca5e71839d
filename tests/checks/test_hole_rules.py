"""Holes in their pieces: edges, webs, chamfers."""

from __future__ import annotations

import re

import pytest
from tests.checks.bench import (
    applied,
    board,
    box,
    button,
    cures,
    found,
    hole,
    lever,
    subject_of,
)

from casewright.basics.findings import Severity
from casewright.checks.rules import feature_outside, feature_web, opening_land
from casewright.checks.telling import told_apart

NO_CLEATS = {"deck": {"cleats": {"along": "none"}}}
"""So that the screws of the deck's cleats are in no hole's way."""


@pytest.mark.parametrize(("u", "count"), [(23, 0), (15, 0), (14, 1)])
def test_hole_at_the_edge(u, count):
    """Plain geometry: a hole of 30 at u = 15 just touches the end of the board at u = 0."""
    findings = found(feature_outside, box(features=[hole(u, 150)]))
    assert [f.severity for f in findings] == [Severity.STOP] * count


def test_hole_at_the_edge_is_cured_with_its_web():
    data = box(panels=NO_CLEATS, features=[hole(14, 150)])
    cures(feature_outside, data)
    finding = found(feature_outside, data)[0]
    assert (finding.remedies[0].field, finding.remedies[0].value) == (
        "features.0.u",
        pytest.approx(23, abs=1e-3),  # radius 15 and a web of 8
    )


def leaning(**sections):
    """The front leans back, so that the deck's front edge is bevelled and its back face is shorter."""
    corners = {"A": [0, 0], "B": [300, 0], "C": [300, 200], "D": [60, 200]}
    seams = [{"between": ["deck", "front"], "rule": "miter"}]
    return box(shape={"corners": corners}, seams=seams, **sections)


def test_both_faces_of_a_bevelled_edge_count():
    deck = board(leaning(), "deck")
    show, back = (min(v for _, v in face) for face in (deck.show, deck.back))
    assert abs(show - back) > 3  # else this test shows nothing
    inner = max(show, back)
    assert found(feature_outside, leaning(features=[hole(300, inner + 15)])) == []
    out = leaning(features=[hole(300, inner + 14)])
    assert len(found(feature_outside, out)) == 1
    assert "⟦1.0000⟧" in found(feature_outside, out)[0].message
    cures(feature_outside, out)


def test_a_blind_hole_counts_on_its_own_face_only():
    deck = board(leaning(), "deck")
    show, back = (min(v for _, v in face) for face in (deck.show, deck.back))
    face, edge = ("show", show) if show < back else ("back", back)
    blind = {**hole(300, edge + 15.01), "face": face, "depth": 0.01}
    assert found(feature_outside, leaning(features=[blind])) == []


def test_mirrored_sides_are_one_finding():
    data = box(
        parts={
            "grip": {
                "kind": "grip",
                "measured": {"mass_kg": 0},
                "placed": [{"key": "grip", "on": "sides", "u": 40, "v": 100}],
            }
        }
    )
    findings = found(feature_outside, data)
    assert len(findings) == 1
    assert {"left", "right"} <= set(findings[0].place.names)
    cures(feature_outside, data)


# ---- webs ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pitch", "severity"),
    [(40, None), (38, None), (37, Severity.CAUTION), (29, Severity.STOP)],
)
def test_web_between_two_holes_in_plywood(pitch, severity):
    """Common practice: 8 mm; holes of 30 at 38 leave just that, at 29 they run into each other."""
    data = box(features=[hole(200, 150), hole(200 + pitch, 150)])
    findings = found(feature_web, data)
    assert [f.severity for f in findings] == ([severity] if severity else [])
    if severity:
        cures(feature_web, data)


@pytest.mark.parametrize(
    ("kind", "least"), [("plywood", 8), ("mdf", 10), ("acrylic", 6), ("solid wood", 8)]
)
def test_web_by_material(kind, least):
    """Common practice."""

    def with_web(web: float):
        features = [hole(200, 150), hole(230 + web, 150)]
        return box(materials={"ply": {"kind": kind, "density": 700}}, features=features)

    assert found(feature_web, with_web(least)) == []
    assert len(found(feature_web, with_web(least - 0.5))) == 1


def test_the_projects_own_limit_goes_before():
    features = [hole(200, 150), hole(235, 150)]
    assert found(feature_web, box(features=features, limits={"web": 5})) == []
    assert len(found(feature_web, box(features=features, limits={"web": 5.5}))) == 1


@pytest.mark.parametrize(("u", "count"), [(23, 0), (22, 1)])
def test_web_to_the_edge(u, count):
    data = box(panels=NO_CLEATS, features=[hole(u, 150)])
    assert len(found(feature_web, data)) == count
    if count:
        cures(feature_web, data)


def test_cleats_and_their_screws_keep_off_holes():
    """The deck's cleats stand on its back from u = 0 to 20; a hole that reaches there interrupts them."""
    subject = subject_of(box())
    pilot = next(f for f in subject.cabinet.piece_by_key["deck"].features if f.kind == "pilot")
    near = hole(pilot.shape.u + 15 + pilot.shape.diameter / 2 + 2.5, pilot.shape.v)
    assert found(feature_web, box(features=[near])) == []
    lengths = [
        sum(p.height for p in s.cabinet.pieces if p.kind == "cleat" and p.panel == "deck")
        for s in (subject, subject_of(box(features=[near])))
    ]
    assert lengths[1] < lengths[0] - 25


def test_one_finding_tells_the_thinnest_of_a_piece():
    data = box(features=[hole(200, 150), hole(236, 150), hole(271, 150)])
    (finding,) = found(feature_web, data)
    assert "⟦5.0000⟧" in finding.message
    assert {"features.0", "features.1", "features.2"} <= set(finding.place.names)


def test_holes_of_one_part_have_no_web_between_them():
    data = box(parts={"b": button((200, 150), hole=28.6, bezel=33.3)})
    assert found(feature_web, data) == []


def test_pockets_keep_a_thin_wall():
    """Common practice: 3 mm. Counterbores of 41 for nuts of 39 at pitch 44."""
    parts = {"b": button((200, 150), (245, 150), grip_most=8)}
    subject = subject_of(box(parts=parts))
    bores = [f for f in subject.cabinet.piece_by_key["deck"].features if f.kind == "counterbore"]
    width = bores[0].shape.diameter
    just = box(parts={"b": button((200, 150), (200 + width + 3, 150), grip_most=8)})
    close = box(parts={"b": button((200, 150), (200 + width + 2.5, 150), grip_most=8)})
    assert found(feature_web, just) == []
    assert len(found(feature_web, close)) == 1


# ---- chamfers ------------------------------------------------------------------------------------------------------


def window(land: float, chamfer: float):
    """An opening 100 wide, so far from the deck's end at u = 0, with a chamfer."""
    shape = {"shape": "rectangle", "on": "deck", "u": 50 + land, "v": 150}
    return box(features=[{**shape, "width": 100, "height": 60, "chamfer": chamfer}])


@pytest.mark.parametrize(("land", "count"), [(17, 0), (16, 0), (14.5, 1)])
def test_land_at_the_show_face(land, count):
    """The main demo's own trap: 14.5 beside the opening, and with a chamfer of 8 only 6.5 at the face."""
    data = window(land, 8)
    findings = found(opening_land, data)
    assert len(findings) == count
    for finding in findings:
        assert "⟦6.5000⟧" in finding.message
        assert finding.remedies[0].value == pytest.approx(6.5)
        cures(opening_land, data)
    assert found(feature_web, data) == []


@pytest.mark.parametrize(("chamfer", "count"), [(8, 0), (9, 0), (9.5, 1)])
def test_straight_edge_below_the_chamfer(chamfer, count):
    """Common practice: 3 of 12 mm for the bearing."""
    data = window(100, chamfer)
    assert len(found(opening_land, data)) == count
    if count:
        cures(opening_land, data)


@pytest.mark.parametrize(("chamfer", "count"), [(8, 0), (12, 0), (12.5, 1)])
@pytest.mark.parametrize("face", ["show", "back"])
def test_straight_edge_below_a_chamfer_through_two_layers(chamfer, count, face):
    """3 of overlay and 12 of board are 15: 3 of them stay straight below 12. Told once."""
    data = window(100, chamfer)
    data["features"][0]["face"] = face
    data["materials"]["clear"] = {"kind": "acrylic", "nominal": 3}
    data["panels"]["deck"]["layers"] = [{"key": "top", "material": "clear"}]
    findings = found(opening_land, data)
    assert len(findings) == count
    if count:
        assert findings[0].remedies[0].value == pytest.approx(12)
        cures(opening_land, data)


def test_land_beside_a_chamfer_through_two_layers():
    """21 to the deck's end less 14 leave 7 of 8, so 13 would do, though 9 of the 14 are cut in the overlay of 9."""
    data = window(21, 14)
    data["materials"]["thin"] = {"kind": "plywood", "species": "plywood-birch", "nominal": 9}
    data["panels"]["deck"]["layers"] = [{"key": "top", "material": "thin"}]
    (finding,) = found(opening_land, data)
    assert "⟦14.0000⟧" in finding.message
    assert "⟦7.0000⟧" in finding.message
    assert finding.remedies[0].value == pytest.approx(13)
    cures(opening_land, data)


def pocket(depth: float, *, face: str = "show", on: str = "deck") -> dict:
    return {
        "shape": "rectangle",
        "on": on,
        "u": 300,
        "v": 150,
        "width": 60,
        "height": 40,
        "depth": depth,
        "face": face,
    }


@pytest.mark.parametrize(
    ("depth", "thin", "through"),
    [(8.9, 0, 0), (9, 0, 0), (9.5, 1, 0), (11.9, 1, 0), (12, 0, 1), (30, 0, 1)],
)
@pytest.mark.parametrize("face", ["show", "back"])
def test_floor_of_a_pocket_in_12(depth, thin, through, face):
    """3 mm stay below a pocket (common practice); 12 deep in 12 is a hole."""
    data = box(features=[pocket(depth, face=face)])
    assert len(found(feature_web, data)) == thin
    assert [f.severity for f in found(feature_outside, data)] == [Severity.STOP] * through
    for rule in (feature_web,) * thin + (feature_outside,) * through:
        cures(rule, data)
        assert found(feature_web, applied(data, found(rule, data)[0].remedies[0])) == []


def test_a_pocket_may_go_through_the_overlay_into_the_board():
    """15 of both together: 12 leaves 3, 12.1 less."""
    layers = {"deck": {"layers": [{"key": "top", "material": "clear"}]}}
    clear = {"clear": {"kind": "acrylic", "nominal": 3}}
    for depth, count in ((12, 0), (12.1, 1)):
        data = box(materials=clear, panels=layers, features=[pocket(depth)])
        floors = [f for f in found(feature_web, data) if "Below" in f.message]
        assert len(floors) == count
        assert found(feature_outside, data) == []


@pytest.mark.parametrize("clearance", [5, 8.8, 8.95, 12, 22, 40])
@pytest.mark.parametrize("section", ["panels", "inner"])
def test_a_board_that_stops_short_of_its_cleats(section, clearance):
    """Battens of 20 along the sides have their screws in the middle; a pilot of 2.2 reaches 8.9 from the side."""
    shelf = {"material": "ply", "start": [250, 100], "end": [50, 100]}
    board = {"back": {"clearance": clearance}} if section == "panels" else {}
    data = box(panels=board, inner={"shelf": {**shelf, "clearance": clearance if not board else 0}})
    findings = found(feature_outside, data)
    assert len(findings) == (clearance > 8.9)
    if findings:
        (remedy,) = findings[0].remedies
        assert 0 < remedy.value <= 8.9 - 3  # three of wood beside the pilot: common practice
        assert round(remedy.value * 2) == remedy.value * 2  # half millimeters are measured
        cures(feature_outside, data)


def test_feet_whose_screws_miss_the_base():
    """Feet of 20 on a base 576 × 276 between sides and walls; a pilot of 2.2 reaches 1.1 each way, 3 stay beside it.

    Told together, each by its key, and moved to 4.1 from the edge or farther: plain geometry; 3 is common practice.
    """
    foot = {
        "kind": "foot",
        "label": "rubber foot",
        "measured": {"diameter": 20, "height": 10, "screw_hole": 4},
    }
    foot["placed"] = [
        {"key": "f1", "on": "base", "u": -3, "v": 60},
        {"key": "f2", "on": "base", "u": 300, "v": 60},
        {"key": "f3", "on": "base", "u": 500, "v": -2},
    ]
    data = box(parts={"foot": foot})
    subject = subject_of(data)
    (finding,) = told_apart(list(feature_outside.find(subject)), subject.cabinet)
    assert "“f1” and “f3”" in finding.message
    assert finding.message.startswith("Screw holes for rubber foot")
    remedy = next(r for r in finding.remedies if r.field)
    pilot = next(f for f in subject.cabinet.piece_by_key["base"].features if f.owner == "f2")
    edge = pilot.shape.diameter / 2 + 3
    assert remedy.value >= edge - 1e-6  # farther where the screws of the base's own battens are
    cures(feature_outside, data)


TRIANGLE = {"shape": "outline", "on": "deck", "points": [[-30, -15], [30, -15], [0, 20]]}


def test_corners_of_an_outline_count_from_its_own_place():
    """As the file's form says: at (300, 150) the corner [-30, -15] is at (270, 135)."""
    piece = board(box(features=[{**TRIANGLE, "u": 300, "v": 150}]), "deck")
    (shape,) = (f.shape for f in piece.features if f.kind == "opening")
    assert set(shape.points) == {(270.0, 135.0), (330.0, 135.0), (300.0, 170.0)}
    assert found(feature_outside, box(features=[{**TRIANGLE, "u": 300, "v": 150}])) == []


def test_an_outline_past_an_edge_is_moved_in():
    """20 from the left edge, 30 of it stick out by 10."""
    data = box(panels=NO_CLEATS, features=[{**TRIANGLE, "u": 20, "v": 150}])
    (finding,) = found(feature_outside, data)
    assert "⟦10.0000⟧" in finding.message
    cures(feature_outside, data)


def test_what_is_out_of_a_corner_is_moved_both_ways():
    """A hole of 25 with its middle 10 from two edges."""
    data = box(panels=NO_CLEATS, features=[hole(10, 10, 25)])
    (finding,) = found(feature_outside, data)
    (remedy,) = finding.remedies
    assert [remedy.field, *(f for f, _ in remedy.also)] == ["features.0.u", "features.0.v"]
    cures(feature_outside, data)


def test_a_groove_that_misses_its_board_is_moved_with_its_end():
    """Beside the deck's right edge, 576 from the left one, both its ends come in by as much."""
    groove = {"shape": "groove", "on": "deck", "u": 600, "v": 40, "to": [600, 200]}
    data = box(panels=NO_CLEATS, features=[{**groove, "width": 6, "depth": 4}])
    (finding,) = found(feature_outside, data)
    remedy = next(r for r in finding.remedies if r.field)
    moved = applied(data, remedy)["features"][0]
    assert moved["u"] < 576 and moved["to"] == [pytest.approx(moved["u"]), 200]
    cures(feature_outside, data)


def test_what_no_place_takes_is_told_how_much_larger_its_board_has_to_be():
    """Screws 84 apart, 3 from each edge, on a board 85 high: 5 and the width of a pilot hole lack, 4.5 at most."""
    corners = {"A": [0, 0], "B": [85, 0], "C": [85, 200], "D": [0, 200]}
    data = box(shape={"corners": corners}, parts={"lever": lever(288, 42.5)})
    high = subject_of(data).cabinet.piece_by_key["deck"].height
    outs = [f for f in found(feature_outside, data) if "lever1" in f.place.names]
    assert outs
    (remedy,) = outs[0].remedies
    lacks = float(re.findall("⟦([0-9.]+)", remedy.text)[0])
    assert "higher" in remedy.text
    assert 84 + 6 - high < lacks <= 84 + 4.5 + 6 - high + 1e-6
