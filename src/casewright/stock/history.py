"""What the stock's journal tells: lines, and layouts that were accepted."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from sqlalchemy import Row

from casewright.planning.cutting import Areas
from casewright.stock.taking import Bought


@dataclass(frozen=True)
class Accepted:
    """A layout that was accepted."""

    number: int
    project: str
    who: str
    moment: str
    """By the clock on the wall, "2027-03-05 14:30"."""
    taken: Mapping[str, int]
    """Pieces by mark."""
    booked: tuple[str, ...]
    """Marks of the offcuts that it leaves."""
    bought: tuple[Bought, ...]
    areas: Areas
    plan: str = ""
    """Of its layout; "" once it is undone."""
    undone_by: str = ""
    undone_at: str = ""

    @property
    def is_undone(self) -> bool:
        """Whether it was taken back."""
        return bool(self.undone_at)


@dataclass(frozen=True)
class Move:
    """One line of the journal."""

    number: int
    what: str
    mark: str
    kind: str
    change: int
    """Of the count."""
    project: str
    who: str
    moment: str
    acceptance: int | None
    before: Mapping[str, Any] | None
    """The entry before it, where there was one."""


def move_of(row: Row[Any]) -> Move:
    """A line from its row."""
    return Move(
        row.id,
        row.what,
        row.mark,
        row.kind,
        row.change,
        row.project,
        row.who,
        row.moment,
        row.acceptance,
        json.loads(row.before) if row.before else None,
    )


def accepted_of(row: Row[Any], listed: Sequence[Row[Any]]) -> Accepted:
    """A layout from its row and its lines."""
    told = json.loads(row.told)
    return Accepted(
        number=row.id,
        project=row.project,
        who=row.who,
        moment=row.moment,
        taken=MappingProxyType({m.mark: -m.change for m in listed if m.what == "taken"}),
        booked=tuple(m.mark for m in listed if m.what == "booked"),
        bought=tuple(Bought(**one) for one in told["bought"]),
        areas=Areas(**told["areas"]),
        plan=row.plan or "",
        undone_by=row.undone_by or "",
        undone_at=row.undone_at or "",
    )


__all__ = ["Accepted", "Move", "accepted_of", "move_of"]
