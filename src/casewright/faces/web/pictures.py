"""Pictures of our own for the start page and for measuring: plain strokes, colors from the theme."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape


def measure_picture(kind: str) -> str:
    """What to measure on a part of this kind, and from where; "" where its edges tell."""
    return MEASURE_PICTURES.get({"trackball": "lever"}.get(kind, kind), "")


def _svg(view: str, body: str, label: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view}" role="img" aria-label="{escape(label)}" fill="none" '
        f'stroke="var(--ink)" stroke-width="2" stroke-linejoin="round" stroke-linecap="round">{body}</svg>'
    )


_WOOD = 'fill="var(--fill-wood)"'
_PART = 'fill="var(--fill-part)"'
_LIT = 'fill="var(--fill-lit)"'
_BLUE = 'stroke="var(--accent)"'


def _profile(outline: str, extra: str, label: str) -> str:
    return _svg(
        "0 0 160 130",
        f'<path d="M4 122H156" stroke="var(--faint)"/><path d="{outline}" {_WOOD}/>{extra}',
        label,
    )


RECIPE_PICTURES: Mapping[str, str] = {
    "tabletop": _profile(
        "M30 122H128V22H96L90 44L110 51L86 92L30 101Z",
        f'<path d="M106 55L88 90" {_BLUE} stroke-width="5"/><path d="M58 96V84"/><circle cx="58" cy="80" r="5" {_PART}/>'
        f'<path d="M70 94v-4h7v3" {_PART}/><path d="M93 24L89 42" stroke="var(--caution)" stroke-width="4"/>',
        "A cabinet on a table: deck, sloped screen, lit header",
    ),
    "standing": _profile(
        "M52 122H112V8H92L80 58L42 66L46 76L56 78Z",
        f'<path d="M90 14L81 54" {_BLUE} stroke-width="5"/><path d="M58 62V53"/><circle cx="58" cy="50" r="4" {_PART}/>',
        "A console on the floor",
    ),
    "lap": _profile(
        "M22 122H138V100L22 108Z",
        f'<path d="M52 105V92"/><circle cx="52" cy="88" r="5.5" {_PART}/><path d="M78 103v-4h9v3.5M98 102v-4h9v3.5" {_PART}/>',
        "Controls only: a wedge for the lap or a table",
    ),
    "box": _profile(
        "M46 122H114V24H46Z",
        '<path d="M46 54h-5v38h5"/><path d="M46 58l14 6v18l-14 6" fill="var(--fill-part)"/><path d="M60 66h10v14H60"/>',
        "A loudspeaker or equipment box",
    ),
    "outline": _profile(
        "M32 122H116V54H84L32 96Z",
        "".join(
            f'<circle cx="{x}" cy="{y}" r="4.5" fill="var(--sheet)" {_BLUE}/>'
            for x, y in ((32, 122), (116, 122), (116, 54), (84, 54), (32, 96))
        ),
        "A free outline: draw the side view yourself",
    ),
}

RECIPE_WORDS: Mapping[str, tuple[str, str]] = {
    "tabletop": (
        "On a table",
        "Deck, sloped screen and lit header; sizes follow from your parts and your eyes.",
    ),
    "standing": ("Standing", "On the floor, for standing people; knees can have room below."),
    "lap": ("Lap or table wedge", "Controls only, for a display elsewhere."),
    "box": ("Box", "For loudspeakers or equipment; give the liters, it finds the depth."),
    "outline": ("Free outline", "Start from a small sloped case and move its corners."),
}


def _dim(
    x1: float, y1: float, x2: float, y2: float, words: str, *, dx: float = 0, dy: float = -5
) -> str:
    level = abs(y2 - y1) < 1
    tick = "M{x} {a}v8" if level else "M{a} {y}h8"
    ends = (
        tick.format(x=x1, a=y1 - 4) + tick.format(x=x2, a=y2 - 4)
        if level
        else tick.format(y=y1, a=x1 - 4) + tick.format(y=y2, a=x2 - 4)
    )
    mx, my = (x1 + x2) / 2 + dx, (y1 + y2) / 2 + dy
    anchor = "middle" if level else "start"
    return (
        f'<g {_BLUE} stroke-width="1.3"><path d="M{x1} {y1}L{x2} {y2}{ends}"/></g>'
        f'<text x="{mx}" y="{my}" text-anchor="{anchor}" fill="var(--accent)" stroke="none" font-size="10">{escape(words)}</text>'
    )


def _panel(
    y: float, left: float = 20, right: float = 220, hole: tuple[float, float] = (0, 0)
) -> str:
    a, b = hole
    if not b:
        return f'<path d="M{left} {y}H{right}V{y + 14}H{left}Z" {_WOOD}/>'
    return f'<path d="M{left} {y}H{a}V{y + 14}H{left}ZM{b} {y}H{right}V{y + 14}H{b}Z" {_WOOD}/>'


def _words(x: float, y: float, words: str, anchor: str = "middle") -> str:
    return f'<text x="{x}" y="{y}" text-anchor="{anchor}" fill="var(--graphite)" stroke="none" font-size="9.5">{escape(words)}</text>'


def _turned(x: float, y: float, words: str) -> str:
    """Words along an upright dimension, read from the right."""
    return (
        f'<text transform="translate({x} {y}) rotate(-90)" text-anchor="middle" fill="var(--accent)" '
        f'stroke="none" font-size="10">{escape(words)}</text>'
    )


MEASURE_PICTURES: Mapping[str, str] = {
    "display": _svg(
        "0 0 250 200",
        f'<rect x="30" y="34" width="180" height="120" rx="4" {_PART}/><rect x="40" y="42" width="160" height="92" {_LIT}/>'
        + _dim(30, 22, 210, 22, "housing width")
        + _dim(40, 88, 200, 88, "lit width, screen on")
        + _dim(226, 34, 226, 154, "", dx=0)
        + _turned(240, 94, "housing height")
        + _dim(30, 168, 40, 168, "bezel left", dx=18, dy=14)
        + _dim(120, 134, 120, 154, "bezel bottom", dx=6, dy=4)
        + _words(
            120, 196, "seen from the front; always from the housing's edge to the first lit dot"
        ),
        "Where to measure a display",
    ),
    "button": _svg(
        "0 0 250 200",
        _panel(70, hole=(92, 148))
        + f'<path d="M82 70V64H158V70Z" {_PART}/><path d="M96 64V54H144V64Z" {_LIT}/><path d="M92 70H148V128H92Z" {_PART}/>'
        f'<path d="M84 90H92V98H84ZM148 90H156V98H148Z" {_PART}/><path d="M106 128v14M134 128v14"/>'
        + _dim(82, 44, 158, 44, "rim (bezel)")
        + _dim(92, 158, 148, 158, "hole", dy=13)
        + _dim(176, 64, 176, 142, "behind the show face", dx=6, dy=2)
        + _dim(68, 90, 68, 98, "nut", dx=-24, dy=3),
        "Where to measure a push button",
    ),
    "lever": _svg(
        "0 0 250 220",
        _panel(90, hole=(104, 136))
        + f'<circle cx="120" cy="34" r="15" {_PART}/><path d="M116 48V116H124V48Z" {_PART}/><path d="M88 86H152" stroke-width="4"/>'
        f'<path d="M72 104H168V108H72Z" {_PART}/><path d="M84 108H156V170H84Z" {_PART}/>'
        + _dim(72, 196, 168, 196, "base plate", dy=13)
        + _dim(182, 104, 182, 170, "body depth", dx=7, dy=4)
        + _dim(44, 104, 44, 118, "pivot", dx=-26, dy=4)
        + '<path d="M38 118H120" stroke-dasharray="5 3" stroke-width="1" stroke="var(--accent)"/>'
        + _dim(182, 49, 182, 104, "ball over plate", dx=7, dy=-4)
        + _dim(88, 78, 152, 78, "dust washer", dx=-100, dy=4),
        "Where to measure a joystick, from its plate's mounting face",
    ),
    "speaker": _svg(
        "0 0 250 190",
        _panel(50, hole=(72, 168))
        + f'<path d="M56 64H184V69H56Z" {_PART}/><path d="M74 69L96 106H144L166 69Z" {_PART}/><path d="M94 106H146V130H94Z" {_PART}/>'
        + _dim(72, 40, 168, 40, "cut-out")
        + _dim(56, 150, 184, 150, "frame", dy=13)
        + _dim(200, 64, 200, 130, "depth", dx=6, dy=4)
        + _dim(94, 138, 146, 138, "magnet", dx=62, dy=4),
        "Where to measure a loudspeaker",
    ),
    "port": _svg(
        "0 0 250 180",
        _panel(62, hole=(92, 148))
        + f'<path d="M92 62H98V134H92Z" {_PART}/><path d="M142 62H148V134H142Z" {_PART}/>'
        + _dim(98, 44, 142, 44, "width, inside")
        + _dim(142, 150, 148, 150, "wall", dx=30, dy=4)
        + _dim(176, 62, 176, 134, "length, panel included", dx=6, dy=2),
        "Where to measure the port of a loudspeaker's box",
    ),
    "fitting": _svg(
        "0 0 250 180",
        _panel(62, hole=(96, 144))
        + f'<path d="M84 62V57H156V62Z" {_PART}/><path d="M96 62H144V120H96Z" {_PART}/><path d="M110 57V40H130V57" stroke-dasharray="4 3"/>'
        + _dim(84, 30, 156, 30, "flange")
        + _dim(96, 140, 144, 140, "hole or cut-out", dy=13)
        + _dim(170, 57, 170, 120, "behind, plugs included", dx=6, dy=2),
        "Where to measure a socket, switch or jack",
    ),
    "device": _svg(
        "0 0 250 170",
        f'<rect x="40" y="40" width="140" height="84" rx="3" {_PART}/>'
        + "".join(f'<circle cx="{x}" cy="{y}" r="4"/>' for x in (54, 166) for y in (54, 110))
        + f'<path d="M180 60h18v18h-18z" {_LIT}/>'
        + _dim(40, 28, 180, 28, "width")
        + _dim(54, 82, 166, 82, "mounting holes")
        + _dim(28, 40, 28, 124, "height", dx=-24, dy=-48)
        + _dim(180, 140, 222, 140, "room for plugs", dx=-16, dy=14),
        "Where to measure a board or a box",
    ),
    "fan": _svg(
        "0 0 250 170",
        f'<rect x="60" y="30" width="110" height="110" rx="8" {_PART}/><circle cx="115" cy="85" r="49"/><circle cx="115" cy="85" r="16"/>'
        + "".join(f'<circle cx="{x}" cy="{y}" r="4"/>' for x in (72, 158) for y in (42, 128))
        + _dim(60, 20, 170, 20, "size")
        + _dim(72, 152, 158, 152, "between screw holes", dy=13)
        + _dim(66, 85, 164, 85, "opening", dy=-20),
        "Where to measure a fan",
    ),
    "dial": _svg(
        "0 0 250 170",
        _panel(70, hole=(112, 128))
        + f'<path d="M96 60V40H144V60Z" {_PART}/><path d="M112 60H128V94H112Z" {_PART}/><path d="M92 94H148V130H92Z" {_PART}/><path d="M104 62H136V68H104Z" {_PART}/>'
        + _dim(96, 32, 144, 32, "knob")
        + _dim(166, 62, 166, 94, "thread from its seat", dx=6, dy=4)
        + _dim(92, 146, 148, 146, "body", dy=13),
        "Where to measure a rotary control",
    ),
}
"""By kind of part; kinds without a picture are measured along their edges."""


__all__ = ["MEASURE_PICTURES", "RECIPE_PICTURES", "RECIPE_WORDS", "measure_picture"]
