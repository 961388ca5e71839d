"""The list of rules as a whole."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

import pytest
from tests.checks.bench import box, button, device, subject_of

from casewright.basics.findings import Severity
from casewright.basics.sources import is_source
from casewright.checks import RULES, rules, run_checks

ROOT = Path(__file__).resolve().parents[2]


def test_no_rule_of_the_folder_goes_missing():
    folder = {path.stem for path in Path(rules.__path__[0]).glob("*.py")} - {"__init__"}
    assert [module.__name__.rpartition(".")[2] for module in RULES] == sorted(folder)


def test_ids_are_used_once():
    ids = [module.RULE.id for module in RULES]
    assert len(set(ids)) == len(ids)


@pytest.mark.parametrize("module", RULES, ids=lambda module: module.RULE.id)
def test_a_rule_says_what_why_and_from_where(module):
    rule = module.RULE
    assert re.fullmatch(r"[a-z]+\.[a-z-]+", rule.id)
    assert is_source(rule.source)
    for text in (rule.asks, rule.why):
        assert text.endswith(".")
        assert text[0].isupper()


def test_findings_come_gravest_first_and_in_the_same_order():
    data = box(parts={"b": button((200, 150), (230, 150)), "d": device("d", 20)})
    first, again = (run_checks(subject_of(data, collide=True)) for _ in range(2))
    assert first == again
    ranks = [finding.severity.rank for finding in first]
    assert ranks == sorted(ranks)
    assert Severity.STOP.rank in ranks


def test_a_sound_cabinet_has_no_stop_and_no_caution():
    data = box(parts={"b": button((200, 100), (250, 100)), "d": device("d", 300)})
    findings = run_checks(subject_of(data, collide=True))
    assert [f for f in findings if f.severity is not Severity.NOTE] == []


def test_the_page_of_rules_is_up_to_date():
    """If not: .venv/bin/python docs/make_rules.py"""
    spec = importlib.util.spec_from_file_location("make_rules", ROOT / "docs/make_rules.py")
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    made = script.rule_page(script.all_rules())
    assert script.PAGE.read_text(encoding="utf-8") == made
    assert all(f"`{module.RULE.id}`" in made for module in RULES)
