"""How soon the command answers, and how much memory it takes: each in a process of its own, beside an empty Python.

Time is the process's own (user and system), so that other programs on the machine do not count; memory is the most
that it ever held (`ru_maxrss` of `getrusage`, POSIX; kilobytes on Linux, bytes on macOS), which is never told as less
than this program itself held when it started the other.
"""

from __future__ import annotations

import os
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "examples" / "library-duel.cabinet.yaml"
LAP = ROOT / "examples" / "lap-controller.cabinet.yaml"
REPEATS = 5
WORD_MS = 300.0
"""From the command's name to its help, at most. [ms]"""
OPEN_S = 60.0
"""Longest to wait for the page. [s]"""


@dataclass(frozen=True)
class Cost:
    """What a process took."""

    seconds: float
    """Processor time."""
    megabytes: float
    """Most memory at once."""


def cost_of(command: list[str], folder: Path) -> Cost:
    """Run a command to its end and return what it took; the median of several runs."""
    costs = []
    for _ in range(REPEATS):
        with subprocess.Popen(
            command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        ) as process:
            costs.append(_waited(process))
    return Cost(
        statistics.median(cost.seconds for cost in costs),
        statistics.median(cost.megabytes for cost in costs),
    )


def cost_of_page(folder: Path) -> tuple[Cost, float]:
    """Serve the demo's page, ask for it once and stop; what it took, and the seconds by the clock to the first page."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port = found.getsockname()[1]
    command = [*_casewright("open", str(DEMO)), "--no-browser", "--port", str(port)]
    begun = time.perf_counter()
    with subprocess.Popen(
        command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as process:
        while True:
            try:
                urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=5).close()
                break
            except (urllib.error.URLError, TimeoutError):
                if time.perf_counter() - begun > OPEN_S or process.poll() is not None:
                    process.kill()
                    raise
                time.sleep(0.02)
        there = time.perf_counter() - begun
        process.terminate()
        return _waited(process), there


def main() -> None:
    """Print the figures."""
    print("Start-up and memory, processor time of the whole process")
    if not hasattr(os, "wait4"):
        print("  not measured: this system does not tell what a process took")
        return
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        empty = cost_of([sys.executable, "-c", "pass"], folder)
        _say("an empty Python", empty)
        target = f"target: at most {WORD_MS:g} ms"
        _say("casewright --help", cost_of(_casewright("--help"), folder), empty, target)
        _say("casewright catalog", cost_of(_casewright("catalog"), folder), empty)
        _say(
            "casewright check, lap controller",
            cost_of(_casewright("check", str(LAP)), folder),
            empty,
        )
        _say("casewright check, main demo", cost_of(_casewright("check", str(DEMO)), folder), empty)
        page, there = cost_of_page(folder)
        _say("casewright open, main demo, first page", page, empty, f"there after {there:.1f} s")


def _casewright(*words: str) -> list[str]:
    return [sys.executable, "-m", "casewright", *words]


def _waited(process: subprocess.Popen[bytes]) -> Cost:
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    size = used.ru_maxrss / (1e6 if sys.platform == "darwin" else 1024)
    return Cost(used.ru_utime + used.ru_stime, size)


def _say(name: str, cost: Cost, empty: Cost | None = None, remark: str = "") -> None:
    ratio = f"{cost.seconds / empty.seconds:7.1f} x" if empty else " " * 9
    print(f"  {name:<46}{1000 * cost.seconds:9.0f} ms{ratio}{cost.megabytes:9.0f} MB   {remark}")


if __name__ == "__main__":
    main()
