"""Labels for pieces of the stock: to print, cut apart and fix to the piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files

import segno

from casewright.assets import FONT_FAMILY
from casewright.basics.errors import InputError
from casewright.outputs.documents.tiles import Paper
from casewright.outputs.documents.typesetting import Script

WIDTH, HEIGHT = 95.0, 46.0
"""Of a label. [mm]"""
LEAST_EDGE = 10.0
"""White along the paper's edges. [mm]"""
MOST = 500
"""Labels in one file."""
_PICTURE = 22.0, 13.0
"""Room for the piece's picture. [mm]"""


@dataclass(frozen=True)
class Label:
    """What stands on one label."""

    mark: str
    name: str
    """What it is: the material."""
    size: str = ""
    """Length × width × thickness, as people read it."""
    lines: tuple[str, ...] = ()
    """Place and more, one under the other."""
    holds: str = ""
    """What the square code holds."""
    sides: tuple[float, float] | None = None
    """Length and width of a board, for its picture. [mm]"""
    grain: bool = False
    """Whether the grain runs along its length."""


def label_script(labels: Sequence[Label], paper: Paper) -> Script:
    """Return the sheet of labels, before it is set; the same labels, the same bytes.

    Args:
        labels: In the order they are printed.
        paper: The sheets in the printer.

    Raises:
        InputError: There are no labels, or too many for one file.
    """
    if not 0 < len(labels) <= MOST:
        raise InputError("labels", got=len(labels), want=f"1 to {MOST} labels in one file")
    columns = int((paper.width - 2 * LEAST_EDGE) // WIDTH)
    rows = int((paper.height - 2 * LEAST_EDGE) // HEIGHT)
    pictures: dict[str, bytes] = {}
    told = []
    for number, label in enumerate(labels):
        code, piece = f"code{number}.svg", f"piece{number}.svg" if label.sides else ""
        pictures[code] = code_svg(label.holds or label.mark).encode()
        if label.sides:
            pictures[piece] = piece_svg(*label.sides, grain=label.grain).encode()
        told.append(
            {
                "mark": label.mark,
                "name": label.name,
                "size": label.size,
                "lines": list(label.lines),
                "code": code,
                "holds": label.holds or label.mark,
                "piece": piece,
                "piece-words": "grain" if label.grain else "no grain",
            }
        )
    data = {
        "title": "Labels of the stock",
        "font": FONT_FAMILY,
        "page": {
            "width": paper.width,
            "height": paper.height,
            "side": (paper.width - columns * WIDTH) / 2,
            "top": (paper.height - rows * HEIGHT) / 2,
        },
        "label": {"width": WIDTH, "height": HEIGHT},
        "columns": columns,
        "labels": told,
    }
    source = files(__package__).joinpath("labels.typ").read_bytes()
    return Script(source, data, pictures)


def code_svg(text: str) -> str:
    """A square code by ISO/IEC 18004, with its quiet zone of four squares, one millimeter a square."""
    code = segno.make(text, error="m", micro=False)
    rows = [bytes(row) for row in code.matrix]
    side = len(rows) + 8
    path = "".join(
        f"M{x + 4} {y + 4}h1v1h-1z" for y, row in enumerate(rows) for x, on in enumerate(row) if on
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}mm" height="{side}mm" '
        f'viewBox="0 0 {side} {side}"><path d="{path}" fill="#1e2328"/></svg>\n'
    )


def piece_svg(length: float, width: float, *, grain: bool) -> str:
    """A board in its proportions, its length across the picture, with an arrow along its grain. [mm]"""
    across, up = _PICTURE
    scale = min((across - 1) / length, (up - 1) / width)
    long, short = length * scale, max(width * scale, 1.2)
    x, y = (across - long) / 2, (up - short) / 2
    body = f'<rect x="{x:.2f}" y="{y:.2f}" width="{long:.2f}" height="{short:.2f}" fill="#f3e7cf" stroke-width="0.3"/>'
    if grain:
        left, right, head = x + long * 0.15, x + long * 0.85, min(1.4, short * 0.35, long * 0.2)
        middle = up / 2
        body += (
            f'<path d="M{left:.2f} {middle}H{right:.2f}M{left + head:.2f} {middle - head:.2f}L{left:.2f} {middle}'
            f"L{left + head:.2f} {middle + head:.2f}M{right - head:.2f} {middle - head:.2f}L{right:.2f} {middle}"
            f'L{right - head:.2f} {middle + head:.2f}" fill="none" stroke-width="0.35"/>'
        )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{across}mm" height="{up}mm" viewBox="0 0 {across} {up}" '
        f'stroke="#1e2328">{body}</svg>\n'
    )


__all__ = [
    "HEIGHT",
    "LEAST_EDGE",
    "MOST",
    "WIDTH",
    "Label",
    "code_svg",
    "label_script",
    "piece_svg",
]
