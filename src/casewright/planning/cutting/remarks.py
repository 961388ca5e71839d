"""What the maker should know about a cutting plan, as findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.planning.cutting.model import Blank, CutPlan, SawLimits, Stock, Wishes
from casewright.planning.cutting.plan import (
    NO_WISHES,
    fits_sheet,
    fits_turned,
    plan_cuts,
    told_too_large,
)

NO_ROOM = Rule(
    id="cutting.no-room",
    severity=Severity.STOP,
    asks="Every part can be cut from the stock.",
    why="A part that no sheet holds has to be joined, or cut from larger stock.",
    source="Plain geometry",
)
GRAIN = Rule(
    id="cutting.grain-costs-a-sheet",
    severity=Severity.NOTE,
    asks="Keeping the grain along the parts takes no more sheets than turning them.",
    why="Under paint the grain does not show, and turned parts may save a sheet.",
    source="Plain geometry",
)
APART = Rule(
    id="cutting.strip-too-long",
    severity=Severity.CAUTION,
    asks="Pieces that are to be cut from one strip fit a sheet end to end.",
    why="Cut from different places, their grain does not run on from one to the next.",
    source="Plain geometry",
)
FEWER = Rule(
    id="cutting.fewer-sheets",
    severity=Severity.NOTE,
    asks="The plan buys no more sheets than the lower bound says are needed.",
    why="Where the two differ, fewer sheets are neither found nor ruled out.",
    source="Plain geometry",
)
SHORT_EDGE = Rule(
    id="cutting.short-edge",
    severity=Severity.NOTE,
    asks="No piece is pushed along the fence on an edge shorter than the piece is wide.",
    why="Such a piece turns between fence and blade and is thrown back.",
    source="Common practice",
)


def cutting_findings(
    plan: CutPlan,
    blanks: Sequence[Blank],
    stock: Sequence[Stock],
    *,
    saw: SawLimits,
    wishes: Wishes = NO_WISHES,
    effort: int = 200,
    sold: Sequence[tuple[float, float]] = (),
) -> tuple[Finding, ...]:
    """Return what to tell the maker about a plan: parts without room, what grain costs, what may be possible.

    Args:
        plan: The plan, as `plan_cuts` made it from the same blanks and stock.
        blanks: What is cut.
        stock: From what.
        saw: Kerf and limits. [mm]
        wishes: As for `plan_cuts`.
        effort: As for `plan_cuts`, for the trial with turned parts.
        sold: Sheets that the material is sold in, as much of them as is left when they are trimmed: parts that one of
            them takes are told together. [mm]

    Source:
        Plain geometry.
    """
    found: list[Finding] = []
    large = {part.key for part in plan.unplaced if part.is_too_large}
    alike: dict[tuple[bool, bool], list[Blank]] = {}
    for blank in blanks:
        if blank.key in large:
            is_sold = any(fits_sheet(blank, length, width) for length, width in sold)
            alike.setdefault((is_sold, fits_turned(blank, stock)), []).append(blank)
    for some in alike.values():
        reason, orders, _ = told_too_large(some, stock)
        keys = tuple(blank.key for blank in some)
        found.append(NO_ROOM.finding(reason, remedies=_said(orders), names=keys))
    found += [
        NO_ROOM.finding(part.reason, remedies=_said(part.remedies), names=(part.key,))
        for part in plan.unplaced
        if not part.is_too_large
    ]
    kept = tuple(b.key for b in blanks if b.grain == "length")
    if kept and plan.bought > 1 and not plan.unplaced:
        free = [replace(b, grain="none") for b in blanks]
        turned = plan_cuts(free, stock, saw=saw, wishes=wishes, effort=effort)
        if turned.bought < plan.bought and not turned.unplaced:
            names = {p.blank for s in turned.sheets for p in s.placements if p.turned}
            across = tuple(b.name for b in blanks if b.key in names and b.grain == "length")
            found.append(
                GRAIN.finding(
                    f"with the grain along every part that asks for it the plan buys {plan.bought} sheets; "
                    f"turned, {turned.bought} would do.",
                    remedies=(
                        Remedy(f"If the grain will not show, let these turn: {', '.join(across)}."),
                    ),
                    names=kept,
                )
            )
    by_key = {b.key: b for b in blanks}
    for keys in plan.apart:
        group = [by_key[key] for key in keys if key in by_key]
        copies = sum(b.quantity for b in group)
        long = sum(b.length * b.quantity for b in group) + (copies - 1) * saw.kerf
        wide = max(b.width for b in group)
        short = not any(
            long <= s.usable_length and wide <= s.usable_width for s in stock if s.available != 0
        )
        remedy = (
            f"Buy a sheet with room for {at_least(long)} × {at_least(wide)}, or let them be cut apart."
            if short
            else "Allow a stage more, or let them be cut apart."
        )
        found.append(
            APART.finding(
                f"{', '.join(b.name for b in group)} in one strip take {mm(long)} × {mm(wide)}, "
                f"{'longer than any sheet' if short else 'and more stages than wished'}; they are cut apart.",
                remedies=(Remedy(remedy),),
                names=keys,
            )
        )
    if plan.bought > plan.lower_bound:
        found.append(
            FEWER.finding(
                f"the plan buys {plan.bought} sheets; no plan can do with fewer than {plan.lower_bound}.",
                remedies=(
                    Remedy(
                        "Look through the shop's offcuts: one that takes a piece, listed with the material's "
                        "sheets as an offcut, may save a sheet."
                    ),
                ),
            )
        )
    sledded = [step for sheet in plan.sheets for step in sheet.cuts if step.means == "sled"]
    if sledded:
        least = min(
            sledded, key=lambda step: step.length if step.direction == "rip" else step.width
        )
        count = f"{len(sledded)} cut{'' if len(sledded) == 1 else 's'}"
        edge = least.length if least.direction == "rip" else least.width
        found.append(
            SHORT_EDGE.finding(
                f"{count} would run a short edge along the fence, the shortest {mm(edge)}.",
                remedies=(
                    Remedy(
                        "Make them on a sled or with a miter gauge against a stop block, never with the "
                        "fence alone. Follow the saw's manual; use guard, riving knife and push block."
                    ),
                ),
            )
        )
    return tuple(sorted(found, key=lambda finding: finding.order))


def _said(orders: Sequence[str]) -> tuple[Remedy, ...]:
    return tuple(Remedy(text) for text in orders)


__all__ = ["APART", "FEWER", "GRAIN", "NO_ROOM", "SHORT_EDGE", "cutting_findings"]
