"""The forms: nothing that a project file may say is out of reach of the page, and nothing typed there is lost."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from nicegui import ElementFilter, ui
from tests.faces.web.pages import Shown, fire, showing, until

from casewright.design.project import Project
from casewright.workflow import RECIPES, schema_of_projects, starter_text

ROOT = Path(__file__).parents[3]
DUEL = ROOT / "examples" / "library-duel.cabinet.yaml"
HOSTILE = '<img src=x onerror="alert(1)"> ../../x'

BOXES = (ui.input, ui.select, ui.textarea, ui.checkbox, ui.slider)

ELSEWHERE = {
    ("casewright",): "the version of the file's form is not the maker's to change",
    ("as built", "*"): "kept and read back only, as the model says",
    ("cutting", "kept", "*"): "found by a search; one press looks longer, another forgets it",
    ("steps done", "*"): "ticked at the bench, not typed",
    ("seams", "*", "between"): "said by the corner that is pressed",
    ("features", "*", "shape"): "chosen when the feature is added",
}
"""What has no box of its own, and why."""

EVERYTHING = """\
casewright: 1
name: Everything at once
people: [{label: One}]
contents: [{label: Film, aspect: "16:9"}]
site: {lamps: [{label: Lamp, height: 2400, distance: 300}]}
limits: {passages: [{label: Door, width: 760, height: 2000}]}
shop: {bits: [{kind: brad, sizes: [3, 5]}]}
materials:
  ply: {kind: plywood, nominal: 12, sheets: [{length: 1220, width: 610}]}
shape:
  recipe: outline
  width: 700
  side: {material: ply}
  board: ply
  corners: {A: [0, 0], B: [300, 0], C: [300, 450], D: [0, 450]}
panels:
  base: {run: A-B, role: floor}
  back: {run: B-C, role: back}
  top: {run: C-D, role: top}
  front: {run: D-A, role: front, layers: [{key: clear, material: ply}]}
seams:
  - {between: [top, front], rule: free, tilt: {top: 0, front: 45}, setback: {top: 0, front: 0}}
inner:
  shelf: {material: ply, start: [40, 200], end: [260, 200]}
boards:
  leg: {material: ply, plane: level, at: [100, 50, 20], size: [60, 60]}
doors:
  hatch: {on: back, width: 120, height: 120}
parts:
  screen:
    kind: display
    measured: {lit_width: 300, lit_height: 200, housing_width: 320, housing_height: 220}
    assumed: {housing_depth: 30}
    placed: [{key: picture, on: front}]
features:
  - {on: top, face: show, u: 50, v: 50, shape: hole, diameter: 10}
  - {on: top, face: show, u: 120, v: 50, shape: rectangle, width: 30, height: 20}
  - {on: top, face: show, u: 200, v: 50, shape: slot, length: 40, width: 10}
  - {on: top, face: show, u: 300, v: 50, shape: outline, points: [[0, 0], [20, 0], [20, 20]]}
  - {on: top, face: back, u: 400, v: 50, shape: groove, to: [450, 50], width: 6, depth: 3}
wiring: {wires: [{start: picture, end: picture}], prices: {"0.5 mm²": 0.2}}
fixings: {prices: {4.0 × 30: 0.05}, have: {4.0 × 30: 40}}
cutting: {together: {left: sides, right: sides}}
extras: {paint: 20}
"""
PANELS = ("base", "back", "top", "front", "shelf", "leg", "hatch", "left side")

Path_ = tuple[str, ...]


def settable(schema: dict[str, Any]) -> set[Path_]:
    """Every place of a plain value in a JSON Schema, names and positions as "*"."""

    def walk(node: dict[str, Any], path: Path_) -> Iterator[Path_]:
        if "$ref" in node:
            name = node["$ref"].rpartition("/")[2]
            yield from walk(schema["$defs"][name], path)
            return
        below = [*node.get("anyOf", ()), *node.get("oneOf", ())]
        holders = [one for one in below if has_keys(one)]
        if holders:
            for one in holders:
                yield from walk(one, path)
        elif node.get("properties"):
            for name, inner in node["properties"].items():
                yield from walk(inner, (*path, name))
        elif node.get("type") == "object":
            names = [node.get("additionalProperties"), *node.get("patternProperties", {}).values()]
            for inner in names:
                if isinstance(inner, dict):
                    yield from walk(inner, (*path, "*"))
                elif inner is True:
                    yield path
        elif node.get("type") == "array" and has_keys(node.get("items", {})):
            yield from walk(node["items"], (*path, "*"))
        else:
            yield path

    def has_keys(node: dict[str, Any]) -> bool:
        while "$ref" in node:
            node = schema["$defs"][node["$ref"].rpartition("/")[2]]
        inside = [
            *node.get("anyOf", ()),
            *node.get("oneOf", ()),
            *([node["items"]] if "items" in node else []),
        ]
        return node.get("type") == "object" or any(has_keys(one) for one in inside)

    return set(walk(schema, ()))


def is_at(place: str, pattern: Path_) -> bool:
    """Whether a box is for a place, or for one of the numbers of it."""
    steps = tuple(place.split("."))
    head = steps[: len(pattern)]
    fits = len(head) == len(pattern) and all(
        p in ("*", s) for p, s in zip(pattern, head, strict=True)
    )
    return fits and len(steps) <= len(pattern) + 2


async def boxes_everywhere(shown: Shown) -> set[str]:
    """Places that some view has a box for, all panels and parts visited."""
    found: set[str] = set()
    for view in ("people", "side", "cutting", "papers", "parts"):
        await shown.open(view)
        found |= shown.fields()
    await shown.open("side")
    if shown.session.worked and shown.session.worked.opened.project.seams:
        shown.press("change the seam", 2)
        found |= shown.fields()
    await shown.open("panels")
    found |= shown.fields()
    return found


def test_the_schema_is_walked_to_its_ends() -> None:
    """So that the next test cannot pass by finding nothing; the places are read off the design page."""
    found = settable(schema_of_projects())
    assert len(found) > 150
    some = {
        "people.*.distance",
        "site.height",
        "limits.passages.*.depth",
        "doors.*.gap",
        "shop.bits.*.sizes",
    }
    some |= {
        "panels.*.layers.*.inset",
        "seams.*.tilt.*",
        "materials.*.sheets.*.price",
        "features.*.points",
    }
    some |= {
        "parts.*.placed.*.hold.gap",
        "shape.knee_room",
        "extras.*",
        "writing.unit",
        "shape.corners.*",
    }
    assert {tuple(one.split(".")) for one in some} <= found


async def test_every_value_of_a_project_file_has_its_box(tmp_path: Path) -> None:
    """The published JSON Schema against the boxes that are really on the pages."""
    found: set[str] = set()
    async with showing(tmp_path, EVERYTHING) as shown:
        assert shown.session.errors is None
        found |= await boxes_everywhere(shown)
        for panel in PANELS:
            shown.press(panel)
            for page in ("How it is made", "Holes and doors", "Other boards"):
                shown.press(page)
                found |= shown.fields()
        for recipe in RECIPES:
            shown.session.edit_text(starter_text(recipe, name="Start", unit="mm"))
            assert shown.session.worked is not None
            await shown.open("side")
            found |= shown.fields()
    wanted = settable(schema_of_projects())
    missing = {one for one in wanted if not any(is_at(place, one) for place in found)}
    assert missing - set(ELSEWHERE) - {one for one in missing if one[0] == "as built"} == set()
    assert set(ELSEWHERE) - missing <= {("as built", "*")}  # what got a box is taken off the list


def test_no_box_is_for_a_place_that_no_file_has() -> None:
    fields = set(Project.model_fields)
    assert {one[0] for one in ELSEWHERE} <= fields | {"as built", "steps done"}


# ---- what a form does ----


async def test_a_person_is_moved_closer_and_it_is_one_step(tmp_path: Path) -> None:
    async with showing(tmp_path, DUEL.read_text(encoding="utf-8")) as shown:
        await shown.open("people")
        await shown.enter("people.0.distance", "380")
        await until(lambda: shown.session.can_undo)
        assert shown.session.undo_label == "distance of tall adult"
        assert "distance: 380" in shown.session.text
        shown.session.undo()
        assert shown.session.text == DUEL.read_text(encoding="utf-8")


async def test_what_cannot_be_is_said_beside_its_box_and_changes_nothing(tmp_path: Path) -> None:
    async with showing(tmp_path, DUEL.read_text(encoding="utf-8")) as shown:
        await shown.open("people")
        for place, text in (
            ("site.height", "far"),
            ("people.0.eye", "-3"),
            ("limits.mass_kg", "x"),
        ):
            await shown.enter(place, text)
            box = shown.field(place)
            await until(lambda box=box: bool(box.props.get("error")))
            words = str(box.props["error-message"])
            assert text in words and "expected" in words and "Line" not in words
        assert not shown.session.can_undo


async def test_a_value_that_is_let_go_comes_back_as_usual_or_worked_out(tmp_path: Path) -> None:
    """An eye of an adult who sits: 1209.5 over the floor (ANSUR II medians with shoes, see the body sizes)."""
    async with showing(tmp_path, DUEL.read_text(encoding="utf-8")) as shown:
        await shown.open("people")
        await shown.enter("people.0.eye", "")
        await until(lambda: shown.session.can_undo)
        assert shown.field("people.0.eye").value == "1209.5"
        await shown.enter("people.0.label", "")
        await until(lambda: bool(shown.field("people.0.label").props.get("error")))


async def test_lengths_are_typed_in_the_unit_shown(tmp_path: Path) -> None:
    text = DUEL.read_text(encoding="utf-8").replace("unit: mm", "unit: mm\nwriting: {unit: in}", 1)
    async with showing(tmp_path, text) as shown:
        await shown.open("people")
        await shown.enter("site.height", "29 1/2")
        await until(lambda: shown.session.can_undo)
        assert "height: 29 1/2 in" in shown.session.text
        opened = shown.session.opened
        assert opened is not None and opened.project.site.height == pytest.approx(29.5 * 25.4)


async def test_a_new_section_needs_what_it_needs_and_is_one_step(tmp_path: Path) -> None:
    async with showing(tmp_path, EVERYTHING) as shown:
        await shown.open("people")
        shown.press("Add a passage")
        shown.press("Add it")
        await until(lambda: len(shown.errors()) == 3)  # label, width, height
        assert not shown.session.can_undo
        for label, text in (("label", "Stairs"), ("width", "690"), ("height", "no")):
            shown.draft(label).value = text
        shown.press("Add it")
        await until(lambda: [words for words in shown.errors() if "no" in words] != [])
        shown.draft("height").value = "1900"
        shown.press("Add it")

        def passages() -> list[tuple[str, float]]:
            opened = shown.session.opened
            return [(p.label, p.width) for p in opened.project.limits.passages] if opened else []

        await until(lambda: passages()[1:] == [("Stairs", 690.0)])
        assert shown.session.can_undo
        assert shown.session.labels == ("add a passage",)
        shown.field("limits.passages.1.height")


async def test_a_choice_that_cannot_be_goes_back_and_says_why(tmp_path: Path) -> None:
    """The parts on the deck of a table cabinet have nowhere to sit in a box."""
    text = starter_text("tabletop", name="Start", unit="mm")
    async with showing(tmp_path, text) as shown:
        await shown.open("side")
        shown.field("shape.recipe").value = "box"
        await until(lambda: bool(shown.field("shape.recipe").props.get("error")))
        assert shown.field("shape.recipe").value == "tabletop"
        assert shown.session.text == text


@pytest.mark.parametrize("view", ["people", "side", "panels", "cutting", "papers", "parts"])
async def test_everything_that_can_be_worked_has_a_name_for_screen_readers(
    tmp_path: Path, view: str
) -> None:
    """WCAG 2.2, 4.1.2: name, role, value. A button is named by its words or its label, a box by its label."""
    async with showing(tmp_path, EVERYTHING) as shown:
        await shown.open(view)
        with shown.user:
            worked = [e for e in ElementFilter() if e.tag == "button" or isinstance(e, BOXES)]
        assert len(worked) > 15
        nameless = [
            e
            for e in worked
            if not (e.props.get("aria-label") or e.props.get("label") or words_in(e).strip())
        ]
        assert nameless == []
        named = [str(e.props["aria-label"]) for e in worked if e.props.get("data-field")]
        twice = {name for name in named if named.count(name) > 1}
        assert twice == set(), "two boxes with one name"


def words_in(element: ui.element) -> str:
    """All words inside of an element."""
    own = element.text if isinstance(element, ui.label) else ""
    return own + "".join(words_in(child) for child in element.default_slot.children)


async def test_hostile_names_are_only_text(tmp_path: Path) -> None:
    async with showing(tmp_path, EVERYTHING) as shown:
        await shown.open("people")
        await shown.enter("people.0.label", HOSTILE)
        await until(lambda: shown.session.can_undo)
        opened = shown.session.opened
        assert opened is not None and opened.project.people[0].label == HOSTILE
        await shown.user.should_see(HOSTILE)
        assert f"distance of {HOSTILE}" == shown.field("people.0.distance").props["aria-label"]


async def test_corners_put_in_and_taken_out_on_the_page(tmp_path: Path) -> None:
    """What was pressed goes with the list that it stands in; what came of it is told all the same."""
    async with showing(tmp_path, starter_text("outline", name="Free", unit="in")) as shown:
        await shown.open("side")
        session = shown.session

        def press(label: str) -> None:
            (button,) = shown.elements(aria_label=label)
            fire(shown.user, button, "click")

        press("Put a corner between D and E")
        await until(lambda: "shape.corners.F.0" in shown.fields())
        await shown.user.should_see("A corner more, halfway")
        assert session.worked is not None
        assert tuple(session.worked.cabinet.shape.corners) == tuple("ABCDFE")
        press("Take corner B out")
        await shown.user.should_see("Both base and back carry something.")
        press("Take corner F out")
        await until(lambda: "shape.corners.F.0" not in shown.fields())
        assert session.undo_label == "take out corner F"
