"""What differs between two states of a cabinet, so that a page sends and draws only that."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol, TypeVar

from casewright.basics.findings import Finding
from casewright.workflow import Worked

Cause = Literal["edit", "text", "undo", "redo", "reload", "save", "preview"]


class _Keyed(Protocol):
    @property
    def key(self) -> str: ...


Thing = TypeVar("Thing", bound=_Keyed)


@dataclass(frozen=True)
class Changed:
    """Keys of things of one sort that are new or different, and of those that are gone."""

    changed: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.changed or self.removed)

    def then(self, later: Changed) -> Changed:
        """Both, one after the other."""
        gone, there = set(later.removed), set(later.changed)
        return Changed(
            (*(key for key in self.changed if key not in gone | there), *later.changed),
            (*(key for key in self.removed if key not in gone | there), *later.removed),
        )


@dataclass(frozen=True)
class Changes:
    """All that differs between two states; two equal states make one that is false."""

    cause: Cause = "edit"
    label: str = ""
    """What the step is called."""
    pieces: Changed = Changed()
    bodies: Changed = Changed()
    placed: Changed = Changed()
    numbers: Changed = Changed()
    shape: bool = False
    """The outline, its slabs or seams."""
    collisions: bool = False
    balance: bool = False
    cutting: bool = False
    shopping: bool = False
    text: bool = False
    """The file's text."""
    errors: bool = False
    """What is wrong with the text."""
    findings_new: tuple[Finding, ...] = ()
    findings_gone: tuple[Finding, ...] = ()
    stage: Literal["space", "judged", "whole"] = "whole"
    """"space": the cabinet in space is there, the rest is still being worked out; "judged": what the checks found is
    there as well."""

    def then(self, later: Changes) -> Changes:
        """What differs after both, one after the other; what the second takes back counts as changed still."""
        new, gone = self.findings_new, self.findings_gone
        return Changes(
            later.cause,
            later.label,
            pieces=self.pieces.then(later.pieces),
            bodies=self.bodies.then(later.bodies),
            placed=self.placed.then(later.placed),
            numbers=self.numbers.then(later.numbers),
            shape=self.shape or later.shape,
            collisions=self.collisions or later.collisions,
            balance=self.balance or later.balance,
            cutting=self.cutting or later.cutting,
            shopping=self.shopping or later.shopping,
            text=self.text or later.text,
            errors=self.errors or later.errors,
            findings_new=(*_without(new, later.findings_gone), *_without(later.findings_new, gone)),
            findings_gone=(
                *_without(gone, later.findings_new),
                *_without(later.findings_gone, new),
            ),
            stage=later.stage,
        )

    @property
    def findings(self) -> bool:
        """Whether any finding came or went."""
        return bool(self.findings_new or self.findings_gone)

    def __bool__(self) -> bool:
        return any(
            (
                self.pieces,
                self.bodies,
                self.placed,
                self.numbers,
                self.shape,
                self.collisions,
                self.balance,
                self.cutting,
                self.shopping,
                self.text,
                self.errors,
                self.findings,
            )
        )


def compare(
    before: Worked | None,
    after: Worked | None,
    *,
    cause: Cause = "edit",
    label: str = "",
    text: bool = False,
    errors: bool = False,
) -> Changes:
    """What differs between two states, by value; None is a state in which nothing is there."""
    if before is after:
        return Changes(cause, label, text=text, errors=errors)
    old = before.cabinet if before else None
    new = after.cabinet if after else None
    was = before.told if before else ()
    now = after.told if after else ()
    same_shape = (
        old is not None
        and new is not None
        and (old.shape, old.slabs, old.corners) == (new.shape, new.slabs, new.corners)
    )
    return Changes(
        cause,
        label,
        pieces=_differing(old.pieces if old else (), new.pieces if new else ()),
        bodies=_differing(old.bodies if old else (), new.bodies if new else ()),
        placed=_differing(old.placed if old else (), new.placed if new else ()),
        numbers=_differing(
            before.numbers.values() if before else (), after.numbers.values() if after else ()
        ),
        shape=not same_shape,
        collisions=not (before and after and before.collisions == after.collisions),
        balance=not (before and after and before.balance == after.balance),
        cutting=not (before and after and before.cutting == after.cutting),
        shopping=not (before and after and before.shopping == after.shopping),
        text=text,
        errors=errors,
        findings_new=_without(now, was),
        findings_gone=_without(was, now),
    )


def compare_findings(before: Sequence[Finding], after: Sequence[Finding]) -> Changes:
    """What differs where nothing but what is said of a cabinet does."""
    return Changes(findings_new=_without(after, before), findings_gone=_without(before, after))


def _differing(before: Iterable[Thing], after: Iterable[Thing]) -> Changed:
    old = {thing.key: thing for thing in before}
    new = {thing.key: thing for thing in after}
    return Changed(
        tuple(key for key, thing in new.items() if key not in old or old[key] != thing),
        tuple(key for key in old if key not in new),
    )


def _without(findings: Iterable[Finding], others: Iterable[Finding]) -> tuple[Finding, ...]:
    known = set(others)
    return tuple(finding for finding in findings if finding not in known)


__all__ = ["Cause", "Changed", "Changes", "compare", "compare_findings"]
