"""Terms say their units: in a formula a length is meant where nothing is said, a bare number stays bare."""

from __future__ import annotations

from casewright.basics.reckoning import Term, derived, total
from casewright.basics.wording import close_enough


def test_units_of_terms():
    sag = derived(
        "sag", "sag", 0.2, "span × share", [Term("span", 600.0), Term("share", 0.9, unit="")]
    )
    assert [term.unit_in(sag) for term in sag.terms] == ["mm", ""]
    mass = total("mass", "mass", [Term("board", 2.0), Term("boards", 3.0, unit="")], unit="kg")
    assert [term.unit_in(mass) for term in mass.terms] == ["kg", ""]


def test_small_lengths_are_not_rounded_away():
    """0.151 mm is nothing in thirty-seconds of an inch, 0.006 in thousandths."""

    def thirty_seconds(length: float) -> str:
        return f"{round(length / 25.4 * 32)}/32 in"

    assert close_enough(0.151, thirty_seconds) == "0.006 in"
    assert close_enough(25.4, thirty_seconds) == "32/32 in"
