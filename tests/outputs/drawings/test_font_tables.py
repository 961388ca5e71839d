"""The shipped fonts, measured by fontTools too."""

import pytest
from fontTools.ttLib import TTFont

from casewright.assets import font_folder
from casewright.outputs.drawings.font_tables import read_font


@pytest.mark.parametrize("file", sorted(font_folder().glob("*.ttf")), ids=lambda file: file.stem)
def test_every_sign_is_as_wide_as_a_general_library_finds_it(file):
    """fontTools, a general reference library for font files."""
    read = read_font(file)
    with TTFont(file) as font:
        size = font["head"].unitsPerEm
        widths = {name: wide / size for name, (wide, _) in font["hmtx"].metrics.items()}
        assert read.advances == {code: widths[name] for code, name in font.getBestCmap().items()}
        assert read.missing == widths[".notdef"]
        assert read.capital == font["glyf"]["H"].yMax / size
