"""Limits of one input: it is ended where it takes too long, and gets no more memory than it may have.

Time is processor time. Memory is what the process holds above what it held before the input; on Linux the system tells
its highest value, elsewhere that of the process so far.
"""

from __future__ import annotations

import gc
import resource
import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType

_STATUS = Path("/proc/self/status")
_FORGET = Path("/proc/self/clear_refs")


class TooLongError(BaseException):
    """An input was ended; no reader of files may take this for an error of the input."""


@contextmanager
def ended_after(seconds: float) -> Iterator[None]:
    """End what is done inside with `TooLongError` once it has taken so much processor time."""

    def end(number: int, frame: FrameType | None) -> None:
        raise TooLongError

    was = signal.signal(signal.SIGPROF, end)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, was)


def keep_within(megabytes: float) -> None:
    """From here on this process gets no more than so much: what asks for more meets a `MemoryError`.

    Counts what a process writes to, not what it maps. Source: Linux, getrlimit(2), RLIMIT_DATA.
    """
    gc.collect()
    most = round(megabytes * 1e6)
    _, hard = resource.getrlimit(resource.RLIMIT_DATA)
    if hard == resource.RLIM_INFINITY or hard > most:
        resource.setrlimit(resource.RLIMIT_DATA, (most, hard))


def forget_peak() -> None:
    """The highest value is counted from here on, where the system can do so."""
    with suppress(OSError):
        _FORGET.write_text("5", encoding="ascii")


def peak_mb() -> float:
    """Most memory that the process has held, since the last `forget_peak` on Linux. [MB]"""
    with suppress(OSError, StopIteration, ValueError):
        lines = _STATUS.read_text(encoding="ascii", errors="replace").splitlines()
        line = next(one for one in lines if one.startswith("VmHWM:"))
        return int(line.split()[1]) / 1000
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
