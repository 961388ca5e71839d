"""Rules on lit signs: found, just right, and cured by what they say."""

from __future__ import annotations

import pytest
from tests.behavior.test_light import lit_sign, signed
from tests.checks.bench import applied, box, cures, found

from casewright.checks.rules import light_dots, light_drop, light_edges


def test_a_board_too_near_shows_its_lights():
    near = signed(board_distance=11, row_pitch=12)
    (finding,) = found(light_dots, near)
    assert "single lights" in finding.message
    cures(light_dots, near)
    assert found(light_dots, signed()) == []


def test_rows_far_apart_show_as_stripes():
    """Rows 34 apart, 17 behind: between them it is dark, from light to light it is not."""
    striped = signed(board_distance=19, row_pitch=34)
    (finding,) = found(light_dots, striped)
    assert "rows" in finding.message
    for remedy in finding.remedies[:2]:
        assert found(light_dots, applied(striped, remedy)) == []


def test_short_rows_leave_dark_corners():
    (finding,) = found(light_edges, signed())
    sign = lit_sign(signed())
    assert f"{100 * sign.evenness.least:.0f} %" in finding.message
    for remedy in finding.remedies:
        if remedy.field:
            assert found(light_edges, applied(signed(), remedy)) == []
    assert found(light_edges, signed(wall_reflectance=0.9)) == []


def long_strip(**more) -> dict:
    """Ten rows of strip that draws much: 5 V, 18 W/m."""
    data = signed(rows=6, row_pitch=6, row_length=400, **more)
    data["parts"]["strip"]["measured"] = {"volts": 5, "watts_per_m": 9}
    return data


def test_a_long_strip_is_fed_from_both_ends():
    (finding,) = found(light_drop, long_strip())
    sign = lit_sign(long_strip())
    # By hand: 2.4 m × 9 W ÷ 5 V is 4.32 A; 0.281 Ω/m × 2.4 m × 4.32 A ÷ 2 is 1.46 V, more than 3 % of 5 V.
    assert sign.amps == pytest.approx(4.32)
    assert sign.drop == pytest.approx(1.456, abs=0.01)
    assert not finding.remedies[0].field  # fed at both ends it still loses 0.36 V
    data = long_strip()
    data["parts"]["strip"]["measured"]["ohms_per_m"] = 0.05
    (finding,) = found(light_drop, data)
    assert finding.remedies[0].value == "both ends"
    cures(light_drop, data)


def test_a_strip_of_the_next_voltage_that_is_sold_is_offered():
    """Light strips are sold for 5, 12 and 24 V (common practice); 10 V or 48 V there are none.

    By hand: of 12 V the same watts are 4.32 A × 5 ÷ 12 = 1.80 A, and lack 25 ÷ 144 of the share that 5 V lack.
    """
    data = long_strip()
    data["parts"]["strip"]["measured"]["ohms_per_m"] = 0.05
    (finding,) = found(light_drop, data)
    lost = lit_sign(data).lost
    assert finding.remedies[-1].text == (
        "Or take a strip of 12 V and the same power: it draws 1.80 A in place of 4.32 A, and with the same lead lacks "
        f"{100 * lost * 25 / 144:.1f} % of 12 V."
    )
    data["parts"]["strip"]["measured"] |= {"volts": 24, "watts_per_m": 60, "ohms_per_m": 0.3}
    (finding,) = found(light_drop, data)
    assert "per metre at most" in finding.remedies[-1].text
    data["parts"]["strip"]["measured"]["watts_per_m"] = float(finding.remedies[-1].text.split()[6])
    assert found(light_drop, data) == []


def test_lights_that_get_nothing_are_told_as_dark():
    """Eight times the ohms: 1.456 V becomes more than the 5 V there are, of which nobody can lack 233 %."""
    data = long_strip()
    data["parts"]["strip"]["measured"]["ohms_per_m"] = 8 * 0.281
    (finding,) = found(light_drop, data)
    assert lit_sign(data).lost > 1
    assert "stay dark" in finding.message
    assert "5 V there are" in finding.message


def test_nothing_is_said_of_a_dark_box():
    for rule in (light_dots, light_drop, light_edges):
        assert found(rule, box()) == []


def test_rows_much_too_short_between_dark_walls_get_both():
    """Neither full rows nor white walls alone light the corners; together they do."""
    data = signed(rows=1, row_length=100, board_distance=45)
    (finding,) = found(light_edges, data)
    for remedy in finding.remedies:
        if remedy.field:
            assert found(light_edges, applied(data, remedy)) == []
    assert any(remedy.field for remedy in finding.remedies)
