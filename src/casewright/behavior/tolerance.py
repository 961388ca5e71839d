"""What errors of hand tools may spoil: a display's edge, a panel's fit, a seam, a hole over its pattern."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from casewright.basics.reckoning import Reckoning, Term, derived
from casewright.basics.remembering import Kept, remembered
from casewright.basics.units import shown_beyond
from casewright.behavior.chains import Chain, chains_of
from casewright.behavior.chance import DRAWS, Odds, odds_of
from casewright.behavior.cover_chains import cover_chains_of
from casewright.design.project import Project
from casewright.design.wishes import Wishes, wishes_of
from casewright.design.writing import length_style
from casewright.geometry.model import Cabinet

SAID_FROM = 0.1
"""A chance from here on is worth a finding. Common practice."""

_FINEST = 0.05
"""Errors are not asked to be kept within finer steps. [mm]"""


@dataclass(frozen=True)
class Way:
    """One way to halve a risk."""

    text: str
    """An order; its lengths are told by `length`."""
    field: str
    value: float | str
    chance: float
    """What is left of the risk then."""


@dataclass(frozen=True)
class Risk:
    """One thing that can go wrong, and how likely that is."""

    chain: Chain
    odds: Odds
    ways: tuple[Way, ...] = ()
    """Ways to halve it, the cheapest first; none where it cannot happen."""

    @property
    def matters(self) -> str:
        """The error that counts most."""
        shares = self.odds.shares
        return self.chain.errors[max(range(len(shares)), key=lambda i: shares[i])].label


@dataclass(frozen=True)
class Tolerance:
    """All risks of a cabinet, the likeliest first."""

    risks: tuple[Risk, ...] = ()
    numbers: tuple[Reckoning, ...] = ()

    @property
    def any_chance(self) -> float:
        """Chance that anything at all goes wrong, each by itself."""
        return 1.0 - math.prod(1.0 - risk.odds.chance for risk in self.risks)

    @property
    def alike(self) -> tuple[tuple[Risk, ...], ...]:
        """Risks of one kind with the same odds together, the likeliest first."""
        groups: dict[tuple[object, ...], list[Risk]] = {}
        for risk in self.risks:
            end = risk.chain.key.rpartition(".")[2] if "." in risk.chain.key else ""
            groups.setdefault((risk.chain.kind, end, risk.odds), []).append(risk)
        return tuple(tuple(group) for group in groups.values())


def tolerance_of(cabinet: Cabinet) -> Tolerance:
    """Chances of all that hand tools may spoil.

    Source:
        Limits of error: the project's own, `design.accuracy`. How they add up: `chance`.
    """
    wishes = wishes_of(cabinet.project)
    risks = [
        _risk(_CHAINS.same(chain, chain.key), wishes, project=cabinet.project)
        for chain in (*chains_of(cabinet), *cover_chains_of(cabinet))
    ]
    risks.sort(key=lambda risk: (-risk.odds.chance, risk.chain.key))
    numbers = tuple(_number(risk) for risk in risks)
    return Tolerance(tuple(risks), numbers)


_CHAINS: Kept[Chain] = Kept(4096)


@remembered(4096, besides=("project",))
def _risk(chain: Chain, wishes: Wishes, *, project: Project) -> Risk:
    """One chain's odds and what would better them; `wishes` are the project's."""
    odds = _odds(chain)
    risk = Risk(chain, odds)
    return replace(risk, ways=tuple(_ways(risk, project))) if odds.chance > 0 else risk


def _odds(chain: Chain) -> Odds:
    return odds_of(tuple(error.limit for error in chain.errors), chain.rows, chain.margins)


@remembered(4096)
def _number(risk: Risk) -> Reckoning:
    chain, odds = risk.chain, risk.odds
    row = chain.rows[odds.governing]
    terms = [
        Term(error.label, error.limit, abs(count))
        for error, count in zip(chain.errors, row, strict=True)
        if count and error.limit
    ]
    return derived(
        f"tolerance.{chain.key}",
        f"chance that {chain.says}",
        odds.chance * 100,
        f"share of {DRAWS} draws in which all errors together pass the margin",
        [*terms, Term("margin", chain.margins[odds.governing])],
        unit="%",
        rule="Each error anywhere between its limits, all values equally likely.",
        source="jcgm-101",
    )


def _ways(risk: Risk, project: Project) -> list[Way]:
    """Better marks first, then more room, then more care in the error that counts most."""
    target = min(risk.odds.chance / 2, SAID_FROM * 0.99)
    found = [*_by_template(risk, project, target), *_by_room(risk, project, target)]
    return [*found, *_by_care(risk, target)]


def _by_template(risk: Risk, project: Project, target: float) -> list[Way]:
    accuracy = project.accuracy
    if accuracy.marking != "tape" or accuracy.template >= accuracy.tape:
        return []
    errors = tuple(
        replace(error, limit=accuracy.template) if error.field == "tape" else error
        for error in risk.chain.errors
    )
    left = _odds(replace(risk.chain, errors=errors)).chance
    if left > target:
        return []
    return [Way("Mark by the true-size template", "accuracy.marking", "template", left)]


def _by_room(risk: Risk, project: Project, target: float) -> list[Way]:
    chain = risk.chain
    if not chain.room_field:
        return []
    need = risk.odds.more_margin(target) / chain.room_counts
    value = shown_beyond(chain.room + need, length_style(project), up=True)
    more = (value - chain.room) * chain.room_counts
    wider = replace(chain, margins=tuple(margin + more for margin in chain.margins))
    left = _odds(wider).chance
    return [Way(chain.room_order, chain.room_field, value, left)] if left <= target else []


def _by_care(risk: Risk, target: float) -> list[Way]:
    """The largest limit of one error, for all places where it comes in, that is small enough."""
    chain = risk.chain
    for place in sorted(range(len(chain.errors)), key=lambda i: -risk.odds.shares[i]):
        field = chain.errors[place].field
        if not field:
            continue
        limit, care = chain.errors[place].limit, chain.errors[place].care
        for step in range(math.floor(limit / _FINEST - 1e-9), 0, -1):
            kept = round(step * _FINEST, 6)
            errors = tuple(
                replace(error, limit=kept) if error.field == field else error
                for error in chain.errors
            )
            left = _odds(replace(chain, errors=errors)).chance
            if left <= target:
                return [Way(care, f"accuracy.{field}", kept, left)]
    return []


__all__ = ["SAID_FROM", "Risk", "Tolerance", "Way", "tolerance_of"]
