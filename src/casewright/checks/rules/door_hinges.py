"""The hinges of a door fit its edge and its panel, and there are enough of them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, at_most, mm
from casewright.basics.units import TOUCHING
from casewright.catalog.kinds import Hardware
from casewright.checks.door_changes import has_room_for
from casewright.checks.doors import middle, other_edges
from casewright.checks.subject import Subject
from casewright.geometry.hinges import LEAST_EDGE, Hanging, hangings, hinges_asked

RULE = Rule(
    id="door.hinges",
    severity=Severity.CAUTION,
    asks="Hinges have leaves no wider than the edges they lie on, an edge long enough for two of them, wood for their "
    "screws, and there are as many as the doors ask for.",
    why="Leaves that stick out behind, or screws that come through, show only when the door is to be hung.",
    source="Common practice",
)

_NARROWER = ("hinge-butt-40", "hinge-piano")
"""Catalog types, the wider first."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each door that its hinges do not fit, and one for hinges that are too few."""
    hung = hangings(subject.cabinet)
    for hanging in hung:
        if not hanging.part or hanging.trouble is None:
            continue  # that no hinge is there at all is told already
        yield RULE.finding(
            _message(subject, hanging),
            remedies=tuple(_told(subject, hanging)),
            names=(hanging.door, hanging.host),
            point=middle(hanging),
        )
    yield from _too_few(subject, hung)


def _message(subject: Subject, hanging: Hanging) -> str:
    door, host = subject.label(hanging.door), subject.label(hanging.host)
    hinge = hanging.label
    if hanging.trouble == "no leaves":
        return (
            f"{door} closes in the plane of {host}; a {hinge} is screwed to a wall square to its "
            "door, and there is none."
        )
    if hanging.trouble == "edge too short":
        return (
            f"The {hanging.edge} edge of {door} is {mm(hanging.length)} long; two of {hinge} ask for "
            f"{mm(LEAST_EDGE * hanging.hinge.leaf)}."
        )
    if hanging.trouble == "leaf too wide":
        thin = min(hanging.thickness, hanging.host_thickness)
        return (
            f"{hinge}: its leaf stands {at_least(hanging.sticks_out)} out behind the {hanging.edge} edge of {door} or "
            f"of its opening, which are {mm(thin)} thick."
        )
    return (
        f"Beside the {hanging.edge} edge of {door} {at_most(min(hanging.room, hanging.reach))} of wood takes no "
        f"screw of {hinge}; {at_least(hanging.wood_asked)} is asked."
    )


def _remedies(subject: Subject, hanging: Hanging) -> Iterator[Remedy]:
    yield from other_edges(subject, hanging)
    field = f"parts.{hanging.part}.type"
    if hanging.trouble != "no wood for screws":
        usual = ("hinge-butt-50", *_NARROWER) if hanging.trouble == "no leaves" else _NARROWER
        for key in usual:
            data = subject.catalog.types[key].data
            assert isinstance(data, Hardware), "the catalog's own hinges"
            if _fits(hanging, data) and not _is_measured(subject, hanging.part):
                yield Remedy(f"Take the catalog's {key} instead.", field, key)
                break
    if hanging.trouble == "edge too short":
        size = "height" if hanging.edge in ("left", "right") else "width"
        long = LEAST_EDGE * hanging.hinge.leaf
        if has_room_for(subject.cabinet, hanging.door, **{size: long}):
            word = "high" if size == "height" else "wide"
            yield Remedy(
                f"Make {subject.label(hanging.door)} {mm(long)} {word}.",
                f"doors.{hanging.door}.{size}",
                long,
            )
    elif hanging.trouble == "leaf too wide":
        most = hanging.hinge.leaf_width - hanging.sticks_out
        yield Remedy(f"Or take hinges whose leaf is {at_most(most)} wide from the pin, or less.")
    elif hanging.trouble == "no wood for screws":
        short = hanging.wood_asked - min(hanging.room, hanging.reach)
        yield Remedy(f"Or move the door, or what is beside it, {at_least(short)} apart.")


def _told(subject: Subject, hanging: Hanging) -> Iterator[Remedy]:
    found = list(_remedies(subject, hanging))
    yield from found
    if not any(remedy.field for remedy in found):
        yield _lifted_out(hanging)


def _lifted_out(hanging: Hanging) -> Remedy:
    """What is left where no hinge does."""
    return Remedy("Or let it lift out, held by magnets.", f"doors.{hanging.door}.fixing", "magnets")


def _fits(hanging: Hanging, data: Hardware) -> bool:
    """Whether another hinge would; the pin moves with its knuckle."""
    shift = (data.knuckle - hanging.hinge.knuckle) / 2
    other = replace(
        hanging,
        hinge=data,
        rise=hanging.rise + shift,
        rise_over_host=hanging.rise_over_host + shift,
    )
    return other.trouble in (None, "no wood for screws")


def _is_measured(subject: Subject, part: str) -> bool:
    """Whether sizes of its leaves were measured, which another type would not change."""
    known = subject.cabinet.parts[part]
    return any(known.is_measured(name) for name in ("leaf", "leaf_width", "knuckle"))


def _too_few(subject: Subject, hung: tuple[Hanging, ...]) -> Iterator[Finding]:
    project = subject.cabinet.project
    for key, asked in hinges_asked(hung).items():
        part, data = project.parts[key], subject.cabinet.parts[key].data
        assert isinstance(data, Hardware), "doors hang on hardware"
        label = subject.label(key) if key in subject.labels else subject.cabinet.parts[key].label
        doors = tuple(h.door for h in hung if h.part == key)
        if data.sold_by == "metre":
            held = part.amount
            metres = math.ceil(asked * 10 - TOUCHING) / 10
            if held is None or held >= metres - TOUCHING:
                continue
            yield RULE.finding(
                f"{label}: {held:g} m are among the parts, and the doors' edges take {metres:g} m.",
                remedies=(Remedy(f"Take {metres:g} m.", f"parts.{key}.amount", metres),),
                names=doors,
            )
            continue
        had = part.quantity
        if had is None or max(had, part.have) >= asked:
            continue
        yield RULE.finding(
            f"{label}: {had} among the parts, and the doors hang on {asked:g}.",
            remedies=(Remedy(f"Take {asked:g}.", f"parts.{key}.quantity", asked),),
            names=doors,
        )


__all__ = ["RULE", "find"]
