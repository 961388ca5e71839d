"""What to mask follows from what is there."""

from __future__ import annotations

from tests.checks.bench import box, button, subject_of

from casewright.behavior.masking import masking
from casewright.behavior.surfaces import surfaces


def masks(data):
    cabinet = subject_of(data).cabinet
    return {m.what: m.where for m in masking(cabinet, surfaces(cabinet))}


def test_glue_faces_and_what_comes_off_are_apart():
    """Sides and boards are glued, the back is screwed: common practice masks both, for different reasons."""
    found = masks(box())
    glued = next(where for what, where in found.items() if what.startswith("glue faces"))
    assert "deck" in glued and "back" not in glued
    assert found["mating edges of what comes off"] == "back"


def test_bores_of_controls_are_counted():
    found = masks(box(parts={"red": button((150, 150), (250, 150))}))
    assert found["bores, pockets and grooves"] == "2 places: deck 2"
    assert "bores, pockets and grooves" not in masks(box())


def test_seats_inside_count_only_where_the_inside_is_painted():
    seats = "seats of cleats, rails and frames"
    assert seats not in masks(box())
    assert seats in masks(box(finish={"inside": True}))


def test_acrylic_is_fitted_after_painting():
    layer = {"key": "cover", "material": "clear", "label": "cover"}
    clear = {"kind": "acrylic", "species": "acrylic-clear", "nominal": 3}
    found = masks(box(materials={"clear": clear}, panels={"deck": {"layers": [layer]}}))
    assert found["acrylic and prints"] == "cover"


def test_nothing_painted_needs_no_mask():
    assert masking(subject_of(box()).cabinet, ()) == ()
