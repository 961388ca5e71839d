"""Which figures decide, as text and with the reckonings behind them."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.basics.customary import POUND_KG
from casewright.basics.reckoning import Reckoning
from casewright.basics.wording import counted, listed
from casewright.checks.sizes import overall, size_of
from casewright.design.project import Project
from casewright.faces.web.bench import Bench
from casewright.faces.web.wording import value_of, written
from casewright.workflow import Worked

LABELS = ("over all", "mass", "sheets", "cost", "power, peak", "pieces to cut")
"""Always these, in this order."""
MOST_NAMED = 5
"""Things without a price that are told by name."""
USUAL_CURRENCY = str(Project.model_fields["currency"].default)
"""What stands for the currency as long as the project does not name it."""


@dataclass(frozen=True)
class Figure:
    """One figure of the strip."""

    label: str
    value: str
    numbers: tuple[Reckoning, ...] = ()
    notes: tuple[str, ...] = ()
    is_over: bool = False
    """A limit of the project is passed."""


def deciding_figures(bench: Bench) -> tuple[Figure, ...]:
    """The figures named by `LABELS`."""
    worked = bench.worked
    if worked is None:
        return tuple(Figure(label, "–") for label in LABELS)
    return (
        _over_all(bench, worked),
        _mass(bench, worked),
        _sheets(worked),
        _cost(bench, worked),
        _power(bench, worked),
        _pieces(worked),
    )


def _over_all(bench: Bench, worked: Worked) -> Figure:
    sides = [bench.figure(side) for side in size_of(overall(worked.cabinet))]
    keys = ("shape.width", "shape.depth", "shape.height", "width")
    numbers = tuple(worked.numbers[key] for key in keys if key in worked.numbers)
    note = "Width × depth × height over all: feet, knobs and balls are counted."
    return Figure(LABELS[0], f"{' × '.join(sides)}\u202f{bench.style.unit}", numbers[:3], (note,))


def _mass(bench: Bench, worked: Worked) -> Figure:
    balance, limit = worked.balance, worked.opened.project.limits.mass_kg
    a_unit = POUND_KG if bench.style.unit == "in" else 1.0
    words = value_of(balance.number, bench.length)
    if bench.style.unit == "in":
        words = f"{balance.total_kg / a_unit:.1f}\u202flb"
    if limit is not None:
        words += f" of {limit / a_unit:.1f}".removesuffix(".0")
    missing = tuple(dict.fromkeys(bench.label(key) for key in balance.missing))
    notes = (f"Not weighed yet: {', '.join(missing)}.",) if missing else ()
    is_over = limit is not None and balance.total_kg > limit
    return Figure(LABELS[1], words, (balance.number,), notes, is_over)


def _sheets(worked: Worked) -> Figure:
    plans = worked.cutting.plans
    notes = tuple(
        f"{plan.label}: {counted(len(plan.plan.sheets), 'sheet')}; "
        f"at least {plan.plan.lower_bound} whatever the layout."
        for plan in plans
    )
    count = sum(len(plan.plan.sheets) for plan in plans)
    kinds = f" of {len(plans)} kinds" if len(plans) > 1 else ""
    return Figure(LABELS[2], f"{count}{kinds}", (), notes or ("No sheet sizes are given yet.",))


def _cost(bench: Bench, worked: Worked) -> Figure:
    cost, project = worked.shopping.cost, worked.opened.project
    of = f" of {project.limits.budget:.0f}" if project.limits.budget else ""
    is_over = project.limits.budget is not None and cost.value > project.limits.budget
    unpriced = dict.fromkeys(
        row.label for row in worked.shopping.rows if row.to_buy and not row.price
    )
    words = f"{cost.value:.0f}{of}\u202f{project.currency}"
    if not cost.value and unpriced:
        words = "no prices yet"
    notes: tuple[str, ...] = ()
    if unpriced:
        named = [*unpriced][:MOST_NAMED]
        others = len(unpriced) - len(named)
        notes = (f"No price yet: {listed([*named, f'{others} more'] if others else named)}.",)
    if project.currency == USUAL_CURRENCY:
        notes += (
            f"{USUAL_CURRENCY} stands for your currency; give its name under People & place, The project.",
        )
    return Figure(LABELS[3], words, (cost,), notes, is_over)


def _power(bench: Bench, worked: Worked) -> Figure:
    loads = worked.behavior.power.loads
    words = written(loads.peak_w, "W", bench.length)
    if loads.supplies:
        words = f"{loads.peak_w:.0f} of {loads.supply_w:.0f}\u202fW"
    if loads.short:  # the one that is short is what is told, not all of them together
        worst = max(loads.short, key=lambda made: loads.hung(made.name) / made.watts)
        words = f"{loads.hung(worst.name):.1f} of {worst.watts:.1f}\u202fW"
        words += f" at {worst.volts:g}\u202fV" if worst.volts else ""
    lines = [
        f"{made.label} gives {made.watts:.1f} W; {loads.hung(made.name):.1f} W hang on it at most."
        for made in loads.short
    ]
    lines += [
        f"{row.label}: {row.peak_w:.1f} W at {row.volts:g} V"
        + (f", through {row.through}" if row.through else "")
        for row in loads.rows
    ]
    lines += [
        f"{row.label}: {row.peak_w:.1f} W from mains, by its own supply" for row in loads.mains
    ]
    lines += [f"{label}: what it draws is not known." for label in loads.unknown]
    lines.append(
        f"A supply should give {loads.needed_w:.0f} W: a quarter more than all peaks (common practice)."
    )
    is_over = bool(loads.short)
    return Figure(LABELS[4], words, (), tuple(lines), is_over)


def _pieces(worked: Worked) -> Figure:
    pieces = worked.cabinet.pieces
    sawn = sum(piece.material != "batten" for piece in pieces)
    notes = (
        f"{counted(sawn, 'piece')} from sheets.",
        f"{counted(len(worked.cutting.battens), 'length')} of batten.",
    )
    return Figure(LABELS[5], str(len(pieces)), (), notes)


__all__ = ["LABELS", "MOST_NAMED", "USUAL_CURRENCY", "Figure", "deciding_figures"]
