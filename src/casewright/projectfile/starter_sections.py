"""The parts of a new project file, written for a maker to read and change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from casewright.basics.units import LengthStyle, Unit, format_length

SHOULDERS = 483.0
"""From player to player: a shoulder's breadth, 479.5, and a little. [mm]

Source: ansur-ii, middle of men's and women's 50th percentile.
"""

LEVER_TO_BUTTON = 70.0
"""From a lever to the first button beside it: the ball at full tilt and a finger. [mm] Source: common practice."""

ARC = (0.0, 16.0, 16.0, 0.0)
"""How far up each of four buttons stands, for relaxed fingers. [mm] Source: common practice."""


@dataclass(frozen=True)
class Writer:
    """Writes design lengths as a maker would in his unit: whole millimeters, or eighths of an inch."""

    unit: Unit

    def __call__(self, length: float) -> str:
        """A length for the file, without its unit. [mm]"""
        if self.unit == "in":
            eighths = round(length / 25.4 * 8) / 8 * 25.4
            return format_length(eighths, LengthStyle("in", denominator=16), with_unit=False)
        digits = {"mm": 0, "cm": 1, "m": 3}[self.unit]
        return f"{round(length) / {'mm': 1, 'cm': 10, 'm': 1000}[self.unit]:.{digits}f}"

    def either(self, metric: float, inches: str) -> str:
        """A trade size: one that is sold in millimeters, or one that is sold in inches."""
        return inches if self.unit == "in" else self(metric)


SHALLOW = 300.0
"""No base of a tabletop or a console is less deep. [mm]"""


FED_BY_ONE_END = 1.5
"""Longest strip of the usual kind that is bright to its end though fed from one side. [m] Source: common practice."""

BRIGHT = 2.8
"""Longest strip that is not better taken at half the power. [m] Source: common practice."""

MARGIN = 1.25
"""A supply gives a quarter more than all peaks on it. Source: common practice, as the power table has it."""


@dataclass(frozen=True)
class Feeding:
    """What draws, and which supplies there are."""

    display_volts: float
    """Of the display; 0 where it runs from mains by itself."""
    display_w: float
    """Most that it draws."""
    others_w: float
    """Most that computer and amplifier draw, as their converter's losses have it."""
    strip_w_per_m: float
    supplies: Mapping[float, Sequence[tuple[float, str]]]
    """(what it gives [W], catalog type) by voltage, the smallest first."""

    def supply(self, volts: float, watts: float, *, least: str = "") -> str:
        """The smallest supply of the catalog that leaves the margin; the largest where none does, "" where none is.

        Args:
            volts: Of its output.
            watts: All peaks on it.
            least: Catalog type that it is at least.
        """
        given = self.supplies.get(volts, ())
        start = next((n for n, (_, key) in enumerate(given) if key == least), 0)
        fits = [key for gives, key in given[start:] if gives >= watts * MARGIN - 1e-6]
        return (fits or [key for _, key in given[-1:]] or [""])[0]


@dataclass(frozen=True)
class Sections:
    """The sections of a file, for one set of options."""

    length: Writer
    display_type: str
    screen: float | None
    """Width of the display's housing as it stands; None where the recipe has no screen. [mm]"""
    pattern: tuple[float, float]
    """Rear mounting holes of the display: distance up as it lies, and as it stands upright. [mm]"""
    players: int
    buttons: int
    overall: float | None
    """Width over both sides, where it is wished for. [mm]"""
    base: float
    """Depth of the base. [mm]"""
    feeding: Feeding
    """What the supplies are chosen by."""

    # ---- sections ----------------------------------------------------------------------------------------------------

    def site(self, on: str, height: str) -> list[str]:
        """What it stands on."""
        return ["site:", f"  on: {on}", f"  height: {height}  # of its top over the floor", ""]

    def people(self, posture: str) -> list[str]:
        """One usual person for each player."""
        rows = [
            "# Who uses it. Usual body sizes are taken where eye, elbow and distance are not given.",
            "people:",
        ]
        for i in range(self.players):
            rows.append(f"  - {{label: player {i + 1}, posture: {posture}}}")
        return [*rows, ""]

    def stock(self) -> list[str]:
        """Boards, battens, shop."""
        n = self.length
        return [
            "# Thicknesses: the name it is sold by, and what calipers find at three or four places.",
            "materials:",
            "  board:",
            "    kind: plywood",
            "    species: plywood-birch",
            f"    nominal: {n.either(12, '1/2')}",
            f"    # measured: {n.either(12, '15/32')}",
            "    grain: length",
            f"    sheets: [{{length: {n.either(2440, '96')}, width: {n.either(1220, '48')}}}]",
            "  side-board:",
            "    kind: plywood",
            "    species: plywood-birch",
            f"    nominal: {n.either(18, '3/4')}",
            f"    # measured: {n.either(18, '23/32')}",
            "    grain: length",
            f"    sheets: [{{length: {n.either(2440, '96')}, width: {n.either(1220, '48')}}}]",
            "",
            f"batten: {{width: {n.either(20, '3/4')}, height: {n.either(20, '3/4')}}}",
            "",
            "# What the shop has; holes and corners are chosen from it.",
            "shop:",
            f"  kerf: {n.either(3, '1/8')}",
            "  tilt_most: 45",
            "  bits:",
            *self.bits(),
            f"  paper: {'Letter' if n.unit == 'in' else 'A4'}",
            "",
        ]

    def bits(self) -> list[str]:
        """Drills and router bits."""
        if self.length.unit == "in":
            return [
                "    - {kind: brad, sizes: [1/16, 5/64, 3/32, 1/8, 5/32, 3/16, 7/32, 1/4, 5/16, 3/8]}",
                "    - {kind: forstner, sizes: [5/8, 3/4, 7/8, 15/16, 1, 1 1/8, 1 1/4, 1 3/8]}",
                "    - {kind: hole saw, sizes: [2, 2 3/8, 3, 4 5/8]}",
                "    - {kind: straight, sizes: [1/4], length: 1}",
                "    - {kind: flush trim, sizes: [1/2], length: 1}",
                "    - {kind: chamfer, sizes: [1/2]}",
            ]
        scale = self.length
        brad = ", ".join(_number(x, scale.unit) for x in (2, 2.5, 3, 3.5, 4, 4.5, 5, 6, 7, 8, 10))
        forstner = ", ".join(_number(x, scale.unit) for x in (15, 16, 20, 24, 28, 30, 35))
        saw = ", ".join(_number(x, scale.unit) for x in (51, 60, 76, 118))
        return [
            f"    - {{kind: brad, sizes: [{brad}]}}",
            f"    - {{kind: forstner, sizes: [{forstner}]}}",
            f"    - {{kind: hole saw, sizes: [{saw}]}}",
            f"    - {{kind: straight, sizes: [{_number(8, scale.unit)}], length: {_number(25, scale.unit)}}}",
            f"    - {{kind: flush trim, sizes: [{_number(12.7, scale.unit)}], length: {_number(25, scale.unit)}}}",
            f"    - {{kind: chamfer, sizes: [{_number(12, scale.unit)}]}}",
        ]

    def width(self) -> list[str]:
        """The width, or where it comes from."""
        if self.overall is None:
            return ["  # width: over both sides; worked out from players, display and parts"]
        return [f"  width: {self.length(self.overall)}  # over both sides"]

    def display(self, panel: str, *, turn: int = 0) -> list[str]:
        """A display on a panel, with a bar that covers its mounting holes."""
        turned = f", turn: {turn}" if turn else ""
        pattern = self.pattern[1 if turn else 0]
        if pattern > 100:  # the usual bar, 120 wide, would not cover the mounting holes
            turned += f", hold: {{bar_width: {self.length(pattern + 60)}}}"
        return [
            "  display:",
            f"    type: {self.display_type}",
            "    # measured: {lit_width: ..., lit_height: ..., housing_width: ..., housing_height: ...}",
            "    placed:",
            f"      - {{key: display, on: {panel}{turned}}}",
        ]

    def controls(self) -> Iterator[str]:
        """Levers and buttons; the first player's are given, the others follow them."""
        n = self.length
        pitch = self.pitch()
        first = -pitch * (self.players - 1) / 2
        rows = [self.buttons] if self.buttons <= 4 else [(self.buttons + 1) // 2, self.buttons // 2]
        across = 42.0 if n.unit != "in" else 44.45
        span = LEVER_TO_BUTTON + (max(rows[0], 1) - 1) * across if self.buttons else 0.0
        yield "  # u is left out: a control stands in the middle of the deck, moved by du. v is from the front edge."
        yield "  lever:"
        yield "    type: lever-ball"
        yield "    placed:"
        yield (
            f"      - {{key: p1-lever, on: deck, du: {n(first - span / 2)}, v: {n.either(125, '5')}, player: 1}}"
        )
        yield from self.others("lever", pitch)
        if not self.buttons:
            return
        yield "  button:"
        yield f"    type: {self.button_type()}"
        yield "    placed:"
        number = 0
        low = 120.0 if len(rows) == 1 else 140.0
        for row, count in enumerate(rows):
            for column in range(count):
                number += 1
                du = first - span / 2 + LEVER_TO_BUTTON + column * across
                v = low - row * across + ARC[column]
                yield (
                    f"      - {{key: p1-b{number}, on: deck, du: {n(du)}, v: {n(v)}, player: 1}}"
                )
        for number in range(1, self.buttons + 1):
            yield from self.others(f"b{number}", pitch)

    def others(self, control: str, pitch: float) -> Iterator[str]:
        """The same control for every further player, a pitch further on."""
        for player in range(2, self.players + 1):
            yield (
                f"      - {{key: p{player}-{control}, on: deck, like: p{player - 1}-{control}, "
                f"du: {self.length(pitch)}, player: {player}}}"
            )

    def speakers(
        self, type_key: str, panel: str, beside: float, up: float | None = None
    ) -> list[str]:
        """A pair of loudspeakers. [mm]"""
        n = self.length
        height = "" if up is None else f", v: {n(up)}"
        return [
            "  speaker:",
            f"    type: {type_key}",
            "    placed:",
            f"      - {{key: speaker-left, on: {panel}, du: {n(-beside)}{height}}}",
            f"      - {{key: speaker-right, on: {panel}, du: {n(beside)}{height}}}",
        ]

    def sign(self, panel: str) -> list[str]:
        """A lit sign and its strip."""
        n = self.length
        opening, units = self.wide() - 160, self.lit_units()
        return [
            "  sign:",
            "    kind: sign",
            "    label: lit sign",
            "    assumed:",
            f"      opening_width: {n(opening)}",
            f"      opening_height: {n.either(64, '2 1/2')}",
            f"      row_length: {units * 50} mm  # whole cut units of the strip",
            *(
                ["      feed: both ends  # a long strip dims toward its far end"]
                if self.lit_metres() > FED_BY_ONE_END
                else []
            ),
            "    placed:",
            f"      - {{key: sign, on: {panel}}}",
            "  strip:",
            f"    type: {'strip-white-12v-low' if self.lit_metres() > BRIGHT else 'strip-white-12v'}",
        ]

    def electronics(self, panel: str) -> list[str]:
        """Computer, controller, amplifier, converter; the supply stays outside."""
        n = self.length
        return [
            "  computer:",
            "    type: computer-board",
            "    placed:",
            f"      - {{key: computer, on: {panel}, du: {n(-120)}, v: {n(self.base - 110)}}}",
            "  controller:",
            "    type: controller-board",
            "    placed:",
            f"      - {{key: controller, on: {panel}, du: {n(0)}, v: {n(self.base - 110)}}}",
            "  amplifier:",
            "    type: amplifier-2x10",
            "    placed:",
            f"      - {{key: amplifier, on: {panel}, du: {n(120)}, v: {n(self.base - 110)}}}",
            "  converter:",
            "    type: converter-12-5  # 5 V for computer and controller",
            "    placed:",
            f"      - {{key: converter, on: back, du: {n(100)}, v: {n(130)}}}",
            "  supply:",
            f"    type: {self.supply()}  # bought, certified, outside the cabinet",
            *self.display_supply(),
        ]

    def supply(self) -> str:
        """Catalog type of the 12 V supply: for boards and sign, and for the display where it runs from 12 V too."""
        f = self.feeding
        lit = self.lit_metres() * f.strip_w_per_m
        shown = f.display_w if f.display_volts == 12 else 0.0
        return f.supply(12, f.others_w + lit + shown, least="supply-12-10")

    def display_supply(self) -> list[str]:
        """A supply of its own for a display of another voltage, and the hole that its lead comes in by."""
        f = self.feeding
        if f.display_volts in (0, 12):
            return []
        n = self.length
        return [
            "  display-supply:",
            f"    type: {f.supply(f.display_volts, f.display_w)}  # the display's own, outside the cabinet",
            "  grommet:",
            "    type: grommet-60  # the lead of that supply comes in here, its plug on",
            "    fed_by: display-supply",
            "    placed:",
            f"      - {{key: grommet, on: back, du: {n(-100)}, v: {n(110)}}}",
        ]

    def back_socket(self, panel: str, up: float) -> list[str]:
        """The low-voltage socket that the supply plugs in. [mm]"""
        return [
            "  socket:",
            "    type: socket-4-pole",
            "    placed:",
            f"      - {{key: socket, on: {panel}, v: {self.length(up)}}}",
        ]

    def feet(self, rear: float, width: float | None = None) -> list[str]:
        """Four feet. [mm]"""
        n = self.length
        beside = (width or self.wide()) / 2 - 60
        rows = ["  foot:", "    type: foot-rubber-20", "    placed:"]
        for name, side in (("left", -1), ("right", 1)):
            rows.append(
                f"      - {{key: foot-front-{name}, on: base, du: {n(side * beside)}, v: {n(50)}}}"
            )
            rows.append(
                f"      - {{key: foot-rear-{name}, on: base, du: {n(side * beside)}, v: {n(rear)}}}"
            )
        return rows

    # ---- sizes to lay things out by ----------------------------------------------------------------------------------

    def button_type(self) -> str:
        """Catalog type of the buttons, whose hole a bit in the unit fits."""
        return "button-28-long" if self.length.unit == "in" else "button-30-screw"

    def lit_units(self) -> int:
        """Cut units of 50 mm in one row behind the sign."""
        return max(int((self.wide() - 160 - 20) // 50), 1)

    def lit_metres(self) -> float:
        """Of strip behind the sign, two rows of 50 mm units. [m]"""
        return 2 * self.lit_units() * 0.05

    def pitch(self) -> float:
        """From player to player. [mm]"""
        return SHOULDERS if self.overall is None else self.overall / self.players

    def wide(self) -> float:
        """About how wide the cabinet is. [mm]"""
        if self.overall is not None:
            return self.overall
        people = SHOULDERS * self.players
        return people if self.screen is None else max(people, self.screen + 140)


def _number(length: float, unit: Unit) -> str:
    """A bit's size in the unit of the file, exactly. [mm]"""
    return f"{length / {'mm': 1, 'cm': 10, 'm': 1000, 'in': 25.4}[unit]:g}"


__all__ = ["BRIGHT", "FED_BY_ONE_END", "MARGIN", "SHALLOW", "Feeding", "Sections", "Writer"]
