"""What is shown of the findings while their remedies are looked for and cutting is planned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from casewright.basics.findings import Finding
from casewright.workflow import Worked, in_order


def meanwhile(found: Sequence[Finding], before: Worked | None) -> tuple[Finding, ...]:
    """What the checks found, with what is not known anew yet as it was before.

    Args:
        found: In the changed cabinet, without the remedies that take long to find.
        before: What was worked out last.

    Returns:
        The gravest first. A finding that is the same word for word keeps the remedies that it had, so that nothing
        flickers; what followed from cutting and purchases is what followed from them last.
    """
    if before is None:
        return tuple(found)
    known = {_said(finding): finding for finding in before.told}
    kept = []
    for finding in found:
        old = known.get(_said(finding))
        bare = not finding.remedies and old is not None
        kept.append(replace(finding, remedies=old.remedies) if bare and old else finding)
    return in_order((*kept, *before.planned))


def _said(finding: Finding) -> tuple[object, ...]:
    return finding.rule, finding.message, finding.place.names


__all__ = ["meanwhile"]
