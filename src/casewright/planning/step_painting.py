"""Steps of painting: fill, sand and seal, then coat upon coat, as the project's finish says."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.wording import counted
from casewright.design.finish import Coat, Finish
from casewright.planning.step import Step

_WHERE = {"edges": "every cut edge", "faces": "all faces", "all": "all faces and edges"}
_DO = {"spray": "Spray", "brush": "Brush", "roller": "Roll"}


def painting_steps(
    finish: Finish, pieces: tuple[str, ...], needs: tuple[str, ...]
) -> Iterator[Step]:
    """Two steps, "seal" and "paint"; where nothing is painted the second only breaks the edges.

    Args:
        finish: The project's.
        pieces: Keys of the pieces that are painted.
        needs: Keys of the steps before.
    """
    sealing = [c for c in finish.products if c.kind == "sealer"]
    painting = [c for c in finish.products if c.kind != "sealer"]
    yield Step(
        key="seal",
        stage="paint",
        title="Fill, sand and seal the edges" if sealing else "Fill and sand",
        orders=(
            "Fill screw holes and voids of the cut edges; sand along the grain, 120 then 180.",
            *(_order(coat) for coat in sealing),
            "Mask inside: bores, threads, glued seats and the mating edges of what comes off.",
        ),
        pieces=pieces,
        tool="Filler, sanding block, brush" if sealing else "Filler, sanding block",
        cautions=("dust",),
        needs=needs,
        dry="until it sands to powder",
        rank=0,
    )
    last = "Let it harden before anything is screwed on it."
    yield Step(
        key="paint",
        stage="paint",
        title=_title(painting),
        orders=(
            *(_order(coat) for coat in painting),
            f"Lay what comes off flat and paint it apart. {last}",
        )
        if painting
        else ("Break all sharp edges with 220 and wipe off the dust.",),
        pieces=pieces,
        tool=_tool(painting),
        cautions=("fumes",) if painting else ("dust",),
        needs=("seal",),
        dry=f"hard after {counted(finish.harden_days, 'day')}; the can goes first"
        if painting
        else "",
        rank=1,
    )


def _order(coat: Coat) -> str:
    sand = f"Sand with {coat.grit} and wipe off the dust. " if coat.grit else ""
    many = "once" if coat.coats == 1 else f"{coat.coats} times, {coat.dry_h:g} h apart"
    what = coat.name if coat.how == "brush" else f"{coat.name} in thin coats"
    return f"{sand}{_DO[coat.how]} {what} on {_WHERE[coat.on]}, {many}."


def _title(painting: list[Coat]) -> str:
    if not painting:
        return "Break the edges"
    return "Prime and paint" if painting[0].kind == "primer" and len(painting) > 1 else "Paint"


def _tool(painting: list[Coat]) -> str:
    ways = dict.fromkeys(
        {"spray": "spray cans", "brush": "brush", "roller": "roller"}[coat.how] for coat in painting
    )
    return " and ".join(ways).capitalize() if ways else "Sanding block"


__all__ = ["painting_steps"]
