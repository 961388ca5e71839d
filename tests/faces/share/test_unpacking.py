"""`casewright unpack`: names that no disk takes, and projects of a maker's own catalog."""

from __future__ import annotations

import base64
import re
import sys
from pathlib import Path

import pytest

from casewright.faces.cli import main
from casewright.faces.share.page import PROJECT_ID
from casewright.workflow import SUFFIX

ROOT = Path(__file__).parents[3]
LAP = (ROOT / "examples" / "lap-controller.cabinet.yaml").read_text(encoding="utf-8")
OWN = re.sub(r"type: button-30-screw\b", "type: palm-button-45", LAP, count=1)
CATALOG = """[types.palm-button-45]
kind = "button"
like = "button-30-screw"
sources = { "*" = "common practice" }
"""


def unpacked(monkeypatch: pytest.MonkeyPatch, page: Path, *words: str) -> int:
    monkeypatch.setattr(sys, "argv", ["casewright", "unpack", str(page), *words])
    return main()


def shared(folder: Path, text: str, name: str) -> Path:
    code = base64.b64encode(text.encode()).decode()
    page = folder / "page.html"
    page.write_text(f'<script id="{PROJECT_ID}" data-name="{name}">{code}</script>', "utf-8")
    return page


def test_a_name_too_long_for_a_disk_is_shortened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """File names have at most 255 bytes on the usual disks (NAME_MAX)."""
    page = shared(tmp_path, LAP, "木" * 290)
    assert unpacked(monkeypatch, page) == 0
    (made,) = [path for path in tmp_path.iterdir() if path != page]
    assert made.read_text(encoding="utf-8") == LAP and made.name.endswith(SUFFIX)


def test_a_project_of_ones_own_catalog(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert OWN != LAP
    page = shared(tmp_path, OWN, "own.cabinet.yaml")
    catalog = tmp_path / "my.toml"
    catalog.write_text(CATALOG, encoding="utf-8")
    assert unpacked(monkeypatch, page) == 2
    assert "palm-button-45" in capsys.readouterr().err
    assert not (tmp_path / "own.cabinet.yaml").exists()
    assert unpacked(monkeypatch, page, "--catalog", str(catalog)) == 0
    assert (tmp_path / "own.cabinet.yaml").read_text(encoding="utf-8") == OWN
