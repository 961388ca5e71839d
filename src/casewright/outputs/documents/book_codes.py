"""Square codes on the book's pages, by ISO/IEC 18004: what a phone reads off them."""

from __future__ import annotations

from collections.abc import Callable

from casewright.outputs.bench_links import STEP_LIST, bench_link
from casewright.outputs.documents.book_blocks import Block, Writer
from casewright.outputs.drawings.square_code import code_rows
from casewright.planning.work import Step

STEP_CODE = 17.0
"""Edge of the code beside a step, at most 0.4 mm a square. [mm]"""


def code_picture(writer: Writer, file: str, text: str) -> str:
    """Draw a code among the book's pictures, unless it is there.

    Args:
        writer: Of the book.
        file: Its name.
        text: What it holds.

    Returns:
        The file's name.
    """
    if file in writer.pictures:
        return file
    rows = code_rows(text)
    side = len(rows) + 4
    path = "".join(
        f"M{x + 2} {y + 2}h1v1h-1z" for y, row in enumerate(rows) for x, on in enumerate(row) if on
    )
    return writer.keep(
        file,
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}mm" height="{side}mm" '
        f'viewBox="0 0 {side} {side}"><path d="{path}" fill="#1e2328"/></svg>\n',
    )


def step_code(writer: Writer, step: Step) -> Block | None:
    """The code that opens a step on a phone; None where phones find nothing."""
    address = writer.source.bench
    if not address:
        return None
    text = bench_link(address, writer.cabinet.project.name, step=step.key, of=writer.fingerprint)
    file = code_picture(writer, f"qr-step-{step.number:03}.svg", text)
    return {"file": file, "width": STEP_CODE, "height": STEP_CODE, "alt": text}


def opens(writer: Writer, *, step: Step | None = None, view: str = "") -> tuple[Block, ...]:
    """What the pages open on a phone from here on: a step, a view, or the start of the bench view.

    The first such place that begins on a page stands as a code in its head; where none begins, the last one before.
    A page with codes of its own, of pieces or steps, has none in its head.

    Returns:
        One block, which takes no room; nothing where phones find nothing.
    """
    address = writer.source.bench
    if not address:
        return ()
    name = f"step-{step.number:03}" if step else f"view-{view or 'start'}"
    if name not in writer.places:
        key = step.key if step else ""
        project = writer.cabinet.project.name
        text = bench_link(address, project, step=key, view=view, of=writer.fingerprint)
        writer.places[name] = {"file": code_picture(writer, f"qr-{name}.svg", text), "alt": text}
    return ({"kind": "place", "of": name},)


def opens_step(writer: Writer, is_it: Callable[[Step], bool]) -> tuple[Block, ...]:
    """The same, with the first step of a kind; the list of steps where none is left."""
    step = next(filter(is_it, writer.source.work.steps), None)
    return opens(writer, step=step, view="" if step else STEP_LIST)


def opens_work(writer: Writer, piece: str, features: frozenset[str]) -> tuple[Block, ...]:
    """The same, with the step that finishes one of a piece's features."""

    def finishes(step: Step) -> bool:
        return any(
            work.piece == piece and work.feature in features and work.part == "whole"
            for work in step.works
        )

    return opens_step(writer, finishes)


__all__ = ["STEP_CODE", "code_picture", "opens", "opens_step", "opens_work", "step_code"]
