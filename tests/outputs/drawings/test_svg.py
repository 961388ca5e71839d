"""SVG read back with an XML reader."""

import math
import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.errors import InputError
from casewright.outputs.drawings.marks import (
    Arc,
    Box,
    Circle,
    Drawing,
    Line,
    Polyline,
    Region,
    Text,
    bounds,
    rectangle,
)
from casewright.outputs.drawings.style import ACCENT, GRAPHITE, INK, MATERIALS, PAPER, PENS
from casewright.outputs.drawings.svg import write_svg

NS = "{http://www.w3.org/2000/svg}"


def read(drawing, **options):
    return ET.fromstring(write_svg(drawing, **options))


def page_mm(root):
    """Width and height as the file states them; the view box must be in the same millimeters."""
    width, height = (
        re.fullmatch(r"([0-9.]+)mm", root.get(side))[1] for side in ("width", "height")
    )
    assert root.get("viewBox") == f"0 0 {width} {height}"
    return float(width), float(height)


def test_a_100_mm_line_is_100_mm():
    root = read(Drawing("Rule", (Line((20.0, 30.0), (120.0, 30.0)),)), margin=10)
    assert page_mm(root) == (120.0, 20.0)
    line = root.find(f".//{NS}line")
    x1, y1, x2, y2 = (float(line.get(name)) for name in ("x1", "y1", "x2", "y2"))
    assert math.hypot(x2 - x1, y2 - y1) == pytest.approx(100.0, abs=0.001)


def test_a_scale_resizes_geometry_and_leaves_lettering():
    marks = (Line((0.0, 0.0), (500.0, 0.0)), Text((0.0, 0.0), "500.0"))
    small, full = (
        read(Drawing("Rule", marks, Box(0, 0, 500, 100), scale=s), margin=0) for s in (0.2, 1.0)
    )
    assert page_mm(small) == (100.0, 20.0)
    assert small.find(f".//{NS}text").get("font-size") == full.find(f".//{NS}text").get("font-size")
    assert small.find(f".//{NS}line").get("stroke-width") == "0.5"


def test_up_is_up():
    root = read(Drawing("Hole", (Circle((10.0, 70.0), 5.0),), Box(0, 0, 100, 100)), margin=0)
    hole = root.find(f".//{NS}circle")
    assert (hole.get("cx"), hole.get("cy"), hole.get("r")) == ("10", "30", "5")


@given(
    st.floats(-180, 180),
    st.floats(10, 350),
)
def test_arcs_go_the_right_way_round(start, sweep):
    """The SVG arc's own centre, worked out by SVG 1.1, appendix F.6.5, is the drawn one."""
    arc = Arc((50.0, 50.0), 20.0, start, start + sweep)
    root = read(Drawing("Arc", (arc,), Box(0, 0, 100, 100)), margin=0)
    path = root.find(f".//{NS}path").get("d")
    x1, y1, r, _, _, large, sweep_flag, x2, y2 = (float(v) for v in re.findall(r"-?[0-9.]+", path))
    dx, dy = (x1 - x2) / 2, (y1 - y2) / 2
    root_ = math.sqrt(max(r * r / (dx * dx + dy * dy) - 1, 0)) * (-1 if large == sweep_flag else 1)
    centre = (root_ * dy + (x1 + x2) / 2, -root_ * dx + (y1 + y2) / 2)
    assert centre == pytest.approx((50.0, 50.0), abs=0.2)


def test_a_bulge_that_turns_left_bows_to_the_right_of_its_way():
    half = Polyline(((0.0, 0.0), (100.0, 0.0)), (1.0, 0.0), closed=False)
    assert bounds([half]) == Box(0.0, pytest.approx(-50.0), 100.0, pytest.approx(0.0))
    root = read(Drawing("Half", (half,), Box(0, -50, 100, 0)), margin=0)
    # From left to right with sweep flag 0 (anticlockwise on the screen) the arc runs below the chord.
    assert root.find(f".//{NS}path").get("d") == "M0 0A50 50 0 0 0 100 0"


@given(st.text())
def test_any_text_is_read_back_or_made_harmless(text):
    root = read(Drawing(text, (Text((0.0, 0.0), text),), Box(0, 0, 10, 10)))
    writable = re.sub("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]+", " ", text)
    assert root.find(f".//{NS}text").text == (writable or None)
    assert root.find(f"{NS}title").text == (writable or None)


def test_markup_in_a_name_stays_text():
    name = '</text><script>alert("x")</script>&amp;<!--'
    root = read(Drawing(name, (Text((0.0, 0.0), name),)))
    assert root.find(f".//{NS}script") is None
    assert root.find(f".//{NS}text").text == name


def test_every_pen_and_material_is_written_and_no_pattern_is_missing():
    square = rectangle(Box(0, 0, 10, 10))
    marks = [Line((0.0, 0.0), (1.0, 1.0), pen) for pen in PENS]
    marks += [Region(square, material=material) for material in MATERIALS]
    text = write_svg(Drawing("All", tuple(marks)))
    root = ET.fromstring(text)
    named = set(re.findall(r"url\(#([a-z]+)\)", text))
    assert named == {pattern.get("id") for pattern in root.iter(f"{NS}pattern")}
    assert len(root.findall(f".//{NS}line")) == len(PENS)
    assert write_svg(Drawing("All", tuple(marks))) == text


def test_a_hole_in_an_area_is_left_open():
    area = Region(rectangle(Box(0, 0, 100, 100)), (Circle((50.0, 50.0), 10.0),), "face")
    path = read(Drawing("Area", (area,))).find(f".//{NS}path")
    assert path.get("fill-rule") == "evenodd"
    assert path.get("d").count("Z") == 2


@pytest.mark.parametrize(
    ("options", "field"), [({"scale": 0.0}, "scale"), ({"margin": -1}, "margin")]
)
def test_what_cannot_be_written_is_refused(options, field):
    with pytest.raises(InputError) as refused:
        write_svg(Drawing("Rule", (Line((0.0, 0.0), (1.0, 1.0)),)), **options)
    assert refused.value.field == field


def luminance(color):
    """Relative luminance as WCAG 2.1 defines it."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("color", [INK, GRAPHITE, ACCENT])
@pytest.mark.parametrize("ground", [PAPER, MATERIALS["face"].ground, MATERIALS["wood"].ground])
def test_lettering_is_readable_on_every_ground_it_stands_on(color, ground):
    """WCAG 2.1, 1.4.3: at least 4.5 : 1 (on cut wood only large lettering and lines, 3 : 1)."""
    ratio = (luminance(ground) + 0.05) / (luminance(color) + 0.05)
    assert ratio >= (3.0 if ground == MATERIALS["wood"].ground else 4.5)


@given(st.integers(0, 60), st.integers(1, 6), st.data())
def test_inch_fractions_are_set_as_fractions_and_read_on_as_written(whole, power, data):
    top = 2 * data.draw(st.integers(0, 2 ** (power - 1) - 1)) + 1
    words = f"{whole}\u00a0{top}/{2**power} × A4/5, 12/03/64"
    (text,) = read(Drawing("Rule", (Text((0.0, 0.0), words),))).findall(f".//{NS}text")
    assert "".join(text.itertext()) == words
    upper, slash, lower = text.findall(f"{NS}tspan")
    assert (upper.text, slash.text, lower.text) == (str(top), "/", str(2**power))
    size = float(text.get("font-size"))
    assert float(upper.get("font-size")) == float(lower.get("font-size")) < size
    # Up for the upper figures and down again: the line goes on where it was.
    assert float(upper.get("dy")) == -float(slash.get("dy")) < 0
