"""How the command speaks: errors, findings and progress, on a terminal or as JSON."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Sequence
from types import TracebackType
from typing import Self

from rich.console import Console
from rich.table import Table
from rich.text import Text

from casewright.basics.errors import (
    CasewrightError,
    InputError,
    InputErrors,
    OutputError,
    RefusedError,
)
from casewright.basics.findings import Finding, Severity, worded
from casewright.faces.cli.exit_codes import BAD_INPUT

STYLE = {Severity.STOP: "bold red", Severity.CAUTION: "yellow", Severity.NOTE: "dim"}
WORD = {Severity.STOP: "Stop", Severity.CAUTION: "Caution", Severity.NOTE: "Note"}


def console(*, error: bool = False) -> Console:
    """A console that wraps on a terminal and leaves lines whole in a pipe."""
    made = Console(stderr=error, highlight=False, soft_wrap=False)
    return (
        made
        if made.is_terminal
        else Console(stderr=error, highlight=False, width=100, no_color=True)
    )


def say_error(error: CasewrightError, *, as_json: bool = False) -> int:
    """Report what is wrong with the input or the output; the exit code."""
    if as_json:
        print_json({"errors": _error_rows(error)})
        return BAD_INPUT
    from casewright.workflow import describe_errors

    sys.stderr.write(describe_errors(error) + "\n")
    return BAD_INPUT


def _error_rows(error: CasewrightError) -> list[dict[str, object]]:
    if isinstance(error, InputErrors):
        return [one.as_json() for one in error.errors]
    if isinstance(error, InputError):
        return [error.as_json()]
    if isinstance(error, OutputError):
        return [{"path": error.path, "why": error.why, "remedy": error.remedy}]
    if isinstance(error, RefusedError):
        return [{"why": reason} for reason in error.reasons]
    return [{"why": str(error)}]


def print_json(data: object) -> None:
    """Write plain data."""
    json.dump(data, sys.stdout, indent=2, ensure_ascii=False)
    sys.stdout.write("\n")


def say_findings(
    findings: Sequence[Finding], write_length: Callable[[float], str], *, notes: bool = True
) -> None:
    """List findings, gravest first, each with its remedies; without `notes`, these are only counted."""
    out = console()
    every = findings
    findings = [f for f in every if notes or f.severity is not Severity.NOTE]
    table = Table.grid(padding=(0, 1))
    table.add_column(no_wrap=True)
    table.add_column(overflow="fold")
    for finding in findings:
        word = Text(WORD[finding.severity], style=STYLE[finding.severity])
        table.add_row(word, Text(worded(finding.message, write_length)))
        for remedy in finding.remedies:
            table.add_row("", _hanging("→", worded(remedy.words, write_length)))
        if finding.missing:
            table.add_row("", _hanging("?", f"measure {finding.missing}"))
    if findings:
        out.print(table)
    counts = [sum(f.severity is severity for f in every) for severity in Severity]
    summary = ", ".join(
        f"{count} {WORD[severity].lower()}{'' if count == 1 else 's'}"
        for severity, count in zip(Severity, counts, strict=True)
    )
    if len(findings) < len(every):
        summary += " (the notes stand in the bench book)"
    out.print(Text(summary if every else "Nothing to look at: no stops, cautions or notes."))


def _hanging(mark: str, text: str) -> Table:
    line = Table.grid(padding=(0, 1))
    line.add_column(no_wrap=True)
    line.add_column(overflow="fold")
    line.add_row(mark, Text(text))
    return line


class Working:
    """A line that says which stage is running, on a terminal only."""

    def __init__(self, *, quiet: bool) -> None:
        out = console(error=True)
        self._status = out.status("") if out.is_terminal and not quiet else None

    def __enter__(self) -> Self:
        if self._status:
            self._status.start()
        return self

    def __call__(self, stage: str) -> None:
        """Name the stage that begins."""
        if self._status:
            self._status.update(f"{stage} …")

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._status:
            self._status.stop()


__all__ = ["STYLE", "WORD", "Working", "console", "print_json", "say_error", "say_findings"]
