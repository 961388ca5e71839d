"""A small cabinet to put under the rules: a box 600 wide, 300 deep, 200 high, of 12 mm plywood."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from casewright.basics.findings import Finding, Remedy
from casewright.behavior.balance import weigh
from casewright.behavior.whole import behavior_of
from casewright.catalog.load import load_catalog
from casewright.checks import RuleModule, Subject
from casewright.design.known import know_parts
from casewright.design.project import Project
from casewright.geometry.build import build_cabinet
from casewright.geometry.collisions import find_collisions
from casewright.geometry.model import Piece
from casewright.workflow import densities, screw_sizes

BOX: dict[str, Any] = {
    "name": "Box",
    "materials": {
        "ply": {"kind": "plywood", "species": "plywood-birch", "nominal": 12, "measured": 12},
    },
    "shape": {
        "recipe": "outline",
        "width": 600,
        "side": {"material": "ply"},
        "board": "ply",
        "corners": {"A": [0, 0], "B": [300, 0], "C": [300, 200], "D": [0, 200]},
    },
    "panels": {
        "base": {"run": "A-B", "role": "floor"},
        "back": {"run": "B-C", "role": "back", "fixing": "screwed"},
        "deck": {"run": "C-D", "role": "deck"},
        "front": {"run": "D-A", "role": "front"},
    },
    "seams": [
        {"between": ["deck", "front"], "rule": "cover", "over": "deck"},
        {"between": ["deck", "back"], "rule": "cover", "over": "deck"},
    ],
    "parts": {},
    "features": [],
}

BUTTON = {
    "kind": "button",
    "measured": {
        "hole": 28.6,
        "bezel": 33.3,
        "nut": 39,
        "grip_least": 4,
        "grip_most": 25,
        "body": 28,
        "behind": 60,
        "mass_kg": 0.04,
    },
}
LEVER = {
    "kind": "lever",
    "measured": {
        "plate_width": 53,
        "plate_height": 95,
        "holes_width": 40,
        "holes_height": 84,
        "body_width": 65,
        "body_height": 65,
        "body_depth": 62,
        "pivot": 6,
        "tilt_deg": 14,
        "shaft": 10,
        "washer": 37,
        "ball": 35,
        "ball_height": 38,
        "mass_kg": 0.25,
    },
}

CATALOG = load_catalog()


def box(**sections: Any) -> dict[str, Any]:
    """The box with sections merged in, group by group."""
    return merged(BOX, sections)


def merged(base: Any, more: Any) -> Any:
    """Two groups as one; the second's values win, lists are taken whole."""
    if isinstance(base, dict) and isinstance(more, dict):
        return {
            key: merged(base[key], more[key])
            if key in base and key in more
            else deepcopy(more.get(key, base.get(key)))
            for key in {**base, **more}
        }
    return deepcopy(more)


def button(*spots: tuple[float, float], **measured: Any) -> dict[str, Any]:
    """Buttons b1, b2, ... on the deck."""
    return merged(
        BUTTON,
        {
            "measured": measured,
            "placed": [
                {"key": f"b{n}", "on": "deck", "u": u, "v": v}
                for n, (u, v) in enumerate(spots, start=1)
            ],
        },
    )


def lever(u: float, v: float, **more: Any) -> dict[str, Any]:
    return merged(LEVER, {"placed": [{"key": "lever1", "on": "deck", "u": u, "v": v, **more}]})


def device(key: str, u: float, v: float = 150, **measured: Any) -> dict[str, Any]:
    """A box 100 × 60 × 40 on the base."""
    sizes = {"width": 100, "height": 60, "depth": 40, "mass_kg": 0.3, **measured}
    return {
        "kind": "device",
        "measured": sizes,
        "placed": [{"key": key, "on": "base", "u": u, "v": v}],
    }


def hole(u: float, v: float, diameter: float = 30, on: str = "deck") -> dict[str, Any]:
    return {"shape": "hole", "on": on, "u": u, "v": v, "diameter": diameter}


def subject_of(data: dict[str, Any], *, collide: bool = False) -> Subject:
    """A project's cabinet, ready for the rules."""
    project = Project.model_validate(data)
    parts = know_parts(project, CATALOG)
    cabinet = build_cabinet(project, parts, screw_sizes(CATALOG, project.unit))
    collisions = find_collisions(cabinet) if collide else ()
    behavior = behavior_of(cabinet, weigh(cabinet, densities(CATALOG)), CATALOG)
    return Subject(cabinet, CATALOG, collisions, behavior)


def found(rule: RuleModule, data: dict[str, Any], *, collide: bool = False) -> list[Finding]:
    """What a rule finds; each finding bears its id."""
    findings = list(rule.find(subject_of(data, collide=collide)))
    assert {finding.rule for finding in findings} <= {rule.RULE.id}
    return findings


def applied(data: dict[str, Any], remedy: Remedy) -> dict[str, Any]:
    """The project with a remedy's values written to their fields."""
    assert remedy.field, "no single field"
    changed: dict[str, Any] = _in_lists(data)
    for field, value in ((remedy.field, remedy.value), *remedy.also):
        if field.startswith("seams."):
            _write_seam(changed, field, value)
            continue
        here: Any = changed
        *steps, last = field.split(".")
        for step in steps:
            here = here[int(step)] if isinstance(here, list) else here.setdefault(step, {})
        here[int(last) if isinstance(here, list) else last] = value
    return changed


def _in_lists(data: Any) -> Any:
    """A copy whose rows can be written to."""
    if isinstance(data, dict):
        return {key: _in_lists(value) for key, value in data.items()}
    return [_in_lists(value) for value in data] if isinstance(data, list | tuple) else data


def _write_seam(data: dict[str, Any], field: str, value: Any) -> None:
    """Write to the seam between two panels, "seams.deck/front.rule"."""
    _, names, key = field.split(".", 2)
    seams = data["seams"] = list(data.get("seams", ()))
    seam = next((s for s in seams if set(s["between"]) == set(names.split("/"))), None)
    if seam is None:
        seams.append(seam := {"between": names.split("/")})
    if key == "rule":
        seam.pop("over", None)
    if key == "over" and seam.get("rule") != "gap":
        seam["rule"] = "cover"
    group, _, panel = key.partition(".")
    if panel:
        seam.setdefault(group, {})[panel] = value
    else:
        seam[group] = value


def cures(rule: RuleModule, data: dict[str, Any], *, collide: bool = False) -> None:
    """Assert that a rule's finding is gone once the first remedy with a field is applied."""
    finding = found(rule, data, collide=collide)[0]
    remedy = next(r for r in finding.remedies if r.field)
    assert found(rule, applied(data, remedy), collide=collide) == []


def board(data: dict[str, Any], key: str) -> Piece:
    return subject_of(data).cabinet.piece_by_key[key]
