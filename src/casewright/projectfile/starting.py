"""New project files: complete, commented, and ready to be changed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal, get_args

from casewright.basics.errors import InputError
from casewright.basics.units import Unit
from casewright.catalog.kinds import Device, Display, Strip
from casewright.catalog.load import Catalog, load_catalog
from casewright.projectfile.starter_sections import SHALLOW, Feeding, Sections, Writer
from casewright.projectfile.yamlwriting import scalar_text

Recipe = Literal["tabletop", "standing", "lap", "box", "outline"]
RECIPES: tuple[str, ...] = get_args(Recipe)
"""Kinds of cabinet that a new project can be started with."""
CHOSEN: Mapping[str, frozenset[str]] = {
    "tabletop": frozenset({"display", "players", "buttons", "width"}),
    "standing": frozenset({"display", "players", "buttons", "width"}),
    "lap": frozenset({"players", "buttons", "width"}),
    "box": frozenset({"width", "litres"}),
    "outline": frozenset({"players", "width"}),
}
"""What may be chosen of each recipe's start; the rest it starts without."""

MOST_PLAYERS = 4
MOST_BUTTONS = 8
LEAST_LITRES, MOST_LITRES = 1.0, 500.0
"""Of a box that is started; the file may say more later. Source: common practice for loudspeakers."""
LITRES = 12.0
"""Of a box whose volume nobody names."""


def starter_text(
    recipe: str,
    *,
    name: str,
    unit: Unit = "mm",
    display: str | None = None,
    players: int = 1,
    buttons: int = 6,
    width: float | None = None,
    litres: float | None = None,
    base: float | None = None,
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
        litres: Volume inside a box, 1 to 500; 12 if not given.
        base: Depth of the base, where it is known: the rear feet stand near its back. [mm]

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
    if litres is not None and not LEAST_LITRES <= litres <= MOST_LITRES:
        want = f"{LEAST_LITRES:g} to {MOST_LITRES:g} liters"
        raise InputError("litres", got=f"{litres:g}", want=want, example=f"{LITRES:g}")
    if unit not in get_args(Unit):
        raise _unknown("unit", str(unit), get_args(Unit))
    usual = {"standing": "display-21-5"}.get(recipe, "display-23-8")
    shown = _display(display or usual, catalog)
    across = {"tabletop": shown.housing_width, "standing": shown.housing_height}.get(recipe)
    starter = _Starter(
        Writer(unit),
        display or usual,
        across,
        (shown.pattern_height, shown.pattern_width),
        players,
        buttons,
        width,
        base or SHALLOW,
        _feeding(shown, catalog),
        LITRES if litres is None else litres,
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
class _Starter(Sections):
    """Whole files of each recipe."""

    litres: float
    """Volume inside a box."""

    def tabletop(self) -> list[str]:
        """Deck, screen and lit header on a table."""
        n = self.length
        return [
            *self.site("table", n.either(740, "29")),
            *self.people("seated"),
            *self.stock(),
            "shape:",
            "  recipe: tabletop",
            *self.width(),
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
            *self.display("screen"),
            *self.controls(),
            *self.speakers("speaker-2", "lip", self.wide() / 2 - 75),
            *self.sign("header"),
            *self.electronics("base"),
            *self.back_socket("back", 60),
            *self.feet(self.base - 50),
        ]

    def standing(self) -> list[str]:
        """A console on the floor, its display upright."""
        n = self.length
        return [
            "site:",
            "  on: floor",
            "",
            *self.people("standing"),
            *self.stock(),
            "shape:",
            "  recipe: standing",
            *self.width(),
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
            *self.display("screen", turn=90),
            *self.controls(),
            *self.speakers("speaker-2-5", "riser", 110, up=700),
            *self.electronics("base"),
            *self.back_socket("back", 60),
            *self.feet(self.base - 50),
        ]

    def lap(self) -> list[str]:
        """Controls only."""
        n = self.length
        return [
            "site:",
            "  on: lap",
            "",
            *self.people("seated"),
            *self.stock(),
            "shape:",
            "  recipe: lap",
            *self.width(),
            "  side: {material: side-board}",
            "  board: board",
            "  slope_deg: 6",
            f"  palm_room: {n.either(75, '3')}",
            "  # Worked out from the controls; give any of them to fix it: front_height, depth.",
            "",
            "parts:",
            *self.controls(),
            "  controller:",
            "    type: controller-board",
            "    placed:",
            f"      - {{key: controller, on: base, du: {n(self.wide() / 2 - 95)}, v: {n(60)}}}",
            "  socket:",
            "    type: port-usb-d",
            "    placed:",
            f"      - {{key: socket, on: back, du: {n(70 - self.wide() / 2)}}}",  # u is seen from behind
        ]

    def box(self) -> list[str]:
        """A loudspeaker."""
        n = self.length
        return [
            "site:",
            "  on: floor",
            "",
            *self.stock(),
            "shape:",
            "  recipe: box",
            *self.width(),
            "  side: {material: board}",
            "  board: board",
            f"  net_litres: {self.litres:g}  # the volume inside; the depth follows from it",
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
        width = self.overall or 400.0
        return [
            *self.site("table", n.either(740, "29")),
            *self.people("seated"),
            *self.stock(),
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
            f"    type: {self.button_type()}",
            "    placed:",
            "      - {key: button, on: deck}",
            *self.back_socket("back", 60),
            *self.feet(204, width),
        ]


def _display(key: str, catalog: Catalog) -> Display:
    known = [name for name, entry in catalog.types.items() if isinstance(entry.data, Display)]
    entry = catalog.types.get(key)
    if entry is None or not isinstance(entry.data, Display):
        raise _unknown("display", key, known)
    return entry.data


def _feeding(shown: Display, catalog: Catalog) -> Feeding:
    """What a new project draws, by the catalog, and the supplies that it has."""
    draws = {
        key: data.peak_w
        for key in ("computer-board", "controller-board", "amplifier-2x10")
        if isinstance(data := catalog.types[key].data, Device)
    }
    converter, strip = catalog.types["converter-12-5"].data, catalog.types["strip-white-12v"].data
    assert isinstance(converter, Device) and isinstance(strip, Strip)
    amplifier = draws.pop("amplifier-2x10")
    supplies: dict[float, list[tuple[float, str]]] = {}
    for key, entry in catalog.types.items():
        data = entry.data
        if isinstance(data, Device) and data.role == "supply" and data.outside and data.volts:
            supplies.setdefault(data.volts, []).append((data.volts * data.output_amps, key))
    return Feeding(
        0.0 if shown.mains else shown.volts or 12.0,
        shown.peak_w,
        amplifier + math.fsum(draws.values()) / converter.efficiency,
        strip.watts_per_m,
        {volts: sorted(those) for volts, those in supplies.items()},
    )


def _unknown(field: str, got: str, known: Sequence[str]) -> InputError:
    near = get_close_matches(got, known, 1) or list(known[:1])
    return InputError(field, got=got, want=f"one of {', '.join(known)}", example=near[0])


__all__ = ["CHOSEN", "LEAST_LITRES", "LITRES", "MOST_LITRES", "RECIPES", "Recipe", "starter_text"]
