"""The list of rules as a whole."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from tests.checks.bench import box, button, device, subject_of
from tests.checks.test_moves_cure import crowd

from casewright.basics.findings import Finding, Place, Severity, Unsaid
from casewright.basics.sources import is_source
from casewright.checks import RULES, rules, run_checks
from casewright.checks.pairing import paired


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


@pytest.mark.parametrize("number", range(12))
def test_what_is_told_first_lacks_nothing_but_remedies(number):
    """Levers and buttons that are in one another's way at random; the end is the same as in one go."""
    subject = subject_of(crowd(number), collide=True)
    told: list[tuple[Finding, ...]] = []
    findings = run_checks(subject, first=told.append)
    assert findings == run_checks(subject)
    ((*first,),) = told
    assert [(f.rule, f.message) for f in first] == [(f.rule, f.message) for f in findings]
    assert not any(isinstance(one, Unsaid) for f in (*first, *findings) for one in f.remedies)
    assert all(set(a.remedies) <= set(b.remedies) for a, b in zip(first, findings, strict=True))


def test_findings_come_gravest_first_and_in_the_same_order():
    data = box(parts={"b": button((200, 150), (230, 150)), "d": device("d", 20)})
    first, again = (run_checks(subject_of(data, collide=True)) for _ in range(2))
    assert first == again
    ranks = [finding.severity.rank for finding in first]
    assert ranks == sorted(ranks)
    assert Severity.STOP.rank in ranks


def said(message: str, name: str, severity: Severity = Severity.NOTE) -> Finding:
    return Finding("some.rule", severity, message, place=Place((name,)))


def test_mirror_images_are_said_once():
    pair = (said("No room at the left end.", "a"), said("No room at the right end.", "b"))
    (one,) = paired(pair)
    assert one.message == "No room at the left and right end."
    assert one.place.names == ("a", "b")


def test_equal_findings_are_said_once_and_others_are_kept():
    (one,) = paired((said("Too long.", "a"), said("Too long.", "b")))
    assert (one.message, one.place.names) == ("Too long.", ("a", "b"))
    apart = (
        said("5 short at the left end.", "a"),
        said("6 short at the right end.", "b"),
        said("5 short at the right end.", "c", Severity.STOP),
        said("From left to right.", "d"),
        said("From right to left.", "e"),
    )
    assert paired(apart) == apart


def test_a_sound_cabinet_has_no_stop_and_no_caution():
    data = box(parts={"b": button((200, 100), (250, 100)), "d": device("d", 300)})
    findings = run_checks(subject_of(data, collide=True))
    assert [f for f in findings if f.severity is not Severity.NOTE] == []
