"""Variants worked out on a Dask distributed cluster: other computers, each with casewright installed.

The library comes with `casewright[cluster]`. A chunk of variants is one task; a worker that is lost costs its chunk,
which the cluster gives to another one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from importlib import import_module
from typing import Any, Final

from casewright.basics.errors import InputError, OutputError
from casewright.planning.exploring import Row, Variant
from casewright.session.exploring.job import Job, program_mark
from casewright.session.exploring.orders import base_order, row_of, tried, variant_order
from casewright.session.exploring.running import Rows
from casewright.session.exploring.workers import Done

PATIENCE_S: Final = 20
"""How long a scheduler is waited for. [s]"""
RETRIES: Final = 3
"""How often a chunk is tried again whose worker was lost."""


def rows_from_cluster(job: Job, address: str) -> Rows:
    """What works a job's variants out on a cluster, for `explore`.

    Args:
        job: The exploration.
        address: Of the scheduler, `tcp://computer:8786`.

    Raises:
        InputError: The library is not installed.
    """
    try:
        distributed = _library()
    except ModuleNotFoundError:
        raise InputError(
            "--cluster",
            got=address,
            want="the library for clusters, here and on every worker: pip install casewright[cluster]",
        ) from None

    def rows(chunks: tuple[tuple[Variant, ...], ...]) -> Iterator[Done | None]:
        try:
            client = distributed.Client(address, timeout=PATIENCE_S, set_as_default=False)
        except (OSError, ValueError, TimeoutError) as error:
            raise OutputError(
                address,
                why=f"no scheduler of a cluster answers there ({error})",
                remedy="Start one with `dask scheduler`, and `dask worker ADDRESS` on each computer.",
            ) from error
        with client:
            yield from _from_client(client, job, chunks)

    return rows


def _library() -> Any:
    return import_module("distributed")


def _from_client(
    client: Any, job: Job, chunks: Sequence[Sequence[Variant]]
) -> Iterator[Done | None]:
    yield None
    if not client.scheduler_info()["workers"]:
        raise OutputError(
            client.scheduler.address,
            why="the cluster has no workers",
            remedy=f"Start some: dask worker {client.scheduler.address}",
        )
    base, mark = client.scatter(base_order(job), broadcast=True), program_mark()
    tasks = {
        client.submit(
            tried_chunk,
            base,
            [variant_order(variant) for variant in chunk],
            mark,
            pure=False,
            retries=RETRIES,
        ): chunk
        for chunk in chunks
    }
    try:
        for done in _library().as_completed(list(tasks), loop=client.loop):
            for variant, told in zip(tasks[done], _result(done, tasks[done]), strict=True):
                row = (
                    row_of(variant, told)
                    if "figures" in told
                    else Row(variant.number, variant.choices, {}, told["reason"])
                )
                yield variant, row
    finally:
        client.cancel(list(tasks))


def _result(task: Any, chunk: Sequence[Variant]) -> Sequence[Mapping[str, Any]]:
    """The rows of a chunk; of one whose workers were lost again and again, the reason."""
    try:
        rows = task.result()
    except _library().KilledWorker:
        return [{"reason": "The workers of the cluster that worked it out were lost."}] * len(chunk)
    if isinstance(rows, str):
        raise OutputError(
            "the cluster",
            why=f"a worker has another casewright: {rows}",
            remedy="Install the same one on every computer of the cluster.",
        )
    found: Sequence[Mapping[str, Any]] = rows
    return found


def tried_chunk(
    base: Mapping[str, Any], orders: Sequence[Sequence[Any]], mark: str
) -> list[dict[str, Any]] | str:
    """Run by a worker: its rows, or which program it has where that is another one."""
    import socket

    if program_mark() != mark:
        return f"on {socket.gethostname()}"
    return [tried(base, order) for order in orders]


__all__ = ["rows_from_cluster", "tried_chunk"]
