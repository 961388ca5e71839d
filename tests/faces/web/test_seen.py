"""What can be seen and hit: contrast of words and edges in both themes, sizes of what is pressed.

Source: WCAG 2.2, 1.4.3 Contrast (Minimum), 1.4.11 Non-text Contrast, 2.5.8 Target Size (Minimum), with its own formula
of relative luminance.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page
from tests.faces.web.chromium import needs_chromium
from tests.faces.web.serving import Server
from tests.faces.web.workbench import visit

pytestmark = [pytest.mark.browser, needs_chromium]

CASE = Path(__file__).parents[3] / "examples" / "speaker-case.cabinet.yaml"
SMALL = """
() => [...document.querySelectorAll("button, a[href], summary, [role=checkbox], input:not(.q-select__focus-target)")]
  .filter((one) => one.checkVisibility() && !one.closest("svg, .cm-editor"))
  .map((one) => [one, (one.closest(".q-field") ?? one).getBoundingClientRect()])
  .filter(([, box]) => Math.min(box.width, box.height) < 23.5)
  .map(([one, box]) => `${one.getAttribute("aria-label") ?? one.textContent}: ${box.width} by ${box.height}`)
"""
"""Controls under 24 px; half a pixel is the browser's rounding."""
PALE = """
() => {
  const rgb = (one, of, part = null) => getComputedStyle(one, part)[of].match(/[\\d.]+/g).map(Number);
  const linear = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
  const shares = [0.2126, 0.7152, 0.0722];
  const light = (color) => shares.reduce((sum, share, at) => sum + share * linear(color[at] / 255), 0);
  const contrast = (a, b) => {
    const [low, high] = [light(a), light(b)].sort((x, y) => x - y);
    return (high + 0.05) / (low + 0.05);
  };
  const ground = (one) => {
    const own = rgb(one, "backgroundColor"), share = own[3] ?? 1;
    if (share === 1) return own;
    const under = ground(one.parentElement);
    return [0, 1, 2].map((at) => share * own[at] + (1 - share) * under[at]);
  };
  const seen = (of) =>
    [...document.querySelectorAll(of)].filter((one) => one.checkVisibility({ opacityProperty: true }));
  const hasWords = (one) => [...one.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.textContent.trim());
  const words = seen("body :not(script, style)").filter(hasWords)
    .filter((one) => !one.closest("svg, :disabled, [aria-disabled=true]"));
  const pairs = [
    ...words.map((one) => [one, rgb(one, "color"), 4.5]),
    ...seen(".q-field__control").map((one) => [one, rgb(one, "borderTopColor", "::before"), 3]),
    ...seen("button.framed, .file-picker").map((one) => [one, rgb(one, "borderTopColor"), 3]),
  ];
  return pairs.filter(([one, color, least]) => contrast(color, ground(one)) < least)
    .map(([one, color]) => `${one.className} ${one.textContent.slice(0, 30)}: ${color} on ${ground(one)}`);
}
"""
"""Words under 4.5 : 1; edges of boxes and of framed buttons under 3 : 1."""


@pytest.mark.parametrize("view", ["parts", "stock", "text", ""])
def test_words_and_edges_are_seen_and_targets_are_hit(
    page: Page, server: Server, tmp_path: Path, view: str
) -> None:
    path = tmp_path / "case.cabinet.yaml"
    path.write_bytes(CASE.read_bytes())
    visit(page, server.take(path).desk(view) if view else server.address)
    page.locator(".cm-line, .view-body td, .view-body h2, .recipe").first.wait_for()
    page.wait_for_load_state("networkidle")
    assert page.evaluate(SMALL) == []
    for theme in ("dark", "light"):
        page.evaluate(f"casewrightTheme('{theme}'); emitEvent('theme', '{theme}')")
        for _ in range(100):  # colors go over, and the text's come from the server
            if not (pale := page.evaluate(PALE)):
                break
            page.wait_for_timeout(50)
        assert pale == [], theme
