"""Where a screw bites too little, each remedy that names a value cures it; checked by adding thicknesses up by hand."""

from __future__ import annotations

from typing import Any

import pytest
from tests.checks.bench import applied, box, device, subject_of

from casewright.basics.findings import Finding

PLY18 = {"kind": "plywood", "species": "plywood-birch", "nominal": 18, "measured": 17.7}
PLY15 = {"kind": "plywood", "species": "plywood-birch", "nominal": 15, "measured": 14.7}


def bites(data: dict[str, Any], host: str, rule: str = "screw.bite") -> list[Finding]:
    found = subject_of(data).cabinet.findings
    return [f for f in found if f.rule == rule and host in f.place.names]


def values(finding: Finding) -> list[tuple[str, object]]:
    return [(r.field, r.value) for r in finding.remedies if r.field]


def all_pass(data: dict[str, Any], host: str, rule: str = "screw.bite") -> None:
    (finding,) = bites(data, host, rule)
    assert values(finding)
    for remedy in finding.remedies:
        if remedy.field:
            assert bites(applied(data, remedy), host, rule) == [], remedy


def test_a_screwed_back_too_thin_for_a_dry_bite():
    """Batten 20, board 12, 3 kept: 9 of thread at most; four diameters of 3.5 are 14, nine tenths of that 12.6.

    A board of 15.6 or more would do: of 14.7 and 17.7 the thicker. Beside glue 2.5 × 3.5 = 8.75 is asked, which 9 has.
    """
    data = box(materials={"ply18": PLY18, "ply15": PLY15})
    (finding,) = bites(data, "back")
    assert values(finding) == [("panels.back.material", "ply18"), ("panels.back.fixing", "glued")]
    all_pass(data, "back")


def test_glue_is_no_cure_where_it_would_shut_parts_in():
    """With a device inside, gluing the only board that comes off would leave no way to it; with two it may be."""
    inside = {"a": device("a", 150)}
    (finding,) = bites(box(materials={"ply18": PLY18}, parts=inside), "back")
    assert values(finding) == [("panels.back.material", "ply18")]
    two = box(materials={"ply18": PLY18}, parts=inside, panels={"deck": {"fixing": "screwed"}})
    (finding,) = bites(two, "back")
    assert ("panels.back.fixing", "glued") in values(finding)


def test_without_a_thicker_board_the_least_thickness_is_named():
    """With heads sunk in whole millimeters: 3.5 × 35 sunk 2 leaves 18 of batten, bites 17 and wants 20; sunk 3,
    3.5 × 30 bites 13 (12.6 asked), and 13 + 3 = 16 is the least board of all.
    """
    (finding,) = bites(box(), "back")
    assert any("16.0000↑" in remedy.text for remedy in finding.remedies)


def test_acrylic_and_metal_hold_no_wood_screw():
    clear = {"kind": "acrylic", "nominal": 20}
    (finding,) = bites(box(materials={"clear": clear}), "back")
    assert "panels.back.material" not in dict(values(finding))


def test_a_wished_screw_that_bites_too_little():
    """4.0 × 25 through 20 bites 5 of the 10 asked beside glue; no screw up to 4.2 does better in 12 with its head
    level: 9 at most, and 3.5 × 30 would bite 10, 2 short of the face. 3.0 × 25 bites 5. So it is left to be worked out.
    """
    data = box(panels={"front": {"cleats": {"screw": "4.0 x 25"}}})
    (finding,) = bites(data, "front")
    assert ("panels.front.cleats.screw", "") in values(finding)
    all_pass(data, "front")


def test_a_thicker_board_for_a_wished_screw_goes_without_it():
    """4.0 × 30 through 20 bites 10 in any board, and 16 are asked dry, 14.4 with a tenth given: 18 takes 4.0 × 35, 15.
    Beside glue 10 are asked, which it has.
    """
    data = box(
        materials={"ply15": PLY15, "ply18": PLY18},
        panels={"back": {"material": "ply15", "cleats": {"screw": "4.0 x 30"}}},
    )
    (finding,) = bites(data, "back")
    told = {r.field: r for r in finding.remedies if r.field}
    thicker, glued = told["panels.back.material"], told["panels.back.fixing"]
    assert thicker.value == "ply18"
    assert thicker.also == (("panels.back.cleats.screw", ""),) and "name no screw" in thicker.text
    assert glued.also == ()
    all_pass(data, "back")


def test_a_wished_screw_with_its_head_as_deep_as_it_must_be():
    """Sunk 4, 16 of batten are left: 4.0 × 25 bites 9 of 10 asked, nine tenths, and leaves 3. 4.0 × 20 bites 4."""
    data = box(panels={"front": {"cleats": {"screw": "4.0 x 20", "counterbore": 4}}})
    (finding,) = bites(data, "front")
    assert values(finding)[0] == ("panels.front.cleats.screw", "4.0 × 25")
    all_pass(data, "front")


def test_a_wished_screw_that_comes_through_as_sunk():
    """4.0 × 30 through 20 bites 10 in 12 and leaves 2 of the 3 asked; with level heads none holds, so none is named."""
    data = box(panels={"front": {"cleats": {"screw": "4.0 x 30"}}})
    all_pass(data, "front", "screw.show-face")


def test_a_shelf_is_said_among_the_inner_boards():
    shelf = {"material": "ply", "start": [20, 100], "end": [280, 100], "until": "panels"}
    data = box(inner={"shelf": shelf}, materials={"ply18": PLY18})
    (finding,) = bites(data, "shelf")
    assert dict(values(finding))["inner.shelf.material"] == "ply18"
    all_pass(data, "shelf")


@pytest.mark.parametrize(
    ("kind", "measured", "rule"),
    [
        ("fan", {"size": 60, "thickness": 15, "opening": 57, "pitch": 50}, "part.bolted"),
    ],
)
def test_a_part_whose_screws_hold_in_a_thicker_board(kind, measured, rule):
    """15 of fan and 6 of board, 3 kept: 18 at most; with 11.7 of board a stock screw of 20 bites 5 and leaves 6.7."""
    ply6 = {"kind": "plywood", "nominal": 6}
    ply12 = {"kind": "plywood", "nominal": 12, "measured": 11.7}
    data = box(
        materials={"ply6": ply6, "ply12": ply12},
        panels={"back": {"material": "ply6"}},
        parts={
            "it": {
                "kind": kind,
                "measured": measured,
                "placed": [{"key": "it", "on": "back", "u": 300, "v": 100}],
            }
        },
    )
    (finding,) = bites(data, "it", rule)
    assert values(finding) == [("panels.back.material", "ply12")]
    all_pass(data, "it", rule)
