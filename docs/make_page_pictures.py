"""Makes the README's pictures of the workbench: `python docs/make_page_pictures.py`, where Chromium is installed."""

from __future__ import annotations

import sys
import tempfile
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page
    from tests.faces.web.serving import Server

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "examples" / "library-duel.cabinet.yaml"
PICTURES = ROOT / "docs" / "pictures"
SIZE = (1280, 800)
"""Of the window, and so of a picture. [pixels]"""
COLORS = 256
"""Few enough for a small file, enough for shades."""
DRAWN_MS = 6_000
"""By then a processor has drawn the cabinet with all care."""
SPOT = """key => {
  const board = document.querySelector(".board-room").firstElementChild;
  try { return getElement(Number(board.id.slice(1))).pixel(key); } catch { return null; }
}"""
"""Where a control is drawn in the window; none before it is."""


def main() -> int:
    """Write them all."""
    sys.path.insert(0, str(ROOT))
    from tests.faces.web.chromium import CHROMIUM, launch, playing
    from tests.faces.web.serving import serving

    if not CHROMIUM:
        print("No Chromium is installed; the pictures stay as they are.", file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory() as folder, playing() as playwright:
        file = Path(folder) / DEMO.name
        file.write_bytes(DEMO.read_bytes())
        browser = launch(playwright, "--disable-gpu")
        with serving(Path(folder), file) as server:
            keep(shown(browser, server, "whole"), "workbench-whole", wait=DRAWN_MS)
            keep(shown(browser, server, "side", dark=True), "workbench-side-dark")
            keep(shown(browser, server, "cutting"), "workbench-cutting")
            drag(shown(browser, server, "panels"))
        browser.close()
    return 0


def shown(browser: Browser, server: Server, view: str, *, dark: bool = False) -> Page:
    """A view of the demo in a window of its own."""
    width, height = SIZE
    context = browser.new_context(
        viewport={"width": width, "height": height}, color_scheme="dark" if dark else "light"
    )
    page = context.new_page()
    page.goto(server.desk(view))
    page.wait_for_function("window.socket && window.socket.connected")
    page.locator("aside .finding").first.wait_for()
    page.wait_for_load_state("networkidle")
    return page


def drag(page: Page) -> None:
    """A button held too near to its neighbor."""
    x, y = page.wait_for_function(SPOT, arg="red1").json_value()
    near, level = page.wait_for_function(SPOT, arg="blue1").json_value()
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 11):
        page.mouse.move(x + (near - 14 - x) * step / 10, y + (level - y) * step / 10)
    keep(page, "workbench-drag")
    page.mouse.up()


def keep(page: Page, name: str, *, wait: int = 1_000) -> None:
    """Write what the window shows."""
    page.wait_for_timeout(wait)
    image = Image.open(BytesIO(page.screenshot())).convert("RGB")
    few = image.quantize(COLORS, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    few.save(PICTURES / f"{name}.png", optimize=True)


if __name__ == "__main__":
    raise SystemExit(main())


__all__ = ["drag", "keep", "main", "shown"]
