"""Those who are told of each change."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from contextlib import ExitStack

from casewright.session.changes import Changes

Listener = Callable[[Changes], None]


class Listeners:
    """Tells several functions the same changes in the same order."""

    def __init__(self) -> None:
        self._listeners: list[Listener] = []
        self._waiting: deque[Changes] = deque()
        self._is_telling = False

    def add(self, listener: Listener) -> None:
        """Tell this one too."""
        self._listeners.append(listener)

    def remove(self, listener: Listener) -> None:
        """Tell this one no more."""
        if listener in self._listeners:
            self._listeners.remove(listener)

    def clear(self) -> None:
        """Tell nobody any more."""
        self._listeners.clear()

    def __bool__(self) -> bool:
        """Whether there is anybody to tell."""
        return bool(self._listeners)

    def tell(self, changes: Changes) -> None:
        """Tell all; a change that one of them makes is told after this one."""
        self._waiting.append(changes)
        if self._is_telling:
            return
        self._is_telling = True
        try:
            while self._waiting:
                told = self._waiting.popleft()
                with ExitStack() as stack:  # all are told, even if one of them fails
                    for listener in reversed(self._listeners):
                        stack.callback(listener, told)
        finally:
            self._is_telling = False


__all__ = ["Listener", "Listeners"]
