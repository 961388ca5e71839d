"""Offers and accepted layouts in words, the same on the page and in the terminal."""

from __future__ import annotations

from collections.abc import Callable

from casewright.basics.wording import counted, listed
from casewright.stock.history import Accepted
from casewright.stock.offering import BoardOffer, ValueOffer


def buying_words(board: BoardOffer) -> str:
    """How many sheets are still to be bought with an offer."""
    without, with_ = board.bought
    if without == with_:
        return f"{counted(with_, 'sheet')} to buy, with the stock or without"
    return f"{counted(with_, 'sheet')} to buy instead of {without}"


def value_words(value: ValueOffer, write: Callable[[float], str]) -> str:
    """What the stock says in place of what the project says."""
    then, now = value.then, value.now
    if isinstance(then, dict):
        length = f", cutting {then['length']}" if "length" in then else ""
        return ", ".join(map(str, then["sizes"])) + length
    if value.path[-1] == "kerf":
        return f"{then} instead of {write(now)}"
    sign = "°" if value.path[-1] == "tilt_most" else ""
    return f"{then:g}{sign} instead of {now:g}{sign}"


def layout_words(done: Accepted) -> str:
    """An accepted layout in one line."""
    took = listed([f"{n} of {mark}" if n > 1 else mark for mark, n in done.taken.items()])
    bought = sum(one.count for one in done.bought)
    parts = [f"took {took}" if took else "took nothing of the stock"]
    if bought:
        parts.append(f"{counted(bought, 'sheet')} bought for it")
    parts.append(f"left {listed(done.booked)}" if done.booked else "left nothing worth keeping")
    undone = f"; undone by {done.undone_by}, {done.undone_at}" if done.is_undone else ""
    return "; ".join(parts) + undone


__all__ = ["buying_words", "layout_words", "value_words"]
