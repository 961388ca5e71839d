"""What is sent to whoever works variants out, and what comes back: plain data, so that any process may read it."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from casewright.planning.exploring import Row, Variant
from casewright.session.exploring.job import Job
from casewright.session.exploring.trying import Base, try_variant


def base_order(job: Job) -> dict[str, Any]:
    """All that a worker has to know of a job."""
    return {
        "text": job.base.text,
        "file": job.base.file,
        "catalogs": [list(one) for one in job.base.catalogs],
        "shown": list(job.wishes.shown),
    }


def variant_order(variant: Variant) -> list[Any]:
    """One variant."""
    return [variant.number, [[list(path), value] for path, value in variant.edits.items()]]


def tried(base: Mapping[str, Any], order: Sequence[Any]) -> dict[str, Any]:
    """A variant worked out by whoever got the orders: its figures, and why there are none."""
    number, edits = order
    variant = Variant(number, {}, {tuple(path): value for path, value in edits})
    row = try_variant(_base(json.dumps(base, sort_keys=True)), variant, base["shown"])
    return {"number": number, "figures": dict(row.figures), "reason": row.reason}


@lru_cache(maxsize=4)
def _base(told: str) -> Base:
    """The project, read once in each process."""
    data = json.loads(told)
    return Base.of(
        data["text"], file=data["file"], catalogs=[(name, text) for name, text in data["catalogs"]]
    )


def row_of(variant: Variant, told: Mapping[str, Any]) -> Row:
    """The row that came back for a variant."""
    return Row(variant.number, variant.choices, told["figures"], told["reason"])


__all__ = ["base_order", "row_of", "tried", "variant_order"]
