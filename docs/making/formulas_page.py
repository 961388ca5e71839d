"""Calculations with their sources, from the docstrings, and the formulas that numbers explain themselves by."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from casewright.basics.sources import load_sources
from making.markdown import code, head, page, sentence, table

SOURCE = Path(__file__).resolve().parents[2] / "src" / "casewright"
STAGES = ("basics", "catalog", "geometry", "behavior", "checks", "planning")
"""Folders that hold arithmetic, in the order of the walk."""
INTRODUCTION = (
    "What is worked out, and by what. First the calculations, by the module that holds them, with the source that each "
    "docstring names; then the formulas by which numbers explain themselves (`casewright why FILE NUMBER` puts the "
    "values in). Lengths are millimeters unless a line says otherwise. Names such as `iso-273` lead to "
    "[sources](sources.md). What is plain geometry needs no source: its tests compute it another way.",
)


@dataclass(frozen=True)
class Calculation:
    """A function with a source."""

    module: str
    name: str
    gives: str
    source: str


@dataclass(frozen=True)
class Formula:
    """A number that is no sum."""

    key: str
    label: str
    formula: str
    source: str


def formulas_page() -> str:
    """The page."""
    lines = head("Formulas", *INTRODUCTION)
    found = calculations()
    for stage in STAGES:
        own = [one for one in found if one.module.split("/")[0] == stage]
        if not own:
            continue
        lines += [f"## In `{stage}`", ""]
        rows = [(code(f"{one.module}: {one.name}"), one.gives, linked(one.source)) for one in own]
        lines += table(("calculation", "gives", "source"), rows)
    lines += ["## Formulas that numbers explain themselves by", ""]
    told = [(code(f.key), f.formula, linked(f.source)) for f in formulas()]
    lines += table(("number", "formula", "source"), told)
    return page(lines)


@cache
def calculations() -> tuple[Calculation, ...]:
    """Every public function whose docstring names a source that is more than plain geometry."""
    found = []
    for module, tree in _modules():
        for node in ast.walk(tree):
            if not isinstance(node, ast.FunctionDef) or node.name.startswith("_"):
                continue
            told = ast.get_docstring(node) or ""
            source = _section(told, "Source")
            if source and source.lower().rstrip(".") not in ("plain geometry", "project setting"):
                gives = re.sub(r"^Return (the )?", "", told.split("\n\n")[0].replace("\n", " "))
                gives = re.sub(r" Source: .*", "", gives)
                found.append(Calculation(module, node.name, sentence(gives), source))
    return tuple(found)


@cache
def formulas() -> tuple[Formula, ...]:
    """Every formula that a number is derived by, where the code has it as text."""
    found = {}
    for _, tree in _modules():
        for node in ast.walk(tree):
            if not (isinstance(node, ast.Call) and getattr(node.func, "id", "") == "derived"):
                continue
            named = {word.arg: word.value for word in node.keywords}
            if len(node.args) < 4:
                continue
            key, label, formula = (_text(node.args[n]) for n in (0, 1, 3))
            source = _text(named["source"], tree) if "source" in named else "Plain geometry"
            if key and formula:
                found[key, formula] = Formula(key, label, formula, source or "")
    return tuple(found[one] for one in sorted(found))


def linked(text: str) -> str:
    """A text with the keys of sources as links to their entries."""
    return sentence(re.sub(r"`?[a-z0-9]+(?:-[a-z0-9]+)+`?", _link, text))


def _link(match: re.Match[str]) -> str:
    bare = match[0].strip("`")
    return f"[{bare}](sources.md#{bare})" if bare in load_sources() else match[0]


def _modules() -> Iterator[tuple[str, ast.Module]]:
    for stage in STAGES:
        for path in sorted((SOURCE / stage).rglob("*.py")):
            name = path.relative_to(SOURCE).with_suffix("").as_posix()
            text = path.read_text(encoding="utf-8")
            if "Source:" in text or "derived(" in text:
                yield name, _tree(text)


@cache
def _tree(text: str) -> ast.Module:
    return ast.parse(text)


def _section(told: str, title: str) -> str:
    """What stands below a title of a docstring, in one line; or after it in the running text."""
    found = re.search(rf"^{title}:\n((?: +.*\n?)+)", told, re.MULTILINE)
    if found:
        return " ".join(found[1].split())
    inline = re.search(rf"\b{title}: (.+?)(?:\n\n|$)", told, re.DOTALL)
    return " ".join(inline[1].split()) if inline else ""


def _text(node: ast.expr, tree: ast.Module | None = None) -> str:
    """A literal text, or one that the module names; what is put into it as {name}. "" for anything else."""
    if isinstance(node, ast.Name) and tree:
        return next(
            (
                _text(one.value)
                for one in tree.body
                if isinstance(one, ast.Assign) and ast.unparse(one.targets[0]) == node.id
            ),
            "as its own terms say",
        )
    if isinstance(node, ast.Attribute) and tree:
        return "as its own terms say"
    if isinstance(node, ast.Constant):
        return str(node.value)
    if isinstance(node, ast.JoinedStr):
        return "".join(
            str(part.value)
            if isinstance(part, ast.Constant)
            else "{" + _short(ast.unparse(getattr(part, "value", part))) + "}"
            for part in node.values
        )
    return ""


def _short(expression: str) -> str:
    return expression.split(".")[-1] if expression.replace(".", "").isidentifier() else "…"


__all__ = ["Calculation", "Formula", "calculations", "formulas", "formulas_page", "linked"]
