"""`casewright open`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from casewright.basics.errors import CasewrightError
from casewright.faces.cli.exit_codes import FINE
from casewright.faces.cli.speaking import say_error


def open_workbench(
    file: Path | None,
    *,
    host: str | None,
    lan: bool,
    port: int,
    browser: bool,
    catalogs: Sequence[Path],
) -> int:
    """Show the workbench until it is stopped."""
    from casewright.faces.web.app import serve

    try:
        serve(file, host=host, lan=lan, port=port, open_browser=browser, catalogs=catalogs)
    except CasewrightError as error:
        return say_error(error)
    return FINE


__all__ = ["open_workbench"]
