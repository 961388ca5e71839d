"""What one phone shows, and how it ticks: shared by the parts of its page."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from functools import partial
from typing import Literal
from urllib.parse import quote

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.faces.web.bench import Bench
from casewright.faces.web.wording import error_lines
from casewright.planning.as_built import Answer, Replan
from casewright.planning.work import Step, WorkPlan
from casewright.planning.work.ticks import Offer, offers, whole_count
from casewright.session.ticking import keep, ticked, unticked
from casewright.workflow import Edits, Worked, replan

Reading = Literal["findings", "shopping", "service"]
Sheet = Literal["", "offer", "measure", "misfit", "pieces"]


class Hand:
    """One phone at the bench.

    Args:
        bench: The page on the session.
        now: The clock on the wall.
    """

    def __init__(self, bench: Bench, now: Callable[[], datetime] = datetime.now) -> None:
        self.bench = bench
        self._now = now
        self.show: Literal["step", "list", "piece", "reading"] = "step"
        self.reading: Reading = "findings"
        """What is read, where something is."""
        self.step = ""
        """Key of the step that is shown."""
        self.piece = ""
        """Key of the piece that is shown or measured."""
        self.paper = ""
        """Mark of the printed page that led here."""
        self.note = ""
        """Said once above what is shown."""
        self.sheet: Sheet = ""
        """What lies over the page's lower part."""
        self.typed: dict[str, str] = {}
        """What the tape says, by the box it was typed into."""
        self.spot = ""
        """What is measured besides the sizes: "bevel upper", or "hole " and the hole's key."""
        self.is_busy = False
        self.ways: Replan | None = None
        self._ways_of: Worked | None = None
        self._order: tuple[str, ...] = ()
        self._put_off: set[tuple[str, tuple[Offer, ...]]] = set()
        self._whole: tuple[Worked, int] | None = None

    # ---- what there is ----

    @property
    def worked(self) -> Worked | None:
        """The cabinet as last worked out."""
        return self.bench.worked

    @property
    def plan(self) -> WorkPlan | None:
        """The order of work, with what is left of it."""
        return self.worked.work if self.worked else None

    @property
    def steps(self) -> Sequence[Step]:
        """All that are left, and those that are only ticked."""
        return self.plan.steps if self.plan else ()

    @property
    def done(self) -> Mapping[str, str]:
        """When each step was ticked, by key."""
        return self.bench.opened.project.steps_done if self.bench.opened else {}

    @property
    def current(self) -> Step | None:
        """The step that is shown."""
        return next((step for step in self.steps if step.key == self.step), None)

    @property
    def counts(self) -> tuple[int, int]:
        """Steps that are behind, of how many: those of pieces that are made count too."""
        worked = self.worked
        if worked is None:
            return 0, 0
        if self._whole is None or self._whole[0] is not worked:
            count = whole_count(worked.cabinet, worked.behavior.painting)
            self._whole = (worked, count)
        left = sum(step.key not in self.done for step in self.steps)
        whole = max(self._whole[1], left)
        return whole - left, whole

    @property
    def offered(self) -> tuple[Offer, ...]:
        """What can be put down now that the step shown is ticked, and was not put off here."""
        if self.worked is None:
            return ()
        worked = self.worked
        found = offers(self.steps, self.done, self.step, worked.cabinet, worked.again)
        return () if (self.step, found) in self._put_off else found

    @property
    def misfits(self) -> tuple[Answer, ...]:
        """Made pieces that do not serve the plan as it is."""
        return self.worked.made.touched if self.worked and self.worked.made else ()

    def day_of(self, key: str) -> int:
        """Day of the work on which a step ends; 0 for none."""
        slots = self.plan.slots if self.plan else ()
        return next((slot.day for slot in slots if slot.step == key and slot.is_last), 0)

    # ---- moving about ----

    def settle(self) -> None:
        """Stay on a step that is there: where the one shown is gone, go to the first one after it that is open."""
        keys = [step.key for step in self.steps]
        if self.step in keys:
            self._order = tuple(keys)
            return
        there = set(keys)
        after = self._order[self._order.index(self.step) + 1 :] if self.step in self._order else ()
        open_after = [key for key in after if key in there and key not in self.done]
        open_ones = [key for key in keys if key not in self.done]
        self.step = next(iter([*open_after, *open_ones, *keys[-1:]]), "")
        self._order = tuple(keys)
        self.sheet = ""
        self.keep_place()

    def go(self, key: str) -> None:
        """Show another step."""
        self.step, self.show, self.sheet, self.note = key, "step", "", ""
        self.settle()
        self.keep_place()
        self.refresh(top=True)

    def move(self, by: int) -> None:
        """Show the next step or the one before."""
        keys = [step.key for step in self.steps]
        if self.step in keys:
            place = min(max(keys.index(self.step) + by, 0), len(keys) - 1)
            self.go(keys[place])

    def open(self, show: Literal["step", "list", "piece"], piece: str = "") -> None:
        """Show the list, a piece, or the step again."""
        self.show, self.sheet = show, ""
        self.piece = piece or self.piece
        self.keep_place()
        self.refresh(top=show != "list")

    def lay(self, sheet: Sheet, piece: str = "") -> None:
        """Lay something over the page's lower part, or take it off."""
        self.sheet = sheet
        if piece:
            self.piece = piece
            self.typed, self.spot = {}, ""
        self.refresh()

    def look(self, spot: str) -> None:
        """Measure at another spot of the piece; the same again, and the sizes are shown."""
        self.spot = "" if spot == self.spot else spot
        self.refresh()
        self.bench.client.run_javascript("document.querySelector('.phone-sheet').scrollTop = 0")

    def put_off(self) -> None:
        """Not now: leave what is offered, on this phone."""
        self._put_off.add((self.step, self.offered))
        self.lay("")

    def keep_place(self) -> None:
        """Have the phone remember where it is, and the address say it."""
        base = f"/desk/{self.bench.key}"
        at = f"{base}/piece/{quote(self.piece)}" if self.show == "piece" else f"{base}/step"
        if self.show == "reading":
            at = f"{base}/read/{self.reading}"
        elif self.show == "list":
            at = f"{base}/steps"
        elif self.show != "piece" and self.step:
            at += f"/{quote(self.step, safe='')}"
            self.bench.client.run_javascript(
                f"casewrightPlace({json.dumps(self.bench.key)}, {json.dumps(self.step)})"
            )
        with self.bench.client:
            ui.navigate.history.replace(at)

    def refresh(self, *, top: bool = False) -> None:
        """Bring the page up to date."""
        if self.bench.client.is_deleted:
            return
        with self.bench.client:
            self.bench.live.update()
        if top:
            self.bench.client.run_javascript("document.querySelector('.phone-main').scrollTop = 0")

    # ---- ticking ----

    async def tick(self) -> None:
        """Tick the step that is shown, or take its tick back."""
        step = self.current
        if step is None or self.is_busy:
            return
        title = self.bench.say(step.title)
        is_done = step.key in self.done
        edits = unticked([step.key]) if is_done else ticked([step.key], self._now())
        if await self.edit(edits, f"{'untick' if is_done else 'tick'} {title}"[:70]):
            self.sheet = "" if is_done or not self.offered else "offer"
            self.refresh()

    async def edit(
        self, edits: Edits, label: str, *, say: Callable[[str], object] | None = None
    ) -> bool:
        """Edit and keep; whether it went well. What did not is told, by `say` if that is given."""
        if self.is_busy:
            return False
        self.is_busy = True
        told: list[str] = []

        def change() -> None:
            told.append(keep(self.bench.session, edits, label))

        try:
            lines = await self.bench.do(change)
        finally:
            self.is_busy = False
        if self.bench.client.is_deleted:
            return not lines
        with self.bench.client:
            if lines and say is not None:
                say(" ".join(lines[:2]))
                return False
            return await self.bench.tell([*lines, *(line for line in told if line)]) or not lines

    async def find_ways(self) -> None:
        """Look for the ways on from pieces that do not fit."""
        worked = self.worked
        if worked is None or self._ways_of is worked:
            return
        self._ways_of, self.ways = worked, None
        found = await run.io_bound(partial(replan, worked))
        if self._ways_of is worked:
            self.ways = found
            self.refresh()

    def problem_of(self, error: CasewrightError) -> str:
        """What is wrong, in words."""
        return " ".join(error_lines(error))


__all__ = ["Hand", "Reading", "Sheet"]
