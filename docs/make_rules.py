"""Write `rules.md`: every rule of the package, wherever its finding is made.

.venv/bin/python docs/make_rules.py
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from pathlib import Path

import casewright
from casewright.basics.findings import Rule
from casewright.checks.rule_page import rule_page

PAGE = Path(__file__).with_name("rules.md")
STAGES = ("geometry", "behavior", "checks", "planning")


def all_rules() -> Iterator[Rule]:
    """Every rule that a module of the package has at its top."""
    for stage in STAGES:
        package = importlib.import_module(f"{casewright.__name__}.{stage}")
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            module = importlib.import_module(found.name)
            yield from (value for value in vars(module).values() if isinstance(value, Rule))


if __name__ == "__main__":
    PAGE.write_text(rule_page(all_rules()), encoding="utf-8")
