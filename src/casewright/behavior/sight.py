"""Sight: what everybody sees of every display, with the numbers that say why."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from casewright.basics.reckoning import Reckoning, Term, derived
from casewright.behavior.glare import Light, lights
from casewright.behavior.seeing import (
    FACE_LEAST_DEG,
    Sighting,
    Tilt,
    View,
    sightings_of,
)
from casewright.geometry.model import Cabinet

LETTER_ARCMIN = 22.0
"""Height of letters that read easily, as an angle at the eye. Source: iso-9241-303."""


@dataclass(frozen=True)
class Sight:
    """All displays."""

    sightings: tuple[Sighting, ...] = ()
    lights: tuple[Light, ...] = ()

    @cached_property
    def numbers(self) -> tuple[Reckoning, ...]:
        """Of every display, and of everybody before it."""
        return tuple(number for sighting in self.sightings for number in _numbers(sighting))


def sight_of(cabinet: Cabinet) -> Sight:
    """Work out what everybody sees of every display."""
    all_lights = lights(cabinet.project, cabinet.parts, width=cabinet.shape.width)
    return Sight(sightings_of(cabinet, all_lights), all_lights)


def letter_height(distance: float, *, arcmin: float = LETTER_ARCMIN) -> float:
    """Return the height that a letter needs to be read at a distance. [mm]

    Args:
        distance: From the eye. [mm]
        arcmin: Its height as an angle at the eye, in minutes of arc.

    Source:
        iso-9241-303: 20 to 22 minutes of arc read easily, 16 at least; h = 2 d tan(angle ÷ 2).

    Example:
        >>> round(letter_height(600), 2)
        3.84
    """
    return 2 * distance * math.tan(math.radians(arcmin / 60) / 2)


def filled_deg(size: float, distance: float) -> float:
    """Return the angle that a thing square to the line of sight fills at the eye. [degrees]

    Args:
        size: Across. [mm]
        distance: From the eye to its middle. [mm]

    Source:
        Plain geometry: 2 arctan(size ÷ 2 ÷ distance).
    """
    return math.degrees(2 * math.atan2(size / 2, distance))


def _numbers(sighting: Sighting) -> Iterator[Reckoning]:
    for view in sighting.views:
        yield from _view_numbers(sighting, view)
    yield from _opening_numbers(sighting)
    if sighting.tilt is not None:
        yield from _tilt_numbers(sighting, sighting.tilt)
    farthest = max(sighting.views, key=lambda view: view.distance)
    yield derived(
        f"sight.{sighting.key}.letters",
        "letters that everybody reads easily, height on the screen",
        letter_height(farthest.distance),
        f"2 × distance × tan({LETTER_ARCMIN:g}′ ÷ 2)",
        [
            Term(
                f"distance of {farthest.viewer.label}",
                farthest.distance,
                key=f"sight.{sighting.key}.{farthest.number}.distance",
            ),
        ],
        rule=f"Letters of {LETTER_ARCMIN:g} minutes of arc read easily.",
        source="iso-9241-303",
    )


def _view_numbers(sighting: Sighting, view: View) -> Iterator[Reckoning]:
    key, who = f"sight.{sighting.key}.{view.number}", view.viewer.label
    u, v, over = view.eye
    yield derived(
        f"{key}.distance",
        f"{who}: eye to the picture's middle",
        view.distance,
        "√(right² + up² + out²)",
        [Term("right", u), Term("up", v), Term("out", over)],
    )
    yield derived(
        f"{key}.off_square",
        f"{who}: line of sight off square to the screen",
        view.off_square_deg,
        "arctan(√(right² + up²) ÷ out)",
        [Term("right", u), Term("up", v), Term("out", over)],
        unit="deg",
        rule=f"No less than {FACE_LEAST_DEG:g}° to the face, so no more than {90 - FACE_LEAST_DEG:g}° off square.",
        source="nureg-0700",
    )
    for edge in view.edges:
        if not math.isfinite(edge.hidden):
            continue
        yield derived(
            f"{key}.hidden_{edge.name}",
            f"{who}: picture hidden by the opening's {edge.name} edge (less than 0: housing seen)",
            edge.hidden,
            "(beyond × depth − margin × over) ÷ (over − depth)"
            + (" + outward in the glass" if edge.glass else "")
            + (" + shift by clear sheets" if edge.sheets else ""),
            [
                Term("beyond", edge.beyond),
                Term("depth", edge.depth),
                Term("margin", edge.margin),
                Term("over", edge.over),
                *([Term("outward in the glass", edge.touching_inset)] if edge.glass else []),
                *([Term("shift by clear sheets", edge.shifted)] if edge.sheets else []),
            ],
            rule="Shadow of the throat's edge on the glass: eye beyond the picture's edge and over the glass, "
            "edge at its depth over the glass and its margin beyond the picture.",
        )
    yield derived(
        f"{key}.share",
        f"{who}: share of the picture that is seen",
        view.share,
        "seen ÷ whole",
        [Term("seen", float(view.seen.area), unit="mm²"), Term("whole", view.area, unit="mm²")],
        unit="",
        rule="What neither the opening nor the cabinet hides, round corners of the opening counted.",
    )
    if sighting.throat.sheets and over > 0:
        yield derived(
            f"{key}.light",
            f"{who}: share of the picture's light that the clear sheet before it lets through",
            view.light,
            "(1 − R) ÷ (1 + R), both polarizations' mean; through several sheets one after the other",
            [
                Term("line of sight off square", view.off_square_deg, unit="deg"),
                *(
                    Term(f"refractive index of {sheet.key}", sheet.index, unit="")
                    for sheet in sighting.throat.sheets
                ),
            ],
            unit="",
            rule="R: share that one face throws back, by Fresnel's equations; what a clear sheet swallows is little.",
            source="clear-sheet-optics",
        )
    for image in view.mirrored:
        yield derived(
            f"{key}.glare_{image.light.number + 1}",
            f"{who}: {image.light.label} in the glass, off the line of sight to the picture's middle",
            image.off_deg,
            "arccos of the angle between the lines to the middle and to (right, up) on the glass",
            [
                Term("eye over the glass", over),
                Term("lamp over the glass", sighting.throat.frame.local(image.light.at)[2]),
                Term("right", image.spot[0]),
                Term("up", image.spot[1]),
            ],
            unit="deg",
            rule="The glass mirrors the lamp as if it stood as far behind it.",
        )


def _opening_numbers(sighting: Sighting) -> Iterator[Reckoning]:
    throat = sighting.throat
    for up, name in ((False, "sides"), (True, "upright")):
        asked = sighting.margin_asked(sighting.chamfer, up=up)
        slope = sighting.steepest(up=up)
        yield derived(
            f"sight.{sighting.key}.margin_{name}",
            f"opening beyond the picture {'above and below' if up else 'at each side'} that hides nothing",
            asked,
            "the larger of tan(lean) × (depth − chamfer) and tan(lean) × depth − chamfer"
            + (", + outward in the glass" if throat.glass else ""),
            [
                Term("lean", _lean(slope), unit="deg"),
                Term("depth", throat.depth),
                Term("chamfer", sighting.chamfer),
                *([Term("outward in the glass", sighting.inset(up=up))] if throat.glass else []),
            ],
            rule="Lean: of the line of sight of those who play that leans most outward; depth: from the glass to the "
            "outer face.",
        )
    yield derived(
        f"sight.{sighting.key}.chamfer",
        "chamfer that hides nothing, with the opening as it is",
        sighting.chamfer_asked,
        "the largest of depth − margin ÷ tan(lean), tan(lean) × depth − margin and 0",
        [
            Term("depth", throat.depth),
            Term("margin at the sides", sighting.margins[0]),
            Term("lean to the sides", _lean(sighting.steepest(up=False)), unit="deg"),
            Term("margin above and below", sighting.margins[1]),
            Term("lean up and down", _lean(sighting.steepest(up=True)), unit="deg"),
            *(
                [
                    Term(
                        "taken off each margin: outward in the glass",
                        max(sighting.inset(up=u) for u in (False, True)),
                    )
                ]
                if throat.glass
                else []
            ),
        ],
        rule="At 45°, for the line of sight of those who play that leans most outward, the worse of both directions. "
        "It may be more than the panel can be given.",
    )


def _lean(slope: float) -> float:
    """A slope as an angle off square. [degrees]"""
    return math.degrees(math.atan(slope))


def _tilt_numbers(sighting: Sighting, tilt: Tilt) -> Iterator[Reckoning]:
    eyes = [
        Term(f"{label}, eye over the picture's middle", angle, unit="deg")
        for label, angle in tilt.elevations
    ]
    limit = Term("off square at most", 90.0 - FACE_LEAST_DEG, unit="deg")
    for name, value, formula, terms in (
        ("best", tilt.best_deg, "(highest + lowest eye) ÷ 2", eyes),
        ("least", tilt.least_deg, "highest eye − off square at most", [*eyes, limit]),
        ("most", tilt.most_deg, "lowest eye + off square at most", [*eyes, limit]),
    ):
        yield derived(
            f"sight.{sighting.key}.tilt_{name}",
            f"screen laid back from upright, {name} for all eyes",
            value,
            formula,
            terms,
            unit="deg",
            rule="In the side view, about the picture's middle.",
            source="Plain geometry" if name == "best" else "nureg-0700",
        )


__all__ = ["LETTER_ARCMIN", "Sight", "filled_deg", "letter_height", "sight_of"]
