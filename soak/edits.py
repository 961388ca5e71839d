"""Random edits, one after the other: the cabinet that is remembered is the one that a fresh program builds."""

from __future__ import annotations

import random
import time
from collections.abc import Callable

from tests.laws import forget
from tests.test_again import drawn_edit, said, tried

from casewright.basics.errors import InputError, InputErrors
from casewright.workflow import changed_document, load_text, open_document, open_text, read_catalogs
from soak.common import ROOT, Budget, Tally, batches, told

EDITS = 60
EVERY = 4
"""Edits between two that are worked out from nothing."""


def run(budget: Budget, tell: Callable[[Tally], None]) -> Tally:
    """Edit until the time is over."""
    return batches(some_edits, budget, tell)


def some_edits(number: int) -> Tally:
    """A row of edits on one of the examples."""
    rng, tally, catalog = random.Random(number), Tally(), read_catalogs()
    path = rng.choice(sorted((ROOT / "examples").glob("*.cabinet.yaml")))
    document = load_text(path.read_text(encoding="utf-8"), file=path.name)
    done = 0
    while done < EDITS:
        try:
            changed = changed_document(document, drawn_edit(rng, document))
            opened = open_document(changed, catalog)
        except (InputError, InputErrors):
            continue  # nothing that a file may say; the one before stays
        document, done = changed, done + 1
        start = time.process_time()
        try:
            worked = tried(opened)
        except Exception as error:  # noqa: BLE001 - no edit may end the program
            tally.fail(
                f"edits of {path.name}: {type(error).__name__}", f"{document.text}\n\n{told(error)}"
            )
            return tally
        tally.count("edits", time.process_time() - start)
        if done % EVERY:
            continue
        again = said(worked) if not isinstance(worked, str) else worked
        forget()
        afresh = tried(open_text(document.text, file=path.name))
        fresh = said(afresh) if not isinstance(afresh, str) else afresh
        tally.count("compared with the same from nothing")
        if fresh != again:
            names = (
                [n for n in fresh if fresh[n] != again[n]]
                if isinstance(fresh, dict) and isinstance(again, dict)
                else []
            )
            tally.fail(f"edits of {path.name}: {names or 'refused once'} differ", document.text)
            return tally
    return tally
