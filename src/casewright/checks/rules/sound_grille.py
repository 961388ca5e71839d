"""A drilled grille is open enough."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.catalog.kinds import Speaker
from casewright.checks.flat import flat_of, gap_between
from casewright.checks.moving import placed_field
from casewright.checks.subject import Subject
from casewright.checks.webs import THROUGH
from casewright.geometry.devices.speaker import GRILLE_OPEN, hexagonal_pitch
from casewright.geometry.model import Circle, Placed

LEAST = 0.25
"""Open share of a drilled grille that still passes high notes. Common practice; 0.4 works well (grille-page)."""

RULE = Rule(
    id="sound.grille",
    severity=Severity.NOTE,
    asks=f"A drilled grille is open over {100 * LEAST:g} % of the cone.",
    why="A grille that is mostly wood muffles voices.",
    source="grille-page",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each grille that is too close, for each that cannot be, and where there is none at all."""
    for placed in subject.cabinet.placed:
        if isinstance(placed.part.data, Speaker):
            yield from _in_front(subject, placed, placed.part.data)
    if subject.behavior is None:
        return
    project = subject.cabinet.project
    for driver in subject.behavior.sound.drivers:
        grille = driver.grille
        if grille is None or grille.open_share >= LEAST - 1e-9:
            continue
        wishes = project.parts[driver.part].placed
        index = next((i for i, wish in enumerate(wishes) if wish.key == driver.key), None)
        field = "" if index is None else f"parts.{driver.part}.placed.{index}.grille"
        yield RULE.finding(
            f"The grille of {driver.label} is open over {100 * grille.open_share:.0f} % of the cone; "
            f"{100 * LEAST:g} % is asked.",
            remedies=(
                Remedy("Cut it open and set cloth or perforated sheet before it.", field, "open"),
                Remedy(
                    f"Or drill by a template of your own: {grille.hole:g} mm holes, "
                    f"{hexagonal_pitch(grille.hole, GRILLE_OPEN):.1f} mm from middle to middle, out to the cone's rim."
                ),
            ),
            names=(driver.key,),
        )


def _in_front(subject: Subject, placed: Placed, data: Speaker) -> Iterator[Finding]:
    """What is wrong with the panel before the cone, whatever share of it is open."""
    field = placed_field(subject.cabinet, placed, "grille")
    if placed.face == "show" and placed.wish.grille == "drilled":
        yield RULE.finding(
            f"{placed.label} sits on the show face, where no grille can be drilled before it; its basket gets a hole.",
            remedies=(
                Remedy("Set cloth or perforated sheet before it.", field, "open"),
                Remedy(
                    "Or mount it from behind.",
                    placed_field(subject.cabinet, placed, "face"),
                    "back",
                ),
            ),
            names=(placed.key,),
            severity=Severity.NOTE,
        )
    if placed.face == "back" and placed.wish.grille == "none":
        cone = flat_of(Circle(placed.u, placed.v, data.cutout))
        panel = subject.cabinet.piece_by_key[placed.piece]
        if any(
            feature.kind in THROUGH
            and feature.owner != placed.key
            and gap_between(cone, flat_of(feature.shape)) <= 0
            for feature in panel.features
        ):
            return
        yield RULE.finding(
            f"Nothing is cut before {placed.label}: its sound stays in the cabinet.",
            remedies=(
                Remedy("Drill a grille.", field, "drilled"),
                Remedy(
                    "Or cut it open and set cloth or perforated sheet before it.", field, "open"
                ),
            ),
            names=(placed.key, placed.piece),
            severity=Severity.CAUTION,
        )


__all__ = ["LEAST", "RULE", "find"]
