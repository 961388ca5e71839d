"""How often Python looks for rubbish among its objects."""

from __future__ import annotations

import gc


def collect_seldom() -> None:
    """Look for rubbish after 50,000 new objects instead of 700, in this process from now on.

    A model is hundreds of thousands of values that stay; looking through them again and again takes a fifth of the
    time. Nearly all that is dropped goes at once, without being looked for.
    """
    gc.set_threshold(50_000, 20, 100)


__all__ = ["collect_seldom"]
