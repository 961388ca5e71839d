"""Steps of painting: fill and sand, mask, then coat upon coat as the paint calendar has them."""

from __future__ import annotations

from collections.abc import Sequence

from casewright.basics.wording import capital, counted
from casewright.behavior.painting import COATING_H, Painting, Sitting
from casewright.design.finish import Coat, Finish
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.step import Step

COAT = "paint.coat."
"""Begins the key of every coat."""

_WHERE = {"edges": "every cut edge", "faces": "all faces", "all": "all faces and edges"}
_DO = {"spray": "Spray", "brush": "Brush", "roller": "Roll"}
_TOOL = {"spray": "Spray cans", "brush": "Brush", "roller": "Roller"}


def painting_steps(
    finish: Finish, painting: Painting, pieces: tuple[str, ...], needs: tuple[str, ...]
) -> list[Step]:
    """Fill and sand, mask, and a step a coat; where nothing but a sealer goes on, the last breaks the edges.

    Args:
        finish: The project's.
        painting: Its coats in their sittings.
        pieces: Keys of the pieces that are painted.
        needs: Keys of the steps before.
    """
    minutes = minutes_table()
    sittings = [sitting for sitting in painting.sittings if sitting.kind != "harden"]
    steps = [
        Step(
            key="paint.fill",
            stage="paint",
            title="Fill and sand",
            orders=(
                "Fill screw holes and voids of the cut edges; sand along the grain, 120 then 180.",
            ),
            pieces=pieces,
            tool="Filler, sanding block",
            cautions=("dust",),
            needs=needs,
            dry="until it sands to powder",
            dry_h=minutes.drying["filler"],
            count=len(pieces),
            job="fill and sand",
            minutes=minutes.of("fill and sand", len(pieces)),
            rank=0,
        )
    ]
    if not sittings:
        return [*steps, _edges(pieces, "paint.fill")]
    steps.append(
        Step(
            key="paint.mask",
            stage="paint",
            title="Mask before painting",
            orders=(
                "Mask inside: bores, threads, and every seat that glue or a part still comes on; glue holds wood, not "
                "paint.",
                "Mask the mating edges of what comes off, or it binds. The chapter on finishing lists all places.",
            ),
            pieces=pieces,
            tool="Masking tape, plugs",
            needs=("paint.fill",),
            masks=pieces,
            guards=("paint on a glue face",),
            count=len(pieces),
            job="mask",
            minutes=minutes.of("mask", len(pieces)),
            rank=1,
        )
    )
    coats = {coat.kind: coat for coat in finish.products}
    counts: dict[str, int] = {}
    for index, sitting in enumerate(sittings):
        coat = coats[sitting.kind]
        counts[sitting.kind] = counts.get(sitting.kind, 0) + 1
        is_last = index == len(sittings) - 1
        steps.append(
            _coat(
                coat,
                sitting,
                number=counts[sitting.kind],
                pieces=pieces,
                needs=(steps[-1].key,),
                harden_days=finish.harden_days if is_last else None,
                rank=2.0 + index,
            )
        )
    if all(sitting.kind == "sealer" for sitting in sittings):
        steps.append(_edges(pieces, steps[-1].key))
    return steps


def _edges(pieces: tuple[str, ...], after: str) -> Step:
    """The last touch of what is not painted."""
    return Step(
        key="paint.edges",
        stage="paint",
        title="Break the edges",
        orders=("Break all sharp edges with 220 and wipe off the dust.",),
        pieces=pieces,
        tool="Sanding block",
        cautions=("dust",),
        needs=(after,),
        count=len(pieces),
        job="break edges",
        minutes=minutes_table().of("break edges", len(pieces)),
        rank=99,
    )


def coat_keys(steps: Sequence[Step]) -> tuple[str, ...]:
    """Keys of the coats, in their order; one for each sitting of the paint calendar."""
    return tuple(step.key for step in steps if step.key.startswith(COAT))


def _coat(
    coat: Coat,
    sitting: Sitting,
    *,
    number: int,
    pieces: tuple[str, ...],
    needs: tuple[str, ...],
    harden_days: int | None,
    rank: float,
) -> Step:
    sand = f"Sand with {coat.grit} and wipe off the dust. " if coat.grit else ""
    what = coat.name if coat.how == "brush" else f"{coat.name} in thin coats"
    orders = [f"{sand}{_DO[coat.how]} {what} on {_WHERE[coat.on]}."]
    if number == 1:
        orders.append("Lay what comes off flat and paint it apart.")
    dry = sitting.end_h - sitting.start_h - COATING_H
    words = f"{coat.dry_h:g} h before the next coat; the can goes first"
    if harden_days is not None:
        orders.append("Let it harden before anything is screwed on it.")
        # The wait to hard begins with the last coat, as in the calendar.
        dry = max(dry, 24.0 * harden_days)
        words = f"hard after {counted(harden_days, 'day')}; the can goes first"
    return Step(
        key=f"{COAT}{coat.kind}.{number}",
        stage="paint",
        title=capital(sitting.label),
        orders=tuple(orders),
        pieces=pieces,
        tool=_TOOL[coat.how],
        cautions=("fumes", "dust") if coat.grit else ("fumes",),
        needs=needs,
        dry=words,
        dry_h=dry,
        job="coat",
        minutes=60 * COATING_H,
        rank=rank,
    )


__all__ = ["COAT", "coat_keys", "painting_steps"]
