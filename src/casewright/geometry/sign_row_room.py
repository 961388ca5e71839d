"""Whether the rows of light lie on their board, and which rows would."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterator

from casewright.basics.findings import Remedy, mm
from casewright.basics.units import TOUCHING, LengthStyle, shown_beyond
from casewright.basics.wording import capital
from casewright.catalog.kinds import Sign, Strip
from casewright.design.project import Project
from casewright.design.writing import length_style
from casewright.geometry.display_face import quarter_turns
from casewright.geometry.model import Placed
from casewright.geometry.openings import Area, part_field
from casewright.geometry.sign_rows import strip_rows

RoomOf = Callable[[Sign], Area | None]
"""What the light board takes of the panel's back, if the sign were so."""


def row_areas(placed: Placed, data: Sign, strip: Strip) -> tuple[Area, ...]:
    """Where each row of strip lies, in the panel's frame."""
    wished = data.opening_width if data.row_length is None else data.row_length
    found = strip_rows(wished, strip.cut_unit, rows=data.rows, pitch=data.row_pitch)
    if quarter_turns(placed.turn_deg) % 2:
        return tuple(
            Area.around(placed.u - row.across, placed.v + row.along, strip.width, row.length)
            for row in found.rows
        )
    return tuple(
        Area.around(placed.u + row.along, placed.v + row.across, row.length, strip.width)
        for row in found.rows
    )


def rows_beyond(placed: Placed, data: Sign, strip: Strip, room: Area) -> float:
    """How far the rows reach past their board at its worst edge; 0 or less on it. [mm]"""
    return max((area.beyond(room) for area in row_areas(placed, data, strip)), default=-math.inf)


def row_remedies(
    placed: Placed, data: Sign, project: Project, strip: Strip, room_of: RoomOf
) -> tuple[Remedy, ...]:
    """Rows that lie on the board: shorter by whole cut units, closer together, or fewer; as long as they can be.

    Args:
        placed: The sign in its place.
        data: Its sizes.
        project: For the names of fields.
        strip: What the rows are cut from.
        room_of: What the board takes for other sizes of the sign.
    """
    for changes in _changes(placed, data, strip, room_of, length_style(project)):
        fields = [
            (part_field(placed, project, name), float(value)) for name, value in changes.items()
        ]
        *orders, last = (_order(name, value, strip) for name, value in changes.items())
        order = f"{', '.join(orders)} and {last}" if orders else last
        return (Remedy(f"{capital(order)}.", fields[0][0], fields[0][1], tuple(fields[1:])),)
    return (Remedy("Lay fewer or shorter rows, or lay them closer together."),)


def _changes(
    placed: Placed, data: Sign, strip: Strip, room_of: RoomOf, style: LengthStyle
) -> Iterator[dict[str, float]]:
    """What could be changed, the least first: of those that serve, the number of rows, then their length stays."""
    wished = data.opening_width if data.row_length is None else data.row_length
    most = math.floor((wished + TOUCHING) / strip.cut_unit)

    def fits(changes: dict[str, float]) -> bool:
        tried = data.model_copy(update=changes)
        room = room_of(tried)
        return room is not None and rows_beyond(placed, tried, strip, room) <= TOUCHING

    for rows in range(data.rows, 0, -1):
        pitches = _pitches(data, strip, rows, style)

        def kept(units: int, rows: int = rows) -> dict[str, float]:
            made: dict[str, float] = {"rows": rows} if rows < data.rows else {}
            if units < most:
                # rounded up where it is written: rounded down, it would be a unit short
                made["row_length"] = shown_beyond(units * strip.cut_unit, style, up=True)
            return made

        def ways(units: int, pitches: list[float] = pitches) -> Iterator[dict[str, float]]:
            """With the pitch as it is, else with the widest; None serves where the narrowest does not."""
            same = kept(units)
            if fits(same):
                yield same
            elif pitches and fits({**same, "row_pitch": pitches[-1]}):
                yield from (w for p in pitches if fits(w := {**same, "row_pitch": p}))

        # Shorter rows lie where longer ones do, so the longest are found by halving.
        units = bisect_left(
            range(most), True, key=lambda short: next(ways(most - short), None) is not None
        )
        if units < most:
            yield from ways(most - units)


def _pitches(data: Sign, strip: Strip, rows: int, style: LengthStyle) -> list[float]:
    """What can be written in steps of about a millimeter, from the pitch down to strips that lie side by side."""
    most, least = math.ceil(data.row_pitch) - 1, math.floor(strip.width)
    shown = {shown_beyond(float(n), style, up=False) for n in range(least, most + 1)}
    shown.add(shown_beyond(strip.width, style, up=True))
    fitting = (p for p in shown if strip.width - TOUCHING <= p < data.row_pitch)
    return sorted(fitting, reverse=True) if rows > 1 else []


def _order(name: str, value: float, strip: Strip) -> str:
    if name == "row_length":
        units = math.floor((value + TOUCHING) / strip.cut_unit)
        return f"make the rows {mm(value)} long ({units} cut unit{'' if units == 1 else 's'} each)"
    if name == "row_pitch":
        return f"lay them {mm(value)} apart"
    return f"lay {value:g} row{'' if value == 1 else 's'}"


__all__ = ["RoomOf", "row_areas", "row_remedies", "rows_beyond"]
