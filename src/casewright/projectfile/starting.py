"""New project files: complete, commented, and ready to be changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal, get_args

from casewright.basics.errors import InputError
from casewright.basics.units import LengthStyle, Unit, format_length
from casewright.catalog.kinds import Display
from casewright.catalog.load import Catalog, load_catalog
from casewright.projectfile.yamlwriting import scalar_text

Recipe = Literal["tabletop", "standing", "lap", "box", "outline"]
RECIPES: tuple[str, ...] = get_args(Recipe)
"""Kinds of cabinet that a new project can be started with."""

MOST_PLAYERS = 4
MOST_BUTTONS = 8

SHOULDERS = 483.0
"""From player to player: a shoulder's breadth, 479.5, and a little. [mm]

Source: ansur-ii, middle of men's and women's 50th percentile.
"""

LEVER_TO_BUTTON = 70.0
"""From a lever to the first button beside it: the ball at full tilt and a finger. [mm] Source: common practice."""

ARC = (0.0, 16.0, 16.0, 0.0)
"""How far up each of four buttons stands, for relaxed fingers. [mm] Source: common practice."""


@dataclass(frozen=True)
class _Writer:
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


def starter_text(
    recipe: str,
    *,
    name: str,
    unit: Unit = "mm",
    display: str | None = None,
    players: int = 1,
    buttons: int = 6,
    width: float | None = None,
) -> str:
    """Return the text of a new project file.

    Args:
        recipe: "tabletop", "standing", "lap", "box" or "outline".
        name: Of the project.
        unit: Of its lengths.
        display: Catalog type of the display; a usual one if not given.
        players: Side by side, 1 to 4.
        buttons: For each player, 0 to 8.
        width: Over both sides; worked out by the recipe if not given. [mm]

    Raises:
        InputError: an unknown recipe or display, or a number out of range.
    """
    catalog = load_catalog()
    if recipe not in RECIPES:
        raise _unknown("recipe", recipe, RECIPES)
    if not 1 <= players <= MOST_PLAYERS:
        raise InputError("players", got=players, want=f"1 to {MOST_PLAYERS}", example="2")
    if not 0 <= buttons <= MOST_BUTTONS:
        raise InputError("buttons", got=buttons, want=f"0 to {MOST_BUTTONS}", example="6")
    if unit not in get_args(Unit):
        raise _unknown("unit", str(unit), get_args(Unit))
    usual = {"standing": "display-21-5"}.get(recipe, "display-23-8")
    shown = _display(display or usual, catalog)
    across = {"tabletop": shown.housing_width, "standing": shown.housing_height}.get(recipe)
    starter = _Starter(
        _Writer(unit),
        catalog,
        display or usual,
        across,
        (shown.pattern_height, shown.pattern_width),
        players,
        buttons,
        width,
    )
    head = [
        "# A casewright project. Lengths without a unit are in the project's unit;",
        "# text with its own unit is always understood: 18 mm, 3/4 in, 1' 6 1/4\".",
        "# Sizes under `assumed` are usual ones: move them to `measured` when calipers have been at them.",
        "",
        "casewright: 1",
        f"name: {scalar_text(name, in_flow=False)}",
        f"unit: {unit}",
        "",
    ]
    body = {
        "tabletop": starter.tabletop,
        "standing": starter.standing,
        "lap": starter.lap,
        "box": starter.box,
        "outline": starter.outline,
    }[recipe]()
    return "\n".join([*head, *body]).rstrip("\n") + "\n"


@dataclass(frozen=True)
class _Starter:
    """The sections of a file, for one set of options."""

    length: _Writer
    catalog: Catalog
    display_type: str
    screen: float | None
    """Width of the display's housing as it stands; None where the recipe has no screen. [mm]"""
    pattern: tuple[float, float]
    """Rear mounting holes of the display: distance up as it lies, and as it stands upright. [mm]"""
    players: int
    buttons: int
    width: float | None

    # ---- whole files -------------------------------------------------------------------------------------------------

    def tabletop(self) -> list[str]:
        """Deck, screen and lit header on a table."""
        n = self.length
        return [
            *self._site("table", n.either(740, "29")),
            *self._people("seated"),
            *self._stock(),
            "shape:",
            "  recipe: tabletop",
            *self._width(),
            "  side: {material: side-board}",
            "  board: board",
            "  deck_slope_deg: 8",
            f"  palm_room: {n.either(75, '3')}  # from the front edge to the nearest control",
            "  # Worked out from parts and people, and shown by `casewright why`; give any of them to fix it:",
            "  # deck_depth, lip_height, screen_tilt_deg, screen_length, header_height, header_overhang,",
            "  # depth, height.",
            "",
            "panels:",
            "  back: {fixing: screwed}  # comes off for service",
            "  top: {fixing: screwed}",
            "",
            "parts:",
            *self._display("screen"),
            *self._controls(),
            *self._speakers("speaker-2", "lip", self._wide() / 2 - 75),
            *self._sign("header"),
            *self._electronics("base", 60),
            *self._back_socket("back", 60),
            *self._feet(self._deep() - 50),
        ]

    def standing(self) -> list[str]:
        """A console on the floor, its display upright."""
        n = self.length
        return [
            "site:",
            "  on: floor",
            "",
            *self._people("standing"),
            *self._stock(),
            "shape:",
            "  recipe: standing",
            *self._width(),
            "  side: {material: side-board}",
            "  board: board",
            "  deck_slope_deg: 10",
            f"  palm_room: {n.either(75, '3')}",
            "  # knee_room: 480 mm  # for people in wheelchairs; ask your local code",
            "  # Worked out from parts and people; give any of them to fix it:",
            "  # deck_height, deck_depth, screen_tilt_deg, screen_length, depth, height.",
            "",
            "panels:",
            "  back: {fixing: screwed}  # comes off for service",
            "  top: {fixing: screwed}",
            "",
            "parts:",
            *self._display("screen", turn=90),
            *self._controls(),
            *self._speakers("speaker-2-5", "riser", 110, up=700),
            *self._electronics("base", 60),
            *self._back_socket("back", 60),
            *self._feet(self._deep() - 50),
        ]

    def lap(self) -> list[str]:
        """Controls only."""
        n = self.length
        return [
            "site:",
            "  on: lap",
            "",
            *self._people("seated"),
            *self._stock(),
            "shape:",
            "  recipe: lap",
            *self._width(),
            "  side: {material: side-board}",
            "  board: board",
            "  slope_deg: 6",
            f"  palm_room: {n.either(75, '3')}",
            "  # Worked out from the controls; give any of them to fix it: front_height, depth.",
            "",
            "parts:",
            *self._controls(),
            "  controller:",
            "    type: controller-board",
            "    placed:",
            f"      - {{key: controller, on: base, du: {n(self._wide() / 2 - 95)}, v: {n(60)}}}",
            "  socket:",
            "    type: port-usb-d",
            "    placed:",
            f"      - {{key: socket, on: back, du: {n(70 - self._wide() / 2)}}}",  # u is seen from behind
        ]

    def box(self) -> list[str]:
        """A loudspeaker."""
        n = self.length
        return [
            "site:",
            "  on: floor",
            "",
            *self._stock(),
            "shape:",
            "  recipe: box",
            *self._width(),
            "  side: {material: board}",
            "  board: board",
            "  net_litres: 12  # the volume inside; the depth follows from it",
            "  # Worked out; give any of them to fix it: width, height, depth. front_tilt_deg leans the front back.",
            "",
            "panels:",
            "  back: {fixing: screwed}",
            "",
            "parts:",
            "  woofer:",
            "    type: speaker-5-25",
            "    placed:",
            "      - {key: woofer, on: front}",
            "  terminals:",
            "    type: terminal-pair",
            "    placed:",
            f"      - {{key: terminals, on: back, v: {n(80)}}}",
        ]

    def outline(self) -> list[str]:
        """A free outline: a small desk case with a sloping front."""
        n = self.length
        width = self.width or 400.0
        return [
            *self._site("table", n.either(740, "29")),
            *self._people("seated"),
            *self._stock(),
            "# The side view, counter-clockwise as seen from the right: along the floor to the back, up, over, down",
            "# the front. Each corner is [y, z]: y from the front edge to the back, z up from the underside.",
            "shape:",
            "  recipe: outline",
            f"  width: {n(width)}",
            "  side: {material: side-board}",
            "  board: board",
            "  corners:",
            "    A: [0, 0]",
            f"    B: [{n(254)}, 0]",
            f"    C: [{n(254)}, {n(229)}]",
            f"    D: [{n(152)}, {n(229)}]",
            f"    E: [0, {n(102)}]",
            "",
            "panels:",
            "  base: {run: A-B, role: floor}",
            "  back: {run: B-C, role: back, fixing: screwed}",
            "  top: {run: C-D, role: top}",
            "  deck: {run: D-E, role: deck}",
            "  front: {run: E-A, role: front}",
            "",
            "seams:",
            "  - {between: [top, back], rule: cover, over: top}",
            "  - {between: [deck, front], rule: cover, over: deck}",
            "  - {between: [front, base], rule: cover, over: front}",
            "  - {between: [back, base], rule: cover, over: back}",
            "",
            "parts:",
            "  button:",
            f"    type: {self._button_type()}",
            "    placed:",
            "      - {key: button, on: deck}",
            *self._back_socket("back", 60),
            *self._feet(204, width),
        ]

    # ---- sections ----------------------------------------------------------------------------------------------------

    def _site(self, on: str, height: str) -> list[str]:
        return ["site:", f"  on: {on}", f"  height: {height}  # of its top over the floor", ""]

    def _people(self, posture: str) -> list[str]:
        rows = [
            "# Who uses it. Usual body sizes are taken where eye, elbow and distance are not given.",
            "people:",
        ]
        for i in range(self.players):
            rows.append(f"  - {{label: player {i + 1}, posture: {posture}}}")
        return [*rows, ""]

    def _stock(self) -> list[str]:
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
            *self._bits(),
            f"  paper: {'Letter' if n.unit == 'in' else 'A4'}",
            "",
        ]

    def _bits(self) -> list[str]:
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

    def _width(self) -> list[str]:
        if self.width is None:
            return ["  # width: over both sides; worked out from players, display and parts"]
        return [f"  width: {self.length(self.width)}  # over both sides"]

    def _display(self, panel: str, *, turn: int = 0) -> list[str]:
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

    def _controls(self) -> Iterator[str]:
        """Levers and buttons; the first player's are given, the others follow them."""
        n = self.length
        pitch = self._pitch()
        first = -pitch * (self.players - 1) / 2
        rows = [self.buttons] if self.buttons <= 4 else [(self.buttons + 1) // 2, self.buttons // 2]
        step = n.either(42, "1 3/4")
        across = 42.0 if n.unit != "in" else 44.45
        span = LEVER_TO_BUTTON + (max(rows[0], 1) - 1) * across if self.buttons else 0.0
        yield "  # u is left out: a control stands in the middle of the deck, moved by du. v is from the front edge."
        yield "  lever:"
        yield "    type: lever-ball"
        yield "    placed:"
        yield (
            f"      - {{key: p1-lever, on: deck, du: {n(first - span / 2)}, v: {n.either(125, '5')}, player: 1}}"
        )
        yield from self._others("lever", pitch)
        if not self.buttons:
            return
        del step
        yield "  button:"
        yield f"    type: {self._button_type()}"
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
            yield from self._others(f"b{number}", pitch)

    def _others(self, control: str, pitch: float) -> Iterator[str]:
        for player in range(2, self.players + 1):
            yield (
                f"      - {{key: p{player}-{control}, on: deck, like: p{player - 1}-{control}, "
                f"du: {self.length(pitch)}, player: {player}}}"
            )

    def _speakers(
        self, type_key: str, panel: str, beside: float, up: float | None = None
    ) -> list[str]:
        n = self.length
        height = "" if up is None else f", v: {n(up)}"
        return [
            "  speaker:",
            f"    type: {type_key}",
            "    placed:",
            f"      - {{key: speaker-left, on: {panel}, du: {n(-beside)}{height}}}",
            f"      - {{key: speaker-right, on: {panel}, du: {n(beside)}{height}}}",
        ]

    def _sign(self, panel: str) -> list[str]:
        n = self.length
        opening = self._wide() - 160
        units = max(int((opening - 20) // 50), 1)
        return [
            "  sign:",
            "    kind: sign",
            "    label: lit sign",
            "    assumed:",
            f"      opening_width: {n(opening)}",
            f"      opening_height: {n.either(64, '2 1/2')}",
            f"      row_length: {units * 50} mm  # whole cut units of the strip",
            "    placed:",
            f"      - {{key: sign, on: {panel}}}",
            "  strip:",
            "    type: strip-white-12v",
        ]

    def _electronics(self, panel: str, low: float) -> list[str]:
        n = self.length
        return [
            "  computer:",
            "    type: computer-board",
            "    placed:",
            f"      - {{key: computer, on: {panel}, du: {n(-120)}, v: {n(self._deep() - 110)}}}",
            "  controller:",
            "    type: controller-board",
            "    placed:",
            f"      - {{key: controller, on: {panel}, du: {n(0)}, v: {n(self._deep() - 110)}}}",
            "  amplifier:",
            "    type: amplifier-2x10",
            "    placed:",
            f"      - {{key: amplifier, on: {panel}, du: {n(120)}, v: {n(self._deep() - 110)}}}",
            "  supply:",
            "    type: supply-12-10  # bought, certified, outside the cabinet",
        ]

    def _back_socket(self, panel: str, up: float) -> list[str]:
        return [
            "  socket:",
            "    type: socket-4-pole",
            "    placed:",
            f"      - {{key: socket, on: {panel}, v: {self.length(up)}}}",
        ]

    def _feet(self, rear: float, width: float | None = None) -> list[str]:
        n = self.length
        beside = (width or self._wide()) / 2 - 60
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

    def _button_type(self) -> str:
        return "button-28-long" if self.length.unit == "in" else "button-30-screw"

    def _pitch(self) -> float:
        """From player to player. [mm]"""
        return SHOULDERS if self.width is None else self.width / self.players

    def _wide(self) -> float:
        """About how wide the cabinet is. [mm]"""
        if self.width is not None:
            return self.width
        people = SHOULDERS * self.players
        return people if self.screen is None else max(people, self.screen + 140)

    def _deep(self) -> float:
        """About how deep the cabinet is at least: deck, lean of the screen, display. [mm]"""
        return 300.0


def _number(length: float, unit: Unit) -> str:
    """A bit's size in the unit of the file, exactly. [mm]"""
    return f"{length / {'mm': 1, 'cm': 10, 'm': 1000, 'in': 25.4}[unit]:g}"


def _display(key: str, catalog: Catalog) -> Display:
    known = [name for name, entry in catalog.types.items() if isinstance(entry.data, Display)]
    entry = catalog.types.get(key)
    if entry is None or not isinstance(entry.data, Display):
        raise _unknown("display", key, known)
    return entry.data


def _unknown(field: str, got: str, known: Sequence[str]) -> InputError:
    near = get_close_matches(got, known, 1) or list(known[:1])
    return InputError(field, got=got, want=f"one of {', '.join(known)}", example=near[0])


__all__ = ["RECIPES", "Recipe", "starter_text"]
