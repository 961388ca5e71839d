"""Square codes on the book's pages, by ISO/IEC 18004: what a phone reads off them."""

from __future__ import annotations

import segno

from casewright.outputs.bench_links import bench_link
from casewright.outputs.documents.book_blocks import Block, Writer
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
    code = segno.make(text, error="m", micro=False)
    rows = [bytes(row) for row in code.matrix]
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


__all__ = ["STEP_CODE", "code_picture", "step_code"]
