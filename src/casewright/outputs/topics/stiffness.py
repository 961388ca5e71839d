"""Sheet: how far boards give, and whether they hold."""

from __future__ import annotations

import math

from casewright.basics.customary import force_words
from casewright.basics.units import Unit
from casewright.basics.wording import capital, fine
from casewright.behavior.stiffness import SHELF_KG, Member, Stiffness
from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import Drawing, Line, Mark, Polyline, Region, Text
from casewright.outputs.drawings.symbols import arrow_head
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

LETTERS = 3.2
"""Height of the lettering. [mm on paper]"""

SPAN = 85.0
"""Longest span in the picture. [mm on paper]"""

SHOWN = 4
"""Boards in the picture at most, those nearest to their limits."""

DEEPEST = 7.0
"""Drawn sag of the board nearest to its limit. [mm on paper]"""

HEAD = 3.5
"""Length of an arrow's head. [mm on paper]"""

ROW = 21.0
"""From board to board. [mm on paper]"""

_STEPS = 24


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Sag and stress of every board that is looked at; nothing where there is none."""
    stiffness = behavior.stiffness
    if not stiffness.members:
        return None
    return TopicSheet(
        key="stiffness",
        title="Stiffness",
        question="Does it give when somebody leans on it?",
        answer=_answer(stiffness.members[0]),
        pictures=(
            Picture(_picture(stiffness), "How the boards give, from the front; not to scale"),
        ),
        tables=(
            Rows(
                "Boards and their loads",
                ("board", "load", "may give", "gives of that", "bears of its strength"),
                tuple(_row(member, cabinet.project.unit) for member in stiffness.members),
                (2, 3, 4),
            ),
        ),
        numbers=tuple(number.key for number in stiffness.numbers),
        notes=tuple(_notes(cabinet, stiffness)),
    )


def _answer(worst: Member) -> str:
    under = "a leaning hand" if worst.kind == "hand" else "what it carries, after years"
    label = capital(worst.label)
    limit = f"{100 * worst.use:.0f} % of what is allowed, under {under}"
    return f"{label} {'comes nearest' if worst.use <= 1 else 'is too weak'}: {limit}."


def _row(member: Member, unit: Unit) -> tuple[str, ...]:
    share = member.first.stress / member.stress_most
    what = "hand" if member.kind == "hand" else "standing"
    return (
        member.label,
        f"{what}, {force_words(member.load, unit)}",
        fine(member.sag_most, inches=unit == "in"),
        f"{100 * member.sag / member.sag_most:.0f} %",
        f"{100 * share:.0f} %" if math.isfinite(member.stress_most) else "not known",
    )


def _notes(cabinet: Cabinet, stiffness: Stiffness) -> list[str]:
    notes = [
        "Overlays, cleats and glue stiffen a board further; they are not counted. Holes are.",
        "Moduli and strengths are usual values of the catalog's boards; a sheet of your own may differ by a fifth.",
    ]
    kinds = sorted({m.board.kind for m in stiffness.members if m.kind == "standing"})
    for kind in kinds:
        creep = next(m.board.creep for m in stiffness.members if m.board.kind == kind)
        if creep:
            notes.append(
                f"Under a load that stays, {kind} sags {1 + creep:.2g} times as far after years."
            )
    if stiffness.assumed:
        names = ", ".join(cabinet.piece_by_key[key].label for key in stiffness.assumed)
        notes.append(f"Taken to carry {SHELF_KG:g} kg, as nothing is said: {names}.")
    return notes


def _picture(stiffness: Stiffness) -> Drawing:
    """One board under another: supports, load, and the line it bends to, far exaggerated."""
    shown = stiffness.members[:SHOWN]
    longest = max(member.span for member in shown)
    scale = SPAN / longest
    most = max(member.use for member in shown)
    marks: list[Mark] = []
    for row, member in enumerate(shown):
        level = -row * ROW / scale
        marks += _board(member, level, scale, DEEPEST * member.use / most)
    return Drawing("Boards under load", tuple(marks), scale=scale)


def _board(member: Member, level: float, scale: float, depth: float) -> list[Mark]:
    """`depth` is the drawn sag. [mm on paper]"""
    paper = 1 / scale
    span, thick = member.span, 1.6 * paper
    line = [
        (t * span, level - _shape(member, t) * depth * paper)
        for t in (step / _STEPS for step in range(_STEPS + 1))
    ]
    lower = [(x, y - thick) for x, y in reversed(line)]
    body = Polyline((*line, *lower))
    size = 2.4 * paper
    marks: list[Mark] = [
        Line((0.0, level), (span, level), "centre"),
        Region(body, material="face"),
        Polyline(body.points, pen="accent"),
    ]
    for x in (0.0, span):
        foot = level - thick
        marks.append(
            Polyline(((x, foot), (x - size, foot - 1.6 * size), (x + size, foot - 1.6 * size)))
        )
    spots = (0.5,) if member.how == "middle" else (0.15, 0.325, 0.5, 0.675, 0.85)
    for t in spots:
        tip = (t * span, level - _shape(member, t) * depth * paper)
        top = (tip[0], level + 5.5 * paper)
        marks += [Line(top, tip, "thin"), arrow_head(tip, -90.0, scale=scale, size=HEAD)]
    right = span + 5 * paper
    marks += [
        Text((right, level + 0.2 * paper), f"{member.label}, {member.load:.0f} N", LETTERS),
        Text((right, level - 1.7 * LETTERS * paper), _figures(member), LETTERS),
    ]
    return marks


def _figures(member: Member) -> str:
    return f"{100 * member.use:.0f} % of its limit"


def _shape(member: Member, t: float) -> float:
    """Sag at a share of the span, of that in the middle.

    Source: roark, straight beams; of a plate the first term of its series.
    """
    if member.held == "four edges":
        return math.sin(math.pi * t)
    if member.how == "middle":
        t = min(t, 1 - t)
        return 3 * t - 4 * t**3
    return 16 / 5 * (t - 2 * t**3 + t**4)


__all__ = ["sheet"]
