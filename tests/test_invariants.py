"""What always holds, on hundreds of random cabinets: seams, blanks, features, determinism, units, mirror.

`HYPOTHESIS_PROFILE=search` looks further, `python3 dev.py soak cabinets` further still.
"""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests import laws
from tests.strategies import examples, project_data
from tests.wild import extreme_data, wild_data

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]


@settings(max_examples=examples(150), suppress_health_check=SLOW)
@given(data=st.one_of(project_data(), wild_data()))
def test_what_always_holds(data):
    laws.what_always_holds(data)


@settings(max_examples=examples(60), suppress_health_check=SLOW)
@given(data=project_data())
def test_what_always_holds_of_whole_cabinets(data):
    laws.what_always_holds_of_whole_cabinets(data)


@settings(max_examples=examples(100), suppress_health_check=SLOW)
@given(data=st.one_of(wild_data(), extreme_data()))
def test_nothing_that_the_file_allows_crashes(data):
    laws.nothing_that_the_file_allows_crashes(data)


@settings(max_examples=examples(40), suppress_health_check=SLOW)
@given(data=project_data(), step=st.floats(0.25, 5))
def test_what_is_remembered_changes_nothing(data, step):
    laws.what_is_remembered_changes_nothing(data, step)
