"""Every key of a plan of variants, and the figures that each variant has."""

from __future__ import annotations

from collections.abc import Iterable

from casewright.planning.exploring import ENTRY_KEYS, FIGURES, PLAN_KEYS, USUAL_AIMS, PlanKey
from casewright.session.exploring.job import SUFFIX
from making.markdown import code, head, page, sentence, table

INTRODUCTION = (
    f"One YAML file, `NAME{SUFFIX}`, beside the project file `NAME.cabinet.yaml`, or any other with `--plan FILE`. It "
    "tells `casewright explore`, and *Try variants* in the workbench where nothing is typed, what to vary. All "
    "mistakes are reported at once, each with its line. "
    "[examples/library-duel.explore.yaml](../../examples/library-duel.explore.yaml) is one.",
)
TITLES = ("key", "means", "what stands there", "if left out", "example")


def explore_page() -> str:
    """The page."""
    lines = head("Plan of variants", *INTRODUCTION)
    lines += ["## The file", ""]
    lines += table(TITLES, _rows(PLAN_KEYS))
    for title, keys in ENTRY_KEYS.items():
        lines += [f"## An entry of vary: {title[:1].lower()}{title[1:]}", ""]
        lines += table(TITLES, _rows(keys))
    lines += ["## Figures of a variant", ""]
    lines += [
        "Columns of every table, and names of aims; numbers that `show` names come beside them.",
        "",
    ]
    ways = {"less": "as low as can be", "more": "as high as can be"}
    lines += table(
        ("figure", "means", "unit", "as an aim", "usual aim"),
        [
            (
                code(one.key),
                sentence(one.label),
                one.unit or "number",
                ways[one.better],
                "yes" if one.key in USUAL_AIMS else "",
            )
            for one in FIGURES
        ],
    )
    return page(lines)


def _rows(keys: Iterable[PlanKey]) -> list[tuple[str, ...]]:
    return [
        (code(key.name), key.meaning, key.what, key.otherwise or "*needed*", code(key.example))
        for key in keys
    ]


__all__ = ["explore_page"]
