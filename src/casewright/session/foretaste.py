"""What is shown of the findings while their remedies are looked for and cutting is planned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy
from casewright.workflow import in_order


def meanwhile(
    found: Sequence[Finding], shown: Sequence[Finding], planned: Sequence[Finding]
) -> tuple[Finding, ...]:
    """What the checks found, with what is not known anew yet as it was before.

    Args:
        found: In the changed cabinet, without the remedies that take long to find.
        shown: What is shown of the cabinet before.
        planned: What followed from its cutting and purchases.

    Returns:
        The gravest first. A finding that is the same word for word keeps the remedies that it had, so that nothing
        flickers; what followed from cutting and purchases is what followed from them last.
    """
    known = {_said(finding): finding for finding in shown}
    kept = []
    for finding in found:
        old = known.get(_said(finding))
        bare = not finding.remedies and old is not None
        kept.append(replace(finding, remedies=old.remedies) if bare and old else finding)
    return in_order((*kept, *planned))


def with_outcomes_kept(
    findings: Sequence[Finding], tried: Sequence[Finding]
) -> tuple[Finding, ...]:
    """Findings with what the last trial told of remedies that are the same, so that a page does not jump.

    Args:
        findings: Whose remedies were not tried yet.
        tried: Whose remedies were, of an earlier cabinet.
    """
    known = {(_said(finding), one.text): one for finding in tried for one in finding.remedies}

    def kept(finding: Finding, remedy: Remedy) -> Remedy:
        old = known.get((_said(finding), remedy.text))
        same = old is not None and replace(old, brings="") == replace(remedy, brings="")
        return old if old is not None and same else remedy

    return tuple(
        replace(finding, remedies=tuple(kept(finding, one) for one in finding.remedies))
        for finding in findings
    )


def _said(finding: Finding) -> tuple[object, ...]:
    return finding.rule, finding.message, finding.place.names


__all__ = ["meanwhile", "with_outcomes_kept"]
