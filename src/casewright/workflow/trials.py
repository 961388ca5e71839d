"""Remedies carried out on a copy of the project, to tell what else they would bring.

A rule knows what its remedy does to its own finding. What a part that moves, a cabinet that grows or a cheaper sheet
brings elsewhere, only the whole cabinet tells.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Final

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.findings import Finding, Remedy, Severity
from casewright.checks.telling import begun
from casewright.projectfile.editing import proposed_document
from casewright.workflow.reading import Opened, open_document
from casewright.workflow.remedying import remedy_edits

MOST: Final = 12
"""Remedies tried at most, those of the gravest findings first. Where there are more, the first ones that are carried
out change what the rest would do anyway."""

NOT_ENOUGH: Final = "That alone is not enough."
NOTHING: Final = "Here that alone changes nothing."

Outcome = Callable[[Opened], Sequence[Finding]]
"""What is found in a project."""


def with_outcomes(
    findings: Sequence[Finding], opened: Opened, found_in: Outcome
) -> tuple[Finding, ...]:
    """The findings, each remedy that is a matter of values with the stops that it would bring.

    One that changes nothing is left out where there is another.

    Args:
        findings: Of the project, the gravest first. Of notes only what writes where much hangs on it is tried.
        opened: The project.
        found_in: Finds what is found in a changed one; may raise `InputErrors`.
    """
    trials = _Trials(opened, found_in)
    return tuple(_tried(finding, findings, trials) for finding in findings)


_MUCH_HANGS_ON = ("shape", "site", "people", "materials", "seams", "batten")
"""Sections of the file that change a whole cabinet; a note's other remedies mend a small thing in its place."""


class _Trials:
    """What is found in the project after each remedy; the same values are tried once."""

    def __init__(self, opened: Opened, found_in: Outcome) -> None:
        self._opened, self._found_in = opened, found_in
        self._known: dict[tuple[object, ...], Sequence[Finding] | InputError] = {}

    def after(self, remedy: Remedy) -> Sequence[Finding] | InputError | None:
        """What is found then, or what stands against it; None where it was not tried."""
        values = (remedy.field, remedy.value, remedy.also)
        if values not in self._known:
            if remedy.value is None or len(self._known) == MOST:
                return None
            self._known[values] = self._carried_out(remedy)
        return self._known[values]

    def _carried_out(self, remedy: Remedy) -> Sequence[Finding] | InputError:
        document = self._opened.document
        try:
            edits = remedy_edits(remedy, document, self._opened)
            changed = open_document(proposed_document(document, edits), self._opened.catalog)
            return self._found_in(changed)
        except InputError as error:
            return error
        except InputErrors as errors:
            return errors.errors[0]


def _tried(finding: Finding, before: Sequence[Finding], trials: _Trials) -> Finding:
    remedies = []
    for remedy in finding.remedies:
        section = remedy.field.partition(".")[0]
        is_small = finding.severity is Severity.NOTE and section not in _MUCH_HANGS_ON
        after = None if is_small else trials.after(remedy)
        remedies.append(remedy if after is None else _with_outcome(remedy, finding, before, after))
    useful = [remedy for remedy in remedies if remedy.brings != NOTHING] or remedies
    return begun(replace(finding, remedies=tuple(useful)))


def _with_outcome(
    remedy: Remedy,
    finding: Finding,
    before: Sequence[Finding],
    after: Sequence[Finding] | InputError,
) -> Remedy:
    """The remedy with what it would bring; without its value where that cannot be written, or changes nothing."""
    if isinstance(after, InputError):
        place = f", {after.field}" if after.field else ""
        words = f"Something else stands against it{place}: {after.want} would be asked."
        return Remedy(remedy.text, brings=words)
    same = [other for other in after if _is_same(finding, other)]
    if any(other.message == finding.message for other in same):
        return Remedy(remedy.text, brings=NOTHING)
    said = [NOT_ENOUGH] if same and NOT_ENOUGH not in remedy.text else []
    brought = [f for f in after if f.severity is Severity.STOP and not is_known(f, before)]
    if brought:
        first = brought[0].message
        said.append(
            f"That brings another stop: {first}"
            if len(brought) == 1
            else f"That brings {len(brought)} other stops, first of all: {first}"
        )
    return replace(remedy, brings=" ".join(said))


def _is_same(finding: Finding, other: Finding) -> bool:
    """Whether another cabinet has the same to be said of it, no less gravely."""
    return (finding.rule, finding.place.names) == (other.rule, other.place.names) and (
        other.severity.rank <= finding.severity.rank
    )


def is_known(finding: Finding, before: Iterable[Finding]) -> bool:
    """Whether the same was said before of its parts, in one finding or in several."""
    names = set(finding.place.names)
    said = [
        set(other.place.names)
        for other in before
        if other.rule == finding.rule and other.severity.rank <= finding.severity.rank
    ]
    if any(names <= other for other in said):
        return True
    within = [other for other in said if other <= names]
    return bool(within) and names == set().union(*within)


__all__ = ["MOST", "NOTHING", "NOT_ENOUGH", "is_known", "with_outcomes"]
