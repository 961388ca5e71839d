"""One part's own drawing, as the bench book has it."""

from __future__ import annotations

from nicegui import ui

from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.drawings import page_svg
from casewright.faces.web.live import said
from casewright.outputs.drawings.part_view import faces_of, known_labels, part_sheet

ROOM = (240.0, 150.0)
"""Width and height that the drawing is laid out for. [mm]"""


def show_sheet(bench: Bench, key: str) -> None:
    """Show a piece's drawing, each worked face in turn."""
    worked = bench.worked
    piece = worked.cabinet.piece_by_key.get(key) if worked else None
    if worked is None or piece is None:
        return
    box, inner = dialog(piece.label or piece.key)
    labels = known_labels(worked.cabinet)
    with inner:
        inner.classes("broad")
        for face in faces_of(piece):
            sheet = part_sheet(
                worked.cabinet, (piece,), face, bench.style, labels=labels, room=ROOM
            )
            said(sheet.face_words, "p").classes("quietly")
            svg = page_svg(sheet.drawing, name=f"sheet-{face}")
            ui.html(svg, sanitize=False).classes("part-sheet")
        press("Close", box.close, classes="main")
    box.open()


__all__ = ["ROOM", "show_sheet"]
