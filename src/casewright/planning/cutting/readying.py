"""Compiled functions for a program that goes on for long: got ready beside its work, which they then shorten.

Loading them takes a second and a hundred megabytes, more than a single plan of cuts is worth; whoever edits a project
plans again with every board that gets another size.
"""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable

from casewright.planning.cutting.filling import ready_engine

_COMPILING_S = 180.0
"""Given to a process that compiles them; after that it is left."""
_CALL = "from casewright.planning.cutting.filling import ready_engine; ready_engine()"
_LOOK_S = 0.5
"""Between two looks whether it is quiet."""
_is_asked_for = threading.Event()


def _always() -> bool:
    return True


def ready_beside(is_quiet: Callable[[], bool] = _always) -> threading.Thread | None:
    """Have the compiled functions made ready in a thread; None where there is no numba, or it was asked for before.

    Plans made meanwhile and afterwards are the same, number for number.

    Args:
        is_quiet: Asked again and again until nobody is waited upon; loading takes the processor for a second.
    """
    if _is_asked_for.is_set() or importlib.util.find_spec("numba") is None:
        return None
    _is_asked_for.set()
    thread = threading.Thread(
        target=_make_ready, args=(is_quiet,), name="compiled cutting", daemon=True
    )
    thread.start()
    return thread


def _make_ready(is_quiet: Callable[[], bool]) -> None:
    """Where they were never compiled on this computer another process does that: here it would hold up everything."""
    while not is_quiet():
        time.sleep(_LOOK_S)
    path = os.pathsep.join(one for one in sys.path if one)
    try:
        done = subprocess.run(
            [sys.executable, "-c", _CALL],
            env={**os.environ, "PYTHONPATH": path},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            timeout=_COMPILING_S,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        return  # the plain functions do as well
    if done.returncode == 0:
        ready_engine()


__all__ = ["ready_beside"]
