"""Edge-to-edge layouts of rectangular blanks on sheets, nests inside blanks, and the order of the cuts."""

from casewright.planning.cutting.comparing import better_plan
from casewright.planning.cutting.exchange import parts_csv, stock_csv, to_layout_json
from casewright.planning.cutting.model import (
    AIMS,
    Aim,
    Areas,
    Blank,
    CutPlan,
    CutResult,
    CutStep,
    Grain,
    Means,
    Nested,
    Offcut,
    Outline,
    Placement,
    SawLimits,
    SheetLayout,
    Stock,
    Unplaced,
    Wishes,
)
from casewright.planning.cutting.nesting import (
    Profile,
    longest_edge,
    nest_faults,
    nested_blanks,
    on_sheet,
)
from casewright.planning.cutting.plan import plan_cuts
from casewright.planning.cutting.remarks import cutting_findings
from casewright.planning.cutting.rests import Left, left_of

__all__ = [
    "AIMS",
    "Aim",
    "Areas",
    "Blank",
    "CutPlan",
    "CutResult",
    "CutStep",
    "Grain",
    "Left",
    "Means",
    "Nested",
    "Offcut",
    "Outline",
    "Placement",
    "Profile",
    "SawLimits",
    "SheetLayout",
    "Stock",
    "Unplaced",
    "Wishes",
    "better_plan",
    "cutting_findings",
    "left_of",
    "longest_edge",
    "nest_faults",
    "nested_blanks",
    "on_sheet",
    "parts_csv",
    "plan_cuts",
    "stock_csv",
    "to_layout_json",
]
