"""Projects that the file's form allows but no maker would draw: what stands in the way of everything else.

Boards inside and out, doors, features by hand, seams with cleats and given planes, battens and grooves too large,
widths too small. Nothing of it may crash; all of it must give a cabinet with findings, or an input error.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from hypothesis import strategies as st
from tests.strategies import Sixteenths, lengths, project_data

FACES = ("show", "back")
ON_RECIPES = {
    "tabletop": ("base", "back", "top", "screen", "deck"),
    "standing": ("base", "back", "top", "screen", "deck"),
    "lap": ("base", "back", "deck"),
    "box": ("base", "back", "top", "front"),
}


def panels_of(data: Mapping[str, Any]) -> tuple[str, ...]:
    """Keys of panels that the project surely has."""
    recipe = data["shape"]["recipe"]
    return tuple(data["panels"]) if recipe == "outline" else ON_RECIPES[recipe]


def pairs_of(data: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Panels that meet at a corner, as far as they are surely known."""
    if data["shape"]["recipe"] != "outline":
        return [("base", "back")]
    names = list(data["shape"]["corners"])
    runs = [f"{a}-{b}" for a, b in zip(names, [*names[1:], names[0]], strict=True)]
    on = {panel["run"]: key for key, panel in data["panels"].items()}
    around = zip(runs, [*runs[1:], runs[0]], strict=True)
    return [(on[a], on[b]) for a, b in around if a in on and b in on]


@st.composite
def inner_board(draw: st.DrawFn) -> dict[str, Any]:
    """A shelf on any line, inside or not."""

    def spot() -> tuple[Sixteenths, Sixteenths]:
        return (draw(lengths(-20, 450)), draw(lengths(-20, 450)))

    board: dict[str, Any] = {
        "role": draw(st.sampled_from(["shelf", "light board", "other"])),
        "material": draw(st.sampled_from(["board", "thin"])),
        "start": spot(),
        "end": spot(),
        "until": draw(st.sampled_from(["given", "panels"])),
        "joint": draw(st.sampled_from(["butt", "groove"])),
        "cleats": draw(st.booleans()),
    }
    if draw(st.integers(0, 3)) == 0:
        board["clearance"] = draw(lengths(0, 200))
    if draw(st.integers(0, 3)) == 0:
        board["left"] = draw(lengths(-50, 400))
    if draw(st.integers(0, 3)) == 0:
        board["right"] = draw(lengths(-50, 400))
    return board


@st.composite
def loose_board(draw: st.DrawFn) -> dict[str, Any]:
    """A board anywhere."""
    return {
        "material": draw(st.sampled_from(["board", "thin", "clear"])),
        "plane": draw(st.sampled_from(["side", "front", "level"])),
        "at": [draw(lengths(-100, 500)) for _ in range(3)],
        "size": [draw(lengths(5, 500)) for _ in range(2)],
        "grain": draw(st.sampled_from(["first", "second", "none"])),
    }


@st.composite
def door(draw: st.DrawFn, on: Sequence[str]) -> dict[str, Any]:
    """A door of any size, larger than its panel too."""
    made: dict[str, Any] = {
        "on": draw(st.sampled_from(on)),
        "width": draw(lengths(5, 700)),
        "height": draw(lengths(5, 500)),
    }
    if draw(st.booleans()):
        made["gap"] = draw(lengths(0, 10))
    if draw(st.booleans()):
        made["lip"] = draw(lengths(0, 60))
    if draw(st.integers(0, 3)) == 0:
        made["u"], made["v"] = draw(lengths(-100, 500)), draw(lengths(-100, 500))
    if draw(st.booleans()):
        made["fixing"] = draw(st.sampled_from(["hinges", "hinges", "locks", "screwed"]))
        made["hinged"] = draw(st.sampled_from([None, "left", "right", "top", "bottom"]))
        made["opens_deg"] = draw(st.integers(30, 180))
        made["bevel_deg"] = draw(st.sampled_from([0, 0, 5, 14, 30]))
    return made


@st.composite
def feature(draw: st.DrawFn, on: Sequence[str]) -> dict[str, Any]:
    """Anything worked into anything, anywhere."""
    made: dict[str, Any] = {
        "on": draw(st.sampled_from([*on, "left", "right"])),
        "face": draw(st.sampled_from(FACES)),
        "u": draw(lengths(-30, 400)),
        "v": draw(lengths(-30, 300)),
        "shape": draw(st.sampled_from(["hole", "rectangle", "slot", "outline", "groove"])),
    }
    depth = draw(lengths(2, 25))
    if made["shape"] == "hole":
        made["diameter"] = draw(lengths(2, 300))
    elif made["shape"] == "rectangle":
        made |= {"width": draw(lengths(2, 300)), "height": draw(lengths(2, 300))}
        made |= {"radius": draw(lengths(0, 200)), "chamfer": draw(lengths(0, 40))}
        made["turn"] = draw(st.integers(0, 360))
    elif made["shape"] == "slot":
        made |= {"length": draw(lengths(2, 300)), "width": draw(lengths(2, 60))}
        made["turn"] = draw(st.integers(0, 360))
    elif made["shape"] == "outline":
        made["points"] = [
            (draw(lengths(-60, 60)), draw(lengths(-60, 60))) for _ in range(draw(st.integers(3, 6)))
        ]
    else:
        made |= {"to": [draw(lengths(-30, 400)), draw(lengths(-30, 300))]}
        made |= {"width": draw(lengths(2, 60)), "depth": depth}
    if made["shape"] != "groove" and draw(st.booleans()):
        made["depth"] = depth
    return made


@st.composite
def wild_panel(draw: st.DrawFn) -> dict[str, Any]:
    """A panel's wishes gone too far."""
    made: dict[str, Any] = {}
    if draw(st.integers(0, 2)) == 0:
        made["clearance"] = draw(lengths(0, 300))
    if draw(st.integers(0, 2)) == 0:
        made["reveal"] = draw(lengths(0, 120))
    if draw(st.integers(0, 2)) == 0:
        made |= {"joint": "groove", "groove_depth": draw(lengths(0, 60))}
        made["groove_play"] = draw(lengths(0, 10))
    if draw(st.integers(0, 2)) == 0:
        made["layers"] = [
            {"key": f"l{i}", "material": draw(st.sampled_from(["side", "clear", "thin"]))}
            | ({"inset": draw(lengths(0, 400))} if draw(st.booleans()) else {})
            for i in range(draw(st.integers(1, 4)))
        ]
    if draw(st.integers(0, 2)) == 0:
        made["cleats"] = {
            "along": "sides",
            "counterbore": draw(lengths(0, 30)),
            "start": draw(lengths(0, 200)),
            "end": draw(lengths(0, 200)),
        }
    return made


@st.composite
def wild_seam(draw: st.DrawFn, pair: tuple[str, str]) -> dict[str, Any]:
    """Any rule between two panels."""
    seam: dict[str, Any] = {
        "between": list(pair),
        "rule": draw(st.sampled_from(["miter", "cover", "gap", "free"])),
        "cleat": draw(st.booleans()),
    }
    if draw(st.booleans()):
        seam["over"] = draw(st.sampled_from(pair))
    if seam["rule"] == "gap":
        seam["gap"] = draw(lengths(0, 100))
    if seam["rule"] == "free":
        seam["tilt"] = {key: draw(st.integers(-90, 90)) for key in pair}
        seam["setback"] = {key: draw(lengths(-60, 200)) for key in pair}
    return seam


@st.composite
def wild_data(draw: st.DrawFn) -> dict[str, Any]:
    """Data of a project of which some wishes have gone too far."""
    data = dict(draw(project_data(free=False)))
    on = panels_of(data)

    def some(values: st.SearchStrategy[Any], most: int) -> dict[str, Any]:
        return {f"x{i}": draw(values) for i in range(draw(st.integers(0, most)))}

    data["inner"] = {f"inner-{k}": v for k, v in some(inner_board(), 2).items()}
    data["boards"] = {f"board-{k}": v for k, v in some(loose_board(), 2).items()}
    data["doors"] = {f"door-{k}": v for k, v in some(door(on), 1).items()}
    data["features"] = list(some(feature((*on, *data["boards"], *data["inner"])), 3).values())
    if draw(st.booleans()):
        data["batten"] = {"width": draw(lengths(2, 90)), "height": draw(lengths(2, 90))}
    if draw(st.booleans()):
        key = draw(st.sampled_from(on))
        data["panels"] = {**data["panels"]}
        data["panels"][key] = {**data["panels"].get(key, {}), **draw(wild_panel())}
    pairs = pairs_of(data)
    if pairs and draw(st.booleans()):
        chosen = draw(st.lists(st.sampled_from(pairs), min_size=1, max_size=3, unique=True))
        new = {frozenset(pair): draw(wild_seam(pair)) for pair in chosen}
        old = [s for s in data.get("seams", []) if frozenset(s["between"]) not in new]
        data["seams"] = [*new.values(), *old]
    if draw(st.integers(0, 7)) == 0:
        data["shape"] = {**data["shape"], "width": draw(lengths(2, 120))}
    return data


def any_size(least: float = 0.1, most: float = 100_000.0) -> st.SearchStrategy[float]:
    """Lengths from a hair to a street, each power of ten as likely as another. [mm]"""
    tenths = round(10 * math.log10(least)), round(10 * math.log10(most))
    return st.integers(*tenths).map(lambda power: round(10 ** (power / 10), 3))


@st.composite
def extreme_data(draw: st.DrawFn) -> dict[str, Any]:
    """Data of an outline of 3 to 60 corners, of any size and thickness, with all, some or none of its panels."""
    count = draw(st.sampled_from([3, 4, 5, 8, 20, 60]))
    size = draw(any_size())
    flat = draw(st.sampled_from([1.0, 0.1, 0.001]))
    corners: dict[str, Any] = {}
    for i in range(count):
        turn = 2 * math.pi * i / count
        reach = draw(st.integers(2, 10)) / 10
        corners[f"c{i}"] = [size * reach * math.cos(turn), flat * size * reach * math.sin(turn)]
    names = list(corners)
    runs = [f"{a}-{b}" for a, b in zip(names, [*names[1:], names[0]], strict=True)]
    share = draw(st.sampled_from([0, 1, 2]))  # none, some, all
    board = st.fixed_dictionaries({"nominal": any_size(0.1, 1000), "kind": st.just("mdf")})
    panels: dict[str, Any] = {}
    for i, run in enumerate(runs):
        if share == 0 or (share == 1 and draw(st.booleans())):
            continue
        panels[f"p{i}"] = {"run": run, "role": draw(st.sampled_from(["floor", "deck", "screen"]))}
    on = draw(st.sampled_from([*panels, "left"]))
    parts: dict[str, Any] = {
        "button": {"type": "button-24-screw", "placed": [{"key": "b", "on": on}]},
        "fan": {"type": "fan-80", "placed": [{"key": "f", "on": on, "u": 0, "v": 0}]},
    }
    side = draw(board)
    wide = 2 * side["nominal"] * draw(st.sampled_from([1, 1, 1, 0])) + draw(any_size())
    data: dict[str, Any] = {
        "name": "extreme",
        "materials": {"board": draw(board), "side": side},
        "shape": {
            "recipe": "outline",
            "width": min(wide, 100_000.0),
            "side": {"material": "side"},
            "board": "board",
            "corners": corners,
        },
        "panels": panels,
        "parts": {k: v for k, v in parts.items() if draw(st.booleans())},
        "batten": {"width": draw(any_size(0.1, 1000)), "height": draw(any_size(0.1, 1000))},
    }
    if panels and draw(st.booleans()):
        data["doors"] = {
            "door": {
                "on": draw(st.sampled_from(list(panels))),
                "width": draw(any_size()),
                "height": draw(any_size()),
            }
        }
    return data


__all__ = ["any_size", "extreme_data", "pairs_of", "panels_of", "wild_data"]
