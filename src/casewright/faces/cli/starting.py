"""`casewright new`."""

from __future__ import annotations

import math
import re
import sys
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from pathlib import Path

import typer

from casewright.basics.errors import CasewrightError, InputError, InputErrors
from casewright.basics.units import (
    MM_PER_INCH,
    LengthStyle,
    Unit,
    format_length,
    parse_length,
    quoted,
)
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import say_error
from casewright.workflow import (
    CHOSEN,
    RECIPES,
    SUFFIX,
    build_up,
    open_text,
    starter_text,
    work_out,
    write_new,
)

UNITS: dict[str, Unit] = {"mm": "mm", "in": "in"}

_PARTS = 16
"""Of the way to the usual width, a width that fits is found to one of so many parts."""


def start_project(
    file: Path | None,
    *,
    recipe: str | None,
    name: str | None,
    unit: str | None,
    display: str | None,
    players: int | None,
    buttons: int | None,
    width: str | None,
    litres: float | None,
    force: bool,
) -> int:
    """Write a new project; asks for recipe, name and unit on a terminal."""
    try:
        if recipe is None:
            recipe = _ask("Which cabinet: " + ", ".join(RECIPES), "tabletop")
        if recipe not in RECIPES:
            raise _unknown("--recipe", recipe, RECIPES)
        _refuse_unused(
            recipe, display=display, players=players, buttons=buttons, width=width, litres=litres
        )
        if name is None:
            name = _ask("What is it called", f"My {recipe} cabinet")
        if not name.strip():
            raise InputError("--name", got=quoted(name), want="a name", example="Left speaker")
        if unit is None:
            unit = _ask("Unit, mm or in", "mm")
        if unit not in UNITS:
            raise InputError("--unit", got=quoted(unit), want="mm or in", example="mm")
        path = _path(file or Path(_file_name(name)))
        wide = None if width is None else parse_length(width, unit=UNITS[unit], field="--width")

        def text_of(wide: float | None) -> str:
            """The new file's text."""
            return starter_text(
                recipe,
                name=name,
                unit=UNITS[unit],
                display=display,
                players=1 if players is None else players,
                buttons=6 if buttons is None else buttons,
                width=wide,
                litres=litres,
            )

        try:
            text = text_of(wide)
            # Built up, so that what cannot be used is told before anything is written.
            built = build_up(open_text(text, file=str(path)))
        except InputError as error:
            raise _of_option(error) from None
        except InputErrors as errors:
            named = [_of_option(error) for error in errors.errors if error.field == "name"]
            if named:
                raise InputErrors(named) from None
            if wide is None:
                raise
            nearest = _nearest_width(text_of, wide, UNITS[unit])
            want, example = "a width with room for what the recipe starts with", ""
            if nearest is not None:
                example = format_length(nearest, LengthStyle(UNITS[unit]))
                want += f", {example} or more"
            raise InputError("--width", got=width, want=want, example=example) from None
        stops = len(work_out(built.opened, built=built, remedies=False).stops)
        nearest = _nearest_width(text_of, wide, UNITS[unit]) if stops and wide is not None else None
        write_new(path, text, overwrite=force)
    except CasewrightError as error:
        return say_error(error)
    sys.stdout.write(f"{path}: ready. Next: casewright check {path}\n")
    if stops:
        count = f"{stops} stop{'s' if stops > 1 else ''}"
        sys.stderr.write(f"{_caution(count, wide, nearest, UNITS[unit])}\n")
    return FINE


def _caution(count: str, wide: float | None, nearest: float | None, unit: Unit) -> str:
    """What is told at once of a start that cannot be cut as it is."""
    if wide is None or nearest is None:
        return f"It has {count}; the check says how to cure each."
    asked, fits = (format_length(width, LengthStyle(unit)) for width in (wide, nearest))
    return (
        f"At {asked} what it starts with does not fit: {count}. At {fits} there is none: write that for shape.width, "
        "leave the width out, or take smaller parts."
    )


def _refuse_unused(recipe: str, **given: object) -> None:
    """Refuse what the recipe's start has no use for, rather than drop it without a word."""
    unused = [name for name, value in given.items() if value is not None]
    errors = [
        InputError(f"--{name}", got=given[name], want=f"none with {recipe}: it starts without")
        for name in unused
        if name not in CHOSEN[recipe]
    ]
    if errors:
        raise InputErrors(errors)


def _unknown(option: str, got: str, known: Sequence[str]) -> InputError:
    near = get_close_matches(got, known, 1) or list(known[:1])
    return InputError(option, got=quoted(got), want="one of " + ", ".join(known), example=near[0])


def _of_option(error: InputError) -> InputError:
    """The same, told of the option that it came from."""
    return InputError(f"--{error.field}", got=error.got, want=error.want, example=error.example)


def _nearest_width(text_of: Callable[[float | None], str], wide: float, unit: Unit) -> float | None:
    """A width near to one with stops that has none; None where there is none. [mm]

    Looked for between it and the width that the recipe takes by itself, in steps of 10 mm or half an inch, or of a
    sixteenth of the way.
    """
    step = MM_PER_INCH / 2 if unit == "in" else 10.0

    def fits(width: float | None) -> bool:
        try:
            return not work_out(open_text(text_of(width)), remedies=False).stops
        except (InputError, InputErrors):
            return False

    if not fits(None):
        return None
    usual = build_up(open_text(text_of(None))).cabinet.shape.width
    if usual > wide:
        bad, good = math.floor(wide / step), math.ceil(usual / step)
    else:
        bad, good = math.ceil(wide / step), math.floor(usual / step)
    if not fits(good * step):
        return None
    fine = max(1, abs(good - bad) // _PARTS)
    while abs(good - bad) > fine:
        middle = (good + bad) // 2
        good, bad = (middle, bad) if fits(middle * step) else (good, middle)
    return good * step


def _path(file: Path) -> Path:
    """Where the project goes: a file of the projects' ending.

    Raises:
        InputError: The path ends in a folder's name.
    """
    if file.is_dir() or file.name in ("", ".."):
        want = "a file to write, not a folder"
        example = str(file / f"my-cabinet{SUFFIX}")
        raise InputError("FILE", got=str(file), want=want, example=example)
    if file.name.endswith(SUFFIX):
        return file
    bare = file.name.removesuffix(".yaml").removesuffix(".yml").removesuffix(".cabinet")
    return file.with_name((bare or "my") + SUFFIX)


def _ask(question: str, usual: str) -> str:
    if not sys.stdin.isatty():
        return usual
    return str(typer.prompt(question, default=usual))


def _file_name(name: str) -> str:
    slug = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60]
    return f"{slug or 'cabinet'}{SUFFIX}"


__all__ = ["UNITS", "start_project"]
