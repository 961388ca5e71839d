"""How what exists, and the ways on from it, are put into words."""

from __future__ import annotations

from collections.abc import Mapping

from casewright.basics.wording import counted
from casewright.planning.as_built import Way

STATE_WORDS: Mapping[str, str] = {
    "drawn": "papers printed",
    "cut": "cut",
    "shaped": "shaped",
    "drilled": "drilled",
    "painted": "painted",
    "fitted": "fitted",
}


def way_words(way: Way) -> str:
    """What a way costs, in a few words."""
    words = [f"{way.wood / 1e6:.2f} m² of new board" if way.wood else "no new wood"]
    words.append(
        f"about {way.minutes:.0f} min of work" if way.minutes else "no work on what is made"
    )
    if way.changes:
        words.append(f"{counted(len(way.changes), 'value')} of the plan")
    return ", ".join(words)


__all__ = ["STATE_WORDS", "way_words"]
