"""The same finding at the left and at the right is one."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from casewright.basics.findings import Finding, Place, Remedy, Unsaid

_SIDE = re.compile(r"\b(left|right)\b")


def paired(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings with equal ones said once, and mirror images joined: "the left and right end of deck".

    Only findings that say left or right once, and are else the same word for word, are mirror images.
    """
    made: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        single = len(_SIDE.findall(finding.message)) == 1
        key = (
            finding.rule,
            finding.severity,
            _SIDE.sub("one", finding.message) if single else finding.message,
            tuple(_key(remedy) for remedy in finding.remedies),
        )
        alike = made.setdefault(key, [])
        for at, known in enumerate(alike):
            if not _has_same_orders(known, finding):
                continue
            message = known.message
            if message != finding.message:
                message = _SIDE.sub("left and right", message, count=1)
            names = tuple(dict.fromkeys((*known.place.names, *finding.place.names)))
            alike[at] = replace(known, message=message, place=Place(names, known.place.point))
            break
        else:
            alike.append(finding)
    return tuple(finding for alike in made.values() for finding in alike)


def _has_same_orders(a: Finding, b: Finding) -> bool:
    """Whether two findings whose remedies look alike have the same ones; those that were left unsaid are found."""
    if not any(isinstance(remedy, Unsaid) for remedy in a.remedies):
        return True
    first, second = ([_key(one) for one in every_remedy(finding)] for finding in (a, b))
    return first == second


def every_remedy(finding: Finding) -> tuple[Remedy, ...]:
    """A finding's remedies, those found that were left unsaid."""
    return tuple(
        one
        for remedy in finding.remedies
        for one in (remedy.find() if isinstance(remedy, Unsaid) else (remedy,))
    )


def _key(remedy: Remedy) -> tuple[object, ...]:
    return (_SIDE.sub("one", remedy.text), remedy.field, remedy.value, remedy.also)


__all__ = ["every_remedy", "paired"]
