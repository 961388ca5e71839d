"""What holds a part is larger than its hole; the catalog's own parts are, and misprints are told."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from casewright.basics.errors import InputErrors
from casewright.catalog.covering import COVERS, cover_misfits
from casewright.catalog.kinds import KINDS
from casewright.catalog.load import load_catalog
from casewright.design.project import Shop
from casewright.workflow import open_text

BOX = """\
casewright: 1
name: Box
materials: {{ply: {{kind: plywood, nominal: 12}}}}
shape: {{recipe: box, width: 400, height: 250, depth: 200, side: {{material: ply}}, board: ply}}
parts: {{x: {{type: {type}, measured: {{{measured}}}, placed: [{{key: a, on: front}}]}}}}
"""


def test_every_part_of_the_catalog_covers_its_hole():
    catalog = load_catalog()
    seen = set()
    for key, made in catalog.types.items():
        assert cover_misfits(made.data, made.given) == [], key
        seen.add(made.kind)
    assert set(COVERS) <= seen


def test_the_fields_are_those_of_the_kinds():
    for kind, pairs in COVERS.items():
        assert {name for pair in pairs for name in pair} <= set(KINDS[kind].model_fields)


@pytest.mark.parametrize(
    ("type_", "measured", "field"),
    [
        # A caliper's slip: the rim 3 for 33, the hole of 24 taken for one of 40.
        ("button-30-screw", "bezel: 3", "parts.x.measured.bezel"),
        ("button-30-screw", "hole: 35", "parts.x.measured.hole"),
        ("button-30-screw", "hole: 30, nut: 30", "parts.x.measured.nut"),
        ("speaker-4", "cutout: 150", "parts.x.measured.cutout"),
        ("fan-80", "opening: 100", "parts.x.measured.opening"),
        ("port-usb-d", "hole: 40", "parts.x.measured.hole"),
        ("rocker-small", "flange_height: 5", "parts.x.measured.flange_height"),
        ("trackball-57", "plate_width: 20", "parts.x.measured.plate_width"),
        ("dial-7", "knob: 5", "parts.x.measured.knob"),
    ],
)
def test_a_part_that_falls_through_its_hole_is_told_with_its_line(type_, measured, field):
    with pytest.raises(InputErrors) as caught:
        open_text(BOX.format(type=type_, measured=measured))
    errors = caught.value.errors
    assert {error.field for error in errors} == {field}
    assert all(error.spot is not None and error.spot.line == 5 for error in errors)


def test_a_display_s_unreadable_diagonal_is_told_once():
    with pytest.raises(InputErrors) as caught:
        open_text(BOX.format(type="display-15-6", measured="diagonal: 15 litres, aspect: '16:9'"))
    assert [error.field for error in caught.value.errors] == ["parts.x.measured.diagonal"]


@pytest.mark.parametrize(
    ("field", "fits", "too_much"),
    [("kerf", [0.8, 25, "1/8 in"], [0, 25.1, "1 in"]), ("tilt_most", [0, 47, 60], [60.5, 200])],
)
def test_saws_that_nobody_has(field, fits, too_much):
    """A table saw's blade tilts to 45 or 47° (common practice); the widest dado set cuts 13/16 in, 20.6 mm (memory)."""
    for value in fits:
        Shop.model_validate({field: value})
    for value in too_much:
        with pytest.raises(ValidationError):
            Shop.model_validate({field: value})
