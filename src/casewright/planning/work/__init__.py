"""The order of work: every step from the first cut to the closed cabinet, its settings, its time and its guards."""

from casewright.planning.work.arranging import SetupCount
from casewright.planning.work.guards import Guard, Said, is_shut
from casewright.planning.work.plan import SHOP_HOURS, WorkPlan, plan_work
from casewright.planning.work.schedule import Critical, ShopDay, Slot
from casewright.planning.work.step import (
    MAKING,
    STAGES,
    GuardKey,
    Laid,
    Machine,
    Setting,
    Stage,
    Step,
    Work,
)

__all__ = [
    "MAKING",
    "SHOP_HOURS",
    "STAGES",
    "Critical",
    "Guard",
    "GuardKey",
    "Laid",
    "Machine",
    "Said",
    "Setting",
    "SetupCount",
    "ShopDay",
    "Slot",
    "Stage",
    "Step",
    "Work",
    "WorkPlan",
    "is_shut",
    "plan_work",
]
