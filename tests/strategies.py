"""Random projects that are valid: all recipes, free outlines, seams, overlays, grooves, parts.

Lengths are drawn in sixteenths of an inch and written as exact decimals or fractions, so that the same project can be
read in millimeters and in inches and must give the same cabinet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st

from casewright.basics.units import Unit
from casewright.catalog.load import load_catalog
from casewright.design.known import know_parts
from casewright.design.parts import KnownPart
from casewright.design.project import Project

RECIPES = ("outline", "tabletop", "standing", "lap", "box")
SIXTEENTH = Decimal("1.5875")


def examples(count: int) -> int:
    """So many cases in every run, ten times as many under HYPOTHESIS_PROFILE=search."""
    return 10 * count if settings.get_current_profile_name() == "search" else count


@dataclass(frozen=True, order=True)
class Sixteenths:
    """A length in sixteenths of an inch."""

    count: int

    @property
    def mm(self) -> float:
        return float(self.count * SIXTEENTH)

    def text(self, unit: Unit) -> str:
        """The exact length, as a project file would have it."""
        if unit == "mm":
            return f"{self.count * SIXTEENTH} mm"
        whole, rest = divmod(abs(self.count), 16)
        part = f"{Fraction(rest, 16)}" if rest else ""
        sign = "-" if self.count < 0 else ""
        return sign + " ".join(x for x in (str(whole) if whole or not rest else "", part) if x)


def about(mm: float) -> Sixteenths:
    """The nearest sixteenth of an inch."""
    return Sixteenths(round(mm / 1.5875))


def lengths(least: float, most: float) -> st.SearchStrategy[Sixteenths]:
    """Lengths between two limits. [mm]"""
    return st.integers(-int(-least // 1.5875), int(most // 1.5875)).map(Sixteenths)


def written(data: Any, unit: Unit) -> Any:
    """Data with every length written in a unit."""
    if isinstance(data, Sixteenths):
        return data.text(unit)
    if isinstance(data, Mapping):
        return {key: written(value, unit) for key, value in data.items()}
    if isinstance(data, (list, tuple)):
        return [written(value, unit) for value in data]
    return data


def as_project(data: Mapping[str, Any], unit: Unit = "mm") -> Project:
    """The project that data stands for, read in a unit."""
    # What is usual differs by the unit, so that it is said: strip wood of 20 mm.
    told = {"batten": {"width": "20 mm", "height": "20 mm"}, **written(data, unit), "unit": unit}
    return Project.model_validate(told, context={"unit": unit})


def known(project: Project) -> dict[str, KnownPart]:
    """Its parts, with the package's own catalog."""
    return know_parts(project, load_catalog())


@st.composite
def materials(draw: st.DrawFn) -> dict[str, Any]:
    """A board, a side board, a thin board and an overlay, of odd measured thickness."""

    def ply(least: float, most: float) -> dict[str, Any]:
        return {
            "kind": draw(st.sampled_from(["plywood", "mdf"])),
            "nominal": draw(lengths(least, most)),
            "grain": draw(st.sampled_from(["length", "none"])),
        }

    board = ply(9, 19)
    if draw(st.booleans()):
        board["measured"] = draw(lengths(9, 19))
    return {
        "board": board,
        "side": ply(9, 22),
        "thin": ply(5, 9),
        "clear": {"kind": "acrylic", "nominal": draw(lengths(2, 4))},
    }


@st.composite
def wished_panel(draw: st.DrawFn) -> dict[str, Any]:
    """What a project may say of a panel, without run and role."""
    panel: dict[str, Any] = {}
    if draw(st.booleans()):
        panel["material"] = draw(st.sampled_from(["board", "thin", "side"]))
    if draw(st.integers(0, 3)) == 0:
        panel["layers"] = [{"key": "cover", "material": "clear"}]
    if draw(st.integers(0, 4)) == 0:
        panel["reveal"] = draw(lengths(1, 4))
    if draw(st.integers(0, 3)) == 0:
        panel["joint"] = "groove"
        panel["groove_depth"] = draw(lengths(3, 6))
    if draw(st.integers(0, 3)) == 0:
        panel["fixing"] = draw(st.sampled_from(["glued", "screwed", "magnets", "locks"]))
    return panel


@st.composite
def people(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Nobody named, or a few, some with their own sizes."""
    made = []
    for i in range(draw(st.integers(0, 3))):
        person: dict[str, Any] = {
            "label": f"person {i + 1}",
            "posture": draw(st.sampled_from(["seated", "standing", "wheelchair"])),
            "child": draw(st.booleans()),
            "plays": draw(st.booleans()),
        }
        if draw(st.booleans()):
            person["eye"] = draw(lengths(900, 1800))
        if draw(st.booleans()):
            person["distance"] = draw(lengths(80, 900))
        made.append(person)
    return made


@st.composite
def display_part(draw: st.DrawFn) -> dict[str, Any]:
    """A display of any size and shape, upright or on its side."""
    width, height = draw(lengths(150, 560)), draw(lengths(100, 330))
    bezels = [draw(lengths(3, 15)) for _ in range(4)]  # left, right, bottom, top
    return {
        "kind": "display",
        "measured": {
            "lit_width": width,
            "lit_height": height,
            "housing_width": Sixteenths(width.count + bezels[0].count + bezels[1].count),
            "housing_height": Sixteenths(height.count + bezels[2].count + bezels[3].count),
            "housing_depth": draw(lengths(10, 60)),
            "bezel_left": bezels[0],
            "bezel_bottom": bezels[2],
            "pattern_width": about(75),
            "pattern_height": about(75),
            "connector_side": draw(st.sampled_from(["left", "right", "up", "down", "behind"])),
        },
        "placed": [
            {
                "key": "display",
                "on": "screen",
                "turn": draw(st.sampled_from([0, 90, 180, 270])),
                "hold": {"style": draw(st.sampled_from(["rails and bar", "rails", "none"]))},
            }
        ],
    }


@st.composite
def controls(draw: st.DrawFn) -> dict[str, Any]:
    """Up to a lever and three buttons on the deck; places given, or the middle."""
    parts: dict[str, Any] = {}
    at = [about(60.0)]

    def spot(key: str, half: float) -> dict[str, Any]:
        place: dict[str, Any] = {"key": key, "on": "deck"}
        at[0] = Sixteenths(at[0].count + about(half).count)
        place["u"] = at[0]
        at[0] = Sixteenths(at[0].count + about(half).count)
        if draw(st.booleans()):
            place["v"] = draw(lengths(90, 180))
        return place

    if draw(st.booleans()):
        parts["lever"] = {"type": "lever-ball", "placed": [spot("lever", 45.0)]}
    count = draw(st.integers(0, 3))
    if count:
        kind = draw(st.sampled_from(["button-28-long", "button-24-screw"]))
        parts["button"] = {
            "type": kind,
            "placed": [spot(f"button-{i}", 24.0) for i in range(count)],
        }
    return parts


def _maybe(
    draw: st.DrawFn, shape: dict[str, Any], field: str, values: st.SearchStrategy[Any], share: int
) -> None:
    """Wish for a field in one of `share` projects."""
    if draw(st.integers(1, share)) == 1:
        shape[field] = draw(values)


@st.composite
def recipe_data(
    draw: st.DrawFn, recipes: Sequence[str] = RECIPES[1:], *, free: bool = True
) -> dict[str, Any]:
    """Data of a project by one of the recipes; with `free` none of its sizes is wished for."""
    recipe = draw(st.sampled_from(recipes))
    shape: dict[str, Any] = {"recipe": recipe, "side": {"material": "side"}, "board": "board"}
    parts: dict[str, Any] = {}
    panels: list[str] = ["base", "back"]
    site: dict[str, Any] = {"on": "table", "height": draw(lengths(500, 800))}
    if recipe in ("tabletop", "standing"):
        shape["deck_slope_deg"] = draw(st.integers(0, 15))
        shape["header"] = draw(st.booleans())
        shape["screen_margin"] = draw(lengths(5, 30))
        parts["display"] = draw(display_part())
        parts |= draw(controls())
        panels += ["top", "screen", "deck"]
        if shape["header"]:
            panels += ["header", "underside"]
            shape["header_tilt_deg"] = draw(st.integers(0, 30))
            if draw(st.booleans()):
                parts["speaker"] = {
                    "type": "speaker-2",
                    "placed": [{"key": "speaker", "on": "underside"}],
                }
        _maybe(draw, shape, "screen_tilt_deg", st.integers(2, 50), 3)
    if recipe == "standing":
        site = {"on": "floor"}
        _maybe(draw, shape, "knee_room", lengths(60, 150), 3)
        panels.append("riser")
    elif recipe == "tabletop":
        panels.append("lip")
    elif recipe == "lap":
        shape["slope_deg"] = draw(st.integers(0, 15))
        parts |= draw(controls())
        panels += ["deck", "lip"]
        site = {"on": "lap"}
    elif recipe == "box":
        shape["front_tilt_deg"] = draw(st.integers(0, 15))
        parts["woofer"] = {
            "type": draw(st.sampled_from(["speaker-3", "speaker-5-25"])),
            "placed": [{"key": "woofer", "on": "front"}],
        }
        _maybe(draw, shape, "net_litres", st.integers(3, 20), 2)
        panels += ["top", "front"]
    if not parts:
        shape["width"] = draw(lengths(250, 600))
    if not free:
        _maybe(draw, shape, "width", lengths(600, 900), 3)
        if recipe in ("tabletop", "standing"):
            _maybe(draw, shape, "deck_depth", lengths(100, 350), 3)
            _maybe(draw, shape, "depth", lengths(300, 900), 4)
            _maybe(draw, shape, "height", lengths(300, 1800), 4)
    wished = {key: draw(wished_panel()) for key in panels if draw(st.integers(0, 2)) == 0}
    return {
        "name": f"random {recipe}",
        "materials": draw(materials()),
        "site": site,
        "people": draw(people()),
        "shape": shape,
        "panels": wished,
        "parts": parts,
    }


@st.composite
def outline_data(draw: st.DrawFn) -> dict[str, Any]:
    """Data of a free outline: floor, back, and a front that falls in steps of any slope, in and out."""
    depth, steps = draw(lengths(200, 450)), draw(st.integers(1, 4))
    heights = [draw(lengths(70, 160)) for _ in range(steps)]
    low = draw(lengths(40, 120))
    z = low.count + sum(h.count for h in heights)
    corners: dict[str, Any] = {
        "A": (Sixteenths(0), Sixteenths(0)),
        "B": (depth, Sixteenths(0)),
        "C": (depth, Sixteenths(z)),
    }
    y = draw(lengths(depth.mm * 0.3, depth.mm * 0.7)).count
    corners["D"] = (Sixteenths(y), Sixteenths(z))
    for letter, height in zip("EFGH", heights, strict=False):
        z -= height.count
        reach = height.count  # no flatter than 45°, so that no corner is too sharp to build
        most = round(depth.count * 0.75)
        y = draw(st.integers(max(y - reach, 0), min(y + reach, most)))
        corners[letter] = (Sixteenths(y), Sixteenths(z))
    if y:
        z = low.count
        corners["I"] = (Sixteenths(0), Sixteenths(max(z - min(y, z // 2), z // 2)))
    names = list(corners)
    runs = [f"{a}-{b}" for a, b in zip(names, [*names[1:], names[0]], strict=True)]
    roles = {"A-B": "floor", "B-C": "back", "C-D": "top"}
    panels: dict[str, Any] = {}
    for i, run in enumerate(runs):
        if run not in roles and draw(st.integers(0, 7)) == 0:
            continue  # left open
        role = roles.get(run, draw(st.sampled_from(["deck", "screen", "front", "riser", "other"])))
        panels[f"p{i}"] = {**draw(wished_panel()), "run": run, "role": role}
    return {
        "name": "random outline",
        "materials": draw(materials()),
        "shape": {
            "recipe": "outline",
            "width": draw(lengths(200, 500)),
            "side": {"material": "side"},
            "board": "board",
            "corners": corners,
        },
        "panels": panels,
        "seams": draw(seams(list(panels), runs, panels)),
        "parts": draw(outline_parts(list(panels))),
    }


@st.composite
def seams(
    draw: st.DrawFn, keys: Sequence[str], runs: Sequence[str], panels: Mapping[str, Any]
) -> list[dict[str, Any]]:
    """Wishes for some of the corners where two panels meet."""
    by_run = {panels[key]["run"]: key for key in keys}
    made = []
    for first, second in zip(runs, [*runs[1:], runs[0]], strict=True):
        if first not in by_run or second not in by_run or draw(st.booleans()):
            continue
        pair = [by_run[first], by_run[second]]
        seam: dict[str, Any] = {
            "between": pair,
            "rule": draw(st.sampled_from(["miter", "cover", "gap"])),
        }
        if seam["rule"] != "miter":
            seam["over"] = draw(st.sampled_from(pair))
        if seam["rule"] == "gap":
            seam["gap"] = draw(lengths(1, 4))
        made.append(seam)
    return made


@st.composite
def outline_parts(draw: st.DrawFn, panels: Sequence[str]) -> dict[str, Any]:
    """A button, a vent or feet in the middle of a panel."""
    parts: dict[str, Any] = {}
    if draw(st.booleans()):
        parts["button"] = {
            "type": "button-24-screw",
            "placed": [{"key": "button", "on": draw(st.sampled_from(panels))}],
        }
    if draw(st.booleans()):
        parts["foot"] = {
            "type": "foot-rubber-20",
            "placed": [{"key": "foot", "on": panels[0], "v": about(60)}],
        }
    return parts


def project_data(*, free: bool = True) -> st.SearchStrategy[dict[str, Any]]:
    """Data of any project: a free outline or a recipe."""
    return st.one_of(outline_data(), recipe_data(free=free))


def projects(unit: Unit = "mm") -> st.SearchStrategy[Project]:
    """Any valid project, read in a unit."""
    return project_data().map(lambda data: as_project(data, unit))
