"""Corners of a free outline: one more in the middle of a run, or one less where two runs meet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import deepcopy
from itertools import count
from string import ascii_uppercase
from typing import Any

from casewright.basics.errors import RefusedError
from casewright.geometry.model import Run
from casewright.workflow import REMOVE, Edits, InSpace, KeyPath, Removal, Value, written_length

FEWEST = 3
"""Corners that an outline has at least."""


def corner_put_in(worked: InSpace, start: str) -> Edits:
    """The edits that put a corner into the middle of the run that begins at a corner.

    The run's panel becomes two in one plane. The old one stays where its v is counted from, with what sits on it;
    the new one is made like it.

    Args:
        worked: A cabinet with a free outline.
        start: The corner that the run begins at.
    """
    shape, unit = worked.cabinet.shape, worked.opened.project.unit
    run = next(run for run in shape.runs if run.start == start)
    new = next(name for name in _names() if name not in shape.corners)
    middle: Value = [written_length((a + b) / 2, unit) for a, b in zip(run.p, run.q, strict=True)]
    data = worked.opened.document.data
    corners: dict[str, Value] = {}
    for name, at in data["shape"]["corners"].items():
        corners[name] = at
        if name == start:
            corners[new] = middle
    edits: dict[KeyPath, Value | Removal] = {("shape", "corners"): corners}
    key = _panel_on(worked, run)
    if not key:
        return edits
    halves = (f"{run.start}-{new}", f"{new}-{run.end}")
    taken = {*worked.cabinet.piece_by_key, *worked.opened.project.panels}
    other = next(f"{key}-{n}" for n in count(2) if f"{key}-{n}" not in taken)
    made = {name: deepcopy(value) for name, value in data["panels"][key].items() if name != "label"}
    edits["panels", key, "run"] = halves[0] if run.climbs else halves[1]
    edits["panels", other] = {**made, "run": halves[1] if run.climbs else halves[0]}
    end = run.end if run.climbs else run.start
    neighbor = next(r for r in shape.runs if r is not run and end in (r.start, r.end))
    return edits | _seams(worked, {key, _panel_on(worked, neighbor)}, {key: other})


def corner_taken_out(worked: InSpace, corner: str) -> Edits:
    """The edits that take a corner out; one of the two panels there goes, the other one fills the gap.

    The one that carries something stays, else the one that the file names first.

    Args:
        worked: A cabinet with a free outline.
        corner: Its name.

    Raises:
        RefusedError: It is one of three, or something sits on both panels.
    """
    shape = worked.cabinet.shape
    if len(shape.corners) <= FEWEST:
        raise RefusedError([f"An outline has {FEWEST} corners at least."])
    before = next(run for run in shape.runs if run.end == corner)
    after = next(run for run in shape.runs if run.start == corner)
    corners = dict(worked.opened.document.data["shape"]["corners"])
    del corners[corner]
    edits: dict[KeyPath, Value | Removal] = {("shape", "corners"): corners}
    there = [key for run in (before, after) if (key := _panel_on(worked, run))]
    order = tuple(worked.opened.project.panels)
    there.sort(key=lambda key: (not next(_on(worked, key), ""), order.index(key)))
    stays, goes = (*there, "", "")[:2]
    burden = next(_on(worked, goes), "") if goes else ""
    if burden:
        label = {piece.key: piece.label or piece.key for piece in worked.cabinet.pieces}
        raise RefusedError(
            [
                f"Both {label.get(stays, stays)} and {label.get(goes, goes)} carry something. "
                f"Move {burden} off {label.get(goes, goes)} first."
            ]
        )
    if stays:
        edits["panels", stays, "run"] = f"{before.start}-{after.end}"
    if goes:
        edits["panels", goes] = REMOVE
        edits |= _seams(worked, {goes}, {goes: stays})
    return edits


def _names() -> Iterator[str]:
    for turn in count(1):
        for letter in ascii_uppercase:
            yield letter if turn == 1 else f"{letter}{turn}"


def _panel_on(worked: InSpace, run: Run) -> str:
    """Key of the panel on a run, an open one too; "" where there is none."""
    panels = worked.opened.project.panels
    said = (k for k, p in panels.items() if p.run.replace(" ", "").replace("–", "-") == run.name)
    return next(said, "")


def _on(worked: InSpace, panel: str) -> Iterator[str]:
    """What sits on a panel or is cut into it, as it is called."""
    project = worked.opened.project
    for placed in worked.cabinet.placed:
        if placed.wish.on == panel:
            yield placed.label or placed.key
    for key, door in project.doors.items():
        if door.on == panel:
            yield door.label or key
    for feature in project.features:
        if feature.on == panel:
            yield feature.label or f"the {feature.shape}"


def _seams(
    worked: InSpace, of: set[str], renamed: Mapping[str, str]
) -> dict[KeyPath, Value | Removal]:
    """The seams of these panels said of others; one between a panel and itself is left out."""
    written: list[Any] = worked.opened.document.data.get("seams") or []
    seams: list[Any] = []
    for seam in written:
        if of <= set(seam["between"]):
            seam = _renamed(seam, renamed)
        if len(set(seam["between"])) == 2:
            seams.append(seam)
    if len(seams) == len(written):
        return {("seams", n): s for n, s in enumerate(seams) if s != written[n]}
    return {("seams",): seams or REMOVE}


def _renamed(said: Any, names: Mapping[str, str]) -> Any:
    if isinstance(said, Mapping):
        return {names.get(key, key): _renamed(value, names) for key, value in said.items()}
    if isinstance(said, list | tuple):
        return [_renamed(one, names) for one in said]
    return names.get(said, said) if isinstance(said, str) else said


__all__ = ["FEWEST", "corner_put_in", "corner_taken_out"]
