"""The pages without a browser: what they show, and what pressing and typing does to the session."""

from __future__ import annotations

import itertools
import json
import math
import re
import zipfile
from collections.abc import AsyncIterator
from io import BytesIO
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest
from nicegui import ElementFilter, ui
from nicegui.testing import User
from tests.faces.web.pages import Shown, fire, showing, until

from casewright.basics.errors import InputError
from casewright.faces.web import bench as bench_module
from casewright.faces.web import sending
from casewright.faces.web.components.board import Board
from casewright.faces.web.desk import file_name, key_of, path_in
from casewright.faces.web.drawings import page_svg
from casewright.faces.web.entering import entered_length, entered_value
from casewright.faces.web.page import NUMBERED, STEPS
from casewright.faces.web.pictures import (
    MEASURE_PICTURES,
    RECIPE_PICTURES,
    RECIPE_WORDS,
    measure_picture,
)
from casewright.faces.web.views.papers import GROUPS
from casewright.outputs.drawings.marks import Circle, Drawing, Text
from casewright.planning.blanks import plan_cutting
from casewright.session.versions import keep_version
from casewright.workflow import RECIPES, REMOVE, schema_of_projects, starter_text, working_out

ROOT = Path(__file__).parents[3]
DUEL = ROOT / "examples" / "library-duel.cabinet.yaml"
HOSTILE = '<img src=x onerror="alert(1)"> ../../x'


@pytest.fixture
async def shown(tmp_path: Path) -> AsyncIterator[Shown]:
    async with showing(tmp_path, DUEL.read_text(encoding="utf-8")) as found:
        yield found


def boxes(user: User, label: str) -> list[ui.input]:
    """Boxes with that label for screen readers."""
    with user:
        return [e for e in ElementFilter(kind=ui.input) if e.props.get("aria-label") == label]


def box(user: User, label: str) -> ui.input:
    """The one box with that label."""
    found = boxes(user, label)
    assert len(found) == 1, label
    return found[0]


async def enter(shown: Shown, label: str, text: str) -> None:
    element = box(shown.user, label)
    element.value = text
    fire(shown.user, element, "keydown.enter")


@pytest.mark.parametrize(
    ("view", "words"),
    [
        ("parts", "Ball-top lever"),
        ("side", "Side view, from the right"),
        ("panels", "white palm button"),
        ("findings", "Everything a foreman would say"),
        ("use", "Does it stay where it is put?"),
        ("stock", "What there is"),
        ("cutting", "birch plywood 12"),
        ("people", "Where it stands"),
        ("papers", "Make them now"),
        ("text", "The file itself."),
    ],
)
async def test_every_view_opens(shown: Shown, view: str, words: str) -> None:
    await shown.open(view)
    await shown.user.should_see("Reading-corner duel")
    await shown.user.should_see(words)
    await shown.user.should_see("What to look at")


async def test_buttons_laid_out_under_a_hand_with_one_press(shown: Shown) -> None:
    """And taken back with one."""
    await shown.open("panels")
    worked = shown.session.worked
    assert worked is not None
    before = {p.key: (p.u, p.v) for p in worked.cabinet.placed}
    shown.press("two rows")
    await until(lambda: shown.session.can_undo)
    now = shown.session.worked
    assert now is not None
    moved = {p.key for p in now.cabinet.placed if (p.u, p.v) != before[p.key]}
    assert moved and all("lever" not in key for key in moved)
    assert shown.session.undo_label == "buttons in two rows"
    shown.session.undo()
    again = shown.session.worked
    assert again is not None
    assert {p.key: (p.u, p.v) for p in again.cabinet.placed} == before


async def test_buttons_are_laid_out_as_far_apart_as_is_typed(shown: Shown) -> None:
    """As `casewright hands --pitch`; what is no length is told beside its box."""
    await shown.open("panels")
    worked = shown.session.worked
    assert worked is not None
    cluster = next(c for c in worked.behavior.playing.clusters if c.panel == "deck")
    label = f"From button to button for the {cluster.which} hand of player {cluster.player}"
    (box,) = [e for e in shown.elements(aria_label=label) if isinstance(e, ui.input)]
    box.value = "wide"
    shown.press("two rows")
    await until(lambda: bool(shown.errors()))
    box.value = "1 3/4 in"
    shown.press("two rows")
    await until(lambda: shown.session.can_undo)
    now = shown.session.worked
    assert now is not None
    places = [(p.u, p.v) for p in now.cabinet.placed if p.key in cluster.keys]
    nearest = min(math.dist(a, b) for a, b in itertools.combinations(places, 2))
    assert 44.45 <= nearest < 44.65  # 1.75 × 25.4, and places are told to 0.1 mm


async def test_the_schemas_are_handed_over(shown: Shown) -> None:
    """The same as `casewright schema` prints."""
    await shown.open("text")
    shown.press("JSON Schema of this file")
    answer = await shown.user.download.next()
    assert json.loads(answer.content) == schema_of_projects()


async def test_two_versions_are_compared(shown: Shown) -> None:
    """As `casewright difference FILE FIRST SECOND`: what was changed after the second one is no part of it."""
    path, text = shown.session.path, shown.session.text
    wider = text.replace("width: 700", "width: 720", 1)
    assert wider != text
    keep_version(path, text, "as drawn")
    keep_version(path, wider, "wider")
    await shown.open("side")
    fire(shown.user, shown.elements(role="menuitem")[4], "click")
    await shown.user.should_see("Versions of this project")
    (until_,) = [e for e in shown.elements(label="What changed until") if isinstance(e, ui.select)]
    until_.value = "2. wider"
    fire(shown.user, shown.elements(aria_label="What changed since as drawn")[0], "click")
    await shown.user.should_see("Since 'as drawn', until 'wider'", retries=300)
    await shown.user.should_see("shape.width: 700 → 720")
    until_.value = "as it is now"
    fire(shown.user, shown.elements(aria_label="What changed since as drawn")[0], "click")
    await shown.user.should_see("Nothing is different.", retries=300)


async def test_every_place_on_the_deck_says_why(shown: Shown) -> None:
    await shown.open("panels")
    worked = shown.session.worked
    assert worked is not None
    on_deck = [p for p in worked.cabinet.placed if p.piece == "deck"]
    with shown.user:
        told = [e for e in ElementFilter() if str(e.props.get("aria-label")).endswith("sit there?")]
    assert len(told) == len(on_deck) > 5


async def test_steps_have_numbers_and_the_text_is_no_step() -> None:
    assert [step for step, _, _ in STEPS][NUMBERED:] == ["text"]


async def test_an_unknown_project_leads_to_the_start_page(shown: Shown) -> None:
    await shown.user.open("/desk/0123456789abcdef")
    await shown.user.should_see("That project is not open any more.")


async def test_a_new_project_begins_with_one_press(shown: Shown, tmp_path: Path) -> None:
    await shown.user.open("/")
    shown.user.find("What is it called").clear().type(HOSTILE)
    shown.press("Begin")
    path = tmp_path / "img-src-x-onerror-alert-1-x.cabinet.yaml"
    await until(path.exists)
    await until(lambda: shown.desk.find(key_of(path)) is not None)
    session = shown.desk.find(key_of(path))
    assert session is not None and session.opened is not None
    assert session.opened.project.name == HOSTILE
    assert session.worked is not None and not session.worked.stops
    # Nothing was written beside it.
    assert {p.name for p in tmp_path.iterdir()} == {"shown.cabinet.yaml", path.name, "data"}


@pytest.mark.parametrize("recipe", RECIPES)
async def test_a_new_project_asks_six_things_at_most(shown: Shown, recipe: str) -> None:
    """Beside the picture that is pressed; a box asks for its liters, and only what has a display for that."""
    await shown.user.open("/")
    shown.press(RECIPE_WORDS[recipe][0])
    with shown.user:
        asked = [
            element.props["label"]
            for kind in (ui.input, ui.select, ui.number)
            for element in ElementFilter(kind=kind)
            if element.visible and element.props.get("label") != "File name"
        ]
    assert {"What is it called", "Unit"} <= set(asked)
    assert len(asked) <= 6
    assert ("Volume inside, liters" in asked) == (recipe == "box")
    assert ("Display" in asked) == (recipe in ("tabletop", "standing"))


async def test_a_file_that_is_not_there_is_told_beside_its_box(shown: Shown) -> None:
    """The lists above the box may be longer than the window."""
    await shown.user.open("/")
    (box_,) = [e for e in shown.elements(label="File name") if isinstance(e, ui.input)]
    box_.value = "nosuch.cabinet.yaml"
    fire(shown.user, box_, "keydown.enter")
    await until(lambda: bool(shown.errors()))
    assert "nosuch" in shown.errors()[0]


async def test_a_part_measured_asks_for_what_is_missing_beside_its_boxes(shown: Shown) -> None:
    """In words of the box, not of the file; the bezels, which move the picture, are asked for at once."""
    await shown.open("parts")
    shown.press("Add by measuring")

    def made(label: str) -> ui.input:
        return [e for e in shown.elements(aria_label=label) if isinstance(e, ui.input)][-1]

    assert made("bezel left").props["title"]
    shown.press("Add it")
    await until(lambda: shown.errors() == ["Fill this in."] * 5)
    for label, text in (("lit width", "527"), ("lit height", "296.5"), ("housing width", "545")):
        made(label).value = text
    made("housing height").value, made("housing depth").value = "330", "deep"
    shown.press("Add it")
    await until(lambda: len(shown.errors()) == 1)
    assert shown.errors()[0].startswith("Found “deep”; expected a length.")
    made("housing depth").value = "45"
    with shown.user:
        (wakes,) = [
            e
            for e in ElementFilter(kind=ui.select)
            if str(e.props.get("aria-label", "")).startswith("wakes") and e.value == ""
        ]
    wakes.set_value("no")
    shown.press("Add it")
    await until(lambda: shown.session.can_undo)
    assert shown.session.opened is not None
    *_, new = shown.session.opened.project.parts.values()
    assert new.label == "display" and new.measured["wakes_by_itself"] is False


async def test_what_is_to_be_measured_is_counted_at_its_part(shown: Shown) -> None:
    """A part of the catalog's sizes is not a measured one: of a new cabinet's display, seven numbers and one test."""
    text = starter_text("tabletop", name="New", unit="mm")
    shown.session.edit_text(text)
    await shown.open("parts")
    with shown.user:
        rows = [e for e in ElementFilter(kind=ui.element) if e.tag == "tr"]
        cells = [[c.text for c in row.descendants() if isinstance(c, ui.label)] for row in rows]
    (display,) = [c for c in cells if c and c[0].startswith("Display 23.8 in")]
    assert display[-1] == "8"


async def test_a_typed_value_is_one_step_and_its_finding_appears(shown: Shown) -> None:
    await shown.open("panels")
    before = shown.session.worked
    assert before is not None and not before.stops
    first = boxes(shown.user, "u of red (red1)")[0]  # each player has one
    first.value = "165"
    fire(shown.user, first, "keydown.enter")
    await until(lambda: shown.session.can_undo)
    assert shown.session.undo_label == "move red"
    assert "u: 165" in shown.session.text
    worked = shown.session.worked
    assert worked is not None and worked.stops  # it stands in the blue one now
    await shown.user.should_see("Stop")
    shown.session.undo()
    assert shown.session.text == DUEL.read_text(encoding="utf-8")


async def test_a_value_that_cannot_be_is_told_and_changes_nothing(shown: Shown) -> None:
    await shown.open("cutting")
    await enter(shown, "kerf", "minus three")
    kerf = box(shown.user, "kerf")
    await until(lambda: bool(kerf.props.get("error")))
    assert "minus three" in str(kerf.props["error-message"])
    assert not shown.session.can_undo


async def test_a_remedy_is_pressed_and_its_finding_goes(shown: Shown) -> None:
    await shown.open("findings")
    before = shown.session.worked
    assert before is not None
    finding = next(f for f in before.findings if f.rule == "control.palm-room")
    assert shown.session.edits_of(finding.remedies[0])
    shown.press("Move white palm button")
    await until(lambda: shown.session.can_undo)
    worked = shown.session.worked
    assert worked is not None
    assert "control.palm-room" not in {f.rule for f in worked.findings}
    assert shown.session.undo_label.startswith("Move white palm button")


async def test_findings_are_shown_before_the_sheets_are_planned(shown: Shown, monkeypatch):
    """A button moved onto its neighbor; planning is held up until the page has told it."""
    on = Event()

    def held_up(*arguments: Any, **options: Any) -> Any:
        assert on.wait(60)
        return plan_cutting(*arguments, **options)

    await shown.open("findings")
    monkeypatch.setattr(working_out, "plan_cutting", held_up)
    change = Thread(target=lambda: shown.session.set(("parts", "button", "placed", 0, "u"), 165))
    change.start()
    try:
        await shown.user.should_see("red and blue stand", retries=200)
        assert shown.session.is_behind
        assert shown.session.worked is not None and not shown.session.worked.stops
        await shown.user.should_see("3 stops")
    finally:
        on.set()
        change.join()
    await until(lambda: not shown.session.is_behind)
    assert shown.session.worked.stops


async def test_what_a_remedy_would_bring_is_shown_after_a_moment_of_rest(tmp_path, monkeypatch):
    """The case of `tests/session/test_remedies_tried.py`; its press does not carry the words on to the step of undo."""
    monkeypatch.setattr(bench_module, "RESTING", 0.05)
    text = (ROOT / "examples/speaker-case.cabinet.yaml").read_text(encoding="utf-8")
    async with showing(tmp_path, text) as shown:
        await shown.open("findings")
        shown.session.set(("parts", "large", "placed", 0, "v"), 360)
        await shown.user.should_see(
            "That brings another stop: Screw holes for Rubber foot", retries=200
        )
        shown.press("Make it 470.6")
        await until(lambda: "height: 470.6" in shown.session.text)
        assert "another stop" not in shown.session.undo_label
        await shown.user.should_see("Screw holes for Rubber foot")


async def test_two_pages_see_each_others_edits(shown: Shown) -> None:
    await shown.open("cutting")
    other = shown.session
    other.set(("name",), "Another name")
    await shown.user.should_see("Another name")
    other.set(("shop", "kerf"), 2.4)
    await until(lambda: box(shown.user, "kerf").value == "2.4")


async def test_text_that_cannot_be_read_keeps_the_last_picture(shown: Shown) -> None:
    await shown.open("side")
    good = shown.session.worked
    shown.session.edit_text(shown.session.text.replace("width: 700", "width: wide"))
    await shown.user.should_see("the last good picture stays")
    assert shown.session.worked is good
    shown.press("Undo: edit the text")
    await until(lambda: shown.session.errors is None)


async def test_pages_show_inches_when_asked(shown: Shown) -> None:
    await shown.open("cutting")
    assert box(shown.user, "kerf").value == "3.2"
    with shown.user:
        button = next(
            e for e in ElementFilter() if e.props.get("aria-label") == "Show lengths in in"
        )
    fire(shown.user, button, "click")
    await until(lambda: box(shown.user, "kerf").value == "1/8")
    await enter(shown, "kerf", "3/32")
    await until(lambda: shown.session.can_undo)
    assert "kerf: 3/32 in" in shown.session.text


# ---- small things the pages stand on ----


@pytest.mark.parametrize(
    "name", ["../x", "/etc/passwd", "a/b", "..", ".hidden", "", "a\0b", "a\\b", "x" * 200]
)
def test_a_file_name_leads_into_no_other_folder(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError) as refused:
        path_in(tmp_path, name)
    assert refused.value.field == "file name"


def test_file_names(tmp_path: Path) -> None:
    assert path_in(tmp_path, "duel") == tmp_path / "duel.cabinet.yaml"
    assert path_in(tmp_path, "duel.yaml") == tmp_path / "duel.cabinet.yaml"
    assert file_name("…") == "cabinet.cabinet.yaml"
    assert len(file_name("long " * 500)) < 90


def test_typed_lengths() -> None:
    assert entered_length("3/4", shown="in", project="in") == "3/4"
    assert entered_length("125.5", shown="mm", project="in") == "125.5 mm"
    assert entered_length("−3", shown="mm", project="mm") == -3
    assert entered_length("18 mm", shown="in", project="in") == "18 mm"
    assert entered_length(" ", shown="mm", project="mm") is REMOVE
    assert entered_length("<b>", shown="mm", project="mm") == "<b>"
    assert entered_value("12") == 12 and entered_value("16:9") == "16:9"


def test_an_archive_holds_every_paper_and_is_the_same_each_time() -> None:
    papers = {"book.pdf": b"%PDF", "drawings/deck.svg": b"<svg/>"}
    made = sending.archive(papers)
    with zipfile.ZipFile(BytesIO(made)) as opened:
        assert {name: opened.read(name) for name in opened.namelist()} == papers
    assert sending.archive(dict(reversed(papers.items()))) == made


def test_drawings_take_the_themes_colors_and_escape_texts() -> None:
    marks = (Circle((0, 0), 5.0, "visible"), Text((0, 0), HOSTILE, 3.0))
    svg = page_svg(Drawing("<script>", marks), name="test")
    assert 'stroke="var(--ink,#1e2328)"' in svg
    assert "<img" not in svg and "<script" not in svg
    assert "mm" not in svg.split(">")[0]  # its box gives the size


def test_each_recipe_and_measured_kind_has_its_picture() -> None:
    assert set(RECIPE_PICTURES) == set(RECIPE_WORDS) == set(RECIPES)
    for kind in (*MEASURE_PICTURES, "trackball"):
        assert measure_picture(kind).startswith("<svg")
    assert measure_picture("hardware") == ""


async def test_ticks_and_the_board_choose_alike(shown: Shown) -> None:
    await shown.open("panels")
    with shown.user:
        (board,) = ElementFilter(kind=Board)
        boxes_ = ElementFilter(kind=ui.checkbox)
        ticks = {str(box.props["aria-label"]): box for box in boxes_ if "aria-label" in box.props}
    ticks["Tick red (red1)"].value = True
    assert list(board.chosen) == ["red1"]
    ticks["Tick yellow (yellow1)"].value = True
    assert list(board.chosen) == ["red1", "yellow1"]
    board.chosen = ("blue1",)  # as the browser tells it
    board.selected.emit(board.chosen)
    await until(lambda: bool(ticks["Tick blue (blue1)"].value))
    assert not ticks["Tick red (red1)"].value


def test_every_kind_of_paper_has_its_place_in_the_list() -> None:
    """Kinds as the README's table of what a build writes has them."""
    text = (ROOT / "README.md").read_text(encoding="utf-8").partition("## What a build writes")[2]
    named = re.findall(r"`([^`|]+)`", "".join(re.findall(r"^\| (`[^|]+) \|", text, re.M)))
    endings = {Path(name).suffix for name in named}
    assert endings >= {".pdf", ".svg", ".dxf", ".csv", ".ics", ".step"}
    assert endings == {ending for _, group in GROUPS for ending in group}
