"""What a remedy would bring elsewhere is told, and is what happens when it is carried out.

No outside figure is needed: each remedy is written into the file, and the whole cabinet worked out from nothing.
"""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.findings import Finding, Place, Remedy, Severity
from casewright.workflow import (
    KeyPath,
    Opened,
    Superseded,
    Worked,
    open_document,
    open_project,
    proposed_document,
    remedy_edits,
    work_out,
)
from casewright.workflow import trials as module
from casewright.workflow.trials import MOST, NOT_ENOUGH, NOTHING, is_known, with_outcomes

EXAMPLES = Path(__file__).parents[1] / "examples"


def opened(example: str, edits: dict[KeyPath, Any]) -> Opened:
    known = open_project(EXAMPLES / f"{example}.cabinet.yaml")
    return open_document(proposed_document(known.document, edits), known.catalog)


def carried_out(worked: Worked, remedy: Remedy) -> Worked:
    of = worked.opened
    edits = remedy_edits(remedy, of.document, of)
    return work_out(open_document(proposed_document(of.document, edits), of.catalog))


def valued(worked: Worked) -> list[tuple[Finding, Remedy]]:
    return [
        (finding, remedy)
        for finding in worked.advised
        for remedy in finding.remedies
        if remedy.value is not None and finding.severity is not Severity.NOTE
    ]


def finding_stays(finding: Finding, worked: Worked, remedy: Remedy) -> bool:
    return any(
        (f.rule, f.place.names, f.severity) == (finding.rule, finding.place.names, finding.severity)
        for f in carried_out(worked, remedy).findings
    )


BROUGHT = [
    # A front that begins low: all above it is lifted off the levers, the hand holes of the sides are not.
    ("library-duel", {("shape", "corners", "G", 1): 40}, "shape.corners.C.1"),
    # A doorway narrower than the console: what sits on its panels does not get narrower with it.
    ("mill-console", {("site", "width"): 28}, "shape.width"),
    # Rows of lamps laid apart as far as their strips ask reach the loudspeakers beside them.
    ("library-duel", {("parts", "sign", "measured", "rows"): 6}, "parts.sign.measured.row_pitch"),
    # A case made higher for a loudspeaker that was put higher: the base gets shorter, its feet past its end.
    ("speaker-case", {("parts", "large", "placed", 0, "v"): 360}, "shape.height"),
]


@pytest.mark.parametrize(("example", "edits", "field"), BROUGHT)
def test_a_stop_that_a_remedy_brings_is_told_with_it(example, edits, field):
    worked = work_out(opened(example, edits))
    found = [(f, r) for f, r in valued(worked) if r.field == field and r.brings]
    assert found
    for finding, remedy in found:
        stops = carried_out(worked, remedy).stops
        new = [stop for stop in stops if not is_known(stop, worked.findings)]
        assert new
        assert new[0].message in remedy.brings
        assert finding_stays(finding, worked, remedy) == (NOT_ENOUGH in remedy.brings)
        assert remedy.words == f"{remedy.text} {remedy.brings}"


@pytest.mark.parametrize("number", range(6))
def test_a_remedy_of_which_nothing_is_told_brings_no_stop(number):
    """On examples of which some numbers were changed by chance."""
    rng = random.Random(number)
    example = ("library-duel", "speaker-case", "lap-controller")[number % 3]
    known = open_project(EXAMPLES / f"{example}.cabinet.yaml")
    places: list[KeyPath] = [
        ("parts", key, "placed", at, name)
        for key, part in known.document.data["parts"].items()
        for at, spot in enumerate(part.get("placed", []))
        for name in ("u", "v")
        if isinstance(spot.get(name), int | float)
    ]
    edits: dict[KeyPath, Any] = {
        path: rng.randint(20, 300) for path in rng.sample(places, min(3, len(places)))
    }
    worked = work_out(opened(example, edits))
    pairs = valued(worked)[:MOST]
    for _, remedy in pairs:
        new = [f for f in carried_out(worked, remedy).stops if not is_known(f, worked.findings)]
        assert bool(new) == ("another stop" in remedy.brings or "other stops" in remedy.brings)


def test_a_sound_cabinet_has_nothing_added():
    worked = work_out(open_project(EXAMPLES / "library-duel.cabinet.yaml"))
    assert valued(worked)
    assert worked.advised == worked.findings


# ---- in general -----------------------------------------------------------------------------------------------------

A = Finding("a.rule", Severity.STOP, "A.", remedies=(Remedy("Do.", "shape.width", 800.0),))


@pytest.fixture(scope="module")
def demo() -> Opened:
    return open_project(EXAMPLES / "library-duel.cabinet.yaml")


def outcome(demo: Opened, after: list[Finding], *, findings: tuple[Finding, ...] = (A,)) -> Remedy:
    (first, *_) = with_outcomes(findings, demo, lambda changed: after)
    return first.remedies[0]


def test_what_is_found_decides_the_words(demo):
    other = Finding("b.rule", Severity.STOP, "B is in the way.")
    caution = replace(other, severity=Severity.CAUTION)
    assert outcome(demo, []) == A.remedies[0]
    assert outcome(demo, [caution]) == A.remedies[0]
    assert outcome(demo, [other]).brings == "That brings another stop: B is in the way."
    third = replace(other, rule="c.rule", message="C.")
    brings = outcome(demo, [other, third]).brings
    assert brings == "That brings 2 other stops, first of all: B is in the way."
    assert outcome(demo, [replace(A, message="Less of it.")]).brings == NOT_ENOUGH
    assert outcome(demo, [other], findings=(A, other)) == A.remedies[0]


def test_a_remedy_that_changes_nothing_is_left_out_where_there_is_another(demo):
    nothing = outcome(demo, [A])
    assert (nothing.value, nothing.words) == (None, f"Do. {NOTHING}")
    other = Remedy("Or do that.", "shape.width", 820.0)
    both = replace(A, remedies=(*A.remedies, other))

    def found_in(changed: Opened) -> list[Finding]:
        return [A] if changed.project.shape.width == 800.0 else []  # type: ignore[union-attr]

    ((only,),) = [finding.remedies for finding in with_outcomes((both,), demo, found_in)]
    assert (only.text, only.value) == ("Do that.", 820.0)


def test_the_changed_project_is_the_one_that_is_judged(demo):
    seen: list[float] = []

    def found_in(changed: Opened) -> tuple[Finding, ...]:
        seen.append(changed.project.shape.width)  # type: ignore[union-attr]
        return ()

    with_outcomes((A,), demo, found_in)
    assert seen == [800.0]


def test_what_stands_against_a_value_is_told_and_the_value_not_offered(demo):
    def refuses(changed: Opened) -> tuple[Finding, ...]:
        error = InputError("shape.depth", got="2 m", want="at most 1 m")
        raise InputErrors([error])

    ((remedy,),) = [finding.remedies for finding in with_outcomes((A,), demo, refuses)]
    assert remedy.value is None
    assert (
        remedy.words
        == "Do. Something else stands against it, shape.depth: at most 1 m would be asked."
    )
    past = replace(A, remedies=(Remedy("Do.", "shape.width", -5.0),))
    ((remedy,),) = [
        finding.remedies for finding in with_outcomes((past,), demo, lambda changed: ())
    ]
    assert remedy.value is None


def test_notes_and_words_are_left_as_they_are_and_no_more_are_tried_than_told(demo, monkeypatch):
    asked: list[Opened] = []

    def found_in(changed: Opened) -> tuple[Finding, ...]:
        asked.append(changed)
        return ()

    small = Remedy("Do.", "panels.deck.reveal", 4.0)
    note = replace(A, severity=Severity.NOTE, remedies=(small,))
    words = replace(A, remedies=(Remedy("Think."),))
    assert with_outcomes((note, words), demo, found_in) == (note, words)
    assert asked == []
    monkeypatch.setattr(module, "MOST", 3)
    many = tuple(replace(A, remedies=(Remedy("Do.", "shape.width", 700.0 + n),)) for n in range(9))
    assert with_outcomes(many, demo, found_in) == many
    assert len(asked) == 3


def test_a_note_that_changes_the_whole_cabinet_is_tried(demo):
    other = Finding("b.rule", Severity.STOP, "B is in the way.")
    note = replace(A, severity=Severity.NOTE)
    assert outcome(demo, [other], findings=(note,)).brings.endswith("B is in the way.")


def finding(*names: str, severity: Severity = Severity.STOP, rule: str = "a.rule") -> Finding:
    return Finding(rule, severity, "", place=Place(names))


@pytest.mark.parametrize(
    ("now", "before", "known"),
    [
        (finding("a", "b"), [finding("a", "b")], True),
        (finding("a", "b"), [finding("b", "a", "c")], True),  # one of several places is left
        (finding("a", "b", "c", "d"), [finding("a", "b"), finding("d", "c")], True),  # now one
        (finding("a", "c"), [finding("a", "b"), finding("c", "d")], False),
        (finding("a", "b", "c"), [finding("a", "b")], False),
        (finding("a", "b"), [finding("a", "b", severity=Severity.CAUTION)], False),
        (finding("a", "b"), [finding("a", "b", rule="b.rule")], False),
        (finding(), [], False),
        (finding(), [finding()], True),
    ],
)
def test_what_was_said_before(now, before, known):
    assert is_known(now, before) is known


def test_trying_is_given_up_where_nobody_wants_it_any_more():
    worked = work_out(open_project(EXAMPLES / "library-duel.cabinet.yaml"))
    with pytest.raises(Superseded):
        worked.try_remedies(wanted=lambda: False)
    assert worked.told == worked.findings
    assert "advised" not in vars(worked)
