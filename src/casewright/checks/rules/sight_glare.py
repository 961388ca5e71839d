"""No lamp is mirrored in the picture."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.wording import listed
from casewright.behavior.glare import clear_distance
from casewright.checks.subject import Subject

RULE = Rule(
    id="sight.glare",
    severity=Severity.CAUTION,
    asks="Nobody who plays sees a lamp or a window mirrored in the picture.",
    why="A mirrored lamp outshines the picture where it stands, and eyes tire of looking past it.",
    source="Plain geometry",
)


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
            remedies = []
            distance = clear_distance(
                sighting.throat, [view.eye for view in sighting.playing], light
            )
            if distance is not None:
                front = f"{mm(abs(distance))} {'in front of' if distance >= 0 else 'behind'}"
                remedies.append(
                    Remedy(
                        f"Move {light.label} so that it stands {front} the front edge.",
                        f"site.lamps.{light.number}.distance",
                        distance,
                    )
                )
            remedies.append(
                Remedy(
                    "Or shade it toward the screen, or take a display or a film with a dull face."
                )
            )
            yield RULE.finding(
                f"{light.label} is mirrored in {sighting.label}, seen by {who}: {max(share, 0.001):.1%} of the "
                "picture.",
                remedies=tuple(remedies),
                names=(sighting.key,),
                point=sighting.throat.frame.point(*worst.spot),
            )


__all__ = ["RULE", "find"]
