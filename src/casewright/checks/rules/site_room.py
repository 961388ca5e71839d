"""The cabinet fits the place where it stands."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING
from casewright.checks.subject import Subject
from casewright.geometry.model import Body, Cabinet, Piece
from casewright.geometry.solids import box_of

RULE = Rule(
    id="site.room",
    severity=Severity.STOP,
    asks="Width and depth over all, balls and knobs included, are within what the place allows.",
    why="It is built to stand there.",
    source="Project setting",
)


LEAST = 60.0
"""No cabinet is smaller. Common practice. [mm]"""

_PROUD = 80.0
"""Handles and knobs stand out by less. Common practice. [mm]"""


def _depth(cabinet: Cabinet) -> float | None:
    return getattr(cabinet.project.shape, "depth", None)


def _stands_out(cabinet: Cabinet, axis: int) -> str:
    """Label of what reaches far out of the cabinet's own width (0) or depth (1); "" for nothing."""
    ys = [y for y, _ in cabinet.shape.corners.values()]
    low, high = (0.0, cabinet.shape.width) if axis == 0 else (min(ys), max(ys))
    labels = {placed.key: placed.label for placed in cabinet.placed}
    worst, label = _PROUD, ""
    things: list[Piece | Body] = [*cabinet.pieces]
    things += [body for body in cabinet.bodies if body.kind == "solid"]
    for thing in things:
        least, most = (float(end[axis]) for end in box_of(thing))
        out = max(low - least, most - high)
        if out > worst:
            worst = out
            label = thing.label if isinstance(thing, Piece) else labels.get(thing.owner, thing.key)
    return label


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each direction in which it is too large."""
    cabinet = subject.cabinet
    site = cabinet.project.site
    if site.width is None and site.depth is None:
        return
    wide, deep, _ = subject.size
    for name, size, room in (("wide", wide, site.width), ("deep", deep, site.depth)):
        if room is None or size <= room + TOUCHING:
            continue
        over = size - room
        remedy = Remedy(f"Make it {at_least(over)} less {name}.")
        own = cabinet.project.shape.width if name == "wide" else _depth(cabinet)
        beyond = _stands_out(cabinet, 0 if name == "wide" else 1)
        if beyond:
            remedy = Remedy(f"Bring in {beyond}, which stands out of the cabinet there.")
        elif own is None or own - over < LEAST:
            pass  # no size to write, or none that leaves a cabinet
        elif name == "wide" and cabinet.project.shape.width is not None:
            value = cabinet.shape.width - over
            remedy = Remedy(f"Make the cabinet {mm(value)} wide.", "shape.width", value)
        elif name == "deep":
            value = own - over
            remedy = Remedy(f"Make the cabinet {mm(value)} deep.", "shape.depth", value)
        yield RULE.finding(
            f"The cabinet is {mm(size)} {name} over all; its place allows {mm(room)}.",
            remedies=(remedy,),
        )


__all__ = ["RULE", "find"]
