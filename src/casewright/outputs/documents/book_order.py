"""What stands before the steps in the order of work: days, settings, the chain that decides, the guards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.outputs.documents.book_blocks import (
    TICK,
    Block,
    Cell,
    Column,
    Writer,
    bold,
    facts,
    faint,
    grouped,
    heading,
    small,
    spans,
    table,
    text,
)
from casewright.outputs.documents.book_codes import opens
from casewright.outputs.work_words import (
    STAGE_TITLES,
    clock_words,
    hours_words,
    new_orders,
    setup_groups,
    setup_remark,
    setups_sentence,
)
from casewright.planning.work import STAGES, ShopDay, Stage, Step, WorkPlan


def order_summary(writer: Writer) -> Iterator[Block]:
    """Time, days, settings and guards."""
    plan = writer.source.work
    numbers = {number.key: number.value for number in plan.numbers}
    yield facts(
        [
            ("steps", str(len(plan.steps))),
            ("time at the bench", hours_words(numbers["work.minutes"] / 60)),
            ("days with work", str(len(plan.days))),
            ("day it is closed", str(plan.days[-1].number if plan.days else 0)),
        ]
    )
    yield heading("Shop days")
    yield small(
        f"One person, {plan.hours:g} hours a day. Times are common practice, "
        "not measured: stretch them with 'pace' in the project's shop. Coats keep to the paint calendar and may fall "
        "into the evening."
    )
    yield table(
        [
            Column("day", 0, "right"),
            Column("hours", 0, "right"),
            Column("steps", 0),
            Column("what", 2),
            Column("dries when the work of the day is over", 2.4),
        ],
        [_day(writer, plan, day) for day in plan.days],
        dense=True,
    )
    yield heading("Settings")
    yield text(setups_sentence(plan))
    yield table(
        [
            Column("machine", 1),
            Column("what is set", 1),
            Column("times", 0, "right"),
            Column("at least", 0, "right"),
            Column("", 3),
        ],
        [
            [
                one.machine,
                one.thing,
                bold(str(one.count)),
                str(one.least),
                faint(setup_remark(one)),
            ]
            for one in plan.setups
        ],
        dense=True,
    )
    yield from _chain(plan)
    yield from _guards(writer, plan)


def _day(writer: Writer, plan: WorkPlan, day: ShopDay) -> list[Cell]:
    mine = set(day.steps)
    steps = [step for step in plan.steps if step.key in mine]
    stages = [stage for stage in STAGES if any(step.stage == stage for step in steps)]
    drying = "; ".join(
        f"{writer.say(plan.step(key).title)} (step {plan.step(key).number}) until "
        f"{clock_words(until, day.number)}"
        for key, until in day.drying
    )
    return [
        str(day.number),
        hours_words(day.busy_h),
        spans([step.number for step in steps]),
        "; ".join(STAGE_TITLES[stage].lower() for stage in stages),
        drying,
    ]


def _chain(plan: WorkPlan) -> Iterator[Block]:
    chain = plan.critical
    if not chain.steps:
        return
    yield heading("The chain that decides")
    numbers = [plan.step(key).number for key in chain.steps]
    yield text(
        f"Steps {spans(numbers)} need each other one after the other: {hours_words(chain.busy_h)} of work and "
        f"{hours_words(chain.drying_h)} of drying. More hands do not shorten it; a later start of one of them moves "
        "the end."
    )


def _guards(writer: Writer, plan: WorkPlan) -> Iterator[Block]:
    yield heading("Guards against the classic mistakes")
    yield small(
        "Each was checked against this order of work; the steps named say it at the moment."
    )
    rows: list[list[Cell] | str] = []
    for guard in plan.guards:
        if guard.findings:
            for finding in guard.findings:
                cures = " ".join(remedy.text for remedy in finding.remedies)
                rows.append(
                    [bold(guard.title), bold("broken"), writer.say(f"{finding.message} {cures}")]
                )
            continue
        numbers = [said.number for said in guard.said]
        words = (
            writer.say(guard.said[0].words) if guard.said else "nothing of the kind is done here"
        )
        rows.append([guard.title, spans(numbers), faint(words)])
    yield table(
        [Column("mistake", 1.6), Column("said at step", 1), Column("words of the first", 3)],
        rows,
        dense=True,
    )


def making_table(writer: Writer, steps: Sequence[Step], stage: Stage) -> Iterator[Block]:
    """Steps at the machines, a line each, under the setting they share."""
    slots = {slot.step: slot for slot in writer.source.work.slots}
    yield heading(STAGE_TITLES[stage])
    hazards = dict.fromkeys(hazard for step in steps for hazard in step.cautions)
    if hazards:
        yield writer.cautions(*hazards)
    rows: list[list[Cell] | str | Block] = []
    day = 0
    for group in setup_groups(steps):
        begins = slots[group.steps[0].key].day
        new_day = f"Day {begins}. " if begins != day else ""
        day = begins
        setting = f"; {group.minutes:.0f} min to set" if group.minutes else ""
        place = opens(writer, step=group.steps[0])
        rows.append(grouped(f"{new_day}{writer.say(group.words)}{setting}", place))
        said: set[str] = set()
        for step in group.steps:
            if slots[step.key].day != day:
                day = slots[step.key].day
                rows.append(f"Day {day}. {writer.say(group.words)}, as it stands")
            orders = " ".join(writer.say(order) for order in new_orders(step, said))
            rows.append(
                [
                    TICK,
                    bold(str(step.number)),
                    writer.say(step.title),
                    faint(orders),
                    step.face or "",
                    str(step.count),
                    f"{step.minutes:.0f}",
                ]
            )
    yield table(
        [
            Column(""),
            Column("", 0, "right"),
            Column("step", 3),
            Column("how", 3),
            Column("up"),
            Column("×", 0, "right"),
            Column("min", 0, "right"),
        ],
        rows,
        dense=True,
    )


def times_aside(plan: WorkPlan, step: Step) -> list[list[str]]:
    """Day, time and drying of a step, for the margin beside it."""
    slot = next(slot for slot in plan.slots if slot.step == step.key and slot.is_last)
    words = hours_words(step.busy_h)
    return [["day", str(slot.day)], ["time", words]]


__all__ = ["making_table", "order_summary", "times_aside"]
