"""Worker processes on this computer."""

from __future__ import annotations

import json
import os
import queue
import subprocess
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from typing import Final

from casewright.planning.exploring import Row, Variant
from casewright.session.exploring.job import Job
from casewright.session.exploring.orders import base_order, row_of, variant_order

MODULE: Final = "casewright.session.exploring.worker"
LOST: Final = (
    "The process that worked it out ended, twice, without a word: too little memory, perhaps."
)

Done = tuple[Variant, Row]


def usual_workers() -> int:
    """Processes that are started where nobody says how many: one for each core that this program may use."""
    try:
        return max(1, len(os.sched_getaffinity(0)))
    except AttributeError:  # not on this system
        return max(1, os.cpu_count() or 1)


def rows_from_processes(
    job: Job,
    chunks: Sequence[Sequence[Variant]],
    *,
    workers: int,
    wanted: Callable[[], bool] = lambda: True,
) -> Iterator[Done | None]:
    """Yield rows as they are done, in any order; None now and then while nothing is.

    Args:
        job: The exploration.
        chunks: Variants for one worker each, neighbors together.
        workers: How many processes.
        wanted: Asked after each row; processes are ended when it says no, and when the iterator is closed.
    """
    crew = _Crew(job, chunks, min(workers, max(1, len(chunks))))
    try:
        while wanted():
            try:
                done = crew.done.get(timeout=0.25)
            except queue.Empty:
                yield None
                continue
            if done is None:
                if crew.is_over():
                    return
                continue
            if isinstance(done, BaseException):
                raise done
            yield done
    finally:
        crew.end()


class _Crew:
    """Processes, each with a thread that hands it chunks and takes its rows."""

    def __init__(self, job: Job, chunks: Sequence[Sequence[Variant]], workers: int) -> None:
        self.done: queue.Queue[Done | BaseException | None] = queue.Queue()
        self._base = json.dumps(base_order(job))
        self._chunks = deque(tuple(chunk) for chunk in chunks)
        self._lock = threading.Lock()
        self._failed: set[int] = set()
        """Numbers of variants at which a process ended once."""
        self._processes: list[subprocess.Popen[str]] = []
        self._is_ended = False
        self._at_work = workers
        self._threads = [threading.Thread(target=self._lead, daemon=True) for _ in range(workers)]
        for thread in self._threads:
            thread.start()

    def is_over(self) -> bool:
        """Whether every thread has ended."""
        with self._lock:
            return self._at_work == 0

    def end(self) -> None:
        """End all processes."""
        with self._lock:
            self._is_ended = True
            processes = tuple(self._processes)
        for process in processes:
            if process.poll() is None:
                process.kill()
        for thread in self._threads:
            thread.join(timeout=10)

    def _lead(self) -> None:
        process: subprocess.Popen[str] | None = None
        try:
            while (chunk := self._next()) is not None:
                left = deque(chunk)
                while left and not self._is_ended:
                    process = process or self._start()
                    self._send(process, left)
                    if left:  # it ended in the midst of the first one that is left
                        _close(process)
                        process = None
                        self._stumbled(left)
        except BaseException as error:  # noqa: BLE001 -- told where the rows are taken
            self.done.put(error)
        finally:
            if process is not None:
                _close(process)
            with self._lock:
                self._at_work -= 1
            self.done.put(None)

    def _next(self) -> tuple[Variant, ...] | None:
        with self._lock:
            return self._chunks.popleft() if self._chunks and not self._is_ended else None

    def _start(self) -> subprocess.Popen[str]:
        with self._lock:
            process = subprocess.Popen(
                [sys.executable, "-m", MODULE],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                encoding="utf-8",
                env=_environment(),
            )
            self._processes.append(process)
        _write(process, self._base)
        return process

    def _send(self, process: subprocess.Popen[str], left: deque[Variant]) -> None:
        """Hand variants over and take their rows; those that are done are off the list."""
        _write(process, json.dumps([variant_order(variant) for variant in left]))
        assert process.stdout is not None
        while left:
            line = process.stdout.readline()
            if not line.endswith("\n"):
                return
            told = json.loads(line)
            variant = left.popleft()
            assert told["number"] == variant.number, "rows come in the order of the variants"
            self.done.put((variant, row_of(variant, told)))

    def _stumbled(self, left: deque[Variant]) -> None:
        """A process ended on a variant: once more in a new one, then the row says so."""
        first = left[0]
        if first.number in self._failed:
            left.popleft()
            self.done.put((first, Row(first.number, first.choices, {}, LOST)))
        self._failed.add(first.number)


def _write(process: subprocess.Popen[str], line: str) -> None:
    assert process.stdin is not None
    try:
        process.stdin.write(line + "\n")
        process.stdin.flush()
    except OSError:
        pass  # it has ended; its output tells so


def _close(process: subprocess.Popen[str]) -> None:
    for stream in (process.stdin, process.stdout):
        try:
            if stream is not None:
                stream.close()
        except OSError:
            pass
    try:
        process.wait(timeout=5)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def _environment() -> dict[str, str]:
    """Each process is one worker: numeric libraries are not to start threads of their own."""
    single = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
    path = os.pathsep.join(one for one in sys.path if one)
    return {**os.environ, **single, "PYTHONPATH": path, "PYTHONUTF8": "1"}


__all__ = ["LOST", "rows_from_processes", "usual_workers"]
