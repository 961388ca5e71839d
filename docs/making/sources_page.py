"""Every source of the numbers, how far it was checked, and where it is used."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from casewright.basics.sources import Source, load_sources
from casewright.catalog.load import load_catalog
from making.markdown import head, page, sentence
from making.rules_page import all_rules

SOURCE = Path(__file__).resolve().parents[2] / "src" / "casewright"
INTRODUCTION = (
    "Standards, handbooks, data sheets and tables, by the key that code, catalog and papers name them by. *Checked* "
    "says whether the values were seen in the work itself or in a reprint. What is common practice, from memory or "
    "plain geometry says so where it is used.",
)


def sources_page() -> str:
    """The page."""
    lines = head("Sources", *INTRODUCTION)
    for source in load_sources().values():
        lines += [f"## {source.key}", "", sentence(source.line), ""]
        lines += [f"- Checked: {source.checked}."]
        lines += [f"- Used by: {used}." for used in [_used(source)] if used]
        lines.append("")
    return page(lines)


def _used(source: Source) -> str:
    rules = sorted({rule.id for rule in all_rules() if source.key in _KEY.findall(rule.source)})
    catalog = load_catalog()
    types = [entry for entry in catalog.types.values() if source.key in entry.sources.values()]
    goods: Iterable[object] = (
        *catalog.species.values(),
        *catalog.battens.values(),
        *catalog.screws.values(),
    )
    stock = [one for one in goods if source.key in getattr(one, "sources", {}).values()]
    modules = [name for name, words in _modules() if source.key in words]
    parts = [f"rule {', '.join(f'`{rule}`' for rule in rules)}"] if rules else []
    if len(types) + len(stock) > 0:
        kinds = sorted({entry.kind for entry in types} | ({"stock"} if stock else set()))
        parts.append(f"{len(types) + len(stock)} of the catalog ({', '.join(kinds)})")
    parts += [f"`{', '.join(modules)}`"] if modules else []
    return "; ".join(parts)


@cache
def _modules() -> tuple[tuple[str, frozenset[str]], ...]:
    """Every module with the words in it that may be keys of sources."""
    files = sorted(path for path in SOURCE.rglob("*.py") if "rules" not in path.parts)
    return tuple(
        (
            path.relative_to(SOURCE).with_suffix("").as_posix(),
            frozenset(_KEY.findall(path.read_text(encoding="utf-8"))),
        )
        for path in files
    )


_KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")

__all__ = ["sources_page"]
