"""`casewright new`."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import typer

from casewright.basics.errors import CasewrightError, InputError, InputErrors
from casewright.basics.units import Unit, parse_length
from casewright.faces.cli.speaking import say_error
from casewright.workflow import RECIPES, SUFFIX, open_text, starter_text, write_new

UNITS: dict[str, Unit] = {"mm": "mm", "in": "in"}


def start_project(
    file: Path | None,
    *,
    recipe: str | None,
    name: str | None,
    unit: str | None,
    display: str | None,
    players: int,
    buttons: int,
    width: str | None,
    force: bool,
) -> int:
    """Write a new project; asks for recipe and name on a terminal."""
    try:
        recipe = recipe or _ask("Which cabinet: " + ", ".join(RECIPES), "tabletop")
        if recipe not in RECIPES:
            raise InputError(
                "--recipe", got=recipe, want="one of " + ", ".join(RECIPES), example="tabletop"
            )
        name = name or _ask("What is it called", f"My {recipe} cabinet")
        unit = unit or _ask("Unit, mm or in", "mm")
        if unit not in UNITS:
            raise InputError("--unit", got=unit, want="mm or in", example="mm")
        path = file or Path(_file_name(name))
        if not path.name.endswith(SUFFIX):
            path = path.with_name(path.name.removesuffix(".yaml") + SUFFIX)
        text = starter_text(
            recipe,
            name=name,
            unit=UNITS[unit],
            display=display,
            players=players,
            buttons=buttons,
            width=parse_length(width, unit=UNITS[unit], field="--width") if width else None,
        )
        try:  # an option that cannot be used is told before anything is written
            open_text(text, file=str(path))
        except InputErrors as errors:
            if not width:
                raise
            first = errors.errors[0]
            raise InputError(
                "--width",
                got=width,
                want=f"room for what the recipe starts with ({first.field}: {first.want})",
            ) from None
        write_new(path, text, overwrite=force)
    except CasewrightError as error:
        return say_error(error)
    sys.stdout.write(f"{path}: ready. Next: casewright check {path}\n")
    return 0


def _ask(question: str, usual: str) -> str:
    if not sys.stdin.isatty():
        return usual
    return str(typer.prompt(question, default=usual))


def _file_name(name: str) -> str:
    slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60]
    return f"{slug or 'cabinet'}{SUFFIX}"


__all__ = ["UNITS", "start_project"]
