"""Holes and threads against printed tables."""

from __future__ import annotations

import pytest

from casewright.basics.errors import InputError
from casewright.catalog.threads import THREADS, Fit, clearance_hole, thread_of, wood_screw_diameter


@pytest.mark.parametrize(
    ("name", "fine", "medium", "coarse"),
    [
        ("M2", 2.2, 2.4, 2.6),
        ("M2.5", 2.7, 2.9, 3.1),
        ("M3", 3.2, 3.4, 3.6),
        ("M3.5", 3.7, 3.9, 4.2),
        ("M4", 4.3, 4.5, 4.8),
        ("M5", 5.3, 5.5, 5.8),
        ("M6", 6.4, 6.6, 7.0),
        ("M7", 7.4, 7.6, 8.0),
        ("M8", 8.4, 9.0, 10.0),
        ("M10", 10.5, 11.0, 12.0),
        ("M12", 13.0, 13.5, 14.5),
    ],
)
def test_clearance_holes_of_iso_273(name: str, fine: float, medium: float, coarse: float) -> None:
    """ISO 273:1979, fine (H12), medium (H13) and coarse (H14) series, from an engineering hardware table."""
    holes: dict[Fit, float] = {"fine": fine, "medium": medium, "coarse": coarse}
    for fit, hole in holes.items():
        assert clearance_hole(name, fit) == hole
    assert clearance_hole(name) == medium


@pytest.mark.parametrize(
    ("name", "drill"),
    [("6-32", 0.1695), ("8-32", 0.196), ("10-24", 0.221), ("1/4-20", 9 / 32), ("3/8-16", 13 / 32)],
)
def test_clearance_drills_of_asme_b18_2_8(name: str, drill: float) -> None:
    """ASME B18.2.8-1999, table 1a, normal fit: drills No. 18, 9, 2, 9/32 and 13/32 in."""
    assert clearance_hole(name) == pytest.approx(drill * 25.4)


@pytest.mark.parametrize(
    ("name", "pitch", "minor", "middle", "drill"),
    [
        # Pitch: ISO 261. D1 and d2: ISO 724, printed to three decimals (from memory). Drill: tap drill tables.
        ("M3", 0.5, 2.459, 2.675, 2.5),
        ("M4", 0.7, 3.242, 3.545, 3.3),
        ("M5", 0.8, 4.134, 4.480, 4.2),
        ("M6", 1.0, 4.917, 5.350, 5.0),
        ("M8", 1.25, 6.647, 7.188, 6.8),
        ("M10", 1.5, 8.376, 9.026, 8.5),
        ("M12", 1.75, 10.106, 10.863, 10.2),
    ],
)
def test_thread_sizes(name: str, pitch: float, minor: float, middle: float, drill: float) -> None:
    thread = thread_of(name)
    assert thread.pitch == pitch
    assert thread.minor_diameter == pytest.approx(minor, abs=0.0006)
    assert thread.pitch_diameter == pytest.approx(middle, abs=0.0006)
    assert thread.tap_drill == drill
    assert thread.minor_diameter < drill < thread.pitch_diameter


@pytest.mark.parametrize(
    ("number", "inches"),
    [
        (2, 0.086),
        (4, 0.112),
        (5, 0.125),
        (6, 0.138),
        (7, 0.151),
        (8, 0.164),
        (9, 0.177),
        (10, 0.190),
        (12, 0.216),
        (14, 0.242),
    ],
)
def test_wood_screw_gauges(number: int, inches: float) -> None:
    """ANSI/ASME B18.6.1 basic diameters, from fastener trade tables, printed to 0.001 in."""
    assert wood_screw_diameter(number) / 25.4 == pytest.approx(inches, abs=0.0005)


@pytest.mark.parametrize("spelled", ["M4", "m4", " M4 ", "M4 x 0.7", "M4×0.7"])
def test_spellings_of_one_thread(spelled: str) -> None:
    assert thread_of(spelled).name == "M4"


@pytest.mark.parametrize("wrong", ["M4.2", "M4 x 0.5", "", "4", "1/4"])
def test_unknown_thread_names_its_field(wrong: str) -> None:
    with pytest.raises(InputError) as caught:
        clearance_hole(wrong, field="parts.display.measured.pattern_screw")
    assert caught.value.field == "parts.display.measured.pattern_screw"


@pytest.mark.parametrize("number", [-1, 25])
def test_gauge_number_out_of_range(number: int) -> None:
    with pytest.raises(InputError) as caught:
        wood_screw_diameter(number)
    assert caught.value.field == "number"


def test_every_hole_lets_its_screw_through_and_every_tap_drill_leaves_thread() -> None:
    for thread in THREADS.values():
        assert thread.diameter < thread.fine < thread.medium < thread.coarse, thread.name
        # Tap drills leave 60 to 96 % of the basic depth of thread. Common practice.
        share = (thread.diameter - thread.tap_drill) / (thread.diameter - thread.minor_diameter)
        assert 0.6 < share < 0.96, thread.name
