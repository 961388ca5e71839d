"""The picture that a display shows while it is set behind its opening: what is hidden can be counted in millimeters.

One unit of the picture is one millimeter of the lit area, so it must fill the display without overscan. At every edge
ladders of blocks run inward, a block a millimeter: blocks that the panel hides are the offset. Ladders near both ends
of an edge tell whether the display is turned.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape

from casewright.assets import FONT_FAMILY
from casewright.catalog.kinds import Display
from casewright.geometry.display_face import display_face
from casewright.geometry.model import Cabinet
from casewright.outputs.documents.typesetting import Script
from casewright.outputs.drawings.lettering import one_line

BLOCKS = 20
"""Of a ladder, each 1 mm."""
BLOCK_WIDTH = 5.0
"""[mm]"""
NUMBERED = 5
"""Blocks from number to number."""
CORNER = 40.0
"""From a corner to the middle of the ladder nearest to it. [mm]"""
BESIDE = 14.0
"""From the centre line to the ladder beside it. [mm]"""
PIXELS = 1920
"""Along the longer side of the picture as PNG."""
LETTER = 4.0
STROKE = 0.4
"""Width of a line: more than a pixel of usual displays. [mm]"""
GROUND, LINE, CENTRE = "#000000", "#ffffff", "#59c8ff"
_PAGE = b"""#let data = json(bytes(sys.inputs.data))
#set page(width: data.width * 1pt, height: data.height * 1pt, margin: 0mm)
#set text(font: data.font)
#image("picture.svg", width: data.width * 1pt, height: data.height * 1pt)
"""


def adjusting_pictures(cabinet: Cabinet) -> Mapping[str, bytes]:
    """A picture for every display, as SVG and as PNG, by file name. Same cabinet, same bytes."""
    files: dict[str, bytes] = {}
    for placed in cabinet.placed:
        data = placed.part.data
        if not isinstance(data, Display):
            continue
        lit = display_face(data, placed.turn_deg).lit
        svg = adjusting_svg(lit.width, lit.height, placed.label).encode()
        name = picture_name(placed.key)
        files[f"{name}.svg"] = svg
        files[f"{name}.png"] = _png(svg, lit.width, lit.height)
    return files


def picture_name(display: str) -> str:
    """Its file's name without the ending.

    Example:
        >>> picture_name("display")
        'test-picture-display'
    """
    return f"test-picture-{display}"


def adjusting_svg(width: float, height: float, label: str = "") -> str:
    """The picture of a lit area.

    Args:
        width: Of the lit area as it stands. [mm]
        height: The same. [mm]
        label: What the display is called.

    Returns:
        An SVG file that fills the window it is shown in; its viewBox is in millimeters of the lit area.
    """
    marks = "".join(_marks(width, height, label))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="100%" height="100%" viewBox="0 0 {_n(width)} {_n(height)}" '
        f'preserveAspectRatio="xMidYMid meet" font-family="{FONT_FAMILY}, sans-serif" fill="none" '
        'shape-rendering="crispEdges">'
        f'<rect width="{_n(width)}" height="{_n(height)}" fill="{GROUND}"/>{marks}</svg>\n'
    )


def _marks(width: float, height: float, label: str) -> Iterator[str]:
    # The border stands wholly inside the lit area.
    yield (
        f'<rect x="0.25" y="0.25" width="{_n(width - 0.5)}" height="{_n(height - 0.5)}" stroke="{LINE}" '
        'stroke-width="0.5"/>'
    )
    yield from _centre(width, height)
    for side in ("left", "right", "top", "bottom"):
        length = height if side in ("left", "right") else width
        for along in places(length):
            yield from _ladder(side, along, width, height)
    yield from _words(width, height, label)


def places(length: float) -> tuple[float, ...]:
    """Where ladders stand along an edge, from its start: near both ends, and beside the centre line. [mm]

    Example:
        >>> places(300.0), places(90.0)
        ((40.0, 164.0, 260.0), (59.0,))
    """
    middle = length / 2 + BESIDE
    if length < 2 * CORNER + 2 * BESIDE + 4 * BLOCK_WIDTH:
        return (middle,)
    return (CORNER, middle, length - CORNER)


def _ladder(side: str, along: float, width: float, height: float) -> Iterator[str]:
    """Blocks inward from an edge, every second one bright, the first the outermost; numbered every fifth."""
    deep = min(BLOCKS, int(min(width, height) / 2) - 1)
    for block in range(0, deep, 2):
        x, y, w, h = _spot(side, along, block, width, height)
        yield f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(w)}" height="{_n(h)}" fill="{LINE}"/>'
    for number in range(NUMBERED, deep + 1, NUMBERED):
        x, y, w, h = _spot(side, along, number, width, height)
        if side in ("left", "right"):
            x += w if side == "right" else 0.0
            tick = (x, y - 2.0, x, y + h + 2.0)
            at = (x, y - 3.0)
        else:
            y += h if side == "bottom" else 0.0
            tick = (x - 2.0, y, x + w + 2.0, y)
            at = (x + w + 2.5 + LETTER * 0.7, y + LETTER * 0.36)
        yield _line(*tick, LINE)
        yield _text(*at, str(number), LETTER * (0.8 if side in ("left", "right") else 1.0))


def _spot(
    side: str, along: float, block: int, width: float, height: float
) -> tuple[float, float, float, float]:
    """Left, top, width and height of a block of a ladder."""
    half = BLOCK_WIDTH / 2
    if side == "left":
        return (block, along - half, 1.0, BLOCK_WIDTH)
    if side == "right":
        return (width - block - 1, along - half, 1.0, BLOCK_WIDTH)
    if side == "top":
        return (along - half, block, BLOCK_WIDTH, 1.0)
    return (along - half, height - block - 1, BLOCK_WIDTH, 1.0)


def _centre(width: float, height: float) -> Iterator[str]:
    """Centre lines with a ruler from the middle outward: strokes every 10 mm, numbers every 50."""
    cx, cy = width / 2, height / 2
    # In dashes from the middle outward; some programs leave out a hair as long as the picture.
    for start in range(-int(cx // 10) - 1, int(cx // 10) + 1):
        low, high = max(0.0, cx + 10 * start + 1), min(width, cx + 10 * start + 9)
        if high > low:
            yield _line(low, cy, high, cy, CENTRE)
    for start in range(-int(cy // 10) - 1, int(cy // 10) + 1):
        low, high = max(0.0, cy + 10 * start + 1), min(height, cy + 10 * start + 9)
        if high > low:
            yield _line(cx, low, cx, high, CENTRE)
    for step in range(1, int(max(cx, cy) // 10) + 1):
        off, long = 10.0 * step, 4.0 if step % 5 == 0 else 2.0
        for sign in (-1, 1):
            if off < cx - BLOCKS - 4:
                yield _line(cx + sign * off, cy - long, cx + sign * off, cy + long, CENTRE)
                if step % 5 == 0:
                    yield _text(cx + sign * off, cy + long + LETTER + 0.5, f"{off:g}", LETTER)
            if off < cy - BLOCKS - 4:
                yield _line(cx - long, cy + sign * off, cx + long, cy + sign * off, CENTRE)
                if step % 5 == 0:
                    yield _text(
                        cx - long - LETTER - 1, cy + sign * off + LETTER * 0.36, f"{off:g}", LETTER
                    )


def _words(width: float, height: float, label: str) -> Iterator[str]:
    """In the upper left quarter, clear of the rulers."""
    size = min(6.0, width / 75, height / 40)
    lines = (
        "▲ UP",
        one_line(label)[:40],
        f"lit area {width:.1f} × {height:.1f} mm, a block is 1 mm",
        "Fill the display, overscan off.",
        "Count the hidden blocks at each edge.",
    )
    for row, words in enumerate(lines):
        yield _text(width * 0.27, height * 0.27 + (row - 2) * 1.7 * size, words, size)


def _line(x1: float, y1: float, x2: float, y2: float, color: str) -> str:
    """An upright or level line as an area: some programs leave out strokes whose box has no width."""
    half = STROKE / 2
    return (
        f'<rect x="{_n(min(x1, x2) - half)}" y="{_n(min(y1, y2) - half)}" '
        f'width="{_n(abs(x2 - x1) + STROKE)}" height="{_n(abs(y2 - y1) + STROKE)}" fill="{color}"/>'
    )


def _text(x: float, y: float, words: str, size: float) -> str:
    """Words about `size` high, their middle over x."""
    return (
        f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" text-anchor="middle" fill="{LINE}">'
        f"{escape(words, quote=False)}</text>"
    )


def _n(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _png(svg: bytes, width: float, height: float) -> bytes:
    """The picture in pixels. It is given its size in pixels before, so that it is not scaled once more."""
    scale = PIXELS / max(width, height)
    wide, high = round(width * scale), round(height * scale)
    sized = svg.replace(
        b'width="100%" height="100%"', f'width="{wide}" height="{high}"'.encode(), 1
    ).replace(b"xMidYMid meet", b"none", 1)
    page = {"width": wide, "height": high, "font": FONT_FAMILY}
    return Script(_PAGE, page, {"picture.svg": sized}).png(72.0)


__all__ = ["PIXELS", "adjusting_pictures", "adjusting_svg", "picture_name", "places"]
