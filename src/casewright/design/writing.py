"""How a project's lengths are written on its papers."""

from __future__ import annotations

from casewright.basics.units import LengthStyle
from casewright.design.project import Project


def length_style(project: Project) -> LengthStyle:
    """The unit and fineness that the project's user reads."""
    writing = project.writing
    return LengthStyle(
        writing.unit or project.unit,
        decimals=writing.decimals,
        denominator=writing.denominator,
    )


__all__ = ["length_style"]
