"""The search compiled to machine code where that is possible, else as it stands.

numba turns the functions of `grove.py` into machine code and keeps it on disk; where numba is not installed, or has no
build for the computer, the same functions run as plain Python. The results are the same, number for number; only the
time differs, about fortyfold.
"""

from __future__ import annotations

import importlib
import importlib.util
import sys
from functools import lru_cache
from types import FunctionType, ModuleType
from typing import Any

import numpy as np

from casewright.planning.cutting import grove

_TWIN = "casewright.planning.cutting._compiled_grove"


class Engine:
    """The functions of `grove`, and the rows of numbers they work on."""

    def __init__(self, functions: Any, *, compiled: bool) -> None:
        self.functions = functions
        self.compiled = compiled

    def ints(self, values: list[int]) -> list[int]:
        """A row of whole numbers; used as a list, whatever it is."""
        if self.compiled:
            row: Any = np.array(values, dtype=np.int64)
            return row  # type: ignore[no-any-return]
        return list(values)

    def floats(self, values: list[float]) -> list[float]:
        """A row of measures."""
        if self.compiled:
            row: Any = np.array(values, dtype=np.float64)
            return row  # type: ignore[no-any-return]
        return [float(value) for value in values]


PLAIN = Engine(grove, compiled=False)


@lru_cache(maxsize=1)
def fast_engine() -> Engine:
    """The compiled functions, or the plain ones where they cannot be had. The first call on a computer compiles."""
    try:
        numba: Any = importlib.import_module("numba")
    except ImportError:  # not installed, or not for this numpy or this computer
        return PLAIN
    twin = _twin()
    setattr(twin, "copy", twin.copy_each)  # noqa: B010
    try:
        for name, function in tuple(vars(twin).items()):
            if isinstance(function, FunctionType) and function.__module__ == _TWIN:
                setattr(twin, name, numba.njit(cache=True)(function))
    except (
        RuntimeError
    ):  # no folder to keep them in: compiling anew each time takes longer than they save
        return PLAIN
    return Engine(twin, compiled=True)


def _twin() -> ModuleType:
    """A second copy of `grove`, whose functions can be exchanged."""
    spec = importlib.util.spec_from_file_location(_TWIN, grove.__file__)
    assert spec is not None
    assert spec.loader is not None
    twin = importlib.util.module_from_spec(spec)
    sys.modules[_TWIN] = twin
    spec.loader.exec_module(twin)
    return twin


__all__ = ["PLAIN", "Engine", "fast_engine"]
