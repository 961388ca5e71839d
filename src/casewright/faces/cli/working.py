"""`casewright steps`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from rich import box
from rich.table import Table
from rich.text import Text

from casewright.basics.errors import CasewrightError, InputError
from casewright.basics.findings import worded
from casewright.basics.wording import counted
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import console, print_json, say_error
from casewright.outputs.exports.work_steps import work_data
from casewright.outputs.work_words import (
    clock_words,
    hours_words,
    setup_groups,
    setups_sentence,
)
from casewright.planning.work import WorkPlan
from casewright.workflow import open_project, work_out


def list_steps(
    file: Path, *, day: int | None, setups: bool, as_json: bool, catalogs: Sequence[Path]
) -> int:
    """Print the order of work, of one day or of all."""
    try:
        worked = work_out(open_project(file, catalogs=catalogs))
        plan = worked.work
        days = [one.number for one in plan.days]
        if day is not None and day not in days:
            raise InputError(
                "--day",
                got=str(day),
                want="a day on which something is done: " + ", ".join(map(str, days)),
                example=str(days[0]) if days else "",
            )
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        data = work_data(plan, worked.opened.write_length).model_dump(mode="json")
        if day is not None:
            data["steps"] = [step for step in data["steps"] if step["day"] == day]
        print_json(data)
        return FINE
    write = worked.opened.write_length

    def say(text: str) -> str:
        return worded(text, write)

    out = console()
    if not setups:
        for one in plan.days:
            if day in (None, one.number):
                _print_day(plan, one.number, say)
    if day is None:
        out.print(_setup_table(plan))
        numbers = {number.key: number.value for number in plan.numbers}
        out.print(
            Text(
                f"{hours_words(numbers['work.minutes'] / 60)} at the bench on "
                f"{counted(len(plan.days), 'day')}; closed on day {days[-1] if days else 0}. {setups_sentence(plan)}"
            )
        )
        for finding in plan.findings:
            out.print(Text(f"Stop: {say(finding.message)}", style="bold red"))
    return FINE


def _print_day(plan: WorkPlan, number: int, say: Callable[[str], str]) -> None:
    out = console()
    day = next(one for one in plan.days if one.number == number)
    mine = set(day.steps)
    out.print(Text(f"Day {number}, {hours_words(day.busy_h)}", style="bold"))
    table = Table(box=None, pad_edge=False, show_header=False, padding=(0, 1))
    table.add_column(justify="right", no_wrap=True)
    table.add_column(overflow="fold")
    table.add_column(no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    for group in setup_groups([step for step in plan.steps if step.key in mine]):
        setting = f"; {group.minutes:.0f} min to set" if group.minutes else ""
        table.add_row("", Text(f"{say(group.words)}{setting}", style="dim"), "", "")
        for step in group.steps:
            table.add_row(
                str(step.number),
                Text(say(step.title)),
                f"{step.face} up" if step.face else "",
                f"{step.minutes:.0f} min",
            )
    out.print(table)
    for key, until in day.drying:
        step = plan.step(key)
        out.print(Text(f"  Step {step.number} dries until {clock_words(until, number)}."))
    out.print()


def _setup_table(plan: WorkPlan) -> Table:
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for title in ("machine", "what is set", "times", "at least"):
        table.add_column(title, justify="right" if title in ("times", "at least") else "left")
    for one in plan.setups:
        table.add_row(one.machine, one.thing, str(one.count), str(one.least))
    return table


__all__ = ["list_steps"]
