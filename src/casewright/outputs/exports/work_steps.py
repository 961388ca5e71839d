"""The order of work as plain data: in `cabinet.json`, in `steps.csv`, and for other programs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from pydantic import Field

from casewright.basics.findings import worded
from casewright.geometry.model import Cabinet
from casewright.outputs.exports.plain import Data
from casewright.outputs.exports.tables import table_csv
from casewright.outputs.work_words import STAGE_TITLES, setting_words
from casewright.planning.work import Step, WorkPlan
from casewright.planning.work.step import ADJUSTED, labels_of


class StepWork(Data):
    """A feature that a step works on."""

    piece: str
    feature: str
    part: Literal["whole", "start", "rough", "rim", "round"]


class SettingData(Data):
    """How a machine stands."""

    machine: str
    values: dict[str, str] = Field(description="What is set, and to what, in the project's unit")
    stop: float | None = Field(description="Depth or width at which it stops, mm")


class ScrewCount(Data):
    """Screws of one kind."""

    name: str
    count: int


class StepData(Data):
    """One thing to do."""

    key: str
    number: int
    stage: str
    title: str
    orders: tuple[str, ...]
    pieces: tuple[str, ...]
    parts: tuple[str, ...]
    works: tuple[StepWork, ...]
    tool: str
    setting: SettingData | None
    face: Literal["show", "back"] | None = Field(description="The face that lies up")
    screws: tuple[ScrewCount, ...]
    needs: tuple[str, ...]
    count: int
    minutes: float
    setup_minutes: float
    dry_h: float
    day: int
    start_h: float = Field(description="Hours after midnight of the first day")
    end_h: float
    warns: tuple[str, ...] = Field(description="Classic mistakes that its orders warn of")
    wires: tuple[str, ...] = Field(
        description="Runs of the harness that it lays and checks, by label"
    )


class SetupData(Data):
    """How often one thing is set."""

    machine: str
    thing: str
    count: int
    least: int


class DayData(Data):
    """A day in the shop."""

    day: int
    hours: float
    steps: tuple[str, ...]
    drying: tuple[str, ...]


class GuardData(Data):
    """A classic mistake, and the steps that warn of it."""

    key: str
    title: str
    steps: tuple[str, ...]
    broken: tuple[str, ...]


class WorkData(Data):
    """The order of work."""

    steps: tuple[StepData, ...]
    setups: tuple[SetupData, ...]
    days: tuple[DayData, ...]
    critical: tuple[str, ...]
    critical_h: float
    guards: tuple[GuardData, ...]


def work_data(plan: WorkPlan, write_length: Callable[[float], str]) -> WorkData:
    """The order of work with its lengths written out."""
    slots: dict[str, tuple[float, float, int]] = {}
    for slot in plan.slots:
        start, _, day = slots.get(slot.step, (slot.start_h, 0.0, slot.day))
        slots[slot.step] = (start, slot.end_h, day)
    return WorkData(
        steps=tuple(_step(step, slots[step.key], write_length) for step in plan.steps),
        setups=tuple(
            SetupData(machine=one.machine, thing=one.thing, count=one.count, least=one.least)
            for one in plan.setups
        ),
        days=tuple(
            DayData(
                day=day.number,
                hours=_r(day.busy_h),
                steps=day.steps,
                drying=tuple(key for key, _ in day.drying),
            )
            for day in plan.days
        ),
        critical=plan.critical.steps,
        critical_h=_r(plan.critical.hours),
        guards=tuple(
            GuardData(
                key=guard.key,
                title=guard.title,
                steps=tuple(said.step for said in guard.said),
                broken=tuple(worded(f.message, write_length) for f in guard.findings),
            )
            for guard in plan.guards
        ),
    )


def _step(
    step: Step, slot: tuple[float, float, int], write_length: Callable[[float], str]
) -> StepData:
    def say(text: str) -> str:
        return worded(text, write_length)

    setting = step.setting
    return StepData(
        key=step.key,
        number=step.number,
        stage=step.stage,
        title=say(step.title),
        orders=tuple(say(order) for order in step.orders),
        pieces=step.pieces,
        parts=step.parts,
        works=tuple(StepWork(piece=w.piece, feature=w.feature, part=w.part) for w in step.works),
        tool=say(step.tool),
        setting=SettingData(
            machine=setting.machine,
            values={
                thing: say(value)
                for thing, value in zip(ADJUSTED[setting.machine], setting.values, strict=True)
                if value
            },
            stop=None if setting.stop is None else _r(setting.stop),
        )
        if setting
        else None,
        face=step.face,
        screws=tuple(ScrewCount(name=name, count=count) for name, count in step.screws),
        needs=step.needs,
        count=step.count,
        minutes=_r(step.minutes),
        setup_minutes=_r(step.setup_minutes),
        dry_h=_r(step.dry_h),
        day=slot[2],
        start_h=_r(slot[0]),
        end_h=_r(slot[1]),
        warns=step.guards,
        wires=step.wires,
    )


def steps_csv(cabinet: Cabinet, plan: WorkPlan, write_length: Callable[[float], str]) -> bytes:
    """Every step, a row each."""
    labels = labels_of(cabinet)
    data = work_data(plan, write_length)
    numbers = {step.key: step.number for step in plan.steps}
    rows = [
        (
            str(one.number),
            str(one.day),
            STAGE_TITLES[step.stage],
            one.title,
            " ".join(one.orders),
            "; ".join(labels.get(key, key) for key in (*one.pieces, *one.parts)),
            one.tool,
            worded(setting_words(step.setting), write_length),
            one.face or "",
            str(one.count),
            f"{one.minutes:.1f}",
            f"{one.setup_minutes:.1f}",
            f"{one.dry_h:g}",
            " ".join(str(numbers[key]) for key in one.needs),
            one.key,
        )
        for one, step in zip(data.steps, plan.steps, strict=True)
    ]
    head = (
        "step",
        "day",
        "stage",
        "what",
        "how",
        "at_hand",
        "tool",
        "setting",
        "face_up",
        "count",
        "minutes",
        "setting_minutes",
        "dries_h",
        "after_steps",
        "key",
    )
    return table_csv(head, rows)


def _r(value: float) -> float:
    return round(value, 4) + 0.0


__all__ = [
    "DayData",
    "GuardData",
    "ScrewCount",
    "SettingData",
    "SetupData",
    "StepData",
    "StepWork",
    "WorkData",
    "steps_csv",
    "work_data",
]
