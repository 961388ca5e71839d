"""A panel with a bit of everything; run by itself, this writes it to the standard output as DXF."""

import sys

from casewright.outputs.drawings.dimensions import Ordinate, ordinates
from casewright.outputs.drawings.marks import (
    Arc,
    Box,
    Circle,
    Drawing,
    Line,
    Operation,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.drawings.symbols import CentreMark, DatumMark, GrainArrow, Triangle
from casewright.outputs.exports.dxf import write_dxf

CUT = Operation("cut")
BORE = Operation("bore", "back", tool="28 mm bit")
POCKET = Operation("pocket", "back", 6.5, "straight bit")
OPENING = Operation("opening", "show")


def panel():
    outline = Box(0.0, 0.0, 434.0, 260.0)
    marks = [
        Region(rectangle(Box(0, -40, 434, -22)), material="wood"),
        rectangle(outline, operation=CUT),
        rectangle(Box(200.0, 60.0, 340.0, 200.0), radius=6.0, operation=OPENING),
        rectangle(Box(20.0, 180.0, 120.0, 230.0), radius=9.5, pen="hidden", operation=POCKET),
        Line((0.0, 130.0), (434.0, 130.0), "centre"),
        Arc((300.0, 30.0), 10.0, 0.0, 90.0, "thin"),
        GrainArrow((60.0, 150.0)),
        Triangle((100.0, 100.0)),
        DatumMark((0.0, 0.0)),
        Text((10.0, 240.0), "Deck ⌀24 ½″", weight="bold"),
    ]
    for hole in ((60.0, 70.0), (110.0, 75.0)):
        marks += [Circle(hole, 14.0, operation=BORE), CentreMark(hole, 14.0)]
    marks += ordinates(outline, xs=[Ordinate(60, "60.0"), Ordinate(110, "110.0")], scale=0.2)
    return Drawing("Deck, back face", tuple(marks), scale=0.2)


if __name__ == "__main__":
    sys.stdout.buffer.write(write_dxf(panel()))
