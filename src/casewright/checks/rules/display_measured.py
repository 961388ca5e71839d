"""What a display's opening rests on was measured."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity
from casewright.basics.wording import listed
from casewright.catalog.kinds import Display
from casewright.checks.subject import Subject

RULE = Rule(
    id="display.measured",
    severity=Severity.CAUTION,
    asks="Lit area, housing and bezels of a display are measured, with the picture on.",
    why="Sizes by class and from boxes are rounded, and a bezel that is off moves the picture in its opening.",
    source="Common practice",
)

FIELDS = {
    "lit_width": "lit width",
    "lit_height": "lit height",
    "bezel_left": "bezel left",
    "bezel_bottom": "bezel bottom",
    "housing_width": "housing width",
    "housing_height": "housing height",
    "housing_depth": "housing depth",
}
"""Fields that the opening and the hold are made from, with what they are called."""


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each placed display."""
    for key, part in subject.cabinet.parts.items():
        names = tuple(p.key for p in subject.cabinet.placed if p.part.key == key)
        missing = [name for name in FIELDS if not part.is_measured(name)]
        if isinstance(part.data, Display) and names and missing:
            yield RULE.finding(
                f"{part.label}: {listed([FIELDS[name] for name in missing])} "
                f"{'is' if len(missing) == 1 else 'are'} assumed.",
                remedies=(
                    Remedy(
                        "Measure before the opening is cut: the lit area with the screen on and white, by a steel "
                        "rule read from straight ahead; bezels and depth by caliper."
                    ),
                ),
                names=names,
                missing=", ".join(f"parts.{key}.measured.{name}" for name in missing),
            )


__all__ = ["FIELDS", "RULE", "find"]
