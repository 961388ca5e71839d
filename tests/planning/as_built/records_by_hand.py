"""Projects with pieces that exist already, for tests: the example by its file, and small ones written here."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from casewright.basics.findings import worded
from casewright.design.built import State
from casewright.planning.as_built import Answer, Replan, Way
from casewright.projectfile.editing import changed_document
from casewright.session.recording import marked
from casewright.workflow import (
    Opened,
    Worked,
    open_document,
    open_project,
    open_text,
    replan,
    work_out,
)

DUEL = Path(__file__).parents[3] / "examples" / "library-duel.cabinet.yaml"

MITERED = """
casewright: 1
name: a wedge
materials:
  board: {kind: mdf, nominal: 18, measured: 18.0, sheets: [{length: 2440, width: 1220}]}
shape:
  recipe: outline
  width: 500
  side: {material: board}
  board: board
  corners: {A: [0, 0], B: [400, 0], C: [400, 300], D: [%(y)s, 300]}
panels:
  base: {run: A-B, role: floor}
  back: {run: B-C, role: back}
  top: {run: C-D, role: top}
  face: {run: D-A, role: screen, label: face}
seams:
  - {between: [top, face], rule: miter}
"""


@lru_cache(maxsize=8)
def duel() -> Opened:
    return open_project(DUEL)


def changed(opened: Opened, changes: Mapping[tuple[str | int, ...], Any]) -> Opened:
    return open_document(changed_document(opened.document, dict(changes)), opened.catalog)


def kept_record(worked: Worked, key: str, state: State, **told: Any) -> Any:
    """A record as casewright writes it: the piece as drawn, and what the tape says."""
    return marked(worked, [key], state, told)["as built", key]


def with_records(
    opened: Opened,
    states: Mapping[str, State | tuple[State, Mapping[str, Any]]],
    then: Mapping[tuple[str | int, ...], Any] | None = None,
) -> Worked:
    """The project once these pieces are made by its plan, and after that changed."""
    worked = work_out(opened)
    records = {}
    for key, told in states.items():
        state, more = (told, {}) if isinstance(told, str) else told
        records[key] = kept_record(worked, key, state, **more)
    return work_out(changed(opened, {("as built",): records, **(then or {})}))


def wedge(degrees_inside: float) -> Opened:
    """A wedge whose top meets its face at this angle inside the material."""
    import math

    y = 300 / math.tan(math.radians(180 - degrees_inside))
    return open_text(MITERED % {"y": f"{y:.6f}"})


def answer(way: Way, piece: str) -> Answer:
    return next(a for a in way.answers if a.piece == piece)


def told(text: str) -> str:
    return worded(text, lambda length: f"{length:.2f} mm")


def ways_of(worked: Worked) -> Replan:
    return replan(worked)
