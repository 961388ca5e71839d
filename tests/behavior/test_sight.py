"""Viewing angles, letters, what stands in the way, lamps in the glass; with the rules that judge them.

Limits of viewing: NUREG-0700 Rev. 3 (from MIL-STD-1472G), angle between line of sight and display face 45 degrees at
least. Letters: ISO 9241-303 (from memory), 22 minutes of arc read easily, 16 at least; the heights at 600 mm are exact
arithmetic, 3.84 and 2.793 mm.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.behavior.sight_bench import LIT, screen, sight, sighting
from tests.checks.bench import applied, box, cures, found

from casewright.basics.findings import Remedy
from casewright.behavior.glare import shade_depth
from casewright.behavior.seeing import FACE_LEAST_DEG
from casewright.behavior.sight import filled_deg, letter_height
from casewright.checks.rules import (
    display_lap,
    sight_angle,
    sight_blocked,
    sight_glare,
    sight_throat,
)
from casewright.workflow import open_text, starter_text, work_out

FRONT = {"eye": 150, "distance": 500}
"""Nearly square before the picture."""


def test_letters_that_are_read_at_600_mm():
    assert letter_height(600, arcmin=22) == pytest.approx(3.84, abs=0.005)
    assert letter_height(600, arcmin=16) == pytest.approx(2.793, abs=0.0005)


def test_angle_that_a_screen_fills():
    """476.16 mm wide at 600 mm: 43.29 degrees; exact arithmetic."""
    assert filled_deg(476.16, 600) == pytest.approx(43.29, abs=0.005)


def test_the_limit_is_the_printed_one():
    assert FACE_LEAST_DEG == 45


# ---- angles ----------------------------------------------------------------------------------------------------------


def test_off_square_is_the_angle_between_two_directions():
    """By the dot product, in the cabinet frame."""
    one = sighting(screen({"eye": 400, "distance": 300, "aside": 200}))
    (view,) = one.views
    line = np.array(view.viewer.eye) - np.array(one.throat.frame.origin)
    cosine = line @ np.array(one.throat.frame.n) / np.linalg.norm(line)
    assert view.off_square_deg == pytest.approx(math.degrees(math.acos(cosine)))
    assert view.distance == pytest.approx(float(np.linalg.norm(line)))


def test_best_tilt_halves_the_worst_angle():
    """At it the highest and the lowest eye are as far off square; any other makes one of them worse."""
    one = sighting(screen({"eye": 700, "distance": 400}, {"eye": 200, "distance": 600}))
    tilt = one.tilt
    assert tilt is not None
    angles = [angle for _, angle in tilt.elevations]

    def worst(lean: float) -> float:
        return max(abs(angle - lean) for angle in angles)

    assert worst(tilt.best_deg) < min(worst(tilt.best_deg - 1), worst(tilt.best_deg + 1))
    assert worst(tilt.least_deg) == pytest.approx(45) == pytest.approx(worst(tilt.most_deg))
    assert tilt.now_deg == pytest.approx(0)


def test_at_the_limit_nothing_is_found_and_past_it_the_remedy_cures():
    middle = sighting(screen(FRONT)).throat.frame.origin[2]

    def aside(u: float):
        return screen({"eye": middle, "distance": 488, "aside": u}, limits={"hidden": 100})

    assert found(sight_angle, aside(500.0)) == []  # 500 aside, 500 before the glass
    (finding,) = found(sight_angle, aside(510.0))
    assert "45°" in finding.message
    cures(sight_angle, aside(510.0))


def test_an_onlooker_is_noted_only():
    person = {"eye": 100, "distance": 300, "aside": 700}
    both = screen(FRONT, {**person, "plays": False})
    (finding,) = found(sight_angle, both)
    assert finding.severity.value == "note"


# ---- the opening -----------------------------------------------------------------------------------------------------


def test_hidden_edges_are_told_and_every_single_remedy_cures():
    data = screen({"eye": 300, "distance": 250}, opening={"chamfer": 3})
    (finding,) = found(sight_throat, data)
    assert "upper edge" in finding.message
    fields = [remedy for remedy in finding.remedies if remedy.field]
    assert fields
    for remedy in fields:
        assert found(sight_throat, applied(data, remedy)) == []
    assert found(sight_throat, {**data, "limits": {"hidden": 50}}) == []


def test_eyes_before_an_opening_that_is_too_small_are_not_sent_elsewhere():
    """20 less than the picture's height hides 10 at its edges from anywhere: moving the eyes cures nothing."""
    small = {"height": LIT[1] - 20}
    remedies = [
        remedy
        for eye in (100, 300)
        for finding in found(sight_throat, screen({"eye": eye, "distance": 300}, opening=small))
        for remedy in finding.remedies
    ]
    assert remedies
    assert not any("bring the eyes" in remedy.text for remedy in remedies)


def test_openings_with_sizes_of_their_own_get_sizes():
    sizes = {"width": LIT[0], "height": LIT[1]}
    data = screen({"eye": 280, "distance": 250, "aside": 220}, opening=sizes)
    across, up = sorted(found(sight_throat, data), key=lambda f: "upper" in f.message)
    for finding, name in ((across, "width"), (up, "height")):
        remedy = next(r for r in finding.remedies if r.field)
        assert remedy.field == f"parts.screen.placed.0.opening.{name}"
        data = applied(data, remedy)
    assert found(sight_throat, data) == []


def test_a_bezel_too_narrow_for_the_margin_gets_chamfer_and_margin():
    """Bezels of 4 leave 1 for the opening, the lap being 3: the margin alone would take the housing's hold away."""
    narrow = {"housing_width": 208, "housing_height": 128, "bezel_left": 4, "bezel_bottom": 4}
    data = screen({"eye": 420, "distance": 300}, display=narrow)
    (finding,) = found(sight_throat, data)
    assert not any("margin" in remedy.field for remedy in finding.remedies)


@pytest.mark.parametrize(("bezel", "eye"), [(4.5, 300), (6, 350), (6, 420)])
def test_where_it_takes_both_one_remedy_writes_both_and_cures(bezel, eye):
    """Bezels too narrow for the margin alone, a panel too thin for the chamfer alone."""
    measured = {
        "housing_width": LIT[0] + 2 * bezel,
        "housing_height": LIT[1] + 2 * bezel,
        "bezel_left": bezel,
        "bezel_bottom": bezel,
    }
    data = screen({"eye": eye, "distance": 300}, display=measured)
    (finding,) = found(sight_throat, data)
    (both,) = (r for r in finding.remedies if r.field)
    ((margin, wide),) = both.also
    assert both.field.endswith("opening.chamfer") and margin.endswith("opening.margin")
    assert found(sight_throat, applied(data, both)) == []
    assert found(display_lap, applied(data, both)) == []
    # Neither of the two alone is enough.
    for field, value in ((both.field, both.value), (margin, wide)):
        assert found(sight_throat, applied(data, Remedy("One.", field, value)))


# ---- what stands in the way ------------------------------------------------------------------------------------------


def shelf(depth: float):
    """A board over the picture that reaches out to the front, as a header does."""
    return {
        "shelf": {
            "material": "ply",
            "plane": "level",
            "at": [0, -depth, 200],
            "size": [600, depth],
            "label": "shelf",
        }
    }


def test_a_header_hides_what_similar_triangles_say():
    """Its front edge is 100 out and 12 + 200 up: the eye over it looks down on the glass along a straight line."""
    data = screen({"eye": 500, "distance": 400}, boards=shelf(100), opening={"margin": 5})
    one = sighting(data)
    (view,) = one.views
    assert [shade.label for shade in view.shades] == ["shelf"]
    eye_y, eye_z = view.viewer.eye[1:]
    glass = one.throat.frame.origin[1]
    # through the lower front edge (y = −100, z = 200)
    slope = (200 - eye_z) / (-100 - eye_y)
    seen_to = eye_z + slope * (glass - eye_y)
    top = one.throat.frame.origin[2] + LIT[1] / 2
    bounds = view.shades[0].area.bounds
    assert bounds[3] - bounds[1] == pytest.approx(min(top - seen_to, LIT[1]), abs=1e-6)
    assert view.share < 1


def test_what_blocks_is_told_and_the_distance_that_is_given_cures():
    data = screen({"eye": 420, "distance": 300}, boards=shelf(80), opening={"margin": 5})
    (finding,) = found(sight_blocked, data)
    assert "shelf" in finding.message
    cures(sight_blocked, data)
    assert found(sight_blocked, screen(FRONT, boards=shelf(80))) == []


def test_a_rail_right_across_is_not_told_by_an_edge():
    """A rail before the middle, eyes level with it, leaves picture above and below; a post comes in from one side."""
    rail = {"material": "ply", "plane": "front", "at": [100, -60, 90], "size": [400, 20]}
    post = {**rail, "at": [100, -60, 20], "size": [150, 160]}
    across, beside = (
        found(sight_blocked, screen({"eye": 100, "distance": 500}, boards={"rail": board}))[
            0
        ].message
        for board in (rail, post)
    )
    assert "edge" not in across
    assert "of its left edge" in beside


def test_three_in_the_way_are_listed_and_an_only_order_begins_as_one():
    """Three rails higher than the picture, the middle one hiding most: there is no distance to offer first."""
    rail = {"material": "ply", "plane": "front", "size": [80, 300]}
    rails = {f"rail{n}": {**rail, "at": [160 + 100 * n, -20, -50]} for n in range(3)}
    (finding,) = found(sight_blocked, screen(FRONT, boards=rails))
    assert finding.message.startswith("rail1, rail0 and rail2 hide ")
    (order,) = finding.remedies
    assert order.text.startswith("Move or shorten rail1, rail0 and rail2 ")


def test_a_clear_sheet_hides_nothing():
    clear = {"kind": "acrylic", "nominal": 3, "measured": 3}
    pane = {"material": "clear", "plane": "front", "at": [100, -60, 20], "size": [400, 160]}
    wood = {**pane, "material": "ply"}
    shown = sighting(screen(FRONT, materials={"clear": clear}, boards={"pane": pane}))
    hidden = sighting(screen(FRONT, boards={"pane": wood}))
    assert shown.views[0].share == pytest.approx(1)
    assert hidden.views[0].share == pytest.approx(0, abs=1e-6)


# ---- lamps -----------------------------------------------------------------------------------------------------------


def test_the_mirror_image_is_where_light_takes_the_shortest_way():
    """Fermat: from the lamp by the glass to the eye, no way by a point beside the image is shorter."""
    lamp = {"label": "lamp", "height": 900, "distance": 700, "aside": 250, "size": 10}
    one = sighting(screen({"eye": 350, "distance": 450, "aside": -80}, lamps=[lamp]))
    (view,) = one.views
    (image,) = view.mirrored
    at = np.array(one.throat.frame.local(image.light.at))

    def way(u: float, v: float) -> float:
        point = np.array([u, v, 0.0])
        return float(np.linalg.norm(point - at) + np.linalg.norm(point - np.array(view.eye)))

    least = way(*image.spot)
    for du, dv in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1)):
        assert way(image.spot[0] + du, image.spot[1] + dv) > least


def glaring(**more):
    """Lamp and eye symmetric about the square to the picture's middle."""
    middle = sighting(screen(FRONT)).throat.frame.origin[2]
    lamp = {"label": "lamp", "height": middle + 250, "distance": 400, "size": 60}
    return screen({"eye": middle - 50, "distance": 68.0}, lamps=[lamp], **more)


def test_a_lamp_in_the_picture_is_told_and_its_new_place_cures():
    data = glaring()
    (finding,) = found(sight_glare, data)
    assert "lamp" in finding.message
    cures(sight_glare, data)


@pytest.mark.parametrize("recipe", ["tabletop", "standing"])
@pytest.mark.parametrize("up", [-60.0, 40.0])
def test_leaning_the_screen_takes_a_lamp_out_of_the_picture(recipe, up):
    """A lamp where the law of reflection puts it in the picture; at the tilt that is told nobody sees it there.

    The whole cabinet is built anew at the new tilt. No remedy asks to move a window.
    """
    text = starter_text(recipe, name="x", display="display-19-5x4")
    one = work_out(open_text(text)).behavior.sight.sightings[0]
    eye = np.array(one.playing[0].eye)
    spot = np.array([0.0, up, 0.0])
    way = spot - eye
    at = spot + np.array([way[0], way[1], -way[2]]) / np.linalg.norm(way) * 1500
    x, y, z = (float(one.throat.frame.point(*at)[i]) for i in range(3))
    height = {"tabletop": 740 + 20, "standing": 20}[recipe] + z
    width = work_out(open_text(text)).cabinet.shape.width
    lamps = f"  lamps:\n    - {{label: window, height: {height}, distance: {-y}, aside: {x - width / 2}, size: 100}}\n"
    lit = text.replace("site:\n", "site:\n" + lamps)
    (finding,) = (f for f in work_out(open_text(lit)).findings if f.rule == "sight.glare")
    lean = next(r for r in finding.remedies if r.field == "shape.screen_tilt_deg")
    cured = lit.replace("shape:\n", f"shape:\n  screen_tilt_deg: {lean.value}\n")
    assert not [f for f in work_out(open_text(cured)).findings if f.rule == "sight.glare"]
    assert not [r for r in finding.remedies if r.text.startswith("Move window")]


def test_a_shade_over_the_opening_ends_every_ray():
    """Plain geometry: no ray from any point of the lamp to any point of its image passes before the shade's edge."""
    one = sighting(glaring())
    (image,) = (i for view in one.playing for i in view.mirrored if i.is_seen)
    depth = shade_depth(one.throat, [image], image.light)
    assert depth is not None and depth > 0
    top = one.throat.levels[-1].sides[3]
    lamp = np.array(one.throat.frame.local(image.light.at))
    edge = 0.0
    for turn in np.linspace(0, 2 * math.pi, 25):
        bulb = lamp + image.light.lamp.size / 2 * np.array([math.cos(turn), math.sin(turn), 0.0])
        for _, v in image.area.exterior.coords:
            share = (top - v) / (
                bulb[1] - v
            )  # how far along from the glass the shade's height is met
            edge = max(edge, share * bulb[2])
    assert depth + one.throat.depth == pytest.approx(edge, rel=0.02)
    assert depth + one.throat.depth >= edge - 1e-6


def test_a_header_keeps_the_lamp_off():
    assert found(sight_glare, glaring(boards=shelf(300))) == []


def test_a_lamp_behind_the_glass_is_not_mirrored():
    lamp = {"label": "lamp", "height": 200, "distance": -200}
    (view,) = sighting(screen(FRONT, lamps=[lamp])).views
    assert view.mirrored == ()


# ---- limits ----------------------------------------------------------------------------------------------------------


def test_no_display_no_sight():
    assert sight(box()).sightings == ()
    assert sight(box()).numbers == ()


def test_numbers_come_from_the_same_expressions():
    data = screen({"eye": 400, "distance": 250, "aside": 200}, opening={"chamfer": 3})
    numbers = {number.key: number for number in sight(data).numbers}
    hidden = numbers["sight.tube.1.hidden_upper"]
    terms = {term.label: term.value for term in hidden.terms}
    assert hidden.value == pytest.approx(
        (terms["beyond"] * terms["depth"] - terms["margin"] * terms["over"])
        / (terms["over"] - terms["depth"])
    )
    asked = numbers["sight.tube.margin_upright"]
    terms = {term.label: term.value for term in asked.terms}
    lean = math.tan(math.radians(terms["lean"]))
    assert asked.value == pytest.approx(
        max(
            lean * (terms["depth"] - terms["chamfer"]),
            lean * terms["depth"] - terms["chamfer"],
        )
    )
