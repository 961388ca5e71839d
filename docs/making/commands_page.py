"""Every command with its arguments and options."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

import typer

from casewright.faces.cli.app import app
from making.markdown import code, head, page, table

INTRODUCTION = (
    "`casewright COMMAND --help` says the same. Exit codes: 0 fine, 1 stops found, 2 bad input, 70 a fault of "
    "casewright's own, 130 stopped by Ctrl + C. With `--json` findings, errors and figures are plain data.",
)


def commands_page() -> str:
    """The page."""
    lines = head("Commands", *INTRODUCTION)
    found = list(all_commands())
    lines += ["| command | does |", "| --- | --- |"]
    for name, command in found:
        anchor = f"casewright-{name}".replace(" ", "-")
        lines.append(f"| [{name}](#{anchor}) | {_help(command)} |")
    for name, command in found:
        lines += ["", f"## casewright {name}", "", _help(command), ""]
        words = [_argument(one) for one in _parameters(command) if not _is_option(one)]
        lines += ["    " + " ".join(["casewright", name, *words, "[OPTIONS]"]), ""]
        lines += table(
            ("argument or option", "takes", "what it does", "if not given"),
            [_row(one) for one in _parameters(command)],
        )
    return page(lines)


def all_commands() -> Iterator[tuple[str, Any]]:
    """Every command by the words that call it; those of a group after it."""
    yield from _inside(typer.main.get_command(app), "")


def _inside(group: Any, before: str) -> Iterator[tuple[str, Any]]:
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from _inside(command, f"{before}{name} ")
        else:
            yield f"{before}{name}", command


def _help(command: Any) -> str:
    return str(command.help or "").replace("\n", " ").strip()


def _parameters(command: Any) -> list[Any]:
    return [one for one in command.params if one.name != "help"]


def _is_option(parameter: Any) -> bool:
    return bool(parameter.param_type_name == "option")


def _argument(parameter: Any) -> str:
    name = str(parameter.metavar or parameter.name).upper().strip("[]")
    return name if parameter.required else f"[{name}]"


def _row(parameter: Any) -> tuple[str, str, str, str]:
    help_ = str(getattr(parameter, "help", "") or "")
    if not _is_option(parameter):
        return code(_argument(parameter)), "", help_, "*needed*" if parameter.required else ""
    flags = [*parameter.opts, *parameter.secondary_opts]
    takes = "" if parameter.is_flag else _takes(parameter)
    usual = parameter.default
    if parameter.required:
        told = "*needed*"
    elif parameter.is_flag:
        told = {True: parameter.opts[0], False: "no"}.get(usual, "")
    else:
        told = "" if usual in (None, "", (), []) or callable(usual) else str(usual)
    return ", ".join(map(code, flags)), takes, help_, told


def _takes(parameter: Any) -> str:
    kind = parameter.type_descriptor.annotation
    kind = getattr(next(iter(get_args(kind)), kind), "__name__", "str")
    words = {"str": "text", "Path": "file or folder", "int": "whole number", "float": "number"}
    takes = code(parameter.metavar) if parameter.metavar else words[kind]
    if parameter.min is not None or parameter.max is not None:
        least, most = ("" if end is None else f"{end:g}" for end in (parameter.min, parameter.max))
        takes += f", {least} to {most}" if most else f", {least} or more"
    return takes + (", may be repeated" if parameter.multiple else "")


__all__ = ["all_commands", "commands_page"]
