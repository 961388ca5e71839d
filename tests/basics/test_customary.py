"""Amounts in the units of those who measure in inches, against the tables of the standards institute."""

from __future__ import annotations

import pytest

from casewright.basics.customary import (
    CFM_M3H,
    FEET_PER_GALLON,
    FLUID_OUNCE_L,
    air_words,
    degree_words,
    force_words,
    liquid_words,
    mass_words,
)


def test_factors_are_those_of_the_table() -> None:
    """NIST SP 811, appendix B.8, as printed: fl oz 2.957353 E-05 m³, ft³/min 4.719474 E-04 m³/s."""
    assert pytest.approx(2.957353e-05 * 1000, rel=1e-6) == FLUID_OUNCE_L
    assert pytest.approx(4.719474e-04 * 3600, rel=1e-6) == CFM_M3H
    # ft² 9.290304 E-02 m², U.S. gallon 3.785412 E-03 m³, the same page.
    assert pytest.approx(3.785412 / 9.290304e-02, rel=1e-6) == FEET_PER_GALLON


@pytest.mark.parametrize(
    ("litres", "words"),
    [
        (0.236588, "0.24 l (8 fl oz)"),  # half a pint
        (0.4, "0.4 l (13.5 fl oz)"),  # a usual spray can of 400 ml: 13.5 fl oz is printed on it
        (0.946353, "0.95 l (1 qt)"),
        (3.785412, "3.79 l (4 qt)"),
    ],
)
def test_cans(litres: float, words: str) -> None:
    """Sizes of cans by NIST SP 811: pint 4.731765 E-04 m³, quart 9.463529 E-04, gallon 3.785412 E-03."""
    assert liquid_words(litres, "in") == words
    assert "(" not in liquid_words(litres, "mm")


def test_weights_temperatures_and_air() -> None:
    """NIST SP 811: pound 0.4535924 kg, pound-force 4.448222 N, °F = 1.8 × °C + 32."""
    assert mass_words(0.4535924, "in") == "0.45 kg (1.0 lb)"
    assert force_words(444.8222, "in") == "445 N (100 lb)"
    assert force_words(98.0665, "cm") == "98 N (10.0 kg)"
    assert degree_words(37, "in") == "37 °C (99 °F)"
    assert air_words(60 * 0.028316847, "in") == "1.7 m³/h (1.0 cfm)"
    assert mass_words(34.2, "mm") == "34.2 kg"
