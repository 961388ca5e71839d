"""Litres against printed figures, and days that leave time to dry."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.checks.bench import box, subject_of

from casewright.behavior.painting import COATING_H, FIRST_HOUR, LAST_HOUR, litres_of
from casewright.design.finish import Color, Finish, Primer, Sealer


def painted(**finish):
    return subject_of(box(finish=finish)).behavior.painting


def test_a_paint_guides_worked_example():
    """Paint guide page, worked example: 30 m², 2 coats at 8 m²/l take 7.5 l."""
    assert litres_of(Color(covers=8, coats=2, loss=0), face_m2=30, edge_m2=0, thirst=1) == 7.5


def test_a_paint_makers_system_on_a_cabinet():
    """Paint maker's sheet for MDF: undercoat 12 m²/l once, enamel 16 m²/l twice; 1.6 m² take 0.1333 and 0.2 l."""
    under = Primer(covers=12, coats=1, loss=0)
    top = Color(covers=16, coats=2, loss=0)
    assert litres_of(under, face_m2=1.6, edge_m2=0, thirst=1) == pytest.approx(0.1333, abs=5e-5)
    assert litres_of(top, face_m2=1.6, edge_m2=0, thirst=1) == pytest.approx(0.2)


def test_the_usual_can_covers_what_pages_say_of_it():
    """Pages on spraying: a 400 ml can covers 2 m² once or 1 m² twice, a 12 oz can (355 ml) 10 to 25 ft² once."""
    can = Color(loss=0)
    assert litres_of(can.model_copy(update={"coats": 1}), face_m2=2, edge_m2=0, thirst=1) == 0.4
    assert litres_of(can, face_m2=1, edge_m2=0, thirst=1) == 0.4
    assert 10 <= 0.355 * can.covers / 0.3048**2 <= 25


def test_loss_of_bare_wood_lies_in_the_printed_range():
    """Pages on spraying: 20 to 50 % less coverage on bare porous wood, which is a thirst of 1.25 to 2."""
    assert 1 / (1 - 0.2) <= Finish().thirst <= 1 / (1 - 0.5)


def test_coats_are_those_of_the_paint_makers_sheet():
    """Paint maker's sheet: edges may need two undercoats, one undercoat on all, two top coats."""
    assert (Sealer().coats, Primer().coats, Color().coats) == (2, 1, 2)
    assert Sealer().dry_h == 4  # recoat of the undercoat


def test_only_the_first_product_on_the_edges_is_drunk():
    sealer, primer, color = painted().products
    assert (sealer.thirst, primer.thirst, color.thirst) == (2, 1, 1)
    _, primer, color = painted(sealer={"on": "faces"}).products
    assert (primer.thirst, color.thirst) == (2, 1)


def test_more_loss_takes_more_and_all_lost_takes_no_cans():
    least, most = (painted(color={"loss": loss}).products[2] for loss in (0.1, 0.4))
    assert most.litres / least.litres == pytest.approx(0.9 / 0.6)
    lost = painted(color={"loss": 1}).products[2]
    assert (lost.litres, lost.cans) == (math.inf, 0)


def test_the_inside_adds_its_faces():
    closed, open_ = painted(), painted(inside=True)
    assert open_.face_m2 > 1.9 * closed.face_m2
    assert open_.numbers[0].value == pytest.approx(sum(t.value for t in open_.numbers[0].terms))


def test_nothing_painted_is_nothing():
    none = {name: {"coats": 0} for name in ("sealer", "primer", "color", "clear")}
    bare = painted(**none)
    assert (bare.products, bare.sittings, bare.numbers, bare.days) == ((), (), (), 0)
    assert bare.surfaces


@given(st.lists(st.floats(0, 60), min_size=3, max_size=3), st.integers(0, 20))
def test_every_coat_waits_for_the_one_before_and_for_the_morning(hours, harden):
    finish = {
        name: {"dry_h": dry} for name, dry in zip(("sealer", "primer", "color"), hours, strict=True)
    }
    sittings = painted(**finish, harden_days=harden).sittings
    coats = sittings[:-1]
    assert len(coats) == 5
    for before, after in pairwise(coats):
        assert after.start_h >= before.end_h
        assert after.start_h - before.end_h < 24
    for coat in coats:
        assert FIRST_HOUR <= coat.start_h % 24 <= LAST_HOUR - COATING_H
    assert sittings[-1].end_h - sittings[-1].start_h == pytest.approx(24 * harden)
