"""What the README tells a newcomer to type does what it says."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```python\n(.*?)```", README, re.DOTALL)


def run(code: str) -> str:
    """What a program prints, run as a reader of the README would."""
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_python_example_runs(tmp_path):
    code = EXAMPLES[0]
    assert '"out/lap"' in code
    printed = run(code.replace("out/lap", tmp_path.as_posix()))
    assert (tmp_path / "bench-book.pdf").is_file()
    lines = printed.splitlines()
    assert lines
    assert all(line.split()[0] in ("stop", "caution", "note") for line in lines)
    assert "⟦" not in printed  # lengths stand in the maker's unit


def test_the_example_of_variants_and_batches_runs():
    masses, sheets = run(EXAMPLES[1]).splitlines()
    light, heavy = (float(word) for word in masses.partition("]")[0].strip("[").split(","))
    assert light < heavy and masses.endswith("frozenset({1})")  # the narrower one is lighter
    assert sheets.endswith("sheets to buy") and int(sheets.split()[0]) > 1


def test_the_stocks_example_runs(tmp_path):
    (_, _, code) = EXAMPLES
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == ["C1", "1"]
    assert (tmp_path / "stock.sqlite").is_file()


def test_every_command_it_names_exists():
    from casewright.faces.cli.app import app

    named = set(re.findall(r"^    casewright (\w+)", README, re.MULTILINE))
    known = {c.name or (c.callback.__name__ if c.callback else "") for c in app.registered_commands}
    known |= {group.name for group in app.registered_groups}
    assert named
    assert named <= known
    (stock,) = (group.typer_instance for group in app.registered_groups if group.name == "stock")
    of_stock = set(re.findall(r"casewright stock (\w+)", README))
    assert of_stock
    assert of_stock <= {c.name or c.callback.__name__ for c in stock.registered_commands}
