"""The server against its own description: schemathesis makes requests of it, well and badly formed.

What is described stands in `casewright schema --server`. The tool has an environment of its own, which dev.py makes
from `requirements/soak.txt`; without it this half is skipped, and says so.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from tests.faces.web.chromium import free_port

from soak.common import ROOT, Tally

TOOL = ROOT / ".venv-soak" / ("Scripts/schemathesis.exe" if os.name == "nt" else "bin/schemathesis")
MOST_VALUES = 12
"""Known values that are offered for one part of an address."""


def described(tally: Tally, *, seconds: float, seed: int) -> None:
    """All kinds of requests for as long as given, at a server that has something at each address."""
    if not TOOL.exists():
        print("  skipped: no schemathesis is installed; python3 dev.py soak installs it")
        return
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        port = free_port()
        serving = _serve(port, folder)
        try:
            assert serving.stdout is not None
            line = serving.stdout.readline()
            if not line:
                tally.fail("described: the server ended", str(serving.wait(30)))
                return
            url = f"http://127.0.0.1:{port}"
            document = _document(url)
            with_values(document, json.loads(line))
            path = folder / "openapi.json"
            path.write_text(json.dumps(document), encoding="utf-8")
            told = judged(path, url, seconds=seconds, seed=seed)
        finally:
            serving.kill()
            serving.wait()
    count = re.search(r"([\d,]+) generated", told.stdout)
    for _ in range(int(count[1].replace(",", "")) if count else 0):
        tally.count("described requests")
    if told.returncode != 0 or count is None:
        tally.fail("the server is not as described", told.stdout + told.stderr)


def with_values(document: dict[str, Any], known: Mapping[str, Sequence[str]]) -> None:
    """Put values that lead somewhere beside what an address is made of."""
    for item in document["paths"].values():
        for parameter in item["get"].get("parameters", ()):
            values = known.get(parameter["name"], ())
            if values:
                parameter["schema"]["examples"] = list(values[:MOST_VALUES])


def judged(path: Path, url: str, *, seconds: float, seed: int) -> subprocess.CompletedProcess[str]:
    """What schemathesis says; every one of its checks."""
    command = [str(TOOL), "--no-color", "run", str(path), "--url", url, "--checks", "all"]
    command += ["--max-time", str(max(1, round(seconds))), "--seed", str(seed)]
    command += ["--max-redirects", "0", "--generation-database", "none"]
    return subprocess.run(
        command,
        cwd=path.parent,
        capture_output=True,
        text=True,
        check=False,
        timeout=seconds + 600,
        env={**os.environ, "PYTHONUTF8": "1"},
    )


def _serve(port: int, folder: Path) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "soak.shown", str(port), str(folder)]
    environment = {**os.environ, "CASEWRIGHT_DATA": str(folder / "data")}
    environment["PYTHONPATH"] = os.pathsep.join((str(ROOT), str(ROOT / "src")))
    return subprocess.Popen(
        command,
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )


def _document(url: str) -> dict[str, Any]:
    """The description, from the server itself."""
    for _ in range(300):
        try:
            with urllib.request.urlopen(f"{url}/openapi.json", timeout=10) as answer:
                read: dict[str, Any] = json.load(answer)
                return read
        except OSError:
            time.sleep(0.2)
    raise RuntimeError("the server did not come up")
