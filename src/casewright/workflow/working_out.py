"""From a project as read to everything that is worked out from it, stage by stage."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cached_property
from typing import TypeAlias

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.findings import Finding, Severity
from casewright.basics.reckoning import Reckoning
from casewright.behavior.balance import Balance, weigh
from casewright.behavior.whole import Behavior, behavior_of
from casewright.catalog.load import Catalog
from casewright.checks import Subject, run_checks
from casewright.design.project import Project
from casewright.geometry.build import build_cabinet
from casewright.geometry.collisions import Collision, find_collisions
from casewright.geometry.fastening import screw_sizes
from casewright.geometry.model import Cabinet
from casewright.geometry.place_numbers import place_numbers
from casewright.planning.as_built import Replan, Way, record_errors, record_findings
from casewright.planning.as_built import keep as keep_plan
from casewright.planning.as_built import replan as ways_on
from casewright.planning.blanks import Cutting, plan_cutting, strip_errors
from casewright.planning.buying import Shopping, list_purchases
from casewright.planning.work import WorkPlan, is_shut, plan_work
from casewright.workflow.reading import Opened, located
from casewright.workflow.trials import with_outcomes

Progress = Callable[[str], None]
"""Called with the name of the stage that begins."""


def silent(stage: str) -> None:
    """Say nothing."""


def _always() -> bool:
    return True


@dataclass(frozen=True)
class Built:
    """A project's cabinet in space, before anything is judged or planned."""

    opened: Opened
    cabinet: Cabinet
    collisions: tuple[Collision, ...]

    @property
    def numbers(self) -> Mapping[str, Reckoning]:
        """Those of its geometry."""
        return self.cabinet.numbers


class Superseded(Exception):
    """Working out was given up, since nobody wants the result any more."""


@dataclass(frozen=True)
class Worked:
    """Everything worked out from a project."""

    opened: Opened
    cabinet: Cabinet
    collisions: tuple[Collision, ...]
    behavior: Behavior
    findings: tuple[Finding, ...]
    cutting: Cutting
    shopping: Shopping
    planned: tuple[Finding, ...] = ()
    """Those of the findings that follow from cutting, purchases, the order of work and what is made already."""
    made: Way | None = None
    """What exists, held against the plan as it is; None where nothing does."""

    def of(self, opened: Opened) -> Worked:
        """The same, said of an equal project; what was found when it was first asked for is not found again."""
        same = replace(self, opened=opened)
        for name in ("work", "numbers", "every_number", "advised"):
            if name in vars(self):
                vars(same)[name] = vars(self)[name]
        return same

    @property
    def again(self) -> frozenset[str]:
        """Keys of the pieces that exist but have to be made anew."""
        return _made_anew(self.made)

    @property
    def balance(self) -> Balance:
        """Mass and centre of gravity."""
        return self.behavior.balance

    @cached_property
    def work(self) -> WorkPlan:
        """The order of work; found when it is first asked for."""
        behavior = self.behavior
        return plan_work(self.cabinet, self.cutting, behavior.painting, self.again, behavior.wiring)

    @cached_property
    def numbers(self) -> Mapping[str, Reckoning]:
        """All numbers by key but those of the order of work and the places of parts."""
        own = {**self.cabinet.numbers, **self.behavior.numbers}
        return {**own, **{number.key: number for number in self.shopping.numbers}}

    @cached_property
    def every_number(self) -> Mapping[str, Reckoning]:
        """All numbers by key, those of the order of work and the places of parts too."""
        more = (*self.work.numbers, *place_numbers(self.cabinet))
        return {**self.numbers, **{number.key: number for number in more}}

    @cached_property
    def advised(self) -> tuple[Finding, ...]:
        """The findings, each remedy with the stops that it would bring; tried when they are first asked for."""
        return _advised(self, _always)

    @property
    def told(self) -> tuple[Finding, ...]:
        """The findings as far as they are known: with what their remedies bring, where that was tried already."""
        return self.advised if self.is_tried else self.findings

    @property
    def is_tried(self) -> bool:
        """Whether remedies were tried already."""
        return "advised" in vars(self)

    def try_remedies(self, *, wanted: Callable[[], bool] = _always) -> None:
        """Have `advised` ready.

        Args:
            wanted: Asked between stages whether it is still wanted.

        Raises:
            Superseded: It is wanted no more.
        """
        if not self.is_tried:
            vars(self)["advised"] = _advised(self, wanted)

    @cached_property
    def stops(self) -> tuple[Finding, ...]:
        """Findings that forbid cutting."""
        return tuple(f for f in self.findings if f.severity is Severity.STOP)


InSpace: TypeAlias = Built | Worked
"""A project with its cabinet, whether or not the rest is worked out yet."""


def build_up(opened: Opened, *, progress: Progress = silent) -> Built:
    """Work out the cabinet in space, and what collides in it.

    Raises:
        InputErrors: Names that lead nowhere, each with its line.
    """
    progress("geometry")
    try:
        cabinet = build_cabinet(
            opened.project, opened.parts, screw_sizes(opened.catalog, opened.project.unit)
        )
        wrong = record_errors(cabinet) if opened.project.as_built else []
        if wrong := [*wrong, *strip_errors(cabinet)]:
            raise InputErrors(wrong)
    except InputErrors as errors:
        raise located(errors, opened.document) from None
    progress("collisions")
    return Built(opened, cabinet, find_collisions(cabinet))


def work_out(
    opened: Opened,
    *,
    built: Built | None = None,
    progress: Progress = silent,
    wanted: Callable[[], bool] = _always,
    remedies: bool = True,
    judged: Callable[[tuple[Finding, ...]], None] | None = None,
) -> Worked:
    """Work out the whole cabinet.

    Args:
        opened: The project.
        built: What `build_up` made of it, where that is at hand.
        progress: Told of each stage.
        wanted: Asked between stages whether the result is still wanted.
        remedies: False leaves those of checks unsaid that take long to find. Every figure is the same then, and as many
            findings are there as with them; nobody may read their remedies.
        judged: Told what the checks found as soon as that is known: before cutting and purchases are planned, and
            without the remedies that take long to find.

    Raises:
        InputErrors: Names that lead nowhere, each with its line.
        Superseded: It is wanted no more.
    """

    def begin(stage: str) -> None:
        if not wanted():
            raise Superseded
        progress(stage)

    if built is None:
        built = build_up(opened, progress=progress)
    cabinet, collisions = built.cabinet, built.collisions
    begin("behavior")
    behavior = behavior_of(cabinet, weigh(cabinet, densities(opened.catalog)), opened.catalog)
    begin("checks")
    subject = Subject(cabinet, opened.catalog, collisions, behavior, is_counted=not remedies)

    def first(found: tuple[Finding, ...]) -> None:
        if judged is not None:
            judged(found)
        begin("remedies")

    findings = run_checks(subject, first=first if judged is not None else None)
    begin("cutting")
    kept = keep_plan(cabinet) if opened.project.as_built else None
    again = _made_anew(kept)
    cutting = plan_cutting(cabinet, again=again)
    shopping = list_purchases(cabinet, cutting, behavior.painting, behavior.wiring)
    # Only where nothing comes off can the order of work lock a part in; elsewhere it is worked out when asked for.
    shut = (
        plan_work(cabinet, cutting, behavior.painting, again, behavior.wiring).findings
        if is_shut(cabinet)
        else ()
    )
    records = record_findings(cabinet, kept) if kept else ()
    planned = (*cutting.findings, *shopping.findings, *shut, *records)
    return Worked(
        opened,
        cabinet,
        collisions,
        behavior,
        in_order((*findings, *planned)),
        cutting,
        shopping,
        planned,
        kept,
    )


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings, each once, the gravest first."""
    return tuple(sorted(set(findings), key=lambda finding: finding.order))


def _advised(worked: Worked, wanted: Callable[[], bool]) -> tuple[Finding, ...]:
    def found_in(changed: Opened) -> tuple[Finding, ...]:
        if not wanted():
            raise Superseded
        return work_out(changed, wanted=wanted, remedies=False).findings

    return with_outcomes(worked.findings, worked.opened, found_in)


def replan(worked: Worked) -> Replan:
    """The ways on from the pieces that exist: what to do with each, and how the plan may follow them."""
    opened = worked.opened
    sizes = screw_sizes(opened.catalog, opened.project.unit)

    def rebuilt(project: Project) -> Cabinet:
        return build_cabinet(project, opened.parts, sizes)

    def judged(cabinet: Cabinet) -> frozenset[str]:
        collisions = find_collisions(cabinet)
        balance = weigh(cabinet, densities(opened.catalog))
        behavior = behavior_of(cabinet, balance, opened.catalog)
        findings = run_checks(Subject(cabinet, opened.catalog, collisions, behavior))
        return frozenset(f.message for f in findings if f.severity is Severity.STOP)

    return ways_on(worked.cabinet, rebuilt, judged)


def explain(worked: Worked, key: str) -> Reckoning:
    """The reckoning of one number.

    Raises:
        InputError: There is no such number; the nearest ones are named.
    """
    if key in worked.numbers:
        return worked.numbers[key]
    numbers = worked.every_number
    if key in numbers:
        return numbers[key]
    near = get_close_matches(key, list(numbers), 3, 0.3)
    raise InputError(
        "number",
        got=key,
        want="the name of a number, such as " + ", ".join(near or sorted(numbers)[:3]),
        example=near[0] if near else "",
    )


def densities(catalog: Catalog) -> dict[str, float]:
    """Density by species, and by kind of material where no species is named: the kind's first. [kg/m³]"""
    by_kind: dict[str, float] = {
        species.kind: species.density for species in reversed(tuple(catalog.species.values()))
    }
    return {**by_kind, **{key: species.density for key, species in catalog.species.items()}}


def _made_anew(kept: Way | None) -> frozenset[str]:
    return (
        frozenset(a.piece for a in kept.answers if a.verdict == "remake") if kept else frozenset()
    )


__all__ = [
    "Built",
    "InSpace",
    "Progress",
    "Superseded",
    "Worked",
    "build_up",
    "densities",
    "explain",
    "in_order",
    "replan",
    "silent",
    "work_out",
]
