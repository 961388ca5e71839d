"""What the rules on hinged doors share: what a door meets, and which other edge it may hang on."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Remedy
from casewright.basics.units import TOUCHING
from casewright.checks.sizes import overall
from casewright.checks.subject import Subject
from casewright.geometry.hinges import EDGES, Hanging, hangings, with_door
from casewright.geometry.swinging import Meeting, swing


def meetings(subject: Subject, hanging: Hanging) -> tuple[Meeting, ...]:
    """What a door meets before it is as far open as it is to be, the first thing first."""
    project = subject.cabinet.project
    (_, _, low), (_, back, _) = overall(subject.cabinet)
    on = project.site.on
    return swing(
        subject.cabinet,
        hanging,
        project.doors[hanging.door].opens_deg,
        ground=low if on in ("table", "floor") else None,
        wall=back if on == "wall" else None,
    )


def binds(hanging: Hanging) -> bool:
    """Whether the free edge's back corner meets the edge of its opening."""
    return hanging.gap_asked > hanging.gap + TOUCHING


def other_edges(subject: Subject, hanging: Hanging) -> Iterator[Remedy]:
    """Edges on which the door would fit, swing free and meet nothing."""
    for edge in EDGES:
        if edge == hanging.edge:
            continue
        project = with_door(subject.cabinet.project, hanging.door, hinged=edge)
        other = next(h for h in hangings(subject.cabinet, project) if h.door == hanging.door)
        if other.trouble or binds(other) or meetings(subject, other):
            continue
        yield Remedy(
            f"Hang it on its {edge} edge, seen from its show face.",
            f"doors.{hanging.door}.hinged",
            edge,
        )


def middle(hanging: Hanging) -> tuple[float, float, float]:
    """The middle of the hung edge, in the cabinet frame. [mm]"""
    half = hanging.length / 2
    x, y, z = (o + a * half for o, a in zip(hanging.pin.origin, hanging.along, strict=True))
    return (x, y, z)


__all__ = ["binds", "meetings", "middle", "other_edges"]
