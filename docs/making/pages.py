"""The pages of `docs/reference/`, by file name."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from making.commands_page import commands_page
from making.explore_page import explore_page
from making.formulas_page import formulas_page
from making.parts_page import parts_page, stock_page
from making.project_page import project_page
from making.rules_page import rules_page
from making.server_page import server_page
from making.sources_page import sources_page
from making.views_page import views_page
from making.voice_page import voice_page

PAGES: Mapping[str, Callable[[], str]] = {
    "commands.md": commands_page,
    "explore-file.md": explore_page,
    "formulas.md": formulas_page,
    "parts.md": parts_page,
    "project-file.md": project_page,
    "rules.md": rules_page,
    "server.md": server_page,
    "sources.md": sources_page,
    "stock.md": stock_page,
    "views.md": views_page,
    "voice.md": voice_page,
}

__all__ = ["PAGES"]
