"""Displays side by side in the workbench: the same figures as the sheet of the book."""

from __future__ import annotations

from pathlib import Path

from nicegui import ElementFilter, ui
from tests.faces.web.pages import showing, until

from casewright.faces.web.views.comparing import ASPECTS

DUEL = Path(__file__).resolve().parents[3] / "examples" / "library-duel.cabinet.yaml"


async def test_every_display_stands_in_the_table_with_what_the_content_uses(tmp_path: Path) -> None:
    text = DUEL.read_text(encoding="utf-8").replace('aspect: "16:9"', 'aspect: "3:4"', 1)
    async with showing(tmp_path, text) as shown:
        await shown.open("parts")
        shown.press("Compare displays")

        def words() -> list[str]:
            with shown.user:
                return [label.text for label in ElementFilter(kind=ui.label)]

        await until(lambda: "content uses" in words())
        worked = shown.session.worked
        assert worked is not None
        (screen,) = worked.behavior.content.screens
        told = words()
        for one in (screen.own, *screen.candidates):
            assert any(text.startswith(one.label) for text in told), one.label
        # the project's own shape comes first; 3:4 on 16:9 uses 0.421875, exact arithmetic
        assert told[told.index(f"{screen.own.label} (in the project)") + 4] == "42%"
        wide = next(one for one in screen.candidates if one.short[0] > 0)
        row = told[told.index(wide.label) :]
        assert any(text.startswith("panel ") and "wider" in text for text in row[:9])
        assert "3:4" in ASPECTS
