"""A box that takes a file from anywhere on the maker's computer; the browser hands over what is asked for of it."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Callable, Coroutine, Sequence
from typing import Any

from nicegui import events, ui

from casewright.faces.web.security import LARGEST_MESSAGE

Take = Callable[[dict[str, str]], Coroutine[Any, Any, None]]

MOST_WHOLE = LARGEST_MESSAGE * 7 // 10
"""A file of so many bytes fits, a third longer by its writing, into a message. [bytes]"""
WHOLE = """
told.data = btoa(Array.from(new Uint8Array(await file.arrayBuffer()), (byte) => String.fromCharCode(byte)).join(""));
"""
"""In the browser: all of the file, as `data`."""


def file_box(
    label: str, endings: Sequence[str], take: Take, *, most: int, read: str = WHOLE
) -> ui.element:
    """The box.

    Args:
        label: What a screen reader says.
        endings: Of the files that are offered.
        take: Called with `name` and what `read` tells of the file; with `wrong` and no more where it cannot be read.
        most: The largest file that is read. [bytes]
        read: JavaScript that puts texts into `told`, from `file`; what it throws is `wrong`.
    """
    box = ui.element("input").classes("file-picker")
    box.props["type"], box.props["accept"], box.props["aria-label"] = (
        "file",
        ",".join(endings),
        label,
    )

    async def picked(event: events.GenericEventArguments) -> None:
        told = event.args if isinstance(event.args, dict) else {}
        await take({str(key): str(value) for key, value in told.items()})

    box.on("change", picked, js_handler=_HANDLER.format(most=most, read=read))
    return box


def file_bytes(told: dict[str, str]) -> bytes:
    """The file's bytes, of what `WHOLE` tells of it; nothing where there are none."""
    try:
        return base64.b64decode(told.get("data", ""), validate=True)
    except binascii.Error:
        return b""


_HANDLER = """async (event) => {{
  const box = event.target, file = box.files[0];
  if (!file) return;
  let told = {{ name: file.name }};
  try {{
    if (file.size > {most}) throw "too large";
    {read}
  }} catch (error) {{
    told = {{ name: file.name, wrong: typeof error === "string" ? error : "not text" }};
  }}
  box.value = "";
  emit(told);
}}"""

__all__ = ["MOST_WHOLE", "WHOLE", "Take", "file_box", "file_bytes"]
