"""Results remembered by what they were made from, so that an edit makes again only what it touches.

Everything here is for functions of frozen values. The same object is always an equal value, and whether two are the
same object is told at once, however much they hold: a result is found again by *which* objects it was made from. An
equal value that is another object only costs time; `Kept` turns it into the earlier one, and all that was made from
that is found again.

A memory holds so many results at most. Where a program goes on for hours, `let_go` also lets go of what the last few
cabinets did not ask for, so that what is held depends on the cabinet and not on how long one has worked on it.
"""

from __future__ import annotations

from collections import OrderedDict, deque
from collections.abc import Callable, Hashable, Iterator
from datetime import date
from functools import update_wrapper
from types import MappingProxyType
from typing import Any, Final, Generic, ParamSpec, TypeVar
from weakref import WeakSet

P = ParamSpec("P")
T = TypeVar("T")

_PLAIN: Final = frozenset({str, float, type(None)})
_COUNTED: Final = frozenset({int, bool, date})
"""Equal to values of other sorts, so that the sort counts as well; or not plain, and yet the same by value."""
_KEYED: Final = frozenset({dict, MappingProxyType})
_BY_VALUE: Final = _PLAIN | _COUNTED | _KEYED | {tuple, list}


class _Ageing:
    """Values in the order in which they were last asked for, with marks between them where a moment has passed."""

    def __init__(self) -> None:
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()
        self._marks: deque[Hashable] = deque()
        _ALL.add(self)

    def let_go(self, moments: int) -> None:
        """Set a mark, and let go of all that was not asked for since so many marks."""
        mark = object()
        self._marks.append(mark)
        self._kept[mark] = None
        while len(self._marks) > moments:
            oldest = self._marks.popleft()
            while oldest in self._kept:  # unless it was pushed out already, with all before it
                try:
                    self._kept.popitem(last=False)
                except KeyError:  # emptied by another thread meanwhile
                    break

    def cache_clear(self) -> None:
        """Forget all."""
        self._kept.clear()


_ALL: Final[WeakSet[_Ageing]] = WeakSet()


def let_go(moments: int) -> None:
    """A moment has passed: let go of everything remembered that was not asked for in the last so many.

    To be called by what goes on for long, after each cabinet that it has worked out.

    Args:
        moments: How many are looked back on; at least 1.
    """
    for memory in tuple(_ALL):
        memory.let_go(moments)


class Remembered(_Ageing, Generic[P, T]):
    """A function of frozen values that is worked out once for the same ones."""

    # A result with the arguments it was made from: while they are held here, no other object gets the identity of
    # one of them.
    _kept: OrderedDict[Hashable, tuple[object, T]]

    def __init__(self, function: Callable[P, T], most: int, besides: tuple[str, ...]) -> None:
        super().__init__()
        update_wrapper(self, function)
        self._function, self._most, self._besides = function, most, besides

    def __call__(self, *given: P.args, **named: P.kwargs) -> T:
        """What the function makes of these."""
        marks: Hashable
        if len(given) == 1 and not named and type(given[0]) not in _BY_VALUE:
            marks = id(given[0])  # by far the most calls: no other mark is a number
        else:
            marks = tuple([value if type(value) in _PLAIN else _mark(value) for value in given])
        if named:
            telling = {k: value for k, value in named.items() if k not in self._besides}
            marks = (marks, _KEYED, _mark(telling))
        known = self._kept.get(marks)
        if known is not None:
            try:
                self._kept.move_to_end(marks)
            except KeyError:  # another thread's result pushed it out meanwhile
                self._kept[marks] = known
            return known[1]
        held = tuple(map(_held, given))
        held_by_name = {
            name: value if name in self._besides else _held(value) for name, value in named.items()
        }
        result = self._function(*held, **held_by_name)  # type: ignore[arg-type]
        self._kept[marks] = ((held, held_by_name), result)
        _shorten(self._kept, self._most)
        return result


def remembered(
    most: int, *, besides: tuple[str, ...] = ()
) -> Callable[[Callable[P, T]], Remembered[P, T]]:
    """Remember a function's last results, up to so many.

    Numbers and texts count by value; lists, tuples and dicts by what they hold; all else by which object it is. So the
    arguments must never change after the call, and a result must depend on nothing else.

    Args:
        most: Results kept; the one not asked for the longest goes first.
        besides: Arguments, always given by name, that do not tell one call from another: all that the result takes from
            them is among the others too.

    Example:
        >>> @remembered(8)
        ... def doubled(values: tuple[float, ...]) -> list[float]:
        ...     return [2 * value for value in values]
        >>> doubled((1.5, 2.0)) is doubled((1.5, 2.0))
        True
    """

    def around(function: Callable[P, T]) -> Remembered[P, T]:
        return Remembered(function, most, besides)

    return around


def _shorten(kept: OrderedDict[Hashable, Any], most: int) -> None:
    """Let go of what was not asked for the longest, until so many are left."""
    while len(kept) > most:
        try:
            kept.popitem(last=False)
        except KeyError:  # emptied by another thread meanwhile
            break


def _held(value: Any) -> Any:
    """The value; of a list or dict, which its owner may go on filling, what it holds now."""
    if type(value) is list:
        return tuple(value)
    return dict(value) if type(value) is dict else value


def _mark(value: Any) -> Hashable:
    """What tells a value from another."""
    sort = type(value)
    if sort in _PLAIN:
        return value  # type: ignore[no-any-return]
    if sort in _COUNTED:
        return (sort, value)
    if sort is tuple or sort is list:
        return tuple(map(_mark, value))
    if sort in _KEYED:
        return tuple((key, _mark(held)) for key, held in value.items())
    return ("#", id(value))


class Kept(_Ageing, Generic[T]):
    """Gives back the earlier one of two equal values, so that what was made from it is found again."""

    _kept: OrderedDict[Hashable, tuple[T, ...]]

    def __init__(self, most: int = 4096, *, each: int = 4) -> None:
        super().__init__()
        self._most, self._each = most, each

    def same(self, value: T, at: Hashable = "") -> T:
        """An equal value that was there before at this place, or this one, which is kept.

        Example:
            >>> kept = Kept()
            >>> first = kept.same((1, 2))
            >>> kept.same((1, 2)) is first
            True
        """
        known = self._kept.get(at, ())
        for earlier in known:
            if earlier is value or (type(earlier) is type(value) and earlier == value):
                self._kept[at] = known  # another thread may have let go of it
                self._kept.move_to_end(at)
                return earlier
        self._kept[at] = (value, *known[: self._each - 1])
        self._kept.move_to_end(at)
        _shorten(self._kept, self._most)
        return value


class Latest(Generic[T]):
    """The last few values of a sort, the newest first; for results that are made out of earlier ones."""

    def __init__(self, most: int) -> None:
        self._values: tuple[T, ...] = ()
        self._most = most

    def __iter__(self) -> Iterator[T]:
        return iter(self._values)

    def add(self, value: T) -> None:
        """Keep one more."""
        self._values = (value, *self._values[: self._most - 1])

    def cache_clear(self) -> None:
        """Forget all."""
        self._values = ()


__all__ = ["Kept", "Latest", "Remembered", "let_go", "remembered"]
