"""`casewright check`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from casewright.basics.errors import CasewrightError
from casewright.faces.cli.speaking import Working, print_json, say_error, say_findings
from casewright.workflow import Worked, open_project, work_out


def check_project(file: Path, *, as_json: bool, catalogs: Sequence[Path]) -> int:
    """Say what to look at; 1 if there are stops."""
    try:
        with Working(quiet=as_json) as progress:
            worked = work_out(open_project(file, catalogs=catalogs), progress=progress)
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json(findings_data(worked))
    else:
        say_findings(worked.findings, worked.opened.write_length)
    return 1 if worked.stops else 0


def findings_data(worked: Worked) -> dict[str, object]:
    """Findings as plain data."""
    return {
        "project": worked.opened.project.name,
        "stops": len(worked.stops),
        "findings": [f.as_json(worked.opened.write_length) for f in worked.findings],
    }


__all__ = ["check_project", "findings_data"]
