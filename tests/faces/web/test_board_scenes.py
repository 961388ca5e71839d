"""What the board is told of a cabinet, and what it makes Python do: no browser here."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import Point, Polygon
from tests.checks import bench

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Place, Severity
from casewright.basics.units import LengthStyle
from casewright.checks.rules import control_spacing, lever_neighbors
from casewright.faces.web.components.board import board_changes
from casewright.faces.web.components.board_flats import pitches
from casewright.faces.web.components.board_scenes import (
    arranged,
    board_panels,
    finding_marks,
    panel_scene,
)
from casewright.faces.web.components.board_side import side_scene
from casewright.workflow import Worked, open_project, work_out

EXAMPLES = Path(__file__).parents[3] / "examples"
MM, INCH = LengthStyle("mm"), LengthStyle("in")


@pytest.fixture(scope="module")
def duel() -> Worked:
    return work_out(open_project(EXAMPLES / "library-duel.cabinet.yaml"))


@pytest.fixture(scope="module")
def deck(duel: Worked) -> dict[str, Any]:
    return panel_scene(duel.cabinet, "deck", MM)


def by_key(scene: Mapping[str, Any], name: str = "items") -> dict[str, Any]:
    return {entry["key"]: entry for entry in scene[name]}


# ---- a panel ---------------------------------------------------------------------------------------------------------


def test_every_part_of_the_deck_stands_where_the_project_says(deck: dict[str, Any]) -> None:
    """Places as written in examples/library-duel.cabinet.yaml; player 2 is player 1 shifted by 335.3."""
    places = {key: item["at"] for key, item in by_key(deck).items()}
    assert len(places) == 12
    assert places["lever1"] == [70.0, 125.0]
    assert places["green1"] == [265.3, 140.0]
    assert places["green2"] == pytest.approx([600.6, 140.0])
    assert by_key(deck)["green2"]["says"] == "follows green1"


def test_those_that_follow_are_carried_along(deck: dict[str, Any]) -> None:
    links = {link["to"]: link for link in deck["links"]}
    assert set(links) == {"lever2", "red2", "blue2", "yellow2", "green2", "palm2"}
    assert links["red2"] == {"from": "red1", "to": "red2", "by": [1.0, 0.0, 0.0, 1.0]}


def test_a_coordinate_of_its_own_is_not_carried_along() -> None:
    buttons = bench.button((100, 100), (200, 100))
    buttons["placed"][1] = {"key": "b2", "on": "deck", "like": "b1", "du": 100, "v": 120}
    scene = panel_scene(bench.subject_of(bench.box(parts={"b": buttons})).cabinet, "deck", MM)
    assert scene["links"] == [{"from": "b1", "to": "b2", "by": [1.0, 0.0, 0.0, 0.0]}]


def test_what_is_seen_of_a_button_is_its_rim(deck: dict[str, Any]) -> None:
    """A rim of 33.3 over a hole of 28.6, a nut of 39 behind: as measured in the example."""
    red = by_key(deck)["red1"]
    assert red["reach"] == pytest.approx([-16.65, -16.65, 16.65, 16.65])
    drawn = [(mark["pen"], mark["r"]) for mark in red["marks"] if mark["s"] == "circle"]
    assert ("visible", pytest.approx(16.65)) in drawn
    assert ("hidden", pytest.approx(19.5)) in drawn
    assert all(radius > 15 for _, radius in drawn), "the hole under the rim is not drawn"
    radii = {flat["sort"]: flat["radius"] for flat in red["flats"] if flat["core"] == [[0, 0]]}
    assert radii["hole.1"] == pytest.approx(14.3)
    assert radii["hole.0"] == pytest.approx(15.0), "acrylic is drilled larger, so that it can move"


def test_cleats_are_in_the_way_and_rails_belong_to_their_display(duel: Worked) -> None:
    scene = panel_scene(duel.cabinet, "screen", MM)
    fixed = {one["key"] for one in scene["obstacles"]}
    assert fixed == {"screen.cleat-left", "screen.cleat-right"}
    names = {flat.get("name") for flat in by_key(scene)["display"]["flats"]}
    assert {"housing", "rail-left", "rail-top", "bar"} <= names


@pytest.mark.parametrize("example", ["library-duel", "mill-console"])
def test_scenes_of_every_panel_are_plain_json(example: str) -> None:
    worked = work_out(open_project(EXAMPLES / f"{example}.cabinet.yaml"))
    placed = 0
    for piece in board_panels(worked.cabinet):
        scene = panel_scene(worked.cabinet, piece.key, worked.opened.style)
        assert json.loads(json.dumps(scene)) == scene
        placed += len(scene["items"])
        sorts = {flat["sort"] for item in scene["items"] for flat in item["flats"]}
        ruled = {rule[side] for rule in scene["rules"] for side in "ab"}
        assert sorts <= ruled
    assert placed == len(worked.cabinet.placed)
    side = side_scene(worked.cabinet, worked.opened.style)
    assert json.loads(json.dumps(side)) == side


def test_grid_is_a_millimeter_or_a_sixteenth(duel: Worked) -> None:
    assert panel_scene(duel.cabinet, "lip", MM)["grid"] == 1.0
    assert panel_scene(duel.cabinet, "lip", INCH)["grid"] == 1.5875  # 25.4 / 16


def test_a_panel_that_is_not_there(duel: Worked) -> None:
    with pytest.raises(InputError) as caught:
        panel_scene(duel.cabinet, "deck.overlay", MM)
    assert caught.value.field == "panel"


def pitch(data: dict[str, Any], a: str, b: str) -> dict[str, Any]:
    subject = bench.subject_of(data)
    found: dict[str, Any] = pitches(subject, subject.cabinet.placed_by_key[a])[b]
    return found


def test_distances_asked_are_those_of_the_rules() -> None:
    """A hair under what the board asks, the rule finds something; at it, nothing."""
    asked = pitch(bench.box(parts={"b": bench.button((100, 100), (200, 100))}), "b1", "b2")

    def spaced(by: float) -> list[Finding]:
        parts = {"b": bench.button((100, 100), (100 + by, 100))}
        return bench.found(control_spacing, bench.box(parts=parts))

    assert spaced(asked["good"]) == []
    assert [f.severity for f in spaced(asked["good"] - 0.01)] == [Severity.CAUTION]
    assert [f.severity for f in spaced(asked["least"] - 0.01)] == [Severity.STOP]


def test_a_levers_room_is_that_of_its_rule() -> None:
    def parts(by: float) -> dict[str, Any]:
        return bench.box(parts={"l": bench.lever(100, 100), "b": bench.button((100 + by, 100))})

    good = pitch(parts(150), "lever1", "b1")["good"]
    assert pitch(parts(150), "b1", "lever1")["good"] == good
    assert bench.found(lever_neighbors, parts(good)) == []
    assert bench.found(lever_neighbors, parts(good - 0.01)) != []


# ---- what is done with it --------------------------------------------------------------------------------------------


def test_align_and_spread(deck: dict[str, Any]) -> None:
    keys = [
        "red1",
        "blue1",
        "yellow1",
        "green1",
    ]  # u 140.3, 181.3, 224.3, 265.3; v 140, 156, 156, 140
    row = arranged(deck, {"name": "align", "keys": keys, "axis": "v", "to": "middle"})
    assert row == {key: {"v": 140.0} for key in keys[1:]}
    spread = arranged(deck, {"name": "spread", "keys": keys[::-1], "axis": "u"})
    assert spread["blue1"]["u"] == pytest.approx(140.3 + 125 / 3)
    assert spread["yellow1"]["u"] == pytest.approx(140.3 + 250 / 3)
    assert set(spread) == {"blue1", "yellow1"}


def test_lower_edges_in_line(deck: dict[str, Any]) -> None:
    """A washer of 37 and a rim of 33.3 on one line: 18.5 and 16.65 over it."""
    keys = ["lever1", "palm1"]
    low = arranged(deck, {"name": "align", "keys": keys, "axis": "v", "to": "low"})
    assert low["palm1"]["v"] == pytest.approx(125 - 18.5 + 16.65)


def test_only_what_changed_is_sent(duel: Worked) -> None:
    before = panel_scene(duel.cabinet, "deck", MM)
    after = panel_scene(duel.cabinet, "deck", MM)
    assert not board_changes(before, after)
    assert [e["key"] for e in board_changes(before, after, ("red1",)).changed["items"]] == ["red1"]
    after["items"] = [item for item in after["items"] if item["key"] != "red1"]
    after["items"][0] = {**after["items"][0], "label": "stick"}
    after["grid"] = 2.0
    changes = board_changes(before, after)
    assert [entry["label"] for entry in changes.changed.pop("items")] == ["stick"]
    assert changes.changed == {"grid": 2.0}
    assert changes.removed == {"items": ["red1"]}


def test_findings_keep_their_numbers_and_point_at_parts(duel: Worked, deck: dict[str, Any]) -> None:
    elsewhere = Finding("a", Severity.STOP, "Not here.", place=Place(("display",)))
    here = Finding("b", Severity.CAUTION, "Off by ⟦25.4000⟧.", place=Place(("red1", "deck")))
    marks = finding_marks([elsewhere, here], duel.cabinet, deck, INCH)
    assert [(m["number"], m["severity"], m["names"]) for m in marks] == [(2, "caution", ["red1"])]
    assert marks[0]["words"].replace("\u202f", " ") == "Off by 1 in."


# ---- the side view ---------------------------------------------------------------------------------------------------


def test_corners_of_a_free_outline_can_be_moved(duel: Worked) -> None:
    scene = side_scene(duel.cabinet, MM)
    corners = by_key(scene, "corners")
    assert list(corners) == scene["outline"] == list("ABCDEFGH")
    assert corners["G"]["at"] == [250.0, 132.0]
    assert all(corner["movable"] for corner in corners.values())
    some = by_key(side_scene(duel.cabinet, MM, movable={"G"}), "corners")
    assert [key for key, corner in some.items() if corner["movable"]] == ["G"]


def test_seams_say_how_they_are_cut(duel: Worked) -> None:
    """Deck and screen: the outline turns by 62.29 degrees at G, so the butt is cut at 27.71 (90 − 62.29)."""
    turn = math.degrees(math.atan2(452 - 132, 362 - 250) - math.atan2(132 - 95, 250))
    seam = by_key(side_scene(duel.cabinet, MM), "seams")["seam-G"]
    assert seam["tag"] == f"{90 - turn:.1f}°" == "27.7°"
    assert seam["title"] == "deck covers screen panel"
    assert by_key(side_scene(duel.cabinet, MM), "seams")["seam-A"]["tag"] == ""


@pytest.mark.parametrize("example", ["library-duel", "mill-console"])
def test_seams_are_pressed_inside_of_the_outline(example: str) -> None:
    cabinet = work_out(open_project(EXAMPLES / f"{example}.cabinet.yaml")).cabinet
    outline = Polygon(list(cabinet.shape.corners.values()))
    for seam in side_scene(cabinet, MM)["seams"]:
        (y, z), (iy, iz) = seam["at"], seam["inward"]
        assert math.hypot(iy, iz) == pytest.approx(1.0, abs=1e-5)
        assert outline.contains(Point(y + iy, z + iz)), seam["key"]
        assert not outline.contains(Point(y - iy, z - iz)), seam["key"]


def test_eyes_look_at_both_ends_of_what_is_lit(duel: Worked) -> None:
    """Three people in the example; their eyes are 450, 350 and 900 in front of the front edge."""
    eyes = side_scene(duel.cabinet, MM)["eyes"]
    assert [eye["at"][0] for eye in eyes] == [-450.0, -350.0, -900.0]
    assert all(len(eye["sights"]) == 2 for eye in eyes)
    low, high = eyes[0]["sights"]
    assert math.dist(low, high) == pytest.approx(296.5, abs=0.01)  # the lit height
