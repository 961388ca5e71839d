"""Checks: small functions that read a cabinet and return findings.

Each rule is a module of `rules` with `RULE` and `find`. Adding one is adding its module to `RULES`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from casewright.basics.findings import Finding, Rule
from casewright.checks.rules import (
    seam_tilt,
)
from casewright.checks.subject import Subject


class RuleModule(Protocol):
    """A module of `rules`."""

    RULE: Rule

    @staticmethod
    def find(subject: Subject) -> Iterator[Finding]:
        """Findings of this rule."""
        ...


RULES: tuple[RuleModule, ...] = (seam_tilt,)


def run_checks(subject: Subject) -> tuple[Finding, ...]:
    """All findings: geometry's own and every rule's, gravest first."""
    found = list(subject.cabinet.findings)
    for module in RULES:
        found += module.find(subject)
    return tuple(sorted(found, key=lambda finding: finding.order))


__all__ = ["RULES", "RuleModule", "Subject", "run_checks"]
