"""The shipped font: signs, figures, and that Typst and its SVG reader find it."""

from __future__ import annotations

import pypdfium2
import pytest
import typst
from fontTools.ttLib import TTFont

from casewright.assets import FONT_FAMILY, font_folder

# What the papers write: primes, fractions, sizes, tilt, comparisons, thin and narrow spaces, quotes, dashes.
SIGNS = "′″×⌀°−½¼¾⅛⅜⅝⅞⁄→≤≥≈±·…–—“”‘’÷√²³µΩΔθ▲△⚠✓☐\u2009\u202f\u00a0"
FILES = sorted(font_folder().glob("*.ttf"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_font_draws_every_sign(file):
    known = TTFont(file).getBestCmap()
    assert [sign for sign in SIGNS if ord(sign) not in known] == []


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_figures_are_tabular(file):
    """Columns of figures line up without a font feature, which SVG text in Typst cannot ask for."""
    font = TTFont(file)
    known = font.getBestCmap()
    assert len({font["hmtx"][known[ord(figure)]][0] for figure in "0123456789"}) == 1


def test_font_is_small_and_has_its_licence():
    assert {file.name for file in font_folder().iterdir()} == {
        "DejaVuSansCondensed.ttf",
        "DejaVuSansCondensed-Bold.ttf",
        "LICENSE-DejaVu.txt",
    }
    assert sum(file.stat().st_size for file in font_folder().iterdir()) < 2_000_000


def compiled(family: str) -> tuple[bytes, list[typst.TypstWarning]]:
    """A page with a line of text and a line inside an SVG, regular and bold, no other font at hand."""
    page = f'#set text(font: "{family}", fallback: false)\n19″ *bold*\n\n#image("x.svg")'
    svg = f"""<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="20mm" viewBox="0 0 80 20">
      <text x="2" y="8" font-family="{family}" font-size="5">⌀ 30 × 45°</text>
      <text x="2" y="16" font-family="{family}" font-size="5" font-weight="bold">−18</text></svg>"""
    pdf, warnings = typst.compile_with_warnings(
        {"main.typ": page.encode(), "x.svg": svg.encode()},
        ignore_system_fonts=True,
        font_paths=[font_folder()],
    )
    return pdf, warnings


def test_typst_takes_text_and_svg_from_the_shipped_font():
    pdf, warnings = compiled(FONT_FAMILY)
    assert warnings == []
    document = pypdfium2.PdfDocument(pdf)
    text = document[0].get_textpage().get_text_range()
    for piece in ("19″", "bold", "⌀ 30 × 45°", "−18"):
        assert piece in text
    fonts = {
        obj.get_font().get_base_name()
        for obj in document[0].get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_TEXT])
    }
    assert {name.partition("+")[2] or name for name in fonts} == {
        "DejaVuSansCondensed",
        "DejaVuSansCondensed-Bold",
    }


def test_typst_warns_of_a_family_that_is_not_shipped():
    """So the test above can fail."""
    _, warnings = compiled("No Such Family")
    assert any("unknown font family" in warning.message for warning in warnings)
