"""What of a project stays the same object while only places of bought parts change.

Sections that are read from equal data are the same object (see `casewright.design.base`). That is more than being
equal: what was said and what was left to its usual value counts too.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.basics.remembering import Kept, remembered
from casewright.design.base import Section
from casewright.design.parts import Part
from casewright.design.project import Project

_BARE: Kept[Part] = Kept(4096)
_USUAL: Kept[object] = Kept(256)


@dataclass(frozen=True, eq=False)
class Wishes:
    """All of a project but its bought parts; the same object as long as none of it changes."""

    sections: tuple[object, ...]


def wishes_of(project: Project) -> Wishes:
    """All of a project but its bought parts."""
    names = (name for name in type(project).model_fields if name != "parts")
    said = sorted(project.model_fields_set)
    return _wishes(tuple(_usual(name, getattr(project, name)) for name in names), *said)


def _usual(name: str, value: object) -> object:
    """A section of which nothing is said is made anew at each reading; all of these are the same."""
    unsaid = isinstance(value, Section) and not value.model_fields_set
    return _USUAL.same(value, name) if unsaid else value


@remembered(64)
def _wishes(sections: tuple[object, ...], *said: str) -> Wishes:
    return Wishes(sections)


@remembered(4096)
def bare(key: str, part: Part) -> Part:
    """A part without its places; the same object as long as nothing but places change."""
    alone = part.model_copy(update={"placed": ()})
    return _BARE.same(alone, (key, frozenset(part.model_fields_set)))


__all__ = ["Wishes", "bare", "wishes_of"]
