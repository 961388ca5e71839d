"""What a hole depends on was measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.catalog.kinds import Kind
from casewright.checks.subject import Subject

RULE = Rule(
    id="part.measured",
    severity=Severity.NOTE,
    asks="Dimensions that holes depend on are measured on the part itself.",
    why="Parts of one name differ by a millimeter or two from seller to seller, and a hole is not made smaller.",
    source="Common practice",
)

HOLE_FIELDS: Mapping[str, tuple[str, ...]] = {
    "button": ("hole", "nut", "grip_most"),
    "dial": ("hole", "thread"),
    "fan": ("opening", "pitch"),
    "fitting": (
        "hole",
        "cutout_width",
        "cutout_height",
        "screws_width",
        "screws_height",
        "grip_most",
    ),
    "lever": (
        "holes_width",
        "holes_height",
        "pivot",
        "tilt_deg",
        "shaft",
        "washer",
    ),
    "port": ("width", "wall"),
    "speaker": ("cutout", "frame", "holes_square"),
    "trackball": ("hole", "holes_width", "holes_height"),
}
"""Fields that holes are made from, by kind."""

_WORDS = {
    "cutout_height": "height of the cut-out",
    "cutout_width": "width of the cut-out",
    "grip_most": "thickest panel it holds",
    "holes_height": "screw holes up",
    "holes_square": "square of the screw holes",
    "holes_width": "screw holes across",
    "pitch": "distance of the screw holes",
    "screws_height": "screw holes up",
    "screws_width": "screw holes across",
    "tilt_deg": "tilt",
}


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each placed part; fields that are zero ask for nothing."""
    for key, part in subject.cabinet.parts.items():
        names = tuple(p.key for p in subject.cabinet.placed if p.part.key == key)
        missing = [f for f in HOLE_FIELDS.get(part.data.kind, ()) if _counts(part.data, f)]
        missing = [
            field
            for field in missing
            if not part.is_measured(field)
            and (field, part.origin.get(field)) != ("grip_most", "default")
        ]
        if names and missing:
            words = [_WORDS.get(field, field.replace("_", " ")) for field in missing]
            yield RULE.finding(
                f"{part.label}: {listed(words)} not measured yet.",
                remedies=(Remedy("Measure the part in hand before its holes are drilled."),),
                names=names,
                missing=", ".join(f"parts.{key}.measured.{field}" for field in missing),
            )


def _counts(data: Kind, field: str) -> bool:
    return bool(getattr(data, field))


__all__ = ["HOLE_FIELDS", "RULE", "find"]
