"""Designs that are wrong in a known way, with the numbers that must come out.

Worked out by hand first; where the hand was wrong, the docstring says so.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from tests.checks.bench import BUTTON, box, merged, subject_of

from casewright.basics.findings import Finding, Remedy, Severity, worded
from casewright.basics.units import LengthStyle, format_length
from casewright.checks import run_checks
from casewright.checks.outer import clearing_move
from casewright.planning.blanks import plan_cutting
from casewright.projectfile.editing import REMOVE, changed_text
from casewright.workflow import Worked, open_project, open_text, work_out

DUEL = Path(__file__).resolve().parents[2] / "examples/library-duel.cabinet.yaml"
TENTHS = partial(format_length, style=LengthStyle("mm"))
DISPLAY = ("parts", "screen-display", "measured")


def numbers(text: str) -> list[float]:
    """Lengths and angles in a text, as they stand in it."""
    return [float(x) for x in re.findall(r"-?\d+(?:\.\d+)?", text)]


def of(findings, rule: str) -> list[Finding]:
    return [finding for finding in findings if finding.rule == rule]


def duel(changes: Mapping[tuple[str | int, ...], Any]) -> Worked:
    """The main demo with some values changed."""
    return work_out(open_text(changed_text(open_project(DUEL).document, changes)))


def again(worked: Worked, remedy: Remedy) -> Worked:
    """The same project with a remedy applied, all of it."""
    values = {
        tuple(int(step) if step.isdigit() else step for step in field.split(".")): value
        for field, value in ((remedy.field, remedy.value), *remedy.also)
    }
    return work_out(open_text(changed_text(worked.opened.document, values)))


def mitered(inside_deg: float, rule: str = "miter", **sections: Any) -> dict[str, Any]:
    """Deck and front meet at that angle."""
    foot = 100 + 200 / math.tan(math.radians(inside_deg))
    corners = {"A": [foot, 0], "B": [500, 0], "C": [500, 200], "D": [100, 200]}
    seam = {"between": ["deck", "front"], "rule": rule}
    if rule == "cover":
        seam["over"] = "deck"
    return box(shape={"corners": corners}, seams=[seam], **sections)


def tilts(data: dict[str, Any]) -> dict[str, float]:
    """Saw tilts of deck and front where they meet."""
    corner = next(
        c for c in subject_of(data).cabinet.corners if {c.first, c.second} == {"deck", "front"}
    )
    return {
        corner.first: abs(corner.first_tilt_deg),
        corner.second: abs(corner.second_tilt_deg),
    }


def test_1_acute_nose():
    """70 degrees, both 12: the miter needs 90 - 35 = 55; covered, 20; on edge, 90 - 55 = 35; or 90 and more."""
    findings = of(run_checks(subject_of(mitered(70))), "seam.tilt")
    assert {f.severity for f in findings} == {Severity.STOP}
    said = [number for r in findings[0].remedies for number in numbers(r.text)]
    assert 55.0 in numbers(findings[0].message)
    assert {20.0, 35.0, 90.0} <= set(said)
    covered = mitered(70, "cover")
    assert of(run_checks(subject_of(covered)), "seam.tilt") == []
    assert max(tilts(covered).values()) == pytest.approx(20, abs=0.01)


def test_3_unequal_miter():
    """105.78 degrees, 11.8 against 18.0: 52.5 and 21.7, though equal boards need 90 - 52.89 = 37.1."""
    materials = {"ply": {"measured": 11.8}, "thick": {"kind": "plywood", "nominal": 18}}
    unequal = mitered(105.78, materials=materials, panels={"front": {"material": "thick"}})
    assert tilts(unequal) == pytest.approx({"deck": 52.5, "front": 21.7}, abs=0.05)
    assert tilts(mitered(105.78))["deck"] == pytest.approx(37.1, abs=0.05)
    findings = run_checks(subject_of(unequal))
    (stop,) = of(findings, "seam.tilt")
    assert stop.place.names[0] == "deck"
    assert len(of(findings, "seam.unequal-miter")) == 1
    # No angle helps: 18 / 11.8 × cos 45 > 1. At this one 11.8 × (sin 105.78 - cos 105.78) = 14.56 is the thickest.
    assert not any("Open the corner" in r.text for r in stop.remedies)
    assert any("14.5 mm" in worded(r.text, TENTHS) for r in stop.remedies)
    for thickness, stops in ((14.5, 0), (14.6, 1)):
        materials["thick"]["measured"] = thickness
        nearly = mitered(105.78, materials=materials, panels={"front": {"material": "thick"}})
        assert len(of(run_checks(subject_of(nearly)), "seam.tilt")) == stops


def test_a_corner_is_opened_until_unequal_boards_miter_within_the_tilt():
    """12 against 15 at 45 degrees: cos(θ + 45) = -15 / 12 × cos 45, θ = 152.11 - 45 = 107.11, so 107.2."""
    materials = {"ply": {"measured": 12}, "thick": {"kind": "plywood", "nominal": 15}}

    def tilt_stops(inside_deg: float) -> list[Finding]:
        data = mitered(inside_deg, materials=materials, panels={"front": {"material": "thick"}})
        return of(run_checks(subject_of(data)), "seam.tilt")

    said = [r.text for finding in tilt_stops(105.78) for r in finding.remedies]
    assert any("107.2°" in text for text in said)
    assert tilt_stops(106.8) != []
    assert tilt_stops(107.2) == []


def test_7_lever_under_a_laid_back_display():
    """Screen laid back to 60 degrees, levers at v 240, display at v 176.25, 10 of room for the lever's plug.

    By hand, along the deck (slope 8.41, so the screen rises 21.59 from it), housing's underside at 14.8 below the
    show face: 252.7 + 8.0 × cos 21.59 + 19.08 × sin 21.59 = 267.2. The hand first took the body there, 240 + 32.5 =
    272.5 against 267.2, which makes 5.3, and v = 224.7 for the plug's 10. But at that depth the lever's plate
    already ends, 1.5 thick and 47.5 behind the axis: 287.5 - 267.18 = 20.32, so v = 219.68 at most, which is 219.6 on
    paper: 219.7 would still touch. The body, 1.5 lower, overlaps by 272.5 - 267.8 = 4.7.
    """
    corners = {
        "A": [0, 0],
        "B": [612, 0],
        "C": [612, 421.5],
        "D": [479.6, 421.5],
        "E": [453.6, 329.5],
        "F": [543.6, 301.5],
        "G": [250, 132],
        "H": [0, 95],
    }
    worked = duel(
        {
            ("shape", "corners"): corners,
            ("doors", "hatch"): REMOVE,
            ("parts", "lever", "measured", "plug_room"): 10,
            ("parts", "lever", "placed", 0, "v"): 240,
            ("parts", "screen-display", "placed", 0, "v"): 176.25,
            (*DISPLAY, "connector_side"): "up",
        }
    )
    bodies = {body.key: body for body in worked.cabinet.bodies}
    x, y, z = worked.cabinet.piece_by_key["deck"].frame.v
    forward = (-x, -y, -z)
    for name, overlap in (("plate", 20.3), ("body", 4.7), ("plug", 14.7)):
        housing, mine = bodies["display.housing"], bodies[f"lever1.{name}"]
        assert clearing_move(mine, housing, forward) == pytest.approx(overlap, abs=0.05)
    (finding,) = [f for f in of(worked.findings, "collision.solid") if "display" in f.place.names]
    assert finding.severity is Severity.STOP
    assert {"lever1", "lever2"} <= set(finding.place.names)
    remedy = finding.remedies[0]
    assert (remedy.field, remedy.value) == (
        "parts.lever.placed.0.v",
        pytest.approx(219.6),
    )
    cured = again(worked, remedy)
    assert not any(
        {"lever1", "lever2"} & set(c.owners) and "display" in c.owners for c in cured.collisions
    )


def test_9_deck_longer_than_the_sheet():
    """Deck 1900 × 300 from sheets of 1220; four players, 475 each, against 479.5 of usual adults (ANSUR II)."""
    placed = [
        {"key": f"b{n}", "on": "deck", "u": 475 * n - 237.5, "v": 150, "player": n}
        for n in (1, 2, 3, 4)
    ]
    sheets = [{"length": 1220, "width": 1220, "price": 30}]
    data = box(
        shape={"width": 1924},
        materials={"ply": {"sheets": sheets}},
        parts={"b": merged(BUTTON, {"placed": placed})},
    )
    subject = subject_of(data)
    assert subject.cabinet.piece_by_key["deck"].width == pytest.approx(1900)
    stops = [f for f in plan_cutting(subject.cabinet).findings if f.severity is Severity.STOP]
    assert any("deck" in f.place.names or "deck" in f.message for f in stops)
    # In the middle, between players 2 and 3: 950 is 237.5 from their buttons, a strip of 100 and 40 to the next hole.
    joined = [r.text for f in stops if "deck" in f.place.names for r in f.remedies]
    assert any(
        {"⟦950.0000⟧", "⟦100.0000⟧", "⟦40.0000⟧"} <= set(re.findall("⟦[^⟧]*⟧", t)) for t in joined
    )
    (abreast,) = of(run_checks(subject), "players.abreast")
    assert abreast.severity is Severity.CAUTION
    assert {"⟦475.0000⟧", "⟦479.5000⟧"} <= set(re.findall("⟦[^⟧]*⟧", abreast.message))


@pytest.mark.parametrize(("grain", "count"), [("length", 2), ("none", 1)])
def test_11_grain_matched_sides(grain, count):
    """Two sides and a divider, 600 × 400 with the grain up, from 1220 × 610 with the grain along, kerf 3.2.

    With the grain two to a board, 2 × 600 + 3.2 = 1203.2; turned all three, 3 × 400 + 2 × 3.2 = 1206.4.
    """
    veneered = {
        "kind": "plywood",
        "nominal": 12,
        "measured": 12,
        "grain": grain,
        "sheets": [{"length": 1220, "width": 610, "price": 40}],
    }
    data = box(
        shop={"kerf": 3.2, "edge_trim": 0},
        materials={
            "ply": {"sheets": [{"length": 2440, "width": 1220, "price": 50}]},
            "veneer": veneered,
        },
        shape={
            "side": {"material": "veneer"},
            "corners": {"A": [0, 0], "B": [400, 0], "C": [400, 600], "D": [0, 600]},
        },
        boards={
            "divider": {
                "material": "veneer",
                "plane": "side",
                "at": [300, 0, 0],
                "size": [400, 600],
                "grain": "second" if grain == "length" else "none",
            }
        },
    )
    plans = {plan.material: plan.plan for plan in plan_cutting(subject_of(data).cabinet).plans}
    assert len(plans["veneer"].sheets) == count


def test_13_sheet_is_not_what_it_says():
    """Measured 17.4 for 18: the inner width grows by 1.2. 20 of cleat + 17.4 - 35 leaves 2.4; 30 is the screw."""

    def cabinet(measured: float):
        return box(
            materials={"ply": {"nominal": 18, "measured": measured}},
            panels={"deck": {"cleats": {"screw": "4.0 × 35"}}},
        )

    thick, thin = (subject_of(cabinet(t)) for t in (18.0, 17.4))
    lengths = [s.cabinet.numbers["deck.length"].value for s in (thick, thin)]
    assert lengths[1] - lengths[0] == pytest.approx(1.2)
    assert of(run_checks(thick), "screw.show-face") == []  # 38 - 35 is just the 3 asked
    (finding,) = of(run_checks(thin), "screw.show-face")
    assert "⟦2.4000⟧" in finding.message
    assert any("4.0 × 30" in str(remedy.value) for remedy in finding.remedies)


def test_15_display_dies_and_the_next_class_is_too_large():
    """A housing of 364 on a run of 339, and 336.2 of picture behind an opening of 296.5."""
    worked = duel(
        {
            (*DISPLAY, "lit_width"): 597.7,
            (*DISPLAY, "lit_height"): 336.2,
            (*DISPLAY, "housing_width"): 612,
            (*DISPLAY, "housing_height"): 364,
        }
    )
    (stop,) = of(worked.findings, "display.housing-room")
    assert stop.severity is Severity.STOP
    assert "⟦364.0000⟧" in stop.message
    hides = of(worked.findings, "display.opening-hides")
    assert hides
    assert {f.place.names[0] for f in hides} == {"display"}
    # What geometry says of the housing is not said again as a collision with its own panel's neighbors.
    assert not any(
        "display" in f.place.names and {"deck", "underside"} & set(f.place.names)
        for f in of(worked.findings, "collision.solid")
    )


def test_15_another_of_the_same_class_is_deeper():
    """Housing 539 × 317 × 58, bezels 6, 6, 6.3, 14.2: the lit centre moves 6.75 - 3.95 = 2.8 along the run.

    The hand said it fits and asked to check the depth, +13. It does not fit as it stands: the housing's upper rear
    corner, at v = 183.5 - 3.95 + 158.5 = 338.05 and 69.8 behind the show face, lies at y = 250 + 0.3304 × 338.05 +
    0.9439 × 69.8 = 427.6, and the lift-out door begins at 430 - 8.8 = 421.2.
    """
    old = duel({})
    worked = duel(
        {
            ("parts", "screen-display", "placed", 0, "v"): 183.5,
            (*DISPLAY, "housing_width"): 539,
            (*DISPLAY, "housing_height"): 317,
            (*DISPLAY, "housing_depth"): 58,
            (*DISPLAY, "bezel_left"): 6,
            (*DISPLAY, "bezel_bottom"): 14.2,
        }
    )
    moved = old.numbers["display.lit_offset_v"].value - worked.numbers["display.lit_offset_v"].value
    assert moved == pytest.approx(2.8)
    assert of(worked.findings, "display.housing-room") == []
    assert of(worked.findings, "display.lap") == []
    (stop,) = [f for f in of(worked.findings, "collision.solid") if "display" in f.place.names]
    assert "hatch" in stop.place.names
    overlap = float(re.findall("⟦([^⟧]*)⟧", stop.message)[0])
    # Straight back it is 427.6 - 421.2 = 6.4; the shortest way out, square to the housing's rear, is as much ÷ cos.
    assert overlap == pytest.approx(6.4 / 0.9439, abs=0.1)
    assert again(worked, stop.remedies[0]).stops == ()  # 6.4 deeper: the corners B and C to 436.4
    assert stop.remedies[0].value == pytest.approx(436.4, abs=0.11)
