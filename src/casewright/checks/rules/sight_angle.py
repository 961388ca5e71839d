"""Nobody looks at the screen from too far off square."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.behavior.seeing import FACE_LEAST_DEG, Sighting, View
from casewright.checks.subject import Subject
from casewright.geometry.recipes.upright import TILT_MOST

RULE = Rule(
    id="sight.angle",
    severity=Severity.CAUTION,
    asks=f"Every line of sight meets the screen at {FACE_LEAST_DEG:g}° to its face or more.",
    why="From the edge a picture is squeezed, pale or turned to its negative, and round things look oval.",
    source="nureg-0700",
)

_OFF_MOST = 90.0 - FACE_LEAST_DEG
_ROUNDING = 1e-6  # deg


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each display and person; a note for those who only look on."""
    if subject.behavior is None:
        return
    for sighting in subject.behavior.sight.sightings:
        for view in sighting.views:
            off = view.off_square_deg
            if off <= _OFF_MOST + _ROUNDING:
                continue
            looks = (
                f"meets it at {90 - off:.0f}° to its face; {FACE_LEAST_DEG:g}° is asked"
                if off < 90
                else "comes from behind it"
            )
            yield RULE.finding(
                f"{sighting.label}: the line of sight of {view.viewer.label} {looks}.",
                remedies=tuple(_remedies(subject, sighting, view)),
                names=(sighting.key,),
                point=sighting.throat.frame.origin,
                severity=None if view in sighting.playing else Severity.NOTE,
            )


def _remedies(subject: Subject, sighting: Sighting, view: View) -> Iterator[Remedy]:
    project = subject.cabinet.project
    tilt = sighting.tilt
    if tilt is not None and tilt.least_deg <= tilt.most_deg:
        best = min(max(tilt.best_deg, 0.0), TILT_MOST)
        inside = tilt.least_deg <= tilt.now_deg <= tilt.most_deg
        if not inside and tilt.least_deg <= best <= tilt.most_deg:
            has_field = (
                hasattr(project.shape, "screen_tilt_deg") and "screen" in sighting.placed.piece
            )
            yield Remedy(
                f"Lay the screen back {best:.0f}° from upright; from {max(tilt.least_deg, 0.0):.0f}° to "
                f"{tilt.most_deg:.0f}° serves everybody, seen from the side.",
                "shape.screen_tilt_deg" if has_field else "",
                float(round(best)) if has_field else None,
            )
    u, v, over = view.eye
    most = math.sqrt(max(over**2 - v**2, 0.0)) if over > abs(v) else 0.0
    x_way = sighting.throat.frame.u[0]
    if most > 0 and abs(u) > most and abs(abs(x_way) - 1.0) < 1e-6:
        nearer = math.floor(most) * math.copysign(1.0, u)
        middle = sighting.throat.frame.origin[0] - subject.cabinet.shape.width / 2
        aside = middle + nearer * x_way
        named = view.number <= len(project.people)
        yield Remedy(
            f"Let {view.viewer.label} look from {mm(abs(aside))} {'right' if aside >= 0 else 'left'} of the cabinet's "
            "middle.",
            f"people.{view.number - 1}.aside" if named else "",
            aside if named else None,
        )
    yield Remedy("Or look from farther away, where the angles are smaller.")


__all__ = ["RULE", "find"]
