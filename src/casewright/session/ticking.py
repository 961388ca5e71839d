"""Steps ticked at the bench, and what follows: a piece marked, a measured value put down, both kept at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from casewright.basics.errors import OutputError
from casewright.design.built import State
from casewright.planning.work.ticks import Offer, past_ticks
from casewright.session.recording import marked
from casewright.session.session import Session
from casewright.workflow import REMOVE, Edits, KeyPath, Removal, Value, Worked

STEPS_DONE = "steps done"


def ticked(keys: Iterable[str], when: datetime) -> Edits:
    """The edits that tick steps.

    Args:
        keys: Of the steps.
        when: By the clock on the wall, to the minute.
    """
    return {(STEPS_DONE, key): when.strftime("%Y-%m-%d %H:%M") for key in keys}


def unticked(keys: Iterable[str]) -> Edits:
    """The edits that take ticks back."""
    return {(STEPS_DONE, key): REMOVE for key in keys}


def put_down(
    worked: Worked,
    done: Mapping[str, str],
    offered: Sequence[Offer],
    told: Mapping[str, Mapping[str, Value]] | None = None,
) -> Edits:
    """The edits that mark pieces as far as their ticks tell; ticks of steps that are past go with them.

    Args:
        worked: The cabinet.
        done: What is ticked now.
        offered: Pieces and their states.
        told: What the tape says, by piece.

    Raises:
        InputError: There is no such piece.
    """
    edits: dict[KeyPath, Value | Removal] = {}
    made: dict[str, State] = {}
    for offer in offered:
        apart = [key for key in offer.pieces if key in (told or {})]
        rest = [key for key in offer.pieces if key not in apart]
        edits |= marked(worked, rest, offer.state, anew=worked.again)
        for key in apart:
            edits |= marked(
                worked, [key], offer.state, (told or {})[key], anew=worked.again, adds=True
            )
        made |= dict.fromkeys(offer.pieces, offer.state)
    past = past_ticks(worked.work.steps, done, made, worked.cabinet)
    return {**edits, **unticked(past)}


def keep(session: Session, edits: Edits, label: str) -> str:
    """Edit, and write the file where nothing else was unsaved: nobody presses Save at the bench.

    Changes at the desk that are not saved yet stay so; what was edited here then waits with them in the journal, which
    outlives a crash.

    Returns:
        Why the file could not be written; "" where it was, or was left alone.

    Raises:
        InputErrors: The file would have something wrong with it. Nothing is changed.
    """
    is_alone, version = session.is_saved, session.version
    session.edit(edits, label)
    if not is_alone or session.version != version + 1:
        return ""
    try:
        session.save()
    except OutputError as problem:
        return f"{problem.why}; the tick waits beside the file"
    return ""


__all__ = ["STEPS_DONE", "keep", "put_down", "ticked", "unticked"]
