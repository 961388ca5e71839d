"""The Cutting step without a browser: nests are drawn by their outlines, and better layouts are kept by a press."""

from __future__ import annotations

from pathlib import Path

import pytest
from nicegui import ElementFilter, ui
from tests.faces.web.pages import showing, until

from casewright.faces.web.views import cutting

DUEL = Path(__file__).parents[3] / "examples" / "library-duel.cabinet.yaml"


async def test_a_nest_is_drawn_by_its_outlines_and_said_in_words(tmp_path: Path) -> None:
    async with showing(tmp_path, DUEL.read_text(encoding="utf-8")) as shown:
        shown.session.edit(
            {("shop", "jigsaw_kerf"): "2 mm", ("cutting", "shapes"): "nested, either face up"}
        )
        await shown.open("cutting")
        await shown.user.should_see("nest of left side and right side")
        await shown.user.should_see("Saw with the jigsaw")
        with shown.user:
            pictures = [str(e.content) for e in ElementFilter(kind=ui.html)]
        assert sum(picture.count('<polygon class="nested"') for picture in pictures) == 2


async def test_a_better_layout_is_kept_with_one_press_and_forgotten_with_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cutting, "LONGER", 0.5)
    text = DUEL.read_text(encoding="utf-8") + "cutting:\n  steps: 0\n"

    async with showing(tmp_path, text) as shown:

        def kept() -> set[str]:
            assert shown.session.opened is not None
            return set(shown.session.opened.project.cutting.kept)

        await shown.open("cutting")
        assert shown.session.worked is not None
        before = shown.session.worked.cutting
        shown.press("Look ")
        await until(lambda: bool(kept()))
        now = shown.session.worked.cutting
        assert now != before
        assert {plan.material for plan in now.plans if plan.plan.kept} == kept()
        await shown.user.should_see("as kept from a longer search")
        shown.press("Forget")
        await until(lambda: not kept())
        assert shown.session.worked.cutting == before
