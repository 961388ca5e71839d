"""The order of work: what must come first does, whatever the cabinet."""

import math
from collections import Counter
from pathlib import Path

import pytest

from casewright.basics.findings import worded
from casewright.behavior.loads import power_loads
from casewright.behavior.surfaces import surfaces
from casewright.planning.setups import is_rectangle, saw_setups
from casewright.planning.work import STAGES, plan_work
from casewright.planning.work.panel_order import panel_order
from casewright.workflow import open_project, open_text, work_out

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module", params=["library-duel", "mill-console"])
def worked(request):
    return work_out(open_project(EXAMPLES / f"{request.param}.cabinet.yaml"))


@pytest.fixture(scope="module")
def duel():
    return work_out(open_project(EXAMPLES / "library-duel.cabinet.yaml"))


@pytest.fixture(scope="module")
def steps(worked):
    return plan_work(worked.cabinet, worked.cutting).steps


def by_key(steps):
    return {step.key: step for step in steps}


def test_steps_are_numbered_and_each_follows_what_it_needs(steps):
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    number = {step.key: step.number for step in steps}
    assert len(number) == len(steps)
    for step in steps:
        assert all(number[key] < step.number for key in step.needs)


def test_stages_follow_each_other(steps):
    """Nothing is glued before the dry fit, nothing wired before parts are in, nothing closed before the test."""
    places = [STAGES.index(step.stage) for step in steps]
    assert places == sorted(places)


def test_every_piece_is_cut_and_handled_later(worked, steps):
    cut = [key for step in steps if step.stage == "cut" for key in step.pieces]
    assert sorted(cut) == sorted(worked.cabinet.piece_by_key)
    later = {
        key for step in steps if step.stage not in ("cut", "bevel", "shape") for key in step.pieces
    }
    boards = {
        p.key for p in worked.cabinet.pieces if p.kind in ("side", "panel", "overlay", "door")
    }
    assert boards <= later


def test_every_feature_is_worked_before_the_dry_fit(worked, steps):
    shaped = {key for step in steps if step.stage == "shape" for key in step.pieces}
    assert {piece.key for piece in worked.cabinet.pieces if piece.features} <= shaped


def test_bevels_come_before_holes_and_each_tilt_is_set_once(worked, steps):
    bevels = [step for step in steps if step.stage == "bevel"]
    setups = saw_setups(worked.cabinet)
    assert len(bevels) == sum(len(setup.edges) for setup in setups)
    tilts = [step.setting.values[0] for step in bevels]
    assert sum(a != b for a, b in zip(["", *tilts], tilts, strict=False)) == len(setups)
    for bevel in bevels:
        for step in steps:
            if step.stage == "shape" and set(step.pieces) & set(bevel.pieces):
                assert bevel.number < step.number


def test_every_screw_is_driven_once(worked, steps):
    """All screws with a name, counted over the steps: as many as the cabinet has."""
    driven = Counter()
    for step in steps:
        for name, count in step.screws:
            driven[name] += count
    wanted = Counter()
    for fastening in worked.cabinet.fastenings:
        if fastening.name:
            wanted[fastening.name] += fastening.count
    assert driven == wanted


def test_displays_are_fitted_last_and_everything_placed_is_at_hand(worked, steps):
    fits = [step for step in steps if step.stage == "fit"]
    kinds = {placed.key: placed.part.data.kind for placed in worked.cabinet.placed}
    assert [kinds[key] for key in fits[-1].parts] == ["display"]
    at_hand = {key for step in fits for key in step.parts}
    for key, kind in kinds.items():
        assert key in at_hand or kind in ("vent", "grip")


def test_what_comes_off_is_not_glued_in(worked, steps):
    glued = {step.pieces[0] for step in steps if step.key.startswith("panel.")}
    for piece in worked.cabinet.pieces:
        if piece.kind == "panel":
            assert (piece.key in glued) == (piece.fixing == "glued")


def test_leaned_on_panels_stand_before_those_that_lean(duel):
    """Outward corner: the covering panel lies on the other's end. Inward: the other stands on its face."""
    number = {step.key: step.number for step in plan_work(duel.cabinet, duel.cutting).steps}
    assert number["panel.lip"] < number["panel.deck"]  # the deck covers the lip's upper end
    assert number["panel.deck"] < number["panel.screen"]  # the screen stands on the deck
    assert number["panel.base"] == min(n for key, n in number.items() if key.startswith("panel."))


def test_sides_are_stood_up_before_the_first_panel_and_only_then(steps):
    """The first panel in the order of work, whatever the order of the project file."""
    panels = [step for step in steps if step.key.startswith("panel.")]
    stood = [any(o.startswith("Stand both sides up") for o in step.orders) for step in panels]
    assert stood == [True] + [False] * (len(panels) - 1)


def test_panel_order_never_waits_in_a_ring(worked):
    glued = {piece.key for piece in worked.cabinet.pieces if piece.fixing == "glued"}
    before = panel_order(worked.cabinet.corners, glued)

    def depth(key, seen=()):
        assert key not in seen
        return 1 + max((depth(other, (*seen, key)) for other in before[key]), default=0)

    for key in before:
        depth(key)


def test_lengths_in_orders_are_marked_for_the_user_s_unit(worked, steps):
    said = [worded(order, worked.opened.write_length) for step in steps for order in step.orders]
    assert all("⟦" not in order for order in said)
    assert any(worked.opened.style.unit in order for order in said)


def test_hazards_stand_at_their_steps(steps):
    for step in steps:
        if step.stage in ("cut", "bevel"):
            assert "saw" in step.cautions
        if step.stage == "wire":
            assert {"mains", "low voltage", "heat"} <= set(step.cautions)
        if "Router" in step.tool:
            assert "router" in step.cautions


# ---- saw set-ups ----


def test_tilts_follow_from_the_outline(duel):
    """Plain geometry: where the deck covers the lip, the lip's end has the deck's slope, atan((132 − 95) / 250)."""
    slope = math.degrees(math.atan2(132 - 95, 250))
    edges = {(e.piece, e.edge): e for s in saw_setups(duel.cabinet) for e in s.edges}
    assert edges["lip", "upper"].tilt_deg == pytest.approx(slope, abs=0.01)
    assert edges["lip", "upper"].longer == "back"
    # The screen leans atan(112 / 320) off plumb; it stands on a deck that rises by the slope.
    lean = math.degrees(math.atan2(362 - 250, 452 - 132))
    assert edges["screen", "lower"].tilt_deg == pytest.approx(lean + slope, abs=0.01)


def test_setups_agree_with_the_slabs(worked):
    """The slabs' ends were solved in the side view, the set-ups are measured on the pieces: two ways, one tilt."""
    edges = {(e.piece, round(e.tilt_deg, 2)) for s in saw_setups(worked.cabinet) for e in s.edges}
    for slab in worked.cabinet.slabs:
        if any(
            piece.kind == "overlay" and piece.panel == slab.panel for piece in worked.cabinet.pieces
        ):
            continue  # the slab is the whole stack
        for tilt in (slab.start_tilt_deg, slab.end_tilt_deg):
            if abs(tilt) > 0.2:
                assert (slab.panel, round(abs(tilt), 2)) in edges


def test_a_tilt_s_reach_is_thickness_times_its_tangent(worked):
    for setup in saw_setups(worked.cabinet):
        for edge in setup.edges:
            thickness = worked.cabinet.piece_by_key[edge.piece].thickness
            tangent = math.tan(math.radians(edge.tilt_deg))
            assert edge.reach == pytest.approx(thickness * tangent, rel=1e-9)


def test_sides_of_these_cabinets_are_no_rectangles_and_doors_are(duel):
    assert not is_rectangle(duel.cabinet.piece_by_key["left"])
    assert is_rectangle(duel.cabinet.piece_by_key["hatch"])


# ---- power ----


def test_loads_add_up_by_hand(duel):
    """Display 25, amplifier 24, light 1.1 m × 9.6, lamps 10 × 12 V × 20 mA, fan 1.2; 25 + 0.5 through 90 %."""
    loads = power_loads(duel.cabinet)
    assert loads.peak_w == pytest.approx(25 + 24 + 10.56 + 2.4 + 1.2 + 25.5 / 0.9, abs=1e-6)
    assert loads.needed_w == pytest.approx(1.25 * loads.peak_w)
    assert loads.supply_w == pytest.approx(12 * 10)
    assert [row.volts for row in loads.rows] == sorted((r.volts for r in loads.rows), reverse=True)


# ---- areas ----


def test_areas_of_a_plain_box():
    """Outline 200 deep and 100 high, 12 mm boards: a side shows 200 × 100 and has 2 × (200 + 100) × 12 of edge."""
    worked = work_out(
        open_text(
            """
name: box
materials: {ply: {kind: plywood, nominal: 12, sheets: [{length: 1220, width: 610}]}}
shape:
  recipe: outline
  width: 300
  side: {material: ply}
  board: ply
  corners: {A: [0, 0], B: [200, 0], C: [200, 100], D: [0, 100]}
panels: {base: {run: A-B, role: floor}, top: {run: C-D, role: top}}
"""
        )
    )
    areas = {area.piece: area for area in surfaces(worked.cabinet)}
    assert areas["left"].outside == pytest.approx(200 * 100)
    assert areas["left"].edges == pytest.approx(2 * (200 + 100) * 12)
    assert areas["base"].outside == pytest.approx((300 - 24) * 200)
    # Without bought parts there is nothing to wire or test.
    stages = {step.stage for step in plan_work(worked.cabinet, worked.cutting).steps}
    assert not stages & {"wire", "test", "fit"}


def test_painting_follows_the_finish(duel):
    """A step a coat, in the order of the finish; without coats only the edges are broken."""
    steps = by_key(plan_work(duel.cabinet, duel.cutting).steps)
    coats = [key for key in steps if key.startswith("paint.coat.")]
    finish = duel.cabinet.project.finish
    kinds = [coat.kind for coat in finish.products for _ in range(coat.coats)]
    assert [key.split(".")[2] for key in coats] == kinds
    color = steps["paint.coat.color.1"].orders[0]
    assert "320" in color and "color" in color
    assert {"paint.coat.color.1", "paint.coat.color.2"} <= set(coats)
    assert "paint.coat.color.3" not in coats
    text = (EXAMPLES / "library-duel.cabinet.yaml").read_text(encoding="utf-8")
    for name in ("primer: {price: 9}", "color: {price: 9}"):
        assert name in text
        text = text.replace(name, name.replace("price: 9", "coats: 0"))
    bare = work_out(open_text(text))
    steps = by_key(plan_work(bare.cabinet, bare.cutting).steps)
    last = steps["paint.edges"]
    assert last.title == "Break the edges" and "fumes" not in last.cautions
    assert not [key for key in steps if key.startswith(("paint.coat.primer", "paint.coat.color"))]
