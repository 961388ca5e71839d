"""`casewright explore` as a maker meets it."""

from __future__ import annotations

import csv
import json
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.session.projects import small_in

from casewright.faces.cli import main

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def go(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run `casewright explore` in this process: (exit code, printed, complained)."""

    def run(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["casewright", "explore", *map(str, words)])
        monkeypatch.setattr(sys, "excepthook", sys.excepthook)
        code = main()
        out, err = capsys.readouterr()
        return code, out, err

    return run


def test_from_ranges_to_a_table_a_plot_and_a_project(
    go: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    file = small_in(tmp_path)
    before = file.read_bytes()
    vary = (
        "--vary",
        "shape.width=280 to 320 by 20",
        "--vary",
        "parts.button.type=button-28-long-lit, gone",
    )
    code, out, _ = go(file, *vary, "--workers", 1, "--show", "front.length")
    assert code == 0 and "6 variants" in out and "cannot be built" in out and "explored.html" in out
    assert file.read_bytes() == before
    folder = tmp_path / "out" / "small-explored"
    with (folder / "variants.csv").open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [row["shape.width"] for row in rows] == ["280", "280", "300", "300", "320", "320"]
    data = json.loads((folder / "variants.json").read_text(encoding="utf-8"))
    assert [one["number"] for one in data["variants"]] == [int(row["number"]) for row in rows]
    for one, row in zip(data["variants"], rows, strict=True):
        assert one["reason"] == row["reason"]
        assert row["not beaten"] == ("yes" if one["best"] else "no")
        if not one["reason"]:
            assert float(row["mass kg"]) == pytest.approx(one["figures"]["mass"], rel=1e-11)
    code, out, _ = go(file, *vary, "--show", "front.length", "--json", "--workers", 1)
    assert code == 0 and json.loads(out)["variants"] == data["variants"]
    page = (folder / "explored.html").read_text(encoding="utf-8")
    assert "http://" not in page.replace("http://www.w3.org/2000/svg", "")
    assert "https://" not in page

    code, out, _ = go(file, *vary, "--pick", 5, "--to", tmp_path / "wide.cabinet.yaml")
    assert code == 0 and "width: 320   # over both sides" in (
        tmp_path / "wide.cabinet.yaml"
    ).read_text(encoding="utf-8")
    code, out, _ = go(file, "--vary", "shape.width=280 to 320 by 20", "--pick", 1, "--json")
    assert code == 0 and json.loads(out)["choices"] == {"shape.width": "280"}
    assert b"width: 280   # over both sides" in file.read_bytes()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "what to vary"),
        (("--vary", "shape.width"), "found shape.width"),
        (("--vary", "shape.width=1 to 2 by 0"), "a step that leads"),
        (("--vary", "shape.width=300, 310", "--pick", 3), "1 to 2"),
        (("--vary", "shape.width=300, 310", "--to", "x.yaml"), "--pick"),
        (("--vary", "shape.width=300, 310", "--aim", "beauty"), "cost"),
        (("--vary", "shape.width=1 to 9 by 0.001", "--vary", "extras.a=1 to 99 by 1"), "--sample"),
        (
            ("--vary", "shape.width=300, 310", "--workers", 1, "--cluster", "tcp://127.0.0.1:9"),
            "one of the two",
        ),
    ],
)
def test_mistakes_are_told(go: Run, tmp_path: Path, words: tuple[object, ...], told: str) -> None:
    code, _, err = go(small_in(tmp_path), *words)
    assert code == 2 and told in err, err
    assert not (tmp_path / "out").exists()
