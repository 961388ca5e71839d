"""No lamp is mirrored in the picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.wording import listed
from casewright.behavior.glare import Light, Mirrored, clear_distance, clear_lean, shade_depth
from casewright.behavior.seeing import Sighting
from casewright.checks.subject import Subject
from casewright.geometry.recipes.upright import TILT_MOST

RULE = Rule(
    id="sight.glare",
    severity=Severity.CAUTION,
    asks="Nobody who plays sees a lamp or a window mirrored in the picture.",
    why="A mirrored lamp outshines the picture where it stands, and eyes tire of looking past it.",
    source="Plain geometry",
)


SHADE_MOST = 300.0
"""Nobody builds a deeper shade over a screen. Source: common practice. [mm]"""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each display and lamp."""
    if subject.behavior is None:
        return
    sight = subject.behavior.sight
    for sighting in sight.sightings:
        for light in sight.lights:
            glares = [
                (image, view)
                for view in sighting.playing
                for image in view.mirrored
                if image.light == light and image.is_seen
            ]
            if not glares:
                continue
            worst, _ = max(glares, key=lambda pair: pair[0].area.area)
            who = listed([view.viewer.label for _, view in glares])
            share = worst.area.area / (sighting.throat.width * sighting.throat.height)
            images = [image for image, _ in glares]
            yield RULE.finding(
                f"{light.label} is mirrored in {sighting.label}, seen by {who}: {max(share, 0.001):.1%} of the "
                "picture.",
                remedies=tuple(_remedies(subject, sighting, light, images)),
                names=(sighting.key,),
                point=sighting.throat.frame.point(*worst.spot),
            )


def _remedies(
    subject: Subject, sighting: Sighting, light: Light, images: Sequence[Mirrored]
) -> Iterator[Remedy]:
    """Lean the screen, move cabinet and lamp apart, shade it: what a maker can do, a window staying where it is."""
    yield from _lean(subject, sighting, light)
    distance = clear_distance(sighting.throat, [view.eye for view in sighting.playing], light)
    if distance is not None:
        front = f"{mm(abs(distance))} {'in front of' if distance >= 0 else 'behind'}"
        yield Remedy(
            f"Move the cabinet, or {light.label} if it can be moved, so that {light.label} stands {front} the front "
            "edge.",
            f"site.lamps.{light.number}.distance",
            distance,
        )
    depth = shade_depth(sighting.throat, images, light)
    if depth is not None and 0 < depth <= SHADE_MOST:
        yield Remedy(
            f"Or fix a shade over the opening that stands {at_least(depth)} out of its face, from side to side."
        )
    yield Remedy(
        "Or hang a blind or shade before it, or take a display or a film with a dull face."
    )


def _lean(subject: Subject, sighting: Sighting, light: Light) -> Iterator[Remedy]:
    """Another tilt of the screen, within what serves everybody's eyes."""
    tilt, shape = sighting.tilt, subject.cabinet.project.shape
    if (
        tilt is None
        or not hasattr(shape, "screen_tilt_deg")
        or "screen" not in sighting.placed.piece
    ):
        return
    least, most = max(tilt.least_deg, 0.0), min(tilt.most_deg, TILT_MOST)
    turn = clear_lean(
        sighting.throat,
        [view.eye for view in sighting.playing],
        light,
        least_deg=least - tilt.now_deg,
        most_deg=most - tilt.now_deg,
    )
    if turn is not None:
        lean = float(round(tilt.now_deg + turn))
        yield Remedy(
            f"Lay the screen back {lean:.0f}° from upright instead of {tilt.now_deg:.0f}°.",
            "shape.screen_tilt_deg",
            lean,
        )


__all__ = ["RULE", "SHADE_MOST", "find"]
