"""Variants on a Dask cluster: a real scheduler and a real worker, each a process of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.session.projects import small_in

from casewright.basics.errors import OutputError
from casewright.session.exploring import KeptRows, explore, job_of, try_variant
from casewright.session.exploring import cluster as ours
from casewright.session.exploring.cluster import rows_from_cluster, tried_chunk
from casewright.session.exploring.orders import base_order, variant_order

distributed = pytest.importorskip(
    "distributed", reason="the library for clusters, casewright[cluster], is not installed"
)


VARY = (
    "shape.width=280 to 320 by 20",
    "parts.button.type=button-28-long-lit, no-such-button",
)


@pytest.fixture(scope="module")
def scheduler() -> Iterator[str]:
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        yield cluster.scheduler_address


def test_a_cluster_gives_the_same_rows_and_keeps_them(scheduler: str, tmp_path: Path) -> None:
    job = job_of(small_in(tmp_path), vary=VARY)
    kept = KeptRows(tmp_path / "rows.sqlite")
    explored = explore(job, kept=kept, elsewhere=rows_from_cluster(job, scheduler))
    wanted = [try_variant(job.base, job.space.variant(n)) for n in job.numbers]
    assert explored.is_whole and list(explored.rows) == wanted
    assert [row.number for row in wanted if row.is_built] == [1, 3, 5]
    again = explore(job, kept=kept, elsewhere=rows_from_cluster(job, "tcp://127.0.0.1:9"))
    assert again.taken_over == 6 and again.rows == explored.rows, "nobody is asked again"


def test_no_scheduler_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ours, "PATIENCE_S", 1)
    job = job_of(small_in(tmp_path), vary=["shape.width=280, 300"])
    with pytest.raises(OutputError) as told:
        explore(job, elsewhere=rows_from_cluster(job, "tcp://127.0.0.1:9"))
    assert "dask scheduler" in told.value.remedy


def test_a_worker_with_another_program_is_refused(tmp_path: Path) -> None:
    job = job_of(small_in(tmp_path), vary=["shape.width=280, 300"])
    orders = [variant_order(job.space.variant(1))]
    assert isinstance(tried_chunk(base_order(job), orders, "another"), str)
