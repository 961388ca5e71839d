"""Papers made in a process of their own: the same papers, and an end at once when asked for one."""

from __future__ import annotations

import multiprocessing
import time
from multiprocessing import resource_tracker
from pathlib import Path
from threading import Timer

import pytest
from tests.pace import slowness

from casewright.basics.errors import OutputError
from casewright.outputs.exports import step as step_export
from casewright.session.making import Making, StoppedError
from casewright.workflow import Worked, make_papers, open_project, paper_named, work_out

LAP = Path(__file__).parents[2] / "examples" / "lap-controller.cabinet.yaml"


@pytest.fixture(scope="module")
def worked() -> Worked:
    return work_out(open_project(LAP))


def test_the_same_papers_as_made_here(worked: Worked) -> None:
    stages: list[str] = []
    made = Making(worked, paper="Letter", step=False).run(stages.append)
    here: list[str] = []
    assert made == make_papers(
        worked, paper=paper_named("Letter"), step=False, progress=here.append
    )
    assert stages == here and len(stages) > 3


@pytest.mark.parametrize("stage", ["bench book", "drawings"])
def test_stop_acts_within_a_stage(worked: Worked, stage: str) -> None:
    """Half a second is what a hand on a button takes for "at once" and not for broken (common practice)."""
    making = Making(worked, paper="A4", step=False)
    pressed: list[float] = []

    def progress(begun: str) -> None:
        if begun == stage:
            pressed.append(time.perf_counter())
            making.stop()

    with pytest.raises(StoppedError):
        making.run(progress)
    assert time.perf_counter() - pressed[0] < 0.5 * slowness()
    assert multiprocessing.active_children() == []


@pytest.mark.skipif(not step_export.has_cad(), reason="the kernel for STEP is not installed")
def test_stop_acts_while_the_kernel_writes_step(worked: Worked) -> None:
    """The kernel's own code runs then, which asks nobody; or it is still being loaded."""
    making = Making(worked, paper="A4", step=True)
    pressed: list[float] = []
    stages: list[str] = []

    def press() -> None:
        pressed.append(time.perf_counter())
        making.stop()

    def progress(begun: str) -> None:
        stages.append(begun)
        if begun == "STEP":
            Timer(0.3, press).start()

    with pytest.raises(StoppedError):
        making.run(progress)
    assert time.perf_counter() - pressed[0] < 0.5 * slowness()
    assert stages[-1] == "STEP", "nothing was begun after it"
    assert multiprocessing.active_children() == []


def test_stopped_before_it_began(worked: Worked) -> None:
    making = Making(worked, paper="A4")
    making.stop()
    with pytest.raises(StoppedError):
        making.run()


def test_a_process_that_cannot_start_is_told(
    worked: Worked, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """Python finds no library where PYTHONHOME leads nowhere (its own manual), and ends before it reads anything."""
    resource_tracker.ensure_running()
    making = Making(worked, paper="A4")
    monkeypatch.setenv("PYTHONHOME", str(Path(__file__).parent / "nowhere"))
    with pytest.raises(OutputError, match="ended too soon"):
        making.run()
    assert "Python" in capfd.readouterr().err


@pytest.mark.skipif(step_export.has_cad(), reason="the kernel for STEP is installed")
def test_what_cannot_be_made_is_said(worked: Worked) -> None:
    with pytest.raises(OutputError, match="casewright\\[cad\\]"):
        Making(worked, paper="A4", step=True).run()
