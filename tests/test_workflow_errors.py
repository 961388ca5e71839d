"""All that is wrong with a file comes at once, whichever stage would have found it."""

from __future__ import annotations

from pathlib import Path

import pytest

from casewright.basics.errors import InputErrors
from casewright.workflow import open_text, work_out

DEMO = (Path(__file__).parents[1] / "examples" / "library-duel.cabinet.yaml").read_text(
    encoding="utf-8"
)


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


def test_the_parts_and_the_names_are_told_together():
    fields = wrong(("pivot: 6", "pivot: 3 kg"), ("{key: menu, on: lip", "{key: menu, on: lipp"))
    assert set(fields) == {"parts.lever.measured.pivot", "parts.menu-button.placed.0.on"}
    assert fields["parts.menu-button.placed.0.on"] == line_of("key: menu,")


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
