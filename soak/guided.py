"""Hostile files bred by the way they take through the code: atheris counts branches, our own grammar makes the changes.

python3 -m soak.guided SORT SECONDS SEED FILE    reads inputs of one sort and writes to the file what came of it

It runs in the environment of the soak's tools, with the project's packages beside. Counting makes the code several
times slower; an input that takes long there is tried again here as it is.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from soak.common import ROOT, Budget, Tally, told

PYTHON = ROOT / ".venv-soak" / "bin" / "python"
LOOKED_AT = (
    *("casewright.basics", "casewright.catalog", "casewright.design", "casewright.projectfile"),
    *("casewright.faces.share", "casewright.stock", "casewright.workflow"),
)
"""Whose branches are counted: all that reads."""
SORTS = ("project files", "lengths", "as-built records", "catalog files")
SORTS += ("stock tables", "shared pages")
LONGEST_INPUT = 20_000
SHORTEST_S = 40.0
"""A run that is shorter is mostly beginning."""
TOLD_S = 1.0
"""How often what came of it is written."""
SLOWER = 6.0
"""How many times as long as usual an input may take while branches are counted."""


def is_there() -> bool:
    """Whether atheris is installed; said where it is not."""
    if (
        PYTHON.exists()
        and not subprocess.run(
            [PYTHON, "-c", "import atheris"], capture_output=True, check=False
        ).returncode
    ):
        return True
    print("  not guided by branches: no atheris is installed; python3 dev.py soak installs it")
    return False


def guided(tally: Tally, budget: Budget, tell: Callable[[Tally], None]) -> None:
    """All sorts, as many at a time as there are workers; where the time is short, some of them."""
    turns = max(1, min(-(-len(SORTS) // budget.workers), int(budget.seconds // SHORTEST_S)))
    for turn in range(turns):
        first = budget.seed + turn * budget.workers
        sorts = dict.fromkeys(SORTS[(first + n) % len(SORTS)] for n in range(budget.workers))
        with tempfile.TemporaryDirectory() as folder:
            running = [
                (sort, Path(folder) / f"{number}.json", _begun(sort, number, folder, budget, turns))
                for number, sort in enumerate(sorts)
            ]
            for sort, file, process in running:
                said, _ = process.communicate()
                _take_in(tally, sort, file, process.returncode, said)
                tell(tally)


def _begun(
    sort: str, number: int, folder: str, budget: Budget, turns: int
) -> subprocess.Popen[str]:
    seconds = str(max(5, round(budget.seconds / turns)))
    command = [str(PYTHON), "-m", "soak.guided", sort, seconds, str(budget.seed + number)]
    paths = (str(ROOT), str(ROOT / "src"), sysconfig.get_path("purelib"))
    return subprocess.Popen(
        [*command, str(Path(folder) / f"{number}.json")],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
    )


def _take_in(tally: Tally, sort: str, file: Path, code: int, said: str) -> None:
    """What a process has written; what was slow there is tried here."""
    from tests.pace import slowness

    from soak.files import LONGEST_S, sorts_of, tried

    if not file.exists() or code not in (0, None):
        tally.fail(f"guided, {sort}: it ended with {code}", said[-20_000:])
    if not file.exists():
        return
    found = json.loads(file.read_text(encoding="utf-8"))
    tally.tried[f"{sort}, guided"] = tally.tried.get(f"{sort}, guided", 0) + found["tried"]
    tally.failures += [tuple(one) for one in found["failures"]]
    tally.largest = max(tally.largest, found["largest"])
    with sorts_of(random.Random(0)) as sorts:
        for text in found["slow"]:
            tried(tally, f"{sort}, slow ones again", text, sorts[sort].read, LONGEST_S * slowness())


def main(sort: str, seconds: int, seed: int, file: Path) -> None:
    """Breed inputs of one sort; does not come back."""
    import atheris

    with atheris.instrument_imports(include=list(LOOKED_AT)):
        import soak.files as files
    from tests.pace import slowness

    from soak.limits import keep_within

    tally, slow, last = Tally(), [], [time.monotonic()]
    usual = files.LONGEST_S * slowness()
    opened = files.sorts_of(random.Random(seed))
    one = opened.__enter__()[sort]

    def write() -> None:
        found = {
            "tried": tally.total,
            "failures": tally.failures,
            "slow": slow,
            "largest": tally.largest,
        }
        file.write_text(json.dumps(found), encoding="utf-8")

    def read(data: bytes) -> None:
        text = data.decode("utf-8", "surrogateescape")
        start = time.thread_time()
        files.tried(tally, sort, text, one.read, SLOWER * usual)
        if time.thread_time() - start > usual:
            slow.append(text)
        if time.monotonic() - last[0] > TOLD_S:
            last[0] = time.monotonic()
            write()

    def change(data: bytes, most: int, number: int) -> bytes:
        rng = random.Random(number)
        if rng.random() < 0.2:
            return bytes(atheris.Mutate(data, most))
        text = data.decode("utf-8", "surrogateescape")
        for _ in range(rng.choice((1, 1, 1, 2, 4))):
            text = one.change(rng, text)
        return text.encode("utf-8", "surrogatepass")[:most]

    first = Path(file).with_suffix(".first")
    first.mkdir()
    for number, text in enumerate(one.first):
        (first / str(number)).write_bytes(text.encode("utf-8"))
    write()
    keep_within(files.MOST_MB)
    options = [f"-max_total_time={seconds}", f"-seed={seed % 2**31 or 1}", "-rss_limit_mb=0"]
    options += [f"-max_len={LONGEST_INPUT}", "-len_control=0", "-timeout=300", "-verbosity=0"]
    atheris.Setup([sys.argv[0], *options, str(first)], read, custom_mutator=change)
    try:
        atheris.Fuzz()
    except Exception as error:
        print(told(error))
        raise
    finally:
        write()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), Path(sys.argv[4]))
