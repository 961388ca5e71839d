"""Guards against the classic mistakes: each finds a plan broken on purpose, and nothing in a plan as it is made.

The mistakes themselves are common practice of the trade; each is made here the way a tired person makes it.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.outputs.drawings.sheets_bench import example

from casewright.planning.work.guards import guards_of
from casewright.planning.work.step import Laid, Step
from casewright.workflow import open_text, work_out


@pytest.fixture(scope="module")
def duel():
    worked = example("library-duel")
    return worked.cabinet, list(worked.work.steps)


def renumbered(steps: list[Step]) -> list[Step]:
    return [replace(step, number=number) for number, step in enumerate(steps, 1)]


def broken(duel, steps: list[Step]) -> dict[str, list[str]]:
    """What each guard finds, where it finds anything."""
    found = guards_of(duel[0], renumbered(steps))
    return {guard.key: [f.message for f in guard.findings] for guard in found if guard.findings}


def changed(steps: list[Step], pick, **values) -> list[Step]:
    """The plan with the first step that `pick` takes changed."""
    index = next(i for i, step in enumerate(steps) if pick(step))
    return [*steps[:index], replace(steps[index], **values), *steps[index + 1 :]]


def moved(steps: list[Step], key: str, before: str) -> list[Step]:
    """The plan with one step taken before another."""
    rest = [step for step in steps if step.key != key]
    index = next(i for i, step in enumerate(rest) if step.key == before)
    return [*rest[:index], next(s for s in steps if s.key == key), *rest[index:]]


def test_a_plan_as_made_breaks_none_and_warns_of_all(duel):
    cabinet, steps = duel
    guards = guards_of(cabinet, steps)
    assert {guard.key: guard.findings for guard in guards if guard.findings} == {}
    assert all(guard.said for guard in guards)
    numbers = {step.key: step for step in steps}
    for guard in guards:
        for said in guard.said:
            assert numbers[said.step].number == said.number
            assert said.words in numbers[said.step].orders


def test_sides_stacked_alike_are_two_lefts(duel):
    steps = changed(
        duel[1],
        lambda s: s.key == "sides.stack",
        laid=(
            Laid("other side", "left", "back", "tape"),
            Laid("other side", "right", "show", "tape"),
        ),
    )
    assert list(broken(duel, steps)) == ["two lefts"]


def test_sides_drilled_before_they_are_told_apart_are_two_lefts(duel):
    last = next(s.key for s in duel[1] if s.key == "dry-fit")
    assert "two lefts" in broken(duel, moved(duel[1], "sides.mark", last))


def test_both_sides_drilled_by_one_list_are_two_lefts(duel):
    right = next(s for s in duel[1] if s.key.startswith("drill.right.back"))
    left = next(s for s in duel[1] if s.key.startswith("drill.left.back"))
    steps = changed(
        duel[1],
        lambda s: s is left,
        works=(*left.works, *right.works),
        pieces=("left", "right"),
    )
    assert "two lefts" in broken(duel, steps)


def test_strips_on_a_show_face_are_found(duel):
    trim = next(s for s in duel[1] if s.key.startswith("rout.screen"))
    steps = changed(
        duel[1], lambda s: s is trim, laid=(Laid("guide strips", "screen", "show", "tape"),)
    )
    assert list(broken(duel, steps)) == ["marks on a show face"]
    steps = changed(
        duel[1],
        lambda s: s.key == "sides.stack",
        laid=(Laid("template", "left", "show", "pins"),),
    )
    assert list(broken(duel, steps)) == ["marks on a show face"]


def test_a_template_on_the_other_face_is_found(duel):
    """The deck's back face is pricked through from the front: every hole of it is mirrored."""
    steps = changed(
        duel[1],
        lambda s: s.key == "mark.deck.back",
        marks=(("deck", "show"),),
        laid=(Laid("template", "deck", "show", "tape"),),
    )
    assert "template face" in broken(duel, steps)


def test_drilling_before_marking_out_is_found(duel):
    drill = next(s.key for s in duel[1] if s.key.startswith("drill.deck.back"))
    steps = moved(duel[1], "mark.deck.back", "dry-fit")
    assert any(str(drill) for _ in broken(duel, steps).get("template face", []))


@pytest.mark.parametrize("stop", [None, 12.0, 9.4])
def test_a_stop_too_deep_or_none_is_found(duel, stop):
    """Pilots 9 mm deep in a board of 11.8: without stop, past the board, and four tenths too deep."""
    pick = next(s for s in duel[1] if s.key == "drill.deck.back.brad-2.2.9")
    steps = changed(duel[1], lambda s: s is pick, setting=replace(pick.setting, stop=stop))
    assert list(broken(duel, steps)) == ["through a show face"]


def test_a_screw_from_the_next_box_is_found(duel):
    pick = next(s for s in duel[1] if s.key == "cleats.left")
    (name, count), *rest = pick.screws
    steps = changed(duel[1], lambda s: s is pick, screws=(("4.0 × 50", count), *rest))
    (message,) = broken(duel, steps)["screws through"]
    assert "4.0 × 50" in message and name in message


@pytest.mark.parametrize("face", ["", "show"])
def test_a_missing_or_misplaced_backing_board_is_found(duel, face):
    pick = next(s for s in duel[1] if s.key == "drill.deck.show.forstner-28.6.through")
    laid = (Laid("backing board", "deck", "show", "clamps"),) if face else ()
    steps = changed(duel[1], lambda s: s is pick, laid=laid)
    (message,) = broken(duel, steps)["blow-out"]
    assert ("wrong face" in message) == bool(face)


def test_paint_before_glue_and_paint_without_masks_are_found(duel):
    steps = moved(duel[1], "panel.header", "hang")
    assert broken(duel, steps) == {}
    last = next(s.key for s in reversed(duel[1]) if s.stage == "paint")
    assert "paint on a glue face" in broken(duel, moved(duel[1], last, "panel.header"))
    without = [step for step in duel[1] if step.key != "paint.mask"]
    assert "paint on a glue face" in broken(duel, without)


def test_closing_over_what_is_loose_is_found(duel):
    """The screen is glued in before its rails, the cabinet closed before it is wired, a panel's screws left out."""
    assert "closed too soon" in broken(duel, moved(duel[1], "panel.screen", "backing.screen"))
    assert "closed too soon" in broken(duel, moved(duel[1], "close", "wire"))
    steps = changed(duel[1], lambda s: s.key == "panel.deck", fastenings=(), screws=())
    assert "closed too soon" in broken(duel, steps)


def test_a_box_glued_all_round_over_a_button_is_told_with_its_cure():
    """Nothing comes off: the button's nut and wires are reached by nobody, whatever the order."""
    text = """
name: box
materials: {ply: {kind: plywood, nominal: 12, sheets: [{length: 1220, width: 610}]}}
shape:
  recipe: outline
  width: 300
  side: {material: ply}
  board: ply
  corners: {A: [0, 0], B: [200, 0], C: [200, 100], D: [0, 100]}
panels:
  base: {run: A-B, role: floor}
  back: {run: B-C, role: back, FIX}
  top: {run: C-D, role: top}
  front: {run: D-A, role: front}
parts: {button: {type: button-24-screw, placed: [{key: start, on: top}]}}
"""
    shut = work_out(open_text(text.replace("FIX", "fixing: glued")))
    (finding,) = shut.work.findings
    assert finding.rule == "work.closed-too-soon"
    assert finding.place.names == ("start",)
    assert "screwed" in finding.remedies[0].text
    assert (finding.remedies[0].field, finding.remedies[0].value) == (
        "panels.back.fixing",
        "screwed",
    )
    assert finding in shut.findings  # the check tells it, before any book is printed
    open_ = work_out(open_text(text.replace("FIX", "fixing: screwed")))
    assert open_.work.findings == ()
    assert not [f for f in open_.findings if f.rule == finding.rule]


GROOVED = """
casewright: 1
name: Grooved
materials: {ply: {kind: plywood, nominal: 12, measured: 12, sheets: [{length: 1200, width: 600}]}}
shape:
  recipe: outline
  width: 300
  side: {material: ply}
  board: ply
  corners: {A: [0, 0], B: [200, 0], C: [200, 300], D: [0, 300]}
panels:
  base: {run: A-B, role: floor}
  back: {run: B-C, role: back, joint: groove, fixing: screwed, REVEAL}
  top: {run: C-D, role: top}
  front: {run: D-A, role: front}
inner:
  rack: {label: rack, material: ply, start: [150, 150], end: [50, 150], joint: groove}
parts: {board: {type: controller-board, placed: [{key: board, on: base}]}}
"""


def test_what_stands_in_grooves_of_both_sides_goes_in_while_they_are_joined():
    """A board 12 longer than the sides are apart, 6 in each groove, goes nowhere once they stand. Plain geometry."""
    worked = work_out(open_text(GROOVED.replace("REVEAL", "reveal: 10")))
    steps = {step.key: step for step in worked.work.steps}
    joined = next(s for s in steps.values() if "rack" in s.pieces and s.stage == "glue")
    assert joined.pieces == ("left", "back", "rack")
    for key in ("base", "top", "front"):
        assert joined.key in steps[f"panel.{key}"].needs
        assert joined.number < steps[f"panel.{key}"].number
    assert (
        "hang" not in steps
    )  # nothing comes off: the back is in grooves too, whatever its fixing says
    (finding,) = [f for f in worked.findings if f.rule == "service.way-in"]
    (remedy,) = finding.remedies
    assert (remedy.field, remedy.also) == ("panels.back.fixing", (("panels.back.joint", "butt"),))
    opened = work_out(
        open_text(GROOVED.replace("REVEAL", "reveal: 10").replace("back, joint: groove", "back"))
    )
    assert not [f for f in opened.findings if f.rule == "service.way-in"]
    assert "back" in next(s for s in opened.work.steps if s.key == "hang").pieces


def test_a_panel_flush_with_the_sides_edges_sits_in_a_rabbet_and_comes_off():
    worked = work_out(open_text(GROOVED.replace("REVEAL", "reveal: 0")))
    steps = {step.key: step for step in worked.work.steps}
    assert steps["hang"].pieces == ("back",)
    assert steps["panel.rack"].pieces == ("left", "rack")
    side = worked.cabinet.piece_by_key["left"]
    assert {f.label for f in side.features if f.kind == "groove"} == {
        "groove for rack",
        "groove for back",
    }
