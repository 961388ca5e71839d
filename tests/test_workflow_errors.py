"""All that is wrong with a file comes at once, whichever stage would have found it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from casewright.basics.errors import InputErrors
from casewright.geometry.recipes.rings import rings_of_shape
from casewright.workflow import open_text, starter_text, work_out

EXAMPLES = Path(__file__).parents[1] / "examples"
DEMO = (EXAMPLES / "library-duel.cabinet.yaml").read_text(encoding="utf-8")


def wrong(*changes: tuple[str, str]) -> dict[str, int]:
    """Fields that are complained about, with their lines, after changes to the main demo."""
    text = DEMO
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    with pytest.raises(InputErrors) as caught:
        work_out(open_text(text))
    return {error.field: error.spot.line if error.spot else 0 for error in caught.value.errors}


def line_of(words: str) -> int:
    return next(i for i, line in enumerate(DEMO.splitlines(), 1) if words in line)


def test_the_file_and_the_parts_are_told_together():
    fields = wrong(("tilt_most: 45", "tilt_mots: 45"), ("pivot: 6", "pivot: 3 kg"))
    assert fields == {
        "shop.tilt_mots": line_of("tilt_most: 45"),
        "parts.lever.measured.pivot": line_of("pivot: 6"),
    }


@pytest.mark.parametrize("key", ["b１２tton", "a b", "x" * 41])
def test_a_part_whose_key_is_none_is_told(key):
    """Digits of other scripts look like those of a key and are none; it is told with all else."""
    found = wrong(("\n  lever:\n", f"\n  {key}:\n"), ("tilt_most: 45", "tilt_mots: 45"))
    assert "shop.tilt_mots" in found
    assert any(field.startswith("parts.") for field in found), found


def test_the_parts_and_the_names_are_told_together():
    fields = wrong(("pivot: 6", "pivot: 3 kg"), ("{key: menu, on: lip", "{key: menu, on: lipp"))
    assert set(fields) == {"parts.lever.measured.pivot", "parts.menu-button.placed.0.on"}
    assert fields["parts.menu-button.placed.0.on"] == line_of("key: menu,")


@pytest.mark.parametrize("also", [("tilt_most: 45", "tilt_mots: 45"), ("pivot: 6", "pivot: 3 kg")])
def test_names_of_placed_pieces_are_told_with_all_else(also):
    fields = wrong(also, ("key: menu,", "key: red2,"), ("like: lever1", "like: lever9"))
    assert len(fields) == 3
    assert fields["parts.menu-button.placed.0.key"] == line_of("key: menu,")
    assert fields["parts.lever.placed.1.like"] == line_of("like: lever1")


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("between: [deck, lip]", "between: [deck, top]", "seams.0.between"),
        ("between: [deck, lip]", "between: [deck, lipp]", "seams.0.between.1"),
        ("over: deck}", "over: top}", "seams.0.over"),
        ("between: [top, header]", "between: [deck, lip]", "seams.1.between"),
        ("hatch: {on: back", "hatch: {on: bakc", "doors.hatch.on"),
        ("material: ply9", "material: ply10", "panels.back.material"),
    ],
)
def test_names_that_lead_nowhere(old, new, field):
    assert field in wrong((old, new))


EVERYTHING_WRONG = """\
casewright: 1
name: Box
{key}
materials:
  ply: {{kind: plywood, nominal: 12}}
shape:
  recipe: outline
  width: 500
  side: {{material: plyy}}
  board: ply
  corners: {{A: [0, 0], B: [400, 0], C: [0, 300], D: [400, 300]}}
panels:
  base: {{run: A-C, role: floor}}
  back: {{run: B-C, role: back}}
seams:
  - {{between: [base, bakc], rule: cover, over: front}}
doors: {{hatch: {{on: bak, width: 10, height: 10}}}}
parts:
  one: {{type: button-30-snapp, placed: [{{key: b1, on: deck, u: 100}}]}}
  two: {{type: button-30-snap, placed: [{{key: b1, on: back, like: zz}}]}}
"""
NAMES = {
    "shape.side.material": 9,
    "shape.corners": 11,
    "panels.base.run": 13,
    "seams.0.between.1": 16,
    "seams.0.over": 16,
    "doors.hatch.on": 17,
    "parts.one.type": 19,
    "parts.one.placed.0.on": 19,
}


TWICE = {"parts.two.placed.0.key": 20, "parts.two.placed.0.like": 20}


@pytest.mark.parametrize(
    ("key", "more"),
    [
        ("unit: mm", TWICE),
        ("unti: mm", {**TWICE, "unti": 3}),  # a slip of the form hides no name that leads nowhere
    ],
)
def test_names_shape_and_form_are_told_together(key, more):
    with pytest.raises(InputErrors) as caught:
        work_out(open_text(EVERYTHING_WRONG.format(key=key)))
    lines = [(e.field, e.spot.line if e.spot else 0) for e in caught.value.errors]
    assert sorted(lines) == sorted({**NAMES, **more}.items())


def test_names_and_shape_are_told_together_where_the_parts_are_right():
    text = EVERYTHING_WRONG.format(key="unit: mm").replace("button-30-snapp", "button-30-snap")
    with pytest.raises(InputErrors) as caught:
        work_out(open_text(text))
    fields = {error.field for error in caught.value.errors}
    assert fields == {*NAMES, *TWICE} - {"parts.one.type"}


def test_a_sheet_that_trimming_uses_up_is_told_with_its_line():
    fields = wrong(("length: 1220, width: 610, price: 25", "length: 1220, width: 10, price: 25"))
    assert fields == {"materials.ply15.sheets.0": line_of("width: 610, price: 25")}


@pytest.mark.parametrize("field", ["ohms", "free_air_hz", "total_q", "compliance_litres"])
@pytest.mark.parametrize("value", ["-50", "0", ".inf", ".nan"])
def test_a_loudspeaker_of_less_than_nothing(field, value):
    """Roots and quotients are taken of all four."""
    text = (EXAMPLES / "speaker-case.cabinet.yaml").read_text(encoding="utf-8")
    place = re.search(rf"\b{field}: [\d.]+", text)
    assert place is not None
    text = text[: place.start()] + f"{field}: {value}" + text[place.end() :]
    with pytest.raises(InputErrors) as caught:
        work_out(open_text(text))
    (error,) = caught.value.errors
    assert error.field.endswith(field)
    assert error.spot is not None
    assert error.spot.line == text[: place.start()].count("\n") + 1


def test_a_thread_that_nobody_knows_is_told_with_its_line():
    fields = wrong(
        (
            "    measured:\n      lit_width",
            '    measured:\n      pattern_screw: "45"\n      lit_width',
        )
    )
    assert set(fields) == {"parts.screen-display.measured.pattern_screw"}
    assert all(fields.values())


RECIPE_WRONG = """\
casewright: 1
name: Console
{form}
materials:
  ply: {{kind: plywood, nominal: 12}}
shape: {{recipe: {recipe}, side: {{material: ply}}, board: ply{more}}}
panels:
  dekc: {{label: deck}}
  deck: {{label: deck}}
seams:
  - {{between: [deck, back], rule: miter}}
  - {{between: [deck, header], rule: miter}}
  - {{between: [lip, base], rule: cover, over: deck}}
doors: {{hatch: {{on: left, width: 10, height: 10}}, flap: {{on: raiser, width: 10, height: 10}}}}
features:
  - {{on: bak, shape: hole, u: 10, v: 10, diameter: 5}}
  - {{on: deck, shape: groove, u: 10, v: 10, to: [10, 10], width: 5, depth: 2}}
parts:
  one:
    type: button-30-snap
    placed:
      - {{key: b1, on: decks}}
      - {{key: b2, on: sides}}
      - {{key: b3, on: deck, like: b4}}
      - {{key: b4, on: deck, like: b3}}
      - {{key: b5, on: deck, like: b4, face: back}}
"""
RECIPE_NAMES = {
    "panels.dekc": 8,
    "seams.2.over": 13,
    "doors.flap.on": 14,
    "features.0.on": 16,
    "features.1.to": 17,
    "parts.one.placed.0.on": 22,
    "parts.one.placed.2.like": 24,
    "parts.one.placed.3.like": 25,
    "parts.one.placed.4.face": 26,
}


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ("unit: mm", {}),
        ("unti: mm", {"unti": 3}),
        ("as built: {}\nlimits: {mass_kg: 3 m}", {"limits.mass_kg": 4}),
    ],
)
@pytest.mark.parametrize(
    ("recipe", "more", "apart"),
    [
        # A lap wedge has no header; a tabletop console has one, but it does not touch the deck.
        ("lap", "", {"seams.1.between.1": 12}),
        ("tabletop", "", {"seams.1.between": 12}),
        ("tabletop", ", header: false", {"seams.1.between.1": 12}),
        # A riser stands below the deck of a floor cabinet, a lip only where there is room for knees.
        ("standing", ", knee_room: 200", {"seams.1.between.1": 12, "seams.2.between": 13}),
        ("standing", "", {"seams.1.between.1": 12, "seams.2.between.0": 13}),
    ],
)
def test_names_in_a_file_of_a_recipe_are_told_with_all_else(form, said, recipe, more, apart):
    """Counted by hand in the file above: one slip a line, each at its own line, in one run."""
    with pytest.raises(InputErrors) as caught:
        work_out(open_text(RECIPE_WRONG.format(form=form, recipe=recipe, more=more)))
    lines = [(e.field, e.spot.line if e.spot else 0) for e in caught.value.errors]
    down = form.count("\n")
    expected = {field: line + down for field, line in {**RECIPE_NAMES, **apart}.items()} | said
    assert sorted(lines) == sorted(expected.items())


@pytest.mark.parametrize("recipe", ["tabletop", "standing", "lap", "box"])
def test_the_panels_told_of_a_recipe_are_those_it_makes(recipe):
    """A file as the tool starts it has no slip; what is solved has no panel that the names do not know."""
    worked = work_out(open_text(starter_text(recipe, name="One")))
    shape = worked.cabinet.shape
    made = tuple(run.panel for run in shape.runs)
    assert made in rings_of_shape(worked.opened.project.shape)


TWICE_NAMED = """\
casewright: 1
name: Box
{form}
materials: {{ply: {{kind: plywood, nominal: 12}}}}
shape: {{recipe: box, width: 400, height: 250, depth: 200, side: {{material: ply}}, board: ply}}
panels: {{top: {{layers: [{{key: a, material: ply}}, {{key: b, material: ply}}, {{key: a, material: ply}}]}}}}
inner: {{back: {{material: ply, start: [50, 50], end: [90, 50]}}}}
boards: {{left: {{material: ply, plane: side, at: [50, 50, 50], size: [20, 20]}}}}
doors: {{front: {{on: top, width: 50, height: 50}}}}
"""


@pytest.mark.parametrize(("form", "said"), [("unit: mm", {}), ("unti: mm", {"unti": 3})])
def test_a_name_of_two_pieces_is_told_with_its_line(form, said):
    """A box has a front and a back, whether its file names them or not; two layers of one panel have two names."""
    with pytest.raises(InputErrors) as caught:
        work_out(open_text(TWICE_NAMED.format(form=form)))
    lines = {e.field: e.spot.line if e.spot else 0 for e in caught.value.errors}
    assert lines == {
        "panels.top.layers.2.key": 6,
        "inner.back": 7,
        "boards.left": 8,
        "doors.front": 9,
        **said,
    }


def test_a_console_without_a_screen_leaves_that_name_free():
    """A lectern: no display and no length of a screen, so that a board may be called so."""
    text = """\
casewright: 1
name: Lectern
materials: {ply: {kind: plywood, nominal: 12}}
shape: {recipe: tabletop, header: false, width: 400, deck_depth: 250, lip_height: 90, side: {material: ply}, board: ply}
boards: {screen: {material: ply, plane: side, at: [150, 90, 30], size: [20, 20]}}
"""
    assert "screen" in work_out(open_text(text)).cabinet.piece_by_key


def test_of_a_file_in_a_later_form_nothing_else_is_said():
    """What a later form calls otherwise is no mistake in it; a form that never was is one among others."""
    later = ("casewright: 1\n", "casewright: 2\n")
    other = ("tilt_most: 45", "tilt_mots: 45")
    assert wrong(later, other) == {"casewright": line_of("casewright: 1")}
    never = ("casewright: 1\n", "casewright: 0\n")
    assert set(wrong(never, other)) == {"casewright", "shop.tilt_mots"}
