"""Wiring diagrams can be read: no word lies on a fuse."""

from __future__ import annotations

from tests.outputs.drawings.sheets_bench import EXAMPLES, example

from casewright.outputs.drawings.lettering import text_width
from casewright.outputs.drawings.marks import Polyline, Text
from casewright.outputs.topics.wiring_pictures import power_picture

NAMES = sorted(path.name.partition(".")[0] for path in EXAMPLES.glob("*.cabinet.yaml"))
AIR = 0.3
"""Between a word and what it must not touch: two fine lines. [mm]"""


def test_no_word_lies_on_a_fuse() -> None:
    fused = 0
    for name in NAMES:
        drawing = power_picture(example(name).behavior.wiring)
        marks = drawing.marks if drawing else ()
        fuses = [
            (min(x), min(y), max(x), max(y))
            for mark in marks
            if isinstance(mark, Polyline) and mark.pen == "thin"
            for x, y in [tuple(zip(*mark.points, strict=True))]
        ]
        fused += len(fuses)
        for word in marks:
            if not isinstance(word, Text) or word.anchor != "start":
                continue
            left, low = word.at
            right, high = left + text_width(word.text, word.height, word.weight), low + word.height
            for x0, y0, x1, y1 in fuses:
                apart = max(x0 - right, left - x1, y0 - high, low - y1)
                assert apart > AIR, (name, word.text, apart)
    assert fused > 5
