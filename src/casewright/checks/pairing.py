"""The same finding at the left and at the right is one."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from casewright.basics.findings import Finding, Place, Remedy

_SIDE = re.compile(r"\b(left|right)\b")


def paired(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings with equal ones said once, and mirror images joined: "the left and right end of deck".

    Only findings that say left or right once, and are else the same word for word, are mirror images.
    """
    made: dict[tuple[object, ...], Finding] = {}
    for finding in findings:
        single = len(_SIDE.findall(finding.message)) == 1
        key = (
            finding.rule,
            finding.severity,
            _SIDE.sub("one", finding.message) if single else finding.message,
            tuple(_key(remedy) for remedy in finding.remedies),
        )
        known = made.get(key)
        if known is None:
            made[key] = finding
            continue
        message = known.message
        if message != finding.message:
            message = _SIDE.sub("left and right", message, count=1)
        names = tuple(dict.fromkeys((*known.place.names, *finding.place.names)))
        made[key] = replace(known, message=message, place=Place(names, known.place.point))
    return tuple(made.values())


def _key(remedy: Remedy) -> tuple[object, ...]:
    return (_SIDE.sub("one", remedy.text), remedy.field, remedy.value, remedy.also)


__all__ = ["paired"]
