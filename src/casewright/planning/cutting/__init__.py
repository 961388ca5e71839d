"""Edge-to-edge layouts of rectangular blanks on sheets, and the order of the cuts."""

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
    Offcut,
    Placement,
    SawLimits,
    SheetLayout,
    Stock,
    Unplaced,
    Wishes,
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
    "Offcut",
    "Placement",
    "SawLimits",
    "SheetLayout",
    "Stock",
    "Unplaced",
    "Wishes",
    "cutting_findings",
    "left_of",
    "parts_csv",
    "plan_cuts",
    "stock_csv",
    "to_layout_json",
]
