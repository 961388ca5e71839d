"""Settle every dimension of the bought parts, and remember where each came from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal, cast

from casewright.basics.errors import InputError, InputErrors
from casewright.basics.remembering import Kept, remembered
from casewright.basics.units import Unit, quoted
from casewright.catalog.covering import cover_misfits
from casewright.catalog.kinds import KINDS, Display, PartKind
from casewright.catalog.load import Catalog, CatalogType
from casewright.catalog.reading import (
    SHORT_FORMS,
    make_part,
    missing_fields,
    read_fields,
    unknown_name,
)
from casewright.catalog.short_forms import display_misfits, from_short_forms
from casewright.design.parts import KnownPart, Part
from casewright.design.project import Project
from casewright.design.wishes import bare

Origin = Literal["measured", "assumed", "catalog", "default"]


def know_parts(project: Project, catalog: Catalog) -> dict[str, KnownPart]:
    """Return each part of a project with all its dimensions.

    The kind's usual values come first; the catalog type's, the assumed and the measured ones go over them, in this
    order. Lengths without a unit are in the project's. Besides the kind's own fields, a display may be given by
    `diagonal` and `aspect`, `bezel_right` and `bezel_top`, and a strip by `lights_per_cut`.

    Raises:
        InputErrors: All that is wrong, by the field as the project writes it ("parts.lever.measured.plate_width").
    """
    known: dict[str, KnownPart] = {}
    problems: list[InputError] = []
    for key, part in project.parts.items():
        made, wrong = know_part(key, part, catalog, unit=project.unit)
        problems += wrong
        if made is not None:
            known[key] = made
    if problems:
        raise InputErrors(problems)
    return known


def know_part(
    key: str, part: Part, catalog: Catalog, *, unit: Unit = "mm"
) -> tuple[KnownPart | None, list[InputError]]:
    """One part with all its dimensions, or None and what is wrong."""
    made, wrong = _settled(key, bare(key, part), catalog, unit)
    return made, list(wrong)


_KNOWN: Kept[KnownPart] = Kept(4096)


@remembered(1024)
def _settled(
    key: str, part: Part, catalog: Catalog, unit: Unit
) -> tuple[KnownPart | None, Sequence[InputError]]:
    path = f"parts.{key}"
    kind, base, problem = _kind_and_type(path, part, catalog)
    if problem is not None:
        return None, [problem]
    measured, problems = read_fields(kind, part.measured, unit=unit, prefix=f"{path}.measured")
    assumed, more = read_fields(kind, part.assumed, unit=unit, prefix=f"{path}.assumed")
    problems += more
    for name in part.measured.keys() & part.assumed.keys():
        want = f"{name} under measured or under assumed, not under both"
        problems.append(InputError(f"{path}.assumed.{name}", got="the same field twice", want=want))

    def group(name: str) -> str:
        """Where a field was written, or where it would best be: measured."""
        return f"{path}.assumed" if name in part.assumed else f"{path}.measured"

    below = {name: getattr(base.data, name) for name in base.given} if base else {}
    own = {**assumed, **measured}
    derived, clashes = from_short_forms(kind, own, below)
    # A value that cannot be read is told once, not also as missing.
    said = {problem.field for problem in problems}
    clashes_here = [clash.inside(group(clash.field)) for clash in clashes]
    problems += [clash for clash in clashes_here if clash.field not in said]
    if problems:
        return None, _by_field(problems, part, path)

    fields = [name for name in KINDS[kind].model_fields if name not in ("kind", "label")]
    origin: dict[str, Origin] = dict.fromkeys(fields, "default")
    origin |= {name: "catalog" for name in fields if name in below}
    origin |= {name: "assumed" for name in fields if name in assumed}
    origin |= {name: "measured" for name in fields if name in measured}
    # What follows from several values is measured only if all of those are.
    short = {name for name in own if name in SHORT_FORMS.get(kind, {})}
    rests_on_assumed = any(name in assumed for name in short)
    origin |= {name: "assumed" if rests_on_assumed else "measured" for name in derived}

    values: dict[str, Any] = below | {k: v for k, v in own.items() if k not in short}
    values |= {name: value for name, (value, _) in derived.items()}
    if part.price is not None:
        values["price"], origin["price"] = part.price, "measured"
    values["label"] = (
        part.label or values.get("label", "") or key.replace("-", " ").replace("_", " ")
    )
    missing = missing_fields(kind, values, prefix=f"{path}.measured")
    if missing:
        return None, missing
    data = make_part(kind, values)
    if isinstance(data, Display):
        misfits = [misfit.inside(group(misfit.field)) for misfit in display_misfits(data)]
        if misfits:
            return None, misfits
    misfits = [misfit.inside(group(misfit.field)) for misfit in cover_misfits(data, tuple(own))]
    if misfits:
        return None, misfits
    made = KnownPart(key=key, label=values["label"], data=cast(PartKind, data), origin=origin)
    return _KNOWN.same(made, (key, frozenset(data.model_fields_set))), []


def _kind_and_type(
    path: str, part: Part, catalog: Catalog
) -> tuple[str, CatalogType | None, InputError | None]:
    """The kind's key, the catalog type if one is named, and what is wrong with either."""
    if part.kind is not None and part.kind not in KINDS:
        return "", None, unknown_name(f"{path}.kind", part.kind, KINDS, "a kind of part")
    if part.type is None:
        if part.kind is not None:
            return part.kind, None, None
        want = "type, a key of the catalog, or kind, one of " + ", ".join(KINDS)
        return "", None, InputError(path, got="neither type nor kind", want=want)
    base = catalog.types.get(part.type)
    if base is None:
        same = [key for key, made in catalog.types.items() if part.kind in (None, made.kind)]
        return "", None, unknown_name(f"{path}.type", part.type, same, "a type of the catalog")
    if part.kind is not None and part.kind != base.kind:
        want = f"{base.kind}, the kind of {part.type}, or no kind at all"
        return "", None, InputError(f"{path}.kind", got=quoted(part.kind), want=want)
    return base.kind, base, None


def _by_field(problems: list[InputError], part: Part, path: str) -> list[InputError]:
    """In the order that the project writes the fields in."""
    order: Mapping[str, int] = {
        f"{path}.{group}.{name}": at
        for at, (group, name) in enumerate(
            [("measured", name) for name in part.measured]
            + [("assumed", name) for name in part.assumed]
        )
    }
    return sorted(problems, key=lambda problem: order.get(problem.field, len(order)))


__all__ = ["Origin", "know_part", "know_parts"]
