"""The command as a maker meets it: exit codes, plain words, no traceback."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from casewright.faces.cli import main
from casewright.projectfile.editing import changed_text
from casewright.projectfile.yamltext import load_file
from casewright.workflow import reading

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "examples" / "library-duel.cabinet.yaml"


@pytest.fixture
def run(monkeypatch, capsys):
    """Run the command in this process: (exit code, what it printed, what it complained)."""

    def go(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["casewright", *map(str, words)])
        monkeypatch.setattr(sys, "excepthook", sys.excepthook)
        code = main()
        out, err = capsys.readouterr()
        return code, out, err

    return go


@pytest.fixture
def box(tmp_path, run) -> Path:
    """A project that builds at once."""
    path = tmp_path / "case.cabinet.yaml"
    assert run("new", path, "--recipe", "box", "--name", "Case", "--unit", "mm")[0] == 0
    return path


def test_help_names_every_command(run):
    code, out, _ = run("--help")
    assert code == 0
    for command in ("new", "check", "build", "why", "steps", "catalog", "schema"):
        assert command in out


def test_a_new_project_checks_without_a_stop(run, box):
    code, out, _ = run("check", box)
    assert code == 0
    assert "0 stops" in out


@pytest.mark.parametrize("recipe", ["tabletop", "standing", "lap", "box", "outline"])
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_recipe_starts_in_both_units(run, tmp_path, recipe, unit):
    path = tmp_path / "x.cabinet.yaml"
    assert run("new", path, "--recipe", recipe, "--name", "X", "--unit", unit)[0] == 0
    code, out, err = run("check", path, "--json")
    assert code == 0, out + err
    assert json.loads(out)["stops"] == 0


def test_steps_are_told_by_day_and_as_data(run, box):
    """What one day lists and what the data say of that day are the same steps."""
    code, out, err = run("steps", box, "--json")
    assert code == 0, err
    data = json.loads(out)
    first = [step for step in data["steps"] if step["day"] == 1]
    assert [step["number"] for step in first] == list(range(1, len(first) + 1))
    code, out, _ = run("steps", box, "--day", "1")
    assert code == 0 and "⟦" not in out
    told = [int(number) for number in re.findall(r"^ *(\d+)  ", out, re.MULTILINE)]
    assert told == [step["number"] for step in first]
    code, _, err = run("steps", box, "--day", "999")
    assert code == 2 and "--day" in err and "Traceback" not in err
    code, out, _ = run("why", box, "work.minutes", "--json")
    told_minutes = sum(s["minutes"] + s["setup_minutes"] for s in data["steps"])
    assert code == 0 and json.loads(out)["value"] == pytest.approx(told_minutes, abs=0.1)


def test_new_does_not_overwrite(run, box):
    before = box.read_bytes()
    code, _, err = run("new", box, "--recipe", "lap", "--name", "L", "--unit", "mm")
    assert code == 2
    assert "exists already" in err
    assert box.read_bytes() == before


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--recipe", "boks"), "--recipe"),
        (("--recipe", ""), "--recipe"),
        (("--name", " "), "--name"),
        (("--name", "two\nlines"), "--name"),
        (("--unit", ""), "--unit"),
        (("--unit", "cm"), "--unit"),
        (("--display", "nope"), "--display"),
        (("--width", ""), "--width"),
        (("--width", "wide"), "--width"),
        (("--width", "-3"), "--width"),
        (("--width", "0"), "--width"),
        (("--width", "100"), "--width"),
        (("--recipe", "lap", "--width", "1"), "--width"),
        (("--recipe", "lap", "--display", "display-27"), "--display"),
        (("--recipe", "outline", "--buttons", "6"), "--buttons"),
        (("--recipe", "box", "--players", "2"), "--players"),
    ],
)
def test_an_option_of_new_that_cannot_be_used_is_told_by_its_name(run, tmp_path, options, told):
    code, out, err = run("new", tmp_path / "x.cabinet.yaml", *options)
    assert code == 2
    assert err.startswith(f"{told}: found ")
    assert err.count("\n") == 1
    assert "Traceback" not in out + err
    assert list(tmp_path.iterdir()) == []


def test_the_least_width_that_is_told_is_one_that_can_be_built(run, tmp_path):
    path = tmp_path / "x.cabinet.yaml"
    _, _, err = run("new", path, "--recipe", "lap", "--unit", "in", "--width", "1")
    least = err.strip().rpartition("Example: ")[2]
    assert run("new", path, "--recipe", "lap", "--unit", "in", "--width", least)[0] == 0
    code, out, _ = run("check", path)
    assert code == 0 and "0 stops" in out  # judged, so it was built, and nothing stands in its way


@pytest.mark.parametrize(
    ("recipe", "unit", "width"),
    [
        ("tabletop", "mm", "400"),
        ("lap", "in", "10"),
        ("box", "mm", "120"),
        ("standing", "mm", "1300"),
    ],
)
def test_a_start_that_does_not_fit_its_width_says_so_with_one_that_does(
    run, tmp_path, recipe, unit, width
):
    """Too narrow for what stands in it, or too wide for the largest sheet."""
    path = tmp_path / "x.cabinet.yaml"
    options = ("--recipe", recipe, "--unit", unit, "--name", "x")
    code, out, err = run("new", path, *options, "--width", width)
    assert code == 0 and "ready" in out
    stops, fits = re.search(
        r"does not fit: (\d+) stops?\. At (.+) there is none", err.replace("\n", " ")
    ).groups()
    assert f"{stops} stop" in run("check", path)[1]
    code, _, err = run("new", path, *options, "--width", fits, "--force")
    assert (code, err) == (0, "")
    assert run("check", path)[0] == 0


@pytest.mark.parametrize("name", [".", "..", "there"])
def test_new_is_not_written_over_a_folder(run, tmp_path, monkeypatch, name):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there").mkdir()
    code, _, err = run("new", name, "--recipe", "box")
    assert code == 2
    assert "not a folder" in err
    assert [path.name for path in tmp_path.iterdir()] == ["there"]


@pytest.mark.parametrize("name", ["desk", "desk.yaml", "desk.yml", "desk.cabinet.yaml"])
def test_the_ending_of_projects_is_added_where_it_lacks(run, tmp_path, name):
    assert run("new", tmp_path / name, "--recipe", "box")[0] == 0
    assert [path.name for path in tmp_path.iterdir()] == ["desk.cabinet.yaml"]


def test_a_remedy_in_json_can_be_written_into_the_file_as_it_is(run, tmp_path):
    """In inches too, where a bare number of millimeters would be read as inches."""
    path = tmp_path / "mill.cabinet.yaml"
    text = (ROOT / "examples/mill-console.cabinet.yaml").read_text(encoding="utf-8")
    assert ", opening: {margin: 3/32}" in text  # what has cured it in the example
    path.write_text(text.replace(", opening: {margin: 3/32}", ""), encoding="utf-8")

    def corners() -> list[dict[str, Any]]:
        findings = json.loads(run("check", path, "--json")[1])["findings"]
        return [f for f in findings if f["rule"] == "display.corners"]

    (finding,) = corners()
    remedy = next(r for r in finding["remedies"] if r["field"].endswith("margin"))
    edits = {tuple(edit["path"]): edit["value"] for edit in remedy["edits"]}
    path.write_text(changed_text(load_file(path), edits), encoding="utf-8")
    assert corners() == []


def test_check_says_what_a_remedy_would_bring(run, tmp_path):
    """A loudspeaker put higher asks for a higher case, whose base is shorter than its feet stand apart."""
    path = tmp_path / "case.cabinet.yaml"
    known = load_file(ROOT / "examples/speaker-case.cabinet.yaml")
    high = changed_text(known, {("parts", "large", "placed", 0, "v"): 360})
    path.write_text(high, encoding="utf-8")
    code, out, _ = run("check", path)
    assert code == 1
    told = "That brings another stop: Screw holes for Rubber foot 30 mm “foot3” and “foot4” run up"
    assert told in " ".join(out.split())
    findings = json.loads(run("check", path, "--json")[1])["findings"]
    (remedy,) = (r for f in findings for r in f["remedies"] if r["field"] == "shape.height")
    assert remedy["brings"].startswith(told)
    assert remedy["edits"] == [{"path": ["shape", "height"], "value": 470.6}]


def test_check_in_json_has_the_findings(run):
    code, out, _ = run("check", DEMO, "--json")
    data = json.loads(out)
    assert code == (1 if data["stops"] else 0)
    assert {f["severity"] for f in data["findings"]} <= {"stop", "caution", "note"}
    assert "⟦" not in out


def test_a_stop_gives_exit_code_one(run, tmp_path):
    box = tmp_path / "thick.cabinet.yaml"
    assert run("new", box, "--recipe", "outline", "--name", "Thick", "--unit", "mm")[0] == 0
    text = box.read_text(encoding="utf-8")
    # boards far too thick for the outline: nothing is left between a panel's neighbors
    thick = re.sub(r"nominal: \S+", "nominal: 120", text)
    assert thick != text
    box.write_text(thick, encoding="utf-8")
    code, out, _ = run("check", box)
    assert code == 1
    assert "Stop" in out


def test_all_errors_come_at_once_with_their_lines(run, box):
    text = box.read_text(encoding="utf-8")
    box.write_text(
        text.replace("unit: mm", "unit: mm\nwidht: 3") + "\nlimits: {mass_kg: 3 m}\n",
        encoding="utf-8",
    )
    code, _, err = run("check", box)
    assert code == 2
    assert "widht" in err
    assert "limits" in err
    assert f"{box}:" in err


@pytest.mark.parametrize("command", ["check", "build", "why"])
def test_a_missing_file_is_told_plainly(run, tmp_path, command):
    code, _, err = run(command, tmp_path / "none.cabinet.yaml")
    assert code == 2
    assert "none.cabinet.yaml" in err
    assert "Traceback" not in err


@pytest.mark.parametrize("name", ["", "  "])
@pytest.mark.parametrize(
    "words",
    [
        ("build", "FILE", "--out"),
        ("batch", "FILE", "--out"),
        ("share", "FILE", "--out"),
        ("explore", "FILE", "--to"),
        ("difference", "FILE", "--picture"),
        ("stock", "export", "--out"),
        ("stock", "labels", "--out"),
    ],
)
def test_an_empty_name_is_not_the_current_folder(run, box, tmp_path, monkeypatch, words, name):
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.rglob("*"))
    code, _, err = run(*(str(box) if word == "FILE" else word for word in words), name)
    assert code == 2
    assert words[-1] in err
    assert "empty name" in err
    assert sorted(tmp_path.rglob("*")) == before


def test_why_tells_the_terms(run):
    code, out, _ = run("why", DEMO, "deck.length")
    assert code == 0
    assert "670.6" in out  # 700 − 2 × 14.7, the invented scenario's own number
    assert "2 × side thickness 14.7" in out


def test_why_of_nothing_known_offers_the_nearest(run):
    code, _, err = run("why", DEMO, "dek.length")
    assert code == 2
    assert "deck.length" in err


def test_why_lists_all(run):
    code, out, _ = run("why", DEMO, "--json")
    assert code == 0
    keys = [row["key"] for row in json.loads(out)]
    assert "lever1.hole_least" in keys
    assert "cost" in keys


def test_catalog_lists_and_explains(run):
    code, out, _ = run("catalog")
    assert code == 0
    assert "lever-ball" in out
    code, out, _ = run("catalog", "fan-60")
    assert code == 0
    assert "50" in out  # hole pitch of a 60 mm fan
    code, _, err = run("catalog", "zeppelin")
    assert code == 2
    assert "Example" in err


def test_own_catalog_adds_a_type(run, tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text(
        '[types.my-fan]\nkind = "fan"\nlike = "fan-60"\nlabel = "My fan"\nsources = { "*" = "common practice" }\n'
    )
    code, out, _ = run("catalog", "my-fan", "--catalog", mine)
    assert code == 0
    assert "My fan" in out
    assert run("catalog", "my-fan", "--catalog", tmp_path / "none.toml")[0] == 2


def test_schema_accepts_a_new_project(run, box):
    from ruamel.yaml import YAML

    code, out, _ = run("schema")
    assert code == 0
    data = json.loads(json.dumps(YAML(typ="safe").load(box.read_text(encoding="utf-8"))))
    jsonschema.validate(data, json.loads(out))
    data["widht"] = 3
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, json.loads(out))


@pytest.mark.parametrize(
    "words", [("nonsense",), ("check", "--nonsense"), ("check",), ("new", "--players", "99")]
)
def test_wrong_usage_is_exit_code_two(run, words):
    code, _, err = run(*words)
    assert code == 2
    assert "Traceback" not in err


def test_no_traceback_reaches_the_user(tmp_path):
    """A fault of our own ends in one line and a file with the details."""
    broken = (
        "import sys; import casewright.workflow as w\n"
        "def boom(*a, **k): raise ZeroDivisionError('x')\n"
        "w.open_project = boom\n"
        "from casewright.faces.cli import main\n"
        "sys.argv = ['casewright', 'check', 'x.cabinet.yaml']\n"
        "raise SystemExit(main())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", broken],
        capture_output=True,
        text=True,
        env={**os.environ, "TMPDIR": str(tmp_path), "PYTHONPATH": str(ROOT / "src")},
        check=False,
    )
    assert done.returncode not in (0, 1, 2, 130)  # says none of what these say
    assert "Traceback" not in done.stderr
    assert "fault of its own" in done.stderr
    reports = list(tmp_path.glob("casewright-fault-*.txt"))
    assert len(reports) == 1
    assert "ZeroDivisionError" in reports[0].read_text()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux that is always full")
@pytest.mark.parametrize(
    "words", [("schema",), ("catalog", "speaker"), ("why", str(DEMO), "deck.length")]
)
def test_a_full_disk_behind_the_output_is_told(words):
    """Source: man 4 full: writes to /dev/full fail with ENOSPC."""
    with open("/dev/full", "w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "casewright", *words],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
            check=False,
        )
    assert done.returncode == 2
    assert "full" in done.stderr
    assert "Traceback" not in done.stderr
    assert "fault" not in done.stderr


def test_a_reader_that_leaves_is_no_stop(monkeypatch, run):
    """`casewright catalog | head -1`: 1 would say that the cabinet has stops."""
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "w") as gone:
        monkeypatch.setattr(sys, "stdout", gone)
        assert run("catalog")[0] == 0


def test_closed_streams_are_no_fault(monkeypatch, run):
    """`casewright check FILE >&-` leaves Python without a standard output; the code still tells."""
    for name in ("stdout", "stderr"):
        monkeypatch.setattr(sys, name, None)
    assert run("check", "nowhere.cabinet.yaml")[0] == 2
    assert run("why", DEMO, "deck.length")[0] == 0
    for nowhere in (sys.stdout, sys.stderr):
        nowhere.close()


def test_ctrl_c_within_a_command_says_a_word(monkeypatch, run):
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(reading, "load_file", stopped)
    code, _, err = run("check", DEMO)
    assert code == 130
    assert err.strip() == "Stopped."


def test_start_up_imports_nothing_heavy():
    """`casewright --help` must come up at once: no numpy, pydantic, typst, ezdxf, shapely, manifold3d."""
    code = (
        "import sys; sys.argv = ['casewright', '--help']\n"
        "from casewright.faces.cli import main\n"
        "main()\n"
        "heavy = {'numpy', 'pydantic', 'typst', 'ezdxf', 'shapely', 'manifold3d', 'yaml'} & set(sys.modules)\n"
        "raise SystemExit(1 if heavy else 0)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        check=False,
    )
    assert done.returncode == 0, done.stderr


def test_catalog_knows_sheets_battens_and_screws(run):
    """18 mm MDF is sold 2440 × 1220 (common practice); a No. 8 wood screw is 0.164 in thick (ASME B18.6.1)."""
    code, out, _ = run("catalog", "mdf")
    assert code == 0
    assert "2440.0 mm × 1220.0 mm" in out
    code, out, _ = run("catalog", "screw", "--json")
    keys = [row["key"] for row in json.loads(out)]
    eight = next(key for key in keys if "no-8" in key)
    code, out, _ = run("catalog", eight, "--json")
    fields = {row["field"]: row["value"] for row in json.loads(out)["fields"]}
    assert fields["diameter"] == "4.2 mm"


@pytest.mark.parametrize("address", ["192.168.1.5:8080", "https://192.168.1.5", "http://x/desk"])
def test_an_address_that_no_phone_could_open_is_refused_before_anything_is_written(
    run, box, tmp_path, address
):
    folder = tmp_path / "papers"
    code, _, err = run("build", box, "--out", folder, "--bench-address", address)
    assert code == 2
    assert "--bench-address" in err and "http://192.168.1.5:8080" in err
    assert not folder.exists()


def test_the_network_is_not_reached_by_a_loopback_address(run, box):
    code, _, err = run("open", box, "--lan", "--host", "127.0.0.1", "--no-browser")
    assert code == 2
    assert "--host" in err and "--lan" in err
