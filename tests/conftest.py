"""Settings that all tests share."""

from __future__ import annotations

import gc
import os

import pytest
from hypothesis import settings

from casewright.basics.collecting import collect_seldom

# Laws are asserted in modules of their own; what differs is to be told as in a test.
pytest.register_assert_rewrite("tests.laws", "tests.laws_of_papers", "tests.pace")
# The same cases in every run, so that a failure is always the change's own.
settings.register_profile("ci", derandomize=True, deadline=None, database=None)
# For looking further: HYPOTHESIS_PROFILE=search python3 dev.py test
settings.register_profile("search", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests in a browser first: they wait much, and the other worker has work to do beside them only at the start."""
    items.sort(key=lambda item: item.get_closest_marker("browser") is None)


def pytest_collection_finish() -> None:
    """Thousands of tests and all modules stay to the end: looking for rubbish among them finds none."""
    gc.freeze()
    collect_seldom()
