"""Every rule of the package, wherever its finding is made."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

import casewright
from casewright.basics.findings import Rule
from casewright.checks.rule_page import rule_page

STAGES = ("geometry", "behavior", "checks", "planning")


def rules_page() -> str:
    """The page."""
    return rule_page(all_rules())


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule that a module of the package has at its top."""
    found = []
    for stage in STAGES:
        package = importlib.import_module(f"{casewright.__name__}.{stage}")
        for one in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            module = importlib.import_module(one.name)
            found += [value for value in vars(module).values() if isinstance(value, Rule)]
    return tuple(found)


__all__ = ["all_rules", "rules_page"]
