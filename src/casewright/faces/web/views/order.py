"""Order of work: what is done on which day, with which setting, and a picture of the step that is chosen."""

from __future__ import annotations

from collections.abc import Hashable
from datetime import datetime
from functools import partial

from nicegui import run, ui

from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import heading, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.step_pictures import step_picture
from casewright.outputs.bench_links import BENCH
from casewright.outputs.work_words import (
    STAGE_TITLES,
    clock_words,
    hours_words,
    setting_words,
    setup_groups,
    setup_remark,
    setups_sentence,
)
from casewright.planning.work import ShopDay, Step, WorkPlan
from casewright.session.ticking import keep, ticked, unticked


class _Shown:
    """What one page has chosen."""

    def __init__(self) -> None:
        self.day = 1
        self.step = ""


def view(bench: Bench) -> None:
    """Days and their steps on the left, the chosen step and the settings on the right."""
    heading(
        "Order of work",
        "Every tilt, fence, bit and stop is set as seldom as what needs what allows. Times are common practice.",
    )
    shown = _Shown()

    def key() -> Hashable:
        done = bench.opened.project.steps_done if bench.opened else {}
        return (_plan(bench), bench.style, shown.day, tuple(done))

    def choose_day(day: int) -> None:
        shown.day = day
        bench.live.update()

    async def choose(step: str) -> None:
        shown.step = step
        await _show_step(bench, chosen[0], step)

    chosen: list[ui.element] = []
    if bench.desk.bench_address:
        said(f"On a phone at the bench: {bench.desk.bench_address}{BENCH}", "p").classes("quietly")
    with ui.element("div").classes("columns order-columns"):
        with ui.element("div").classes("lane scrolls"):
            days = bench.live.section(lambda _: _days(bench, shown, choose_day), key)
            days.classes("in-line")
            bench.live.section(lambda _: _day(bench, shown, choose), key)
        with ui.element("div").classes("lane scrolls"):
            block = ui.element("section").classes("block")
            block.props["aria-live"] = "polite"
            chosen.append(block)
            bench.live.section(
                lambda live: _summary(bench, live), lambda: (_plan(bench), bench.style)
            )

    with block:
        said("Choose a step to see it.", "p").classes("quietly")


def _plan(bench: Bench) -> WorkPlan | None:
    return bench.worked.work if bench.worked else None


def _days(bench: Bench, shown: _Shown, choose: object) -> None:
    plan = _plan(bench)
    if plan is None or not callable(choose):
        return
    numbers = [day.number for day in plan.days]
    if numbers and shown.day not in numbers:
        shown.day = numbers[0]
    for number in numbers:
        button = press(
            f"Day {number}",
            partial(choose, number),
            classes="framed" if number == shown.day else "quiet",
        )
        button.props["aria-pressed"] = str(number == shown.day).lower()


def _day(bench: Bench, shown: _Shown, choose: object) -> None:
    plan = _plan(bench)
    if plan is None or not plan.days or not callable(choose):
        said("Nothing can be planned yet; the project text says what is amiss.", "p")
        return
    day = next(one for one in plan.days if one.number == shown.day)
    said(f"Day {day.number}: {hours_words(day.busy_h)} at the bench", "h2").classes("block-title")
    mine = set(day.steps)
    with ui.element("table").classes("list"), ui.element("tbody"):
        stage = ""
        for group in setup_groups([step for step in plan.steps if step.key in mine]):
            if group.steps[0].stage != stage:
                stage = group.steps[0].stage
                with ui.element("tr"):
                    head = said(STAGE_TITLES[group.steps[0].stage], "th")
                    head.props["colspan"] = 5
            setting = f"; {group.minutes:.0f} min to set" if group.minutes else ""
            with ui.element("tr"):
                words = said(f"{bench.say(group.words)}{setting}", "td").classes("quietly")
                words.props["colspan"] = 5
            for step in group.steps:
                _row(bench, step, choose)
    _drying(bench, plan, day)


def _row(bench: Bench, step: Step, choose: object) -> None:
    when = bench.opened.project.steps_done.get(step.key) if bench.opened else None
    with ui.element("tr"):
        with ui.element("td"):
            tick = press(
                "",
                partial(_tick, bench, step),
                classes="tick-box",
                label=f"Step {step.number} is done" + (f": ticked {when}" if when else ""),
            )
            tick.props["aria-pressed"] = str(when is not None).lower()
        said(str(step.number), "td").classes("number")
        with ui.element("td"):
            if callable(choose):
                press(bench.say(step.title), partial(choose, step.key), classes="order")
        said(f"{step.face} face up" if step.face else "", "td")
        said(f"{step.minutes:.0f} min", "td").classes("number")


async def _tick(bench: Bench, step: Step) -> None:
    """Tick a step, or take its tick back; phones at the bench see it."""
    done = bench.opened.project.steps_done if bench.opened else {}
    is_done = step.key in done
    edits = unticked([step.key]) if is_done else ticked([step.key], datetime.now())
    label = f"{'untick' if is_done else 'tick'} {bench.say(step.title)}"[:70]
    await bench.tell(await bench.do(lambda: keep(bench.session, edits, label)))


def _drying(bench: Bench, plan: WorkPlan, day: ShopDay) -> None:
    for key, until in day.drying:
        step = plan.step(key)
        said(
            f"{bench.say(step.title)} (step {step.number}) dries until {clock_words(until, day.number)}.",
            "p",
        ).classes("quietly")


async def _show_step(bench: Bench, box: ui.element, key: str) -> None:
    plan = _plan(bench)
    step = next((one for one in plan.steps if one.key == key), None) if plan else None
    if plan is None or step is None:
        return
    box.clear()
    with box:
        said(f"{step.number}. {bench.say(step.title)}", "h2")
        with ui.element("ol"):
            for order in step.orders:
                said(bench.say(order), "li")
        for words in _facts(bench, plan, step):
            said(words, "p").classes("quietly")
        room = ui.element("div").classes("sheet-picture")
    svg = await run.io_bound(step_picture, bench, step)
    if svg and not bench.client.is_deleted:
        with room:
            drawn = ui.html(svg, sanitize=False)
            drawn.props["role"], drawn.props["aria-label"] = "img", bench.say(step.title)


def _facts(bench: Bench, plan: WorkPlan, step: Step) -> list[str]:
    numbers = {one.key: one.number for one in plan.steps}
    after = sorted(numbers[key] for key in step.needs)
    facts = []
    if step.tool:
        facts.append(f"Tool: {bench.say(step.tool)}.")
    if step.setting:
        facts.append(f"{bench.say(setting_words(step.setting))}.")
    if step.screws:
        facts.append(
            "Screws: " + "; ".join(f"{count} × {name}" for name, count in step.screws) + "."
        )
    if step.dry:
        facts.append(f"Drying: {step.dry}.")
    if after:
        told = ", ".join(map(str, after[-6:]))
        facts.append(f"After step{'' if len(after) == 1 else 's'} {told}.")
    return facts


def _summary(bench: Bench, _: Live) -> None:
    plan = _plan(bench)
    if plan is None:
        return
    numbers = {number.key: number.value for number in plan.numbers}
    said("Settings", "h2").classes("block-title")
    said(
        f"{hours_words(numbers['work.minutes'] / 60)} at the bench on "
        f"{counted(len(plan.days), 'day')}. {setups_sentence(plan)}",
        "p",
    )
    with ui.element("table").classes("list"):
        with ui.element("thead"), ui.element("tr"):
            for head in ("what is set", "times", "at least"):
                said(head, "th").classes("" if head == "what is set" else "number")
        with ui.element("tbody"):
            for one in plan.setups:
                with ui.element("tr"):
                    cell = said(f"{one.machine}: {one.thing}", "td")
                    cell.props["title"] = setup_remark(one)
                    said(str(one.count), "td").classes("number")
                    said(str(one.least), "td").classes("number")
    said("Guards", "h2").classes("block-title")
    with ui.element("ul"):
        for guard in plan.guards:
            for finding in guard.findings:
                said(bench.say(finding.message), "li").classes("problem")
            if not guard.findings and guard.said:
                said(f"{guard.title}: told at {counted(len(guard.said), 'step')}", "li")


__all__ = ["view"]
