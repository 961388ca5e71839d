"""The drawing board in the views, where its component is there."""

from __future__ import annotations

from casewright.faces.web.bench import Bench


def side_board(bench: Bench) -> bool:
    """Put the board with the outline into the page; False where there is none."""
    return False


def panel_board(bench: Bench) -> bool:
    """Put the board with a panel into the page; False where there is none."""
    return False


__all__ = ["panel_board", "side_board"]
