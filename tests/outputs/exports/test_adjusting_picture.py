"""The display's test picture read back: as XML, and as pixels by a general imaging library."""

from __future__ import annotations

import io
from itertools import groupby
from xml.etree import ElementTree

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from tests.outputs.drawings.sheets_bench import example

from casewright.outputs.exports.adjusting_picture import adjusting_pictures, adjusting_svg, places

SVG = "{http://www.w3.org/2000/svg}"


def rectangles(svg: str) -> list[tuple[float, float, float, float]]:
    root = ElementTree.fromstring(svg)
    return [
        tuple(float(r.get(n, "0")) for n in ("x", "y", "width", "height"))
        for r in root.iter(f"{SVG}rect")
        if r.get("fill") == "#ffffff"
    ]


@pytest.mark.parametrize("name", ["library-duel", "mill-console", "kiosk"])
def test_the_picture_has_the_display_s_own_aspect(name):
    """The lit area as the catalog has it, on end where the display stands on end."""
    cabinet = example(name).cabinet
    placed = next(p for p in cabinet.placed if p.part.data.kind == "display")
    data = placed.part.data
    size = (data.lit_width, data.lit_height)
    wide, high = size if round(placed.turn_deg / 90) % 2 == 0 else size[::-1]
    files = adjusting_pictures(cabinet)
    root = ElementTree.fromstring(files[f"test-picture-{placed.key}.svg"])
    assert [float(x) for x in root.get("viewBox", "").split()] == pytest.approx(
        [0, 0, wide, high], abs=1e-3
    )
    across, up, _ = pixels(files[f"test-picture-{placed.key}.png"])
    assert max(across, up) == 1920
    assert across / up == pytest.approx(wide / high, rel=1 / 1080)  # whole pixels


def test_ladders_count_millimeters_from_all_four_edges():
    """Every second block is bright, each 1 mm deep, the first on the very edge."""
    wide, high = 300.0, 200.0
    found = rectangles(adjusting_svg(wide, high))
    left = sorted(x for x, _, w, h in found if w == 1.0 and h == 5.0 and x < 100)
    right = sorted(wide - x - w for x, _, w, h in found if w == 1.0 and h == 5.0 and x > 100)
    top = sorted(y for _, y, w, h in found if w == 5.0 and h == 1.0 and y < 100)
    low = sorted(high - y - h for _, y, w, h in found if w == 5.0 and h == 1.0 and y > 100)
    once = [float(block) for block in range(0, 20, 2)]
    assert left == right == sorted(once * len(places(high)))
    assert top == low == sorted(once * len(places(wide)))


def test_numbers_stand_at_their_millimeter():
    """Beside each upper ladder 5, 10, 15 and 20, each with a stroke across it at that depth."""
    root = ElementTree.fromstring(adjusting_svg(300.0, 200.0))
    strokes = {
        round(float(r.get("y")) + float(r.get("height")) / 2, 3)
        for r in root.iter(f"{SVG}rect")
        if r.get("fill") == "#ffffff" and float(r.get("height")) < 0.5 and float(r.get("y")) < 30
    }
    assert strokes == {5.0, 10.0, 15.0, 20.0}
    for text in root.iter(f"{SVG}text"):
        if text.text in ("5", "10", "15", "20") and float(text.get("y")) < 30:
            # Figures are set about the stroke: their baseline a third of their size below it.
            assert float(text.get("y")) - 0.36 * float(text.get("font-size")) == pytest.approx(
                float(text.text), abs=0.01
            )


def test_the_png_keeps_border_and_pitch():
    """Along the upper left ladder: 20 blocks, half a millimeter off at most anywhere; white at all four edges."""
    cabinet = example("library-duel").cabinet
    across, up, rows = pixels(adjusting_pictures(cabinet)["test-picture-display.png"])
    a_mm = across / 527.0
    for x, y in ((0, up // 3), (across - 1, up // 3), (across // 3, 0), (across // 3, up - 1)):
        assert rows[y][x] > 200
    column = round(40 * a_mm)
    line = [rows[y][column] > 128 for y in range(round(20 * a_mm))]
    edges, at = [], 0
    for bright, run in groupby(line):
        at += len(list(run))
        edges.append((bright, at))
    changes = [place for _, place in edges[:-1]]
    assert changes[:19] == pytest.approx([n * a_mm for n in range(1, 20)], abs=0.5 * a_mm)
    assert len(changes) >= 19


def pixels(png: bytes) -> tuple[int, int, NDArray[np.uint8]]:
    """Width, height and the green of every pixel, row by row; read by a general imaging library (Pillow)."""
    with Image.open(io.BytesIO(png)) as picture:
        green = np.asarray(picture.convert("RGB"))[:, :, 1]
    return picture.width, picture.height, green
