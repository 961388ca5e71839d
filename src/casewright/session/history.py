"""Steps that can be undone and done again: what changed in the text, and what it was called."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Delta:
    """One stretch of a text put in another's place."""

    at: int
    """Where it begins, in characters from 0."""
    old: str
    new: str

    @property
    def reverse(self) -> Delta:
        """The delta that takes this one back."""
        return Delta(self.at, self.new, self.old)

    def fits(self, text: str) -> bool:
        """Whether the text has at that place what the delta replaces."""
        return 0 <= self.at <= len(text) and text.startswith(self.old, self.at)

    def applied(self, text: str) -> str:
        """The text with the stretch replaced."""
        assert self.fits(text)
        return text[: self.at] + self.new + text[self.at + len(self.old) :]


def delta_between(before: str, after: str) -> Delta:
    """The shortest single stretch in which two texts differ.

    Example:
        >>> delta_between("width: 470", "width: 480")
        Delta(at=8, old='7', new='8')
    """
    shorter = min(len(before), len(after))
    head = _longest(shorter, lambda n: before[:n] == after[:n])
    rest = shorter - head
    tail = _longest(rest, lambda n: n == 0 or before[-n:] == after[-n:])
    return Delta(head, before[head : len(before) - tail], after[head : len(after) - tail])


class Gesture:
    """Many edits that count as one step, such as all the places of a drag.

    Each edit of the gesture that directly follows another of the same one is joined with it.
    """

    def __init__(self, label: str) -> None:
        self.label = label
        self.is_open = True


@dataclass(frozen=True)
class Step:
    """One thing that can be undone."""

    label: str
    delta: Delta
    gesture: Gesture | None = field(default=None, compare=False)


class History:
    """What was done, in order, and what was undone after it; as many steps as there were."""

    def __init__(self) -> None:
        self._steps: list[Step] = []
        self._done = 0

    @property
    def last(self) -> Step | None:
        """The step that `undo` would take back."""
        return self._steps[self._done - 1] if self._done else None

    @property
    def next(self) -> Step | None:
        """The step that `redo` would do again."""
        return self._steps[self._done] if self._done < len(self._steps) else None

    @property
    def labels(self) -> tuple[str, ...]:
        """Of all steps done, the first one first."""
        return tuple(step.label for step in self._steps[: self._done])

    def push(self, step: Step) -> None:
        """Add a step; what was undone before it can no longer be done again."""
        del self._steps[self._done :]
        self._steps.append(step)
        self._done += 1

    def replace_last(self, step: Step | None) -> None:
        """Put another step in the last one's place, or none if the two together change nothing."""
        del self._steps[self._done - 1 :]
        self._done -= 1
        if step is not None:
            self.push(step)

    def undo(self) -> Step | None:
        """Step back; None if there is nothing to undo."""
        step = self.last
        self._done -= step is not None
        return step

    def redo(self) -> Step | None:
        """Step forward again; None if there is nothing to redo."""
        step = self.next
        self._done += step is not None
        return step


def _longest(most: int, holds: Callable[[int], bool]) -> int:
    """The largest number up to `most` for which something holds that holds for all smaller ones."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        if holds(middle):
            low = middle
        else:
            high = middle - 1
    return low


__all__ = ["Delta", "Gesture", "History", "Step", "delta_between"]
