"""A page follows its session: each change reaches it, and many that come at once are one."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path
from unittest.mock import patch

import pytest
from tests.faces.web.pages import Shown, showing, until
from tests.session.projects import SMALL

from casewright.faces.web import page as pages
from casewright.faces.web.bench import Bench
from casewright.session import Changes

V = ("panels", "base", "reveal")


@pytest.fixture
async def shown(tmp_path: Path) -> AsyncIterator[Shown]:
    async with showing(tmp_path, SMALL) as found:
        yield found


async def test_changes_that_come_faster_than_a_page_is_drawn_are_shown_as_one(shown: Shown):
    """Else a page among many, each of which takes its time, falls behind further with every change."""
    benches: list[Bench] = []

    class Kept(Bench):
        def __init__(self, *of, **named) -> None:
            super().__init__(*of, **named)
            benches.append(self)

    with patch.object(pages, "Bench", Kept):
        await shown.open("panels")
    (bench,) = benches
    told: list[Changes] = []
    bench.watchers.append(told.append)
    for reveal in range(3, 9):
        shown.session.set(V, reveal)  # here nothing of the page runs in between
    await until(lambda: bool(told))
    assert len(told) == 1
    assert told[0].text
    assert "base" in told[0].pieces.changed
    shown.session.set(V, 2)
    await until(lambda: len(told) == 2)
    assert told[1].label == shown.session.undo_label
