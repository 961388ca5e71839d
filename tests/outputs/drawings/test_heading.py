"""Headings of sheets: which face is seen is told whole, however narrow the sheet."""

import pytest
from tests.outputs.drawings.sheets_bench import board, example

from casewright.outputs.drawings.heading import heading
from casewright.outputs.drawings.marks import Box, Text


@pytest.mark.parametrize("width", [200, 150, 120, 110, 100])
@pytest.mark.parametrize("grain", ["none", "u"])
def test_a_back_face_is_called_mirrored_in_any_width(width, grain):
    """A sheet of 150 mm held "BACK FACE, seen from behind (mirror…"; the sign and the arrow take 48 of it."""
    worked = example("mill-console")
    marks = heading(
        board(grain=grain),
        "back",
        "back",
        Box(0, 0, 300, 200),
        worked.cabinet.project,
        worked.opened.style,
        scale=0.2,
        width=width,
        top=200,
    )
    (face,) = [m.text for m in marks if isinstance(m, Text) and m.text.startswith("BACK FACE")]
    assert face.endswith("(mirrored)")
