"""The order of work on the page: what a day lists, and what a chosen step shows."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from nicegui import ElementFilter, ui
from tests.faces.web.pages import Shown, showing, until

from casewright.basics.findings import worded

ROOT = Path(__file__).parents[3]
LAP = ROOT / "examples" / "lap-controller.cabinet.yaml"


@pytest.fixture
async def shown(tmp_path: Path) -> AsyncIterator[Shown]:
    async with showing(tmp_path, LAP.read_text(encoding="utf-8")) as found:
        yield found


def texts(shown: Shown) -> list[str]:
    with shown.user:
        return [label.text for label in ElementFilter(kind=ui.label)]


def pictures(shown: Shown) -> list[str]:
    with shown.user:
        return [e.content for e in ElementFilter(kind=ui.html) if "<svg" in e.content]


async def test_a_day_lists_its_steps_and_another_day_its_own(shown: Shown) -> None:
    worked = shown.session.worked
    assert worked is not None
    plan, write = worked.work, worked.opened.write_length
    await shown.open("order")
    for day in (plan.days[0], plan.days[-1]):
        shown.press(f"Day {day.number}")
        titles = {
            worded(plan.step(key).title, lambda x: write(x)).split(" ")[0] for key in day.steps
        }
        said = texts(shown)
        numbers = {text for text in said if text.isdigit()}
        assert {str(plan.step(key).number) for key in day.steps} <= numbers
        assert all(any(text.startswith(title) for text in said) for title in titles)


@pytest.mark.parametrize("stage", ["cut", "shape", "glue"])
async def test_a_chosen_step_shows_its_orders_and_a_picture(shown: Shown, stage: str) -> None:
    """A sheet for a cut, the piece's face for a hole, what stands so far for a joint."""
    worked = shown.session.worked
    assert worked is not None
    plan = worked.work
    # Not the first: the sides are stacked before anything is drilled.
    step = next(s for s in plan.steps if s.stage == stage and s.key != "sides.stack")
    day = next(slot.day for slot in plan.slots if slot.step == step.key)
    await shown.open("order")
    before = len(pictures(shown))
    shown.press(f"Day {day}")
    shown.press(worded(step.title, lambda x: worked.opened.write_length(x)).split(",")[0])
    await until(lambda: len(pictures(shown)) > before)
    said = texts(shown)
    assert any(text.startswith(f"{step.number}. ") for text in said)
    assert not any("⟦" in text for text in said)
