"""Variants on a terminal: nothing is cut off and nothing reaches beyond the edge, whatever is shown."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from casewright.faces.cli.variant_table import VariantLine, folded, variant_lines

LABELS = ("shape.width", "screen leans back", "boards", "display", "buttons", "palm1.u")
FIGURES = ("cost", "sheets to buy", "mass", "picture seen", "length of deck, side to side")
ROWS = [
    VariantLine(
        str(number),
        (width, "most", "9 mm top", "23.8 in of the catalog", buttons, "165"),
        ("556 cu", "7", "18.04 kg", "98.1 %", "660.6 mm"),
    )
    for number, width, buttons in ((353, "690", "as drawn"), (10_000, "730", "farther"))
]


@pytest.mark.parametrize("width", [40, 60, 80, 100, 120, 200])
def test_every_value_stands_whole_within_the_width(width: int) -> None:
    lines = variant_lines(LABELS, FIGURES, ROWS, width=width)
    assert max(map(cell_len, lines)) <= width
    text = "\n".join(lines)
    assert all(cell in text for row in ROWS for cell in (row.number, *row.figures))
    assert "as drawn" in text and "farther" in text
    # What all have in common is said once.
    assert text.count("23.8 in of the catalog") == 1 and "boards: 9 mm top" in text


def test_a_line_for_each_variant_where_there_is_room() -> None:
    wide = variant_lines(LABELS, FIGURES, ROWS, width=120)
    assert sum("556 cu" in line and "as drawn" in line for line in wide) == 1
    narrow = variant_lines(LABELS, FIGURES, ROWS, width=60)
    assert sum("556 cu" in line and "660.6 mm" in line for line in narrow) == 2
    assert not any("556 cu" in line and "as drawn" in line for line in narrow)


def test_figures_stand_below_each_other() -> None:
    lines = variant_lines(LABELS, FIGURES, ROWS, width=120)
    ends = {line.index("18.04 kg") for line in lines if "18.04 kg" in line}
    assert len(ends) == 1


WORDS = st.text(st.characters(categories=("L", "N", "P")), min_size=1, max_size=12)


@given(st.lists(WORDS, min_size=1, max_size=20), st.integers(1, 60))
def test_folding_loses_no_word_and_breaks_only_between_words(words: list[str], width: int) -> None:
    lines = folded(" ".join(words), width)
    assert " ".join(lines) == " ".join(words)
    assert all(cell_len(line) <= width or " " not in line for line in lines)


@given(st.lists(WORDS, min_size=1, max_size=9), st.integers(40, 200))
def test_any_words_as_choices(words: list[str], width: int) -> None:
    rows = [
        VariantLine("1", words, ("5",) * 3),
        VariantLine("2", [word + "x" for word in words], ("6",) * 3),
    ]
    text = "\n".join(variant_lines(words, ("cost", "mass", "sight"), rows, width=width))
    assert all(word in text for word in words)
    assert all(cell_len(line) <= width for line in text.split("\n"))
