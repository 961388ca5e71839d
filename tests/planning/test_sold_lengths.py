"""What is sold by length: feet and sticks counted by hand, layouts held against every way to share the strips out."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.planning.sold_lengths import FOOT_STICKS, sold, sticks_for

FOOT = 304.8
"""International foot, exact: 12 × 25.4. [mm]"""


@pytest.mark.parametrize(
    ("metres", "unit", "step", "quantity", "sold_by"),
    [
        (3.048, "in", 1, 10, "ft"),
        (3.05, "in", 1, 11, "ft"),
        (3.048, "mm", 1, 4, "m"),
        (3.048, "mm", 0.5, 3.5, "m"),
        (3.048, "cm", 0.5, 3.5, "m"),
    ],
)
def test_feet_and_meters_are_bought_whole(metres, unit, step, quantity, sold_by):
    bought = sold(metres, unit, step=step)
    assert (bought.quantity, bought.unit) == (quantity, sold_by)
    assert bought.quantity * bought.of_a_metre >= metres - 1e-9


@pytest.mark.parametrize(
    ("lengths", "stick", "count"),
    [
        ([4 * FOOT, 4 * FOOT], None, 2),  # the blade takes what two would need to fit
        ([4 * FOOT - 3, 4 * FOOT], None, 1),
        ([9 * FOOT], None, 1),  # out of one of 10
        ([17 * FOOT], None, None),  # no stick is so long
        ([600, 1000, 900], 2000, 2),
        ([2100], 2000, None),
    ],
)
def test_strips_on_sticks(lengths, stick, count):
    """Sticks of 8, 10, 12 and 16 ft (common practice); a kerf of 3 between two strips, counted by hand."""
    found = sticks_for(lengths, "in", kerf=3, stick=stick)
    assert (found.count if found else None) == count


def test_metric_strips_are_bought_by_the_metre_unless_sticks_are_told():
    assert sticks_for([600], "mm", kerf=3) is None
    assert sticks_for([600], "mm", kerf=3, stick=2400).words("mm") == "1 stick of 2.4 m"
    assert sticks_for([600], "in", kerf=3).words("in") == "1 stick of 8 ft"


def ways_to_share(count: int) -> Iterator[tuple[int, ...]]:
    """Every way to share strips out over sticks that are alike: each goes on a stick begun, or begins the next."""
    if not count:
        yield ()
        return
    for way in ways_to_share(count - 1):
        for stick in range(max(way, default=-1) + 2):
            yield (*way, stick)


def test_ways_to_share_are_as_many_as_partitions_of_a_set():
    """Bell's numbers: 1, 2, 5, 15, 52, 203 (OEIS A000110, values from memory)."""
    assert [len(set(ways_to_share(n))) for n in range(1, 7)] == [1, 2, 5, 15, 52, 203]


@given(st.lists(st.floats(30, 2400), min_size=1, max_size=6), st.floats(0, 5))
def test_no_stick_is_overfull_and_few_are_wasted(lengths, kerf):
    """At most 11/9 of the fewest and 6/9 (Dósa 2007); the fewest found by trying every way."""
    found = sticks_for(lengths, "in", kerf=kerf)
    stick = FOOT_STICKS[0]

    def fits(of) -> bool:
        for one in set(of):
            mine = [x for x, n in zip(lengths, of, strict=True) if n == one]
            if sum(mine) + kerf * (len(mine) - 1) > stick + 1e-6:
                return False
        return True

    assert fits(found.of)
    fewest = min(len(set(of)) for of in ways_to_share(len(lengths)) if fits(of))
    assert found.count <= 11 / 9 * fewest + 6 / 9
