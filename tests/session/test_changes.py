"""What differs between states, and what differs after several changes told as one."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from casewright.basics.findings import Finding, Severity
from casewright.session.changes import Changed, Changes

KEYS = st.sets(st.sampled_from("abcdef"))
STATES = st.lists(
    st.dictionaries(st.sampled_from("abcdef"), st.integers(0, 1)), min_size=3, max_size=5
)


def finding(key: str) -> Finding:
    return Finding(rule="a.rule", severity=Severity.NOTE, message=key)


def between(before: dict[str, int], after: dict[str, int]) -> Changed:
    return Changed(
        tuple(k for k in after if before.get(k) != after[k]),
        tuple(k for k in before if k not in after),
    )


@given(STATES)
def test_things_told_as_one_are_all_that_differ_from_first_to_last(states):
    """Held against the first and the last state alone: what is there, what is gone, and each once."""
    steps = [between(a, b) for a, b in pairwise(states)]
    whole = steps[0]
    for step in steps[1:]:
        whole = whole.then(step)
    first, last = states[0], states[-1]
    assert len(set(whole.changed)) == len(whole.changed)
    assert len(set(whole.removed)) == len(whole.removed)
    assert not set(whole.changed) & set(whole.removed)
    direct = between(first, last)
    assert set(direct.changed) <= set(whole.changed) <= set(last)
    assert set(direct.removed) <= set(whole.removed)
    assert not set(whole.removed) & set(last)


@given(st.lists(KEYS, min_size=3, max_size=5))
def test_findings_told_as_one_are_those_that_came_and_went_from_first_to_last(states):
    def step(before: set[str], after: set[str]) -> Changes:
        return Changes(
            findings_new=tuple(finding(k) for k in sorted(after - before)),
            findings_gone=tuple(finding(k) for k in sorted(before - after)),
        )

    whole = step(states[0], states[1])
    for before, after in pairwise(states[1:]):
        whole = whole.then(step(before, after))
    assert {f.message for f in whole.findings_new} == states[-1] - states[0]
    assert {f.message for f in whole.findings_gone} == states[0] - states[-1]
    assert len(set(whole.findings_new)) == len(whole.findings_new)


def test_whatever_one_of_them_tells_both_tell():
    """Each field of its own, so that none is forgotten when another one comes."""
    nothing, some = Changes("edit", "first"), Changed(("a",), ("b",))
    for field in fields(Changes):
        if field.name in ("cause", "label", "stage"):
            continue
        value = {"Changed": some, "bool": True}.get(str(field.type), (finding("new"),))
        told = replace(nothing, **{field.name: value})
        assert getattr(told.then(nothing), field.name) == value
        assert getattr(nothing.then(told), field.name) == value
    last = nothing.then(Changes("undo", "second"))
    assert (last.cause, last.label) == ("undo", "second")
