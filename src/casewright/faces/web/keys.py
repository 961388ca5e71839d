"""The list of keys."""

from __future__ import annotations

from nicegui import ui

from casewright.faces.web.controls import dialog, press
from casewright.faces.web.live import said

KEYS = (
    ("Ctrl + Z", "undo"),
    ("Ctrl + Y or Ctrl + Shift + Z", "redo"),
    ("Ctrl + S", "save the file, with what is being typed"),
    ("Alt + 1 … 9, 0, -, =", "go to a step of the job"),
    ("Alt + T", "the project's text"),
    ("Tab, Shift + Tab", "from one control to the next"),
    ("Enter", "take a typed value"),
    ("Esc", "forget a typed value, close a sheet"),
    ("Arrow keys", "on the board: move what is chosen by 1 mm or 1/16 in"),
    ("Shift + arrow keys", "on the board: ten times as far"),
    ("Arrow keys, + and −", "on the cabinet in space: turn it, nearer and farther"),
    ("Page Down, Page Up", "on the cabinet in space: from part to part"),
    ("Arrow keys, Enter", "while measuring: move the cross, put an end of the tape"),
    ("?", "this list"),
)


def keys_dialog() -> None:
    """Show the keys."""
    box, inner = dialog("Keys")
    with inner:
        with ui.element("dl").classes("keys"):
            for key, words in KEYS:
                said(key, "dt")
                said(words, "dd")
        press("Close", box.close, classes="main")
    box.open()


__all__ = ["KEYS", "keys_dialog"]
