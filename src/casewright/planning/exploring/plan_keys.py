"""Every key of a plan file: what it means and what may stand there. What reads plans knows no other one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from casewright.planning.exploring.ranges import EXAMPLE, MOST_VALUES
from casewright.planning.exploring.rows import USUAL_AIMS
from casewright.planning.exploring.variations import (
    BUNDLE_KEYS,
    MOST_VARIANTS,
    RANGE_KEYS,
)


@dataclass(frozen=True)
class PlanKey:
    """One key."""

    name: str
    meaning: str
    what: str
    """What may stand there, in words."""
    otherwise: str
    """What holds where it is left out; "" where it is needed."""
    example: str


PLAN_KEYS: Final = (
    PlanKey(
        "vary",
        "What is varied: every choice of one entry is tried with every choice of the others, at most "
        f"{MOST_VARIANTS} variants unless `sample` draws from them.",
        "list of entries, below",
        "",
        f"vary: [{{at: shape.width, values: {EXAMPLE}}}]",
    ),
    PlanKey(
        "show",
        "Further numbers of each variant, as `casewright why` calls them, beside the usual figures.",
        "list of names",
        "none",
        "show: [deck.length]",
    ),
    PlanKey(
        "aims",
        "Figures that are to be as low, or as high, as can be; variants that no other one beats in all of them are "
        "marked. `less` or `more` after a figure turns its usual way round.",
        "list of figures, below, or of numbers that are shown",
        ", ".join(USUAL_AIMS),
        "aims: [stops, cost, sight more]",
    ),
    PlanKey(
        "sample",
        "Tries so many of all variants, drawn evenly; the same ones each time.",
        "whole number",
        "all of them",
        "sample: 2000",
    ),
    PlanKey("seed", "Draws another sample.", "whole number", "1", "seed: 7"),
)
"""Keys of the file itself."""

ENTRY_KEYS: Final = {
    "One value": (
        PlanKey(
            "at",
            "Place of the value in the project file, names with dots between; an item of a list by its position "
            "from 0, its `key` or its `label`. What is not in the file yet may be named too.",
            "place",
            "",
            "at: parts.button.placed.red1.u",
        ),
        PlanKey(
            "values",
            "Its values: a list; or a range, `A to B by S`, or `N from A to B` for N values evenly apart. Numbers may "
            f"carry a unit, the same one for all. At most {MOST_VALUES} to a range.",
            "list or range",
            "",
            "values: 26 in to 28 in by 1/2",
        ),
        PlanKey("label", "What it is called.", "text", "its place", "label: width"),
    ),
    "Several values at once": (
        PlanKey("label", "What it is called.", "text", "", "label: display"),
        PlanKey(
            "choices",
            "Each choice by name, with the values it changes by place: `{}` leaves all as it is, `null` takes a value "
            "out of the file.",
            "sections by name",
            "",
            "choices: {as drawn: {}, wide: {shape.width: 740}}",
        ),
    ),
}
"""Keys of an entry of `vary`, by what it varies."""

assert {key.name for key in ENTRY_KEYS["One value"]} == RANGE_KEYS
assert {key.name for key in ENTRY_KEYS["Several values at once"]} == BUNDLE_KEYS

__all__ = ["ENTRY_KEYS", "PLAN_KEYS", "PlanKey"]
