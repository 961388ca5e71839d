"""Sheet: what errors of hand tools may spoil, and the cheapest way to halve it."""

from __future__ import annotations

import numpy as np

from casewright.basics.findings import at_least
from casewright.basics.wording import fine
from casewright.behavior.tolerance import Risk, Way
from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import (
    Anchor,
    Box,
    Drawing,
    Line,
    Mark,
    Region,
    Text,
    rectangle,
)
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

_WIDTH, _HEIGHT, _BINS = 130.0, 42.0, 48  # mm on paper
_LETTERS = 2.8
_MOST = 12
"""Rows of the table."""


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Chances, worst cases and ways to better them; nothing where nothing has to fit."""
    tolerance = behavior.tolerance
    if not tolerance.risks:
        return None
    first = tolerance.risks[0]
    groups = tolerance.alike[:_MOST]
    inches = cabinet.project.unit == "in"
    return TopicSheet(
        key="tolerance",
        title="Tolerance",
        question="Will small errors spoil the fit?",
        answer=_answer(tolerance.any_chance, first),
        pictures=(Picture(_histogram(cabinet, first), f"Likeliest: {first.chain.says}"),),
        tables=(
            Rows(
                "What may go wrong",
                ("what", "it bears", "at worst", "chance", "most from"),
                tuple(
                    (
                        _said(group),
                        fine(group[0].chain.margins[group[0].odds.governing], inches=inches),
                        fine(group[0].odds.worst, inches=inches),
                        _share(group[0].odds.chance),
                        group[0].matters,
                    )
                    for group in groups
                ),
                (1, 2),
            ),
            Rows(
                "How to halve it",
                ("what", "cheapest way", "then"),
                tuple(
                    (
                        _said(group),
                        _way(group[0].ways[0], inches=inches),
                        _share(group[0].ways[0].chance),
                    )
                    for group in groups
                    if group[0].ways
                ),
            ),
            _limits(cabinet, inches=inches),
        ),
        numbers=tuple(number.key for number in tolerance.numbers[:_MOST]),
        notes=(
            "Limits of error are those of careful work with home tools: write your own under “accuracy”. Every value "
            "between them is taken as equally likely, and every error as independent of the others.",
            "At worst all errors stand at their limits at once; that is what a trial fit may meet, rarely.",
        ),
    )


def _answer(chance: float, likeliest: Risk) -> str:
    if chance <= 0:
        return "With the usual care nothing needs to be eased or filled."
    share = _share(chance)
    need = "need" if share.endswith("of 100") else "needs"
    return (
        f"With the usual care about {share} cabinets {need} something eased or filled; likeliest is that "
        f"{likeliest.chain.says} ({_share(likeliest.odds.chance)})."
    )


def _share(chance: float) -> str:
    """A chance in words that can be pictured."""
    if chance <= 0:
        return "never"
    if chance >= 0.1:
        return f"{chance * 100:.0f} of 100"
    return f"1 of {float(f'{1 / chance:.2g}'):.0f}" if chance >= 1e-3 else "less than 1 of 1000"


def _said(group: tuple[Risk, ...]) -> str:
    more = len(group) - 1
    return group[0].chain.says + (f" (and {more} like it)" if more else "")


def _way(way: Way, *, inches: bool) -> str:
    if isinstance(way.value, str):
        return way.text
    care = way.field.startswith("accuracy.")
    return f"{way.text} {fine(way.value, inches=inches) if care else at_least(way.value)}"


def _limits(cabinet: Cabinet, *, inches: bool) -> Rows:
    accuracy = cabinet.project.accuracy
    rows = [
        ("mark through a template", "template"),
        ("mark by tape", "tape"),
        ("drilled hole", "drill"),
        ("routed edge", "router"),
        ("length at the fence", "fence"),
        ("between pieces of one setting", "repeat"),
        ("thickness of a sheet", "sheet"),
        ("display set by eye", "align"),
    ]
    used = [(label, f"± {fine(getattr(accuracy, name), inches=inches)}") for label, name in rows]
    used.append(("saw's tilt", f"± {accuracy.tilt_deg:g}°"))
    return Rows("Errors reckoned with", ("step", "limit"), tuple(used), (1,))


def _histogram(cabinet: Cabinet, risk: Risk) -> Drawing:
    """How often the errors come to how much, and what the place bears."""
    inches = cabinet.project.unit == "in"
    margin = risk.chain.margins[risk.odds.governing]
    most = max(risk.odds.worst, margin, 1e-6) * 1.05
    counts, edges = np.histogram(risk.odds.draws(), bins=_BINS, range=(-most, most))
    tall = _HEIGHT / max(int(counts.max()), 1)
    per = _WIDTH / (2 * most)
    marks: list[Mark] = []
    for count, low, high in zip(
        counts.tolist(), edges[:-1].tolist(), edges[1:].tolist(), strict=True
    ):
        if not count:
            continue
        box = rectangle(Box(low * per, 0.0, high * per, count * tall), pen="hatch")
        marks += [Region(box, material="new" if high > margin + 1e-9 else "face"), box]
    left, right, at = -most * per, most * per, margin * per
    marks.append(Line((left, 0.0), (right, 0.0), "thin"))
    marks.append(Line((at, -2.0), (at, _HEIGHT + 2.0), "accent"))
    anchor: Anchor = "end" if at > right - 25 else "middle"
    marks.append(
        Text((at, _HEIGHT + 3.5), f"bears {fine(margin, inches=inches)}", _LETTERS, anchor)
    )
    for end in (-risk.odds.worst, 0.0, risk.odds.worst):
        marks.append(Line((end * per, 0.0), (end * per, -1.5), "thin"))
        marks.append(
            Text((end * per, -5.5), fine(end, inches=inches).replace("-", "−"), _LETTERS, "middle")
        )
    return Drawing("How often errors add up to how much", tuple(marks))


__all__ = ["sheet"]
