"""Nobody looks at the screen from too far off square."""

from __future__ import annotations

import math
from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.wording import listed
from casewright.behavior.seeing import FACE_LEAST_DEG, Sighting, View
from casewright.checks.subject import Subject
from casewright.design.shape import OutlineShape
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
_FLAT = 1e-9
_BEHIND = -1.0

LEANS = 1.05
"""A twentieth more of the way back where a recipe leans the screen by the eyes, and so moves it with them."""

BACK_MOST = 3000.0
"""Farther back than this nobody is sent. Source: common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each display and person; a note for those who only look on."""
    if subject.behavior is None:
        return
    for sighting in subject.behavior.sight.sightings:
        for looks, views in _alike(sighting):
            who = listed([view.viewer.label for view in views])
            one = len(views) == 1
            yield RULE.finding(
                f"{sighting.label}: the line{'' if one else 's'} of sight of {who} {looks}.",
                remedies=tuple(_remedies(subject, sighting, views)),
                names=(sighting.key,),
                point=sighting.throat.frame.origin,
                severity=None if views[0] in sighting.playing else Severity.NOTE,
            )


def _alike(sighting: Sighting) -> Iterator[tuple[str, list[View]]]:
    """Who looks from too far off square, with what is to be said of them; players apart from onlookers."""
    found: dict[tuple[float, bool], list[View]] = {}
    for view in sighting.views:
        off = view.off_square_deg
        if off > _OFF_MOST + _ROUNDING:
            angle = math.floor(90 - off) if off < 90 else _BEHIND
            found.setdefault((angle, view in sighting.playing), []).append(view)
    for (angle, _), views in found.items():
        one = len(views) == 1
        if angle == _BEHIND:
            yield f"{'comes' if one else 'come'} from behind it", views
        else:
            meets = f"{'meets' if one else 'meet'} it at {angle:.0f}° to its face"
            yield f"{meets}; {FACE_LEAST_DEG:g}° is asked", views


def _remedies(subject: Subject, sighting: Sighting, views: list[View]) -> Iterator[Remedy]:
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
    for view in views:
        yield from _nearer(subject, sighting, view)
    yield from _farther(subject, sighting, views)


def _nearer(subject: Subject, sighting: Sighting, view: View) -> Iterator[Remedy]:
    """Along the front toward the middle of the screen."""
    project = subject.cabinet.project
    u, v, over = view.eye
    most = math.sqrt(max(over**2 - v**2, 0.0)) if over > abs(v) else 0.0
    x_way = sighting.throat.frame.u[0]
    if most > 0 and abs(u) > most and abs(abs(x_way) - 1.0) < 1e-6:
        nearer = math.floor(most) * math.copysign(1.0, u)
        middle = sighting.throat.frame.origin[0] - subject.cabinet.shape.width / 2
        aside = middle + nearer * x_way
        place = f"{mm(abs(aside))} {'right' if aside >= 0 else 'left'} of the cabinet's middle"
        viewer = view.viewer
        if viewer.player is not None and viewer.person.aside is None:
            yield Remedy(
                f"Bring the controls of {viewer.label} in to {place}: fewer people abreast, or a larger cabinet with "
                "the screen farther back."
            )
        else:
            named = view.number <= len(project.people)
            yield Remedy(
                f"Let {viewer.label} look from {place}.",
                f"people.{view.number - 1}.aside" if named else "",
                aside if named else None,
            )


def _farther(subject: Subject, sighting: Sighting, views: list[View]) -> Iterator[Remedy]:
    """Straight back from the cabinet to where the lines of sight are as square as is asked."""
    backs = [_back(sighting, view) for view in views]
    ways = [back for back in backs if back is not None]
    if len(ways) < len(views):
        yield Remedy(
            "Or turn the screen toward who looks, or take a display that may be seen aslant."
        )
        return
    project = subject.cabinet.project
    spare = 1.0 if isinstance(project.shape, OutlineShape) else LEANS
    distance = math.ceil(
        max(spare * back + view.viewer.distance for view, back in zip(views, ways, strict=True))
    )
    who = listed([view.viewer.label for view in views])
    hands = ", if the hands still reach the controls" if views[0].viewer.plays else ""
    fields = [
        f"people.{view.number - 1}.distance" for view in views if view.number <= len(project.people)
    ]
    yield Remedy(
        f"Or let {who} look from {at_least(distance)} in front of the front edge{hands}.",
        fields[0] if fields else "",
        float(distance) if fields else None,
        tuple((field, float(distance)) for field in fields[1:]),
    )


def _back(sighting: Sighting, view: View) -> float | None:
    """How far straight back the eye must go, None where no place within a few steps does. [mm]

    Source:
        Plain geometry: at 45° to the face, right² + up² = out²; each changes evenly with the way back.
    """
    frame = sighting.throat.frame
    u, v, over = view.eye
    du, dv, dn = -frame.u[1], -frame.v[1], -frame.n[1]
    # (over + dn t)² − (u + du t)² − (v + dv t)² = 0
    a = dn * dn - du * du - dv * dv
    b = 2 * (over * dn - u * du - v * dv)
    c = over * over - u * u - v * v
    if a <= _FLAT:
        return None
    root = math.sqrt(max(b * b - 4 * a * c, 0.0))
    ways = sorted(t for t in ((-b - root) / (2 * a), (-b + root) / (2 * a)) if t > 0)
    good = next((t for t in ways if over + dn * t > 0), None)
    return good if good is not None and good <= BACK_MOST else None


__all__ = ["RULE", "find"]
