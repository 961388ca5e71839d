"""Cleats behind seams: battens from side to side, ripped to the corner's bevel."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from casewright.basics.findings import Finding, Remedy
from casewright.basics.plane import Line, crossing
from casewright.basics.units import TOUCHING
from casewright.design.materials import Batten
from casewright.design.project import Project
from casewright.geometry.cleat_room import END_ROOM, Obstacles, Passage, Range, is_free_section
from casewright.geometry.cleats import (
    NO_ROOM,
    Behind,
    Cures,
    cleat_piece,
    free_spans,
    smaller_battens,
)
from casewright.geometry.model import Corner, Piece, Point2, Slab, SolvedShape

_SQUARE = 0.01
"""Corners this near to 90° are square. [deg]"""


def seam_cleats(
    project: Project,
    shape: SolvedShape,
    corners: Sequence[Corner],
    slabs: Sequence[Slab],
    pieces: Sequence[Piece],
    cleats: Sequence[Piece],
    room: Behind,
    cures: Cures | None = None,
) -> tuple[tuple[Piece, ...], tuple[Finding, ...]]:
    """Battens behind seams from side to side, in pieces where a body stands in the way."""
    standing = Obstacles(cleats)
    by_panel = {slab.panel: slab for slab in slabs}
    by_key = {piece.key: piece for piece in pieces}
    made: list[Piece] = []
    findings: list[Finding] = []
    for corner in corners:
        if not corner.cleat or corner.first not in by_panel or corner.second not in by_panel:
            continue
        host_key = _seam_host(corner)
        host, slab = by_key[host_key], by_panel[host_key]
        other = by_panel[corner.second if host_key == corner.first else corner.first]

        def section(
            batten: Batten,
            host: Piece = host,
            slab: Slab = slab,
            other: Slab = other,
            corner: Corner = corner,
        ) -> _Section | None:
            return _seam_section(corner, host, slab, other, batten)

        def spans(
            batten: Batten,
            host: Piece = host,
            section: Callable[[Batten], _Section | None] = section,
        ) -> list[Range]:
            cut = section(batten)
            return [] if cut is None else _seam_spans(room, host, cut, batten, standing)

        cut, found = section(project.batten), spans(project.batten)
        if not found or cut is None:
            said = f"No room for the cleat behind the seam of {corner.first} and {corner.second}."
            findings.append(
                NO_ROOM.finding(
                    said,
                    remedies=(
                        *smaller_battens(project.batten, spans, cures, said),
                        Remedy("Leave this cleat out, and reinforce the seam with glue blocks."),
                    ),
                    names=(corner.first, corner.second),
                    point=(shape.width / 2, *corner.point),
                )
            )
            continue
        battens = []
        for number, span in enumerate(found, start=1):
            suffix = f"-{number}" if len(found) > 1 else ""
            battens.append(
                cleat_piece(
                    cut.height,
                    host,
                    f"{corner.first}-{corner.second}.cleat{suffix}",
                    f"cleat behind {corner.first} / {corner.second}{f', {number}' if suffix else ''}",
                    span,
                    cut.near,
                    cut.far,
                )
            )
        standing.add(battens)
        made += battens
    return tuple(made), tuple(findings)


def _seam_spans(
    room: Behind, host: Piece, cut: _Section, batten: Batten, cleats: Obstacles
) -> list[Range]:
    """Stretches from side to side, between the cleats of the sides, where a seam's batten has room."""
    clear = batten.width + END_ROOM
    low, high = clear, room.inner - clear
    if high <= low or not is_free_section(host.frame, room.free, cut.outline(host.thickness)):
        return []
    passage = Passage(host.frame, 0, cut.outline(host.thickness))
    return free_spans(low, high, room.taken(passage, host, cleats))


@dataclass(frozen=True)
class _Section:
    """A seam batten's section: ranges of v at its near and far face, and its height over the host's back. [mm]"""

    near: Range
    far: Range
    height: float

    def outline(self, thickness: float) -> tuple[Point2, ...]:
        """In the host's (v, n), counter-clockwise."""
        top, low = -thickness, -thickness - self.height
        return (
            (self.far[0], low),
            (self.far[1], low),
            (self.near[1], top),
            (self.near[0], top),
        )


def _seam_host(corner: Corner) -> str:
    """The panel on whose back the batten lies: the covering one; at an inward corner the covered one."""
    if corner.inside_deg > 180:
        return corner.first if corner.over == corner.second else corner.second
    return corner.over or corner.first


def _seam_section(
    corner: Corner, host: Piece, slab: Slab, other: Slab, batten: Batten
) -> _Section | None:
    """Where the batten lies; None where the corner is too sharp or too blunt for one, or the host too short.

    Outward corner, host below, the other panel's back leaning by the inside angle:

              lean            Beyond 90° the lean is negative, and what the batten lies on becomes narrower by it:
            |‹—›________      a batten of the given width is ripped to the bevel.
             /         |
        ____/__________|____  back of the host
            0   near   width
    """
    at_low = slab.run.climbs == (host.panel == corner.second)
    sign = 1.0 if at_low else -1.0
    lowest, highest = min(v for _, v in host.back), max(v for _, v in host.back)
    width, height = batten.width, batten.height
    if corner.inside_deg > 180:
        start = lowest if at_low else highest
        both = _ordered(start - width / 2, start + width / 2)
        return _Section(both, both, height)
    meeting = crossing(_back_line(slab), _back_line(other))
    if meeting is None:
        return None
    start = host.frame.local((host.frame.origin[0], *meeting))[1]
    if corner.inside_deg < 90 - _SQUARE:
        slope = math.tan(math.radians(corner.inside_deg))
        height = min(height, width / 2 * slope)
        near, far = (0.0, width), (height / slope, width)
    elif corner.inside_deg > 90 + _SQUARE:
        slope = math.tan(math.radians(180.0 - corner.inside_deg))
        height = min(height, width / 2 * slope)
        near, far = (0.0, width - height / slope), (-height / slope, width - height / slope)
    else:
        near = far = (0.0, width)
    if height < batten.height / 2 - TOUCHING:
        return None
    near_v = _ordered(start + sign * near[0], start + sign * near[1])
    far_v = _ordered(start + sign * far[0], start + sign * far[1])
    if near_v[0] < lowest - TOUCHING or near_v[1] > highest + TOUCHING:
        return None
    return _Section(near_v, far_v, height)


def _back_line(slab: Slab) -> Line:
    return Line(slab.run.p, slab.run.direction).shifted(slab.reveal + slab.thickness)


def _ordered(a: float, b: float) -> Range:
    return (a, b) if a <= b else (b, a)


__all__ = ["seam_cleats"]
