"""A bevel that was sawn wrong, taken up by the neighbor that is not sawn yet."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from casewright.basics.plane import Line, crossing, line_through
from casewright.design.panels import Seam
from casewright.geometry.model import Cabinet, Corner, Point2, Slab
from casewright.planning.as_built.freedoms import Path
from casewright.planning.as_built.made import MadePiece

SAME_DEG = 0.1
"""Bevels nearer than this are as planned. [deg]"""


def seam_ways(
    cabinet: Cabinet, made: Mapping[str, MadePiece]
) -> Iterator[tuple[str, tuple[tuple[Path, object], ...]]]:
    """For each mitered seam with one made panel: the seam in the plane that was sawn.

    Yields:
        What it is called, and the changed values of the project.

    Source:
        Plain geometry: both boards end at one plane, whatever its slant.
    """
    slabs = cabinet.slab_by_panel
    for corner in cabinet.corners:
        if corner.rule != "miter" or corner.first not in slabs or corner.second not in slabs:
            continue
        here = [key for key in (corner.first, corner.second) if key in made]
        if len(here) != 1:
            continue
        key = here[0]
        other = corner.second if key == corner.first else corner.first
        if any(piece.kind == "overlay" and piece.panel == key for piece in cabinet.pieces):
            continue  # a stack of layers has several ends
        plane = _plane(cabinet, corner, key, made[key])
        if plane is None:
            continue
        line, tilt_deg, planned_deg = plane
        if abs(tilt_deg - planned_deg) < SAME_DEG:
            continue
        ends = {}
        for panel in (key, other):
            end = _end(slabs[panel], line, at_end=panel == corner.first)
            if end is None:
                break
            ends[panel] = end
        if len(ends) < 2:
            continue
        labels = {piece.key: piece.label for piece in cabinet.pieces}
        seam = Seam(
            between=(corner.first, corner.second),
            rule="free",
            tilt={panel: round(tilt, 3) for panel, (tilt, _) in ends.items()},
            setback={panel: round(back, 3) for panel, (_, back) in ends.items()},
            cleat=corner.cleat,
        )
        title = (
            f"Saw the {labels[other]} at {abs(ends[other][0]):.1f}° to meet the "
            f"{labels[key]} as it is"
        )
        yield title, _with_seam(cabinet, seam)


def _with_seam(cabinet: Cabinet, seam: Seam) -> tuple[tuple[Path, object], ...]:
    seams = list(cabinet.project.seams)
    for index, other in enumerate(seams):
        if set(other.between) == set(seam.between):
            seams[index] = seam
            break
    else:
        seams.append(seam)
    return ((("seams",), tuple(seams)),)


def _plane(
    cabinet: Cabinet, corner: Corner, key: str, made: MadePiece
) -> tuple[Line, float, float] | None:
    """The sawn end's line in (y, z) with its tilt and the planned one, unsigned. [deg]"""
    piece, slab = cabinet.piece_by_key[key], cabinet.slab_by_panel[key]
    at_end = key == corner.first
    upper = at_end == slab.run.climbs
    pick = max if upper else min
    outer = piece.frame.point(0.0, pick(v for _, v in made.show))
    inner = piece.frame.point(0.0, pick(v for _, v in made.back), -piece.thickness)
    p, q = (outer[1], outer[2]), (inner[1], inner[2])
    if math.dist(p, q) < 1e-6:
        return None
    v_show, v_back = pick(v for _, v in made.show), pick(v for _, v in made.back)
    tilt = math.degrees(math.atan2(abs(v_show - v_back), piece.thickness))
    planned = abs(slab.end_tilt_deg if at_end else slab.start_tilt_deg)
    return line_through(p, q), tilt, planned


def _end(slab: Slab, line: Line, *, at_end: bool) -> tuple[float, float] | None:
    """Tilt [deg] and setback [mm] of a slab's end in a plane, as a free seam says them."""
    show = Line(slab.run.p, slab.run.direction).shifted(slab.reveal)
    back = show.shifted(slab.thickness)
    outer, inner = crossing(show, line), crossing(back, line)
    if outer is None or inner is None:
        return None
    along: Point2 = (show.along(outer), show.along(inner))
    reach = along[0] - along[1] if at_end else along[1] - along[0]
    tilt = math.degrees(math.atan2(reach, slab.thickness))
    setback = slab.run.length - along[0] if at_end else along[0]
    return tilt, setback


__all__ = ["seam_ways"]
