"""Many variants of one project: what is varied, the rows that come of it, which of them no other one beats."""

from casewright.planning.exploring.best import best_of
from casewright.planning.exploring.plan_keys import ENTRY_KEYS, PLAN_KEYS, PlanKey
from casewright.planning.exploring.ranges import values_of
from casewright.planning.exploring.rows import (
    FIGURES,
    USUAL_AIMS,
    Aim,
    Figure,
    Row,
    aim_named,
    aims_named,
    columns,
    figure_named,
    row_from,
)
from casewright.planning.exploring.variations import (
    MOST_VARIANTS,
    Choice,
    Edits,
    Space,
    Variant,
    Variation,
    chunks_of,
    mark_of,
    place_named,
    space_of,
    variation_at,
    variation_of,
)

__all__ = [
    "ENTRY_KEYS",
    "FIGURES",
    "MOST_VARIANTS",
    "PLAN_KEYS",
    "USUAL_AIMS",
    "Aim",
    "Choice",
    "Edits",
    "Figure",
    "PlanKey",
    "Row",
    "Space",
    "Variant",
    "Variation",
    "aim_named",
    "aims_named",
    "best_of",
    "chunks_of",
    "columns",
    "figure_named",
    "mark_of",
    "place_named",
    "row_from",
    "space_of",
    "values_of",
    "variation_at",
    "variation_of",
]
