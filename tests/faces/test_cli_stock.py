"""`casewright stock` as a maker meets it."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.session.projects import small_in

from casewright.faces.cli import main
from casewright.session.stocking import STOCK_ADDRESS

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def stock(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> Run:
    """Run `casewright stock` in this process on a stock of its own: (exit code, printed, complained)."""
    monkeypatch.setenv(STOCK_ADDRESS, str(tmp_path / "stock.sqlite"))

    def go(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["casewright", "stock", *map(str, words)])
        monkeypatch.setattr(sys, "excepthook", sys.excepthook)
        code = main()
        out, err = capsys.readouterr()
        return code, out, err

    return go


BOARD = ("material=plywood", "measured=11.8", "length=1000", "width=500", "place=rack 1")


def test_an_offcut_from_the_rack_to_a_layout_and_back(stock: Run, tmp_path: Path) -> None:
    file = small_in(tmp_path)
    text = file.read_bytes()
    code, out, _ = stock("add", "offcut", *BOARD, "--who", "Ann")
    assert code == 0 and out.startswith("C1 is in the stock: plywood, 1000.0 × 500.0 × 11.8 mm")
    code, out, _ = stock("offer", file)
    assert code == 0 and "0 sheets to buy instead of 1" in out and "Nothing written" in out
    assert file.read_bytes() == text
    code, out, _ = stock("offer", file, "--save", "--json")
    assert code == 0 and json.loads(out)["boards"][0]["sheets"][0]["mark"] == "C1"
    assert b"mark: C1" in file.read_bytes()
    code, out, _ = stock("accept", file, "--place", "rack 2", "--who", "Bob", "--json")
    done = json.loads(out)
    assert code == 0 and done["taken"] == {"C1": 1} and done["who"] == "Bob"
    code, _, err = stock("accept", file)
    assert code == 2 and "accepted already by Bob" in err
    code, out, _ = stock("list")
    assert "C1 " not in out and all(mark in out for mark in done["booked"]) and "rack 2" in out
    code, out, _ = stock("history")
    assert code == 0 and out.startswith("Layout 1, “Small box”, Bob, ")
    assert stock("undo", 1)[0] == 0
    code, _, err = stock("undo", 1)
    assert code == 2 and "undone already" in err
    code, out, _ = stock("show", "C1")
    assert "added +1 by Ann" in out and "undone +1" in out and "taken -1 by Bob" in out


def test_entries_are_changed_taken_and_removed(stock: Run) -> None:
    stock("add", "hardware", "label=hinges", "count=4", "price=1.5")
    assert (
        json.loads(stock("change", "H1", "place=drawer 2", "note=", "--json")[1])["place"]
        == "drawer 2"
    )
    assert "H1 has 1 left" in stock("take", "H1", "--count", 3, "--for", "a shelf")[1]
    code, _, err = stock("take", "H1", "--count", 3)
    assert code == 2 and "for “a shelf”" in err and "1 left, 3 wanted" in err
    assert "H1 has 2 now" in stock("take", "H1", "--back")[1]
    assert stock("remove", "H1")[0] == 0
    assert stock("list", "--json")[1].count('"mark"') == 0


def test_a_table_goes_out_and_comes_in(stock: Run, tmp_path: Path) -> None:
    stock("add", "offcut", *BOARD)
    table = tmp_path / "stock.csv"
    assert stock("export", "--out", table)[0] == 0
    code, _, err = stock("export", "--out", table)
    assert code == 2 and "exists already" in err
    assert stock("import", table)[0] == 0
    table.write_text("kind,label,count\nhardware,hinges,few\n", encoding="utf-8")
    code, _, err = stock("import", table)
    assert code == 2 and "line 2, column count" in err
    assert stock("import", tmp_path / "no.csv")[0] == 2


def test_labels_are_written(stock: Run, tmp_path: Path) -> None:
    code, _, err = stock("labels", "--out", tmp_path / "l.pdf")
    assert code == 2 and "labels" in err
    stock("add", "offcut", *BOARD)
    assert stock("labels", "--out", tmp_path / "l.pdf", "--paper", "letter")[0] == 0
    assert (tmp_path / "l.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    "words",
    [
        ("add", "plank"),
        ("add", "offcut", "length"),
        ("add", "offcut", *BOARD, "lenght=3"),
        ("add", "offcut", *BOARD, "--unit", "yard"),
        ("change", "C9", "place=x"),
        ("list", "--kind", "plank"),
        ("list", "--stock", "nothing://x"),
        ("labels", "--paper", "A9"),
        ("labels", "C9"),
        ("undo", 9),
        ("offer", "no.cabinet.yaml"),
    ],
)
def test_what_cannot_be_used_is_told_plainly(stock: Run, words: tuple[object, ...]) -> None:
    code, _, err = stock(*words)
    assert code == 2
    assert err.strip() and "Traceback" not in err


def test_checking_a_project_does_not_wait_for_the_data_base() -> None:
    """What `check` and `--help` import holds no SQLAlchemy."""
    import subprocess

    code = (
        "import sys, casewright.faces.cli.checking, casewright.faces.cli.app, casewright.workflow;"
        "casewright.workflow.work_out;"
        "sys.exit(any(name.partition('.')[0] == 'sqlalchemy' for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
