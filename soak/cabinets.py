"""Random cabinets: every law on each, every output of some read back.

A failure is shrunk to the least project that still fails, and told with the call that builds it.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from tests import laws, laws_of_papers
from tests.strategies import project_data
from tests.wild import extreme_data, wild_data

from casewright.workflow import make_papers, paper_named
from soak.common import Budget, Tally, batches, told

BATCH = 150
ONE_IN = 100
"""Of so many cabinets, one has all its papers made and read back."""
Law = Callable[[Mapping[str, Any]], None]


def run(budget: Budget, tell: Callable[[Tally], None]) -> Tally:
    """All laws, until the time is over."""
    return batches(some_cabinets, budget, tell)


def some_cabinets(number: int) -> Tally:
    """A batch: half of it valid projects, the rest gone too far; one of many with all papers.

    Few of those that go as far as a file may: outlines of a hundred meters take as long as a hundred cabinets.
    """
    tally = Tally()
    half = BATCH // 2
    hold(
        tally,
        "laws of cabinets",
        laws.what_always_holds_of_whole_cabinets,
        project_data(),
        half,
        number,
    )
    hold(
        tally,
        "laws of any project",
        laws.what_always_holds,
        st.one_of(project_data(), wild_data()),
        half // 2,
        number,
    )
    hold(
        tally,
        "nothing crashes",
        laws.nothing_that_the_file_allows_crashes,
        st.one_of(wild_data(), extreme_data()),
        half // 6,
        number,
    )
    hold(tally, "edits are as from nothing", widened, project_data(), half // 15, number)
    if number % 2 == 0:
        anything = st.one_of(project_data(), project_data(), wild_data())
        hold(tally, "papers read back", papers, anything, 2 * BATCH // ONE_IN, number)
    return tally


def hold(
    tally: Tally,
    name: str,
    law: Law,
    data: st.SearchStrategy[dict[str, Any]],
    count: int,
    number: int,
) -> None:
    """Try a law on so many projects; the first failure is shrunk and told."""

    @seed(number)
    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        derandomize=False,
        print_blob=True,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.generate,) if law is papers else (Phase.generate, Phase.shrink),
    )
    @given(data=data)
    def tried(data: dict[str, Any]) -> None:
        start = time.process_time()
        law(data)
        tally.count(name, time.process_time() - start)

    try:
        tried()
    except Exception as error:  # noqa: BLE001 - whatever it is, the law does not hold
        tally.fail(f"{name}, seed {number}", told(error))


def widened(data: Mapping[str, Any]) -> None:
    """A millimeter wider, with everything remembered and with nothing."""
    laws.what_is_remembered_changes_nothing(data, 1.0)


def papers(data: Mapping[str, Any]) -> None:
    """Every file of the build, read back by other programs."""
    made = laws_of_papers.worked(data)
    if made is None:
        return
    files = make_papers(made, paper=paper_named("A4"), step=False)
    laws_of_papers.papers_are_whole(made, files)
    laws_of_papers.every_blank_is_laid_once_inside_its_sheet_and_a_kerf_from_the_next(made)
    if data["name"] != "extreme":
        laws_of_papers.agree(made, files)
