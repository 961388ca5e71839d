"""What is left of a sheet once some of its parts are off it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from casewright.planning.cutting.model import CutResult, CutStep, SheetLayout

Rectangle = tuple[float, float, float, float]


@dataclass(frozen=True)
class Left:
    """A sheet that is begun."""

    stock: str
    """Key of the stock it is of."""
    last: str
    """The part, of those asked for, that comes off it last."""
    rests: tuple[tuple[float, float], ...]
    """What lies on the bench then and can still be used: length along the grain, and width. [mm] Largest first."""


def left_of(sheet: SheetLayout, made: Collection[str]) -> Left | None:
    """What is left of a sheet when its cuts were made in their order, up to the one that sets the last part free.

    Args:
        sheet: Its layout.
        made: Keys of the parts that are off it.

    Returns:
        None where none of the parts is on the sheet. Parts that come off it before and are not among those made lie on
        the bench as rectangles of their own size.

    Source:
        Plain geometry: every cut of `sheet.cuts` takes one rectangle from the bench and lays its results there.
    """
    here = {place.blank for place in sheet.placements} & set(made)
    if not here:
        return None
    freed = [n for n, cut in enumerate(sheet.cuts) if any(_is_made(r, here) for r in cut.results)]
    if not freed:  # the sheet is the part, nothing is cut
        return Left(sheet.stock, min(here), ())
    bench: list[Rectangle] = []
    for cut in sheet.cuts[: freed[-1] + 1]:
        bench = [one for one in bench if not _same(one, _box(cut))]
        bench += [_box(r) for r in cut.results if r.kind != "waste" and not _is_made(r, here)]
    last = next(r.blank for r in sheet.cuts[freed[-1]].results if _is_made(r, here))
    rests = sorted(
        ((length, width) for _, _, length, width in bench), key=lambda x: (-x[0] * x[1], x)
    )
    return Left(sheet.stock, last, tuple(rests))


def _is_made(result: CutResult, made: Collection[str]) -> bool:
    return result.kind == "part" and result.blank in made


def _box(piece: CutStep | CutResult) -> Rectangle:
    return (piece.x, piece.y, piece.length, piece.width)


def _same(a: Rectangle, b: Rectangle) -> bool:
    return all(abs(x - y) < 1e-3 for x, y in zip(a, b, strict=True))


__all__ = ["Left", "left_of"]
