"""`casewright check`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from casewright.basics.errors import CasewrightError
from casewright.basics.findings import Finding
from casewright.faces.cli.exit_codes import FINE, STOPS
from casewright.faces.cli.speaking import Working, print_json, say_error, say_findings
from casewright.workflow import Removal, Worked, open_project, remedy_edits, work_out


def check_project(file: Path, *, as_json: bool, catalogs: Sequence[Path]) -> int:
    """Say what to look at; 1 if there are stops."""
    try:
        with Working(quiet=as_json) as progress:
            worked = work_out(open_project(file, catalogs=catalogs), progress=progress)
            progress("remedies")
            worked.try_remedies()
    except CasewrightError as error:
        return say_error(error, as_json=as_json)
    if as_json:
        print_json(findings_data(worked))
    else:
        say_findings(worked.advised, worked.opened.write_length)
    return STOPS if worked.stops else FINE


def findings_data(worked: Worked) -> dict[str, object]:
    """Findings as plain data; each remedy with what to write where in the file, if it is a matter of that."""
    return {
        "project": worked.opened.project.name,
        "stops": len(worked.stops),
        "findings": [_finding_data(worked, finding) for finding in worked.advised],
    }


def _finding_data(worked: Worked, finding: Finding) -> dict[str, object]:
    opened = worked.opened
    data = finding.as_json(opened.write_length)
    edits = [remedy_edits(remedy, opened.document, opened) for remedy in finding.remedies]
    rows = data["remedies"]
    assert isinstance(rows, list)
    for row, made in zip(rows, edits, strict=True):
        row["edits"] = [
            {"path": list(path), "value": None if isinstance(value, Removal) else value}
            for path, value in made.items()
        ]
    return data


__all__ = ["check_project", "findings_data"]
