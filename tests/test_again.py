"""What is worked out after an edit, most of it remembered, is just what is worked out from nothing.

The check is a second working-out in which nothing is remembered; edits are drawn at random over the whole file.
"""

from __future__ import annotations

import random
from dataclasses import fields
from pathlib import Path

import pytest
from tests.measuring import forget
from tests.strategies import examples

from casewright.basics.errors import InputError, InputErrors
from casewright.workflow import (
    REMOVE,
    changed_document,
    load_text,
    open_document,
    open_text,
    read_catalogs,
    work_out,
)

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
EDITS = 60
"""Of both rows together; `python3 dev.py soak edits` makes as many as there is time for."""
EVERY = max(1, 1000 // examples(100))
"""States between two that are worked out from nothing."""


def leaves(data, path=()):
    """(path, value) of every value in a file."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield from leaves(value, (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from leaves(value, (*path, index))
    else:
        yield path, data


def drawn_edit(rng, document):
    """One edit of those that people make: a number a little off, a place moved, a word changed, a key taken out."""
    at = list(leaves(document.data))
    numbers = [(p, v) for p, v in at if isinstance(v, (int, float)) and not isinstance(v, bool)]
    sort = rng.choice(["place", "place", "number", "number", "number", "remove", "text", "flag"])
    if sort == "place":
        at = [(p, v) for p, v in numbers if p[-1] in ("u", "v", "du", "dv", "turn")]
    elif sort == "flag":
        at = [(p, v) for p, v in at if isinstance(v, bool)]
    elif sort == "text":
        at = [(p, v) for p, v in at if isinstance(v, str) and p[-1] in ("label", "name", "notes")]
    elif sort == "remove":
        at = [(p, v) for p, v in at if len(p) > 2 and isinstance(p[-1], str) and p[-1] != "key"]
    else:
        at = numbers
    if not at:
        return {}
    path, value = rng.choice(at)
    if sort == "remove":
        return {path: REMOVE}
    if sort == "flag":
        return {path: not value}
    if sort == "text":
        return {path: f"{value} {rng.randrange(9)}"}
    if sort == "place":
        return {path: round(float(value) + rng.choice([-7.5, -1, -0.25, 0.5, 1, 12]), 3)}
    return {path: round(float(value) * rng.choice([0.9, 0.98, 1.01, 1.15]), 3)}


def said(worked):
    """All that a working-out says, in a form in which also what is not a number is equal to itself."""
    cabinet = worked.cabinet
    made = {field.name: getattr(cabinet, field.name) for field in fields(cabinet)}
    return {
        **{name: repr(value) for name, value in made.items() if name not in ("project", "parts")},
        "collisions": repr(worked.collisions),
        "behavior": repr(worked.behavior),
        "findings": repr(worked.findings),
        "numbers": repr(worked.numbers),
        "cutting": repr(worked.cutting),
        "shopping": repr(worked.shopping),
    }


def tried(opened):
    try:
        return work_out(opened)
    except InputErrors as errors:
        return str(errors)


@pytest.mark.parametrize("start", [1, 2])
def test_random_edits_lead_to_what_the_file_says_from_nothing(start):
    """Edit after edit; of the states on the way some are worked out from nothing too, and the two compared."""
    rng = random.Random(start)
    catalog = read_catalogs()
    names = sorted(EXAMPLES.glob("*.cabinet.yaml"))
    texts = [file.read_text(encoding="utf-8") for file in names]
    document = load_text(texts[0], file="test")
    done, checked = 0, 0
    while done < EDITS // 2:
        if done % 10 == 0:
            document = load_text(rng.choice(texts), file="test")
        try:
            changed = changed_document(document, drawn_edit(rng, document))
            opened = open_document(changed, catalog)
        except (InputError, InputErrors):
            continue  # nothing that a file may say; the one before stays
        document = changed
        done += 1
        worked = tried(opened)
        if done % EVERY:
            continue
        again = said(worked) if not isinstance(worked, str) else worked
        forget()
        fresh = tried(open_text(document.text, file="test"))
        checked += 1
        if isinstance(fresh, str):
            assert fresh == again
        else:
            for name, value in said(fresh).items():
                assert value == again[name], f"{name} after {done} edits"
    assert checked == EDITS // 2 // EVERY
