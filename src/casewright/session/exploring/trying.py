"""One variant tried: the whole cabinet worked out, and its row of figures, or why there is none."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from casewright.basics.errors import CasewrightError, InputError, InputErrors, RefusedError
from casewright.basics.findings import Severity, worded
from casewright.catalog.load import Catalog, load_catalog
from casewright.checks.sizes import overall, size_of
from casewright.planning.exploring import Edits as PlainEdits
from casewright.planning.exploring import Row, Variant
from casewright.workflow import (
    REMOVE,
    Edits,
    KeyPath,
    Opened,
    Removal,
    Value,
    Worked,
    load_text,
    open_document,
    proposed_document,
    with_groups,
    work_out,
)


@dataclass(frozen=True)
class Base:
    """The project that is varied, with all that its variants depend on."""

    text: str
    file: str
    catalogs: tuple[tuple[str, str], ...]
    """Name and text of every catalog file of the maker's own."""
    opened: Opened
    catalog: Catalog

    @classmethod
    def of(
        cls,
        text: str,
        *,
        file: str = "project",
        catalogs: Sequence[tuple[str, str]] = (),
        catalog: Catalog | None = None,
    ) -> Base:
        """Read it.

        Raises:
            InputErrors: It has something wrong with it.
        """
        catalog = catalog or load_catalog(list(catalogs))
        opened = open_document(load_text(text, file=file), catalog)
        return cls(text, file, tuple(catalogs), opened, catalog)


def edits_in(data: Mapping[str, Any], edits: PlainEdits) -> Edits:
    """A variant's edits of a file: groups made where they are missing, values taken out where it says none."""
    made: dict[KeyPath, Value | Removal] = {}
    for path, value in edits.items():
        if value is not None:
            made[path] = value
        elif _is_there(data, path):
            made[path] = REMOVE
    return with_groups(data, made)


def worked_variant(base: Base, edits: PlainEdits, *, remedies: bool = True) -> Worked:
    """A variant worked out.

    Raises:
        InputErrors: Something is wrong with it.
        InputError: Its values have no place in the file.
    """
    document = base.opened.document
    proposed = proposed_document(document, edits_in(document.data, edits))
    return work_out(open_document(proposed, base.catalog), remedies=remedies)


def try_variant(base: Base, variant: Variant, shown: Sequence[str] = ()) -> Row:
    """The row of a variant.

    What cannot be built is a row with its reason, and so is one on which the program itself stumbles: thousands of
    unusual cabinets must not be lost for one.
    """
    try:
        worked = worked_variant(base, variant.edits, remedies=False)
        figures = figures_of(worked, shown)
    except CasewrightError as error:
        return Row(variant.number, variant.choices, {}, _reason(base, error))
    except Exception as error:  # noqa: BLE001 -- said in the row, with what to report
        told = f"casewright stumbled: {type(error).__name__}: {error}"
        return Row(variant.number, variant.choices, {}, told)
    return Row(variant.number, variant.choices, figures)


def figures_of(worked: Worked, shown: Sequence[str] = ()) -> dict[str, float | None]:
    """The figures of a row; every one is what the papers and the page say of that cabinet."""
    behavior, cutting = worked.behavior, worked.cutting
    views = [view for sighting in behavior.sight.sightings for view in sighting.views]
    screens = behavior.content.screens
    width, depth, height = size_of(overall(worked.cabinet))
    count = {severity: 0 for severity in Severity}
    for finding in worked.findings:
        count[finding.severity] += 1
    sheets = [sheet.areas for plan in cutting.plans for sheet in plan.plan.sheets]
    # Asked where they stand: most of the other numbers are made only when somebody asks for them.
    heat = {number.key: number for number in behavior.heat.numbers}
    air = heat.get("heat.air") or heat.get("heat.closed")
    power = next((n for n in behavior.power.numbers if n.key == "power.usual"), None)
    figures: dict[str, float | None] = {
        "cost": worked.shopping.cost.value,
        "sheets": float(sum(plan.plan.bought for plan in cutting.plans)),
        "mass": worked.balance.total_kg,
        "sight": 100 * min(view.share for view in views) if views else None,
        "picture": max(
            (math.hypot(s.own.data.lit_width, s.own.data.lit_height) for s in screens), default=None
        ),
        "stops": float(count[Severity.STOP]),
        "cautions": float(count[Severity.CAUTION]),
        "notes": float(count[Severity.NOTE]),
        "width": width,
        "depth": depth,
        "height": height,
        "settings": float(sum(plan.plan.fence_settings for plan in cutting.plans)),
        "waste": math.fsum(a.waste + a.kerf + a.trim for a in sheets) / 1e6 if sheets else None,
        "air": air.value if air else None,
        "power": power.value if power else None,
    }
    for key in shown:
        if key not in figures:
            number = (
                worked.cabinet.numbers.get(key)
                or worked.numbers.get(key)
                or worked.every_number.get(key)
            )
            figures[key] = number.value if number else None
    return figures


def _reason(base: Base, error: CasewrightError) -> str:
    """Why a variant cannot be built, in one line."""
    write = base.opened.write_length
    if isinstance(error, InputErrors):
        return worded("; ".join(one.text() for one in error.errors), write)
    if isinstance(error, InputError):
        return worded(error.text(), write)
    if isinstance(error, RefusedError):
        return worded("; ".join(error.reasons), write)
    return str(error)


def _is_there(data: Mapping[str, Any], path: KeyPath) -> bool:
    here: Any = data
    for step in path:
        is_list = isinstance(here, list) and isinstance(step, int)
        if not (0 <= int(step) < len(here) if is_list else isinstance(here, dict) and step in here):
            return False
        here = here[step]
    return True


def try_all(base: Base, variants: Iterable[Variant], shown: Sequence[str] = ()) -> list[Row]:
    """The rows of several variants."""
    return [try_variant(base, variant, shown) for variant in variants]


__all__ = ["Base", "edits_in", "figures_of", "try_all", "try_variant", "worked_variant"]
