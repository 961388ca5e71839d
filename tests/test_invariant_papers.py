"""What always holds for files, on random cabinets: projects load back, papers read back, layouts can be sawn."""

from __future__ import annotations

import io
import re

import ezdxf
import pdfplumber
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from tests.laws_of_papers import (
    SHEETS,
    agree,
    as_yaml,
    every_blank_is_laid_once_inside_its_sheet_and_a_kerf_from_the_next,
    papers_are_whole,
    worked,
)
from tests.strategies import as_project, examples, project_data
from tests.wild import extreme_data, wild_data

from casewright.basics.errors import InputErrors
from casewright.workflow import (
    changed_document,
    make_papers,
    open_project,
    open_text,
    paper_named,
    save_text,
)

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.function_scoped_fixture]
UNSHRUNK = [Phase.explicit, Phase.generate]
"""Making all papers takes a second or more; a failure is told as it was found."""


# ---- project files ---------------------------------------------------------------------------------------------------


@settings(max_examples=examples(40), suppress_health_check=SLOW)
@given(data=project_data())
def test_a_saved_project_loads_back_equal_with_its_comments(tmp_path, data):
    text = as_yaml(data)
    opened = open_text(text)
    assert opened.project == as_project(data)
    changed = changed_document(opened.document, {("name",): "Another", ("notes",): "two\nlines"})
    path = tmp_path / "p.cabinet.yaml"
    save_text(path, changed.text)
    again = open_project(path)
    assert again.project == opened.project.model_copy(
        update={"name": "Another", "notes": "two\nlines"}
    )
    assert re.findall(r"# note \d+", changed.text) == re.findall(r"# note \d+", text)


@settings(max_examples=examples(40), suppress_health_check=SLOW)
@given(data=project_data(), draw=st.data())
def test_a_wrong_value_names_its_line(data, draw):
    """Any length of the file written as none: the error stands on that line and says what was found."""
    lines = as_yaml(data).splitlines()
    places = [i for i, line in enumerate(lines) if re.search(r"\w+: \S+ mm$", line)]
    at = draw.draw(st.sampled_from(places))
    lines[at] = re.sub(r": \S+ mm$", ": twelve", lines[at])
    with pytest.raises(InputErrors) as caught:
        open_text("\n".join(lines) + "\n")
    (error,) = [e for e in caught.value.errors if "twelve" in e.got]
    assert error.spot is not None
    assert error.spot.line == at + 1
    assert error.want
    assert error.example


# ---- cutting ---------------------------------------------------------------------------------------------------------


@settings(max_examples=examples(60), suppress_health_check=SLOW)
@given(data=project_data())
def test_every_blank_is_laid_once_inside_its_sheet_and_a_kerf_from_the_next(data):
    made = worked(data)
    if made is None:
        return
    every_blank_is_laid_once_inside_its_sheet_and_a_kerf_from_the_next(made)


# ---- papers ----------------------------------------------------------------------------------------------------------


@settings(max_examples=examples(4), suppress_health_check=SLOW, phases=UNSHRUNK)
@given(data=project_data())
def test_papers_of_any_cabinet_read_back_as_the_model(data):
    made = worked(data)
    if made is None:
        return
    files = make_papers(made, paper=paper_named("A4"), step=False)
    agree(made, files)


@settings(max_examples=examples(3), suppress_health_check=SLOW, phases=UNSHRUNK)
@given(data=st.one_of(wild_data(), extreme_data()))
def test_papers_of_anything_the_file_allows_are_made(data):
    made = worked(data)
    if made is None:
        return
    files = make_papers(made, paper=paper_named("A4"), step=False)
    papers_are_whole(made, files)


def test_a_hundred_millimeters_are_a_hundred_in_every_file():
    """A side 100 deep and 100 high, in files read by other programs. A PDF point is 1/72 in (ISO 32000-1, 8.3.2.3)."""
    data = {
        "name": "hundred",
        "materials": {"board": {"kind": "mdf", "nominal": "10 mm", "sheets": SHEETS}},
        "shape": {
            "recipe": "outline",
            "width": "120 mm",
            "side": {"material": "board"},
            "board": "board",
            "corners": {"A": [0, 0], "B": [100, 0], "C": [100, 100], "D": [0, 100]},
        },
        "panels": {"base": {"run": "A-B", "role": "floor", "cleats": {"along": "none"}}},
        "features": [
            {"shape": "hole", "on": "base", "u": 50, "v": 50, "diameter": 30},
            {"shape": "hole", "on": "left", "u": 50, "v": 60, "diameter": 30},
        ],
    }
    made = worked(data)
    assert made is not None
    assert made.cabinet.piece_by_key["base"].width == pytest.approx(100)
    files = make_papers(made, paper=paper_named("A4"), step=False)
    agree(made, files)
    document = ezdxf.read(io.StringIO(files["drawings/base-show.dxf"].decode("utf-8")))
    (hole,) = document.modelspace().query('CIRCLE[layer=="BORE_SHOW_THROUGH"]')
    assert 2 * hole.dxf.radius == pytest.approx(30.0, abs=0.005)
    with pdfplumber.open(io.BytesIO(files["templates-A4.pdf"])) as book:
        squares = [
            shape
            for page in book.pages
            for shape in (*page.rects, *page.curves, *page.lines)
            if (shape["width"] * 25.4 / 72, shape["height"] * 25.4 / 72)
            == (pytest.approx(100.0, abs=0.02), pytest.approx(100.0, abs=0.02))
        ]
    assert squares
