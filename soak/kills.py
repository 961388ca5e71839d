"""kill -9 at any moment: what was acknowledged is there, nothing is half there, and the next start tidies up.

A process of its own does one thing again and again and says after each time that it is done; it is killed after a
random time, and what it left is looked at with nothing but what it said. POSIX systems only.
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import signal
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

from tests.session.projects import SMALL, V
from tests.stock.pieces import board, taking

from casewright.outputs.writing import write_folder
from casewright.planning.exploring import Row, Variant
from casewright.projectfile.saving import save_text
from casewright.session import Session
from casewright.session.exploring.keeping import KeptRows
from casewright.session.ticking import STEPS_DONE, keep, ticked
from casewright.stock.shop import ShopStock
from soak.common import Budget, Tally, batches, told

BATCH = 24
LONGEST_S = 0.25
"""Longest time after the first acknowledgement until the kill."""
Say = Callable[[int], None]


def run(budget: Budget, tell: Callable[[Tally], None]) -> Tally:
    """Kill until the time is over."""
    if not hasattr(os, "fork"):
        print("  skipped: this system has no signals that kill at once")
        return Tally()
    return batches(some_kills, budget, tell)


def some_kills(number: int) -> Tally:
    """A batch of all sorts in turn."""
    rng, tally = random.Random(number), Tally()
    for turn in range(BATCH):
        name, (act, left) = list(SORTS.items())[turn % len(SORTS)]
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder)
            try:
                acknowledged = killed(act, path, rng.uniform(0, LONGEST_S))
                for wrong in left(path, acknowledged):
                    tally.fail(
                        f"{name}: {wrong}",
                        f"{acknowledged} acknowledged; seed {number}, turn {turn}",
                    )
            except Exception as error:  # noqa: BLE001 - what was left cannot be read
                tally.fail(f"{name}: {type(error).__name__}", told(error))
            tally.count(name)
    return tally


def killed(act: Callable[[Path, Say], None], folder: Path, after: float) -> int:
    """Let a process act in a folder, kill it, and return the last number that it said was done (-1: none)."""
    reads, writes = os.pipe()
    process = os.fork()
    if process == 0:
        try:
            os.close(reads)
            act(folder, lambda done: (os.write(writes, done.to_bytes(4, "big")), None)[1])
        finally:
            os._exit(1)
    os.close(writes)
    with os.fdopen(reads, "rb") as stream:
        first = stream.read(4)
        time.sleep(after)
        os.kill(process, signal.SIGKILL)
        rest = stream.read()
    _, status = os.waitpid(process, 0)
    assert os.WIFSIGNALED(status), "it ended by itself"
    heard = first + rest
    return int.from_bytes(heard[-4:], "big") if len(heard) >= 4 else -1


def grow_old(folder: Path) -> None:
    """A minute passes for all that lies in a folder: what is aside and young may be under way."""
    for path in folder.iterdir():
        os.utime(path, (time.time() - 60, time.time() - 60))


# ---- a file that is saved --------------------------------------------------------------------------------------------


def version(number: int) -> str:
    """A text that tells its own number, and by its last line that it is whole."""
    body = f"# {number}\n" + "x" * (1000 + number * 37 % 90_000) + "\n"
    return body + hashlib.sha256(body.encode()).hexdigest() + "\n"


def number_of(text: str) -> int:
    """The number of a version. ValueError: It is not whole."""
    body, last = text[:-65], text[-65:]
    if hashlib.sha256(body.encode()).hexdigest() + "\n" != last:
        raise ValueError("half written")
    return int(body[2 : body.index("\n")])


def save(folder: Path, say: Say) -> None:
    """Versions of one file, one after the other."""
    for number in range(100_000):
        save_text(folder / "a.cabinet.yaml", version(number))
        say(number)


def saved(folder: Path, acknowledged: int) -> Iterator[str]:
    """The last one acknowledged is there, or the one after it."""
    number = number_of((folder / "a.cabinet.yaml").read_text(encoding="utf-8"))
    if number not in (acknowledged, acknowledged + 1):
        yield f"version {number} of {acknowledged}"
    grow_old(folder)
    save_text(folder / "a.cabinet.yaml", version(0))
    if asides := [p.name for p in folder.iterdir() if p.name != "a.cabinet.yaml"]:
        yield f"left aside for good: {asides}"


# ---- edits that are not saved, ticks that are ------------------------------------------------------------------------


def edit(folder: Path, say: Say) -> None:
    """A button moved a millimeter each time; now and then saved."""
    path = folder / "small.cabinet.yaml"
    path.write_text(SMALL, encoding="utf-8")
    session = Session.open(path)
    for number in range(1, 100_000):
        session.edit({V: 40 + number / 4}, f"move {number}")
        if number % 7 == 0:
            session.save()
        say(number)


def edited(folder: Path, acknowledged: int) -> Iterator[str]:
    """Opened again, the button is where the last acknowledged edit put it, or the one after it."""
    session = Session.open(folder / "small.cabinet.yaml")
    at = json.loads(session.text.split("u: 100, v: ")[1].split("}")[0])
    if at not in (40 + acknowledged / 4, 40 + (acknowledged + 1) / 4):
        yield f"the button is at {at}, not at {40 + acknowledged / 4}"
    if session.errors is not None:
        yield f"the file has errors: {session.errors}"
    session.close(discard=True)


def tick(folder: Path, say: Say) -> None:
    """Steps ticked, one after the other; each is kept in the file at once."""
    path = folder / "small.cabinet.yaml"
    path.write_text(SMALL, encoding="utf-8")
    session = Session.open(path)
    for number in range(1, 60):
        keep(session, ticked([f"step-{number}"], datetime(2027, 3, 5, 14, number)), "tick")
        say(number)
    time.sleep(60)


def ticked_off(folder: Path, acknowledged: int) -> Iterator[str]:
    """All acknowledged ticks are there."""
    session = Session.open(folder / "small.cabinet.yaml")
    there = session.text.count("step-") if STEPS_DONE in session.text else 0
    if there not in (acknowledged, acknowledged + 1):
        yield f"{there} ticks of {acknowledged}"
    session.close(discard=True)


# ---- the shop's stock ------------------------------------------------------------------------------------------------


def address_in(folder: Path) -> str:
    """The stock's data base in a folder."""
    return f"sqlite:///{folder / 'stock.sqlite'}"


def accept(folder: Path, say: Say) -> None:
    """Boards taken for layouts, two offcuts booked for each."""
    stock = ShopStock(address_in(folder), who="Ann")
    stock.add(board("A1", count=500))
    for number in range(1, 500):
        wish = taking(
            "A1", project=f"box {number}", plan=str(number), left=((200, 160), (180, 170))
        )
        stock.accept(wish, place="rack")
        say(number)
    time.sleep(60)


def accepted(folder: Path, acknowledged: int) -> Iterator[str]:
    """As many boards are gone as layouts are accepted, with two offcuts each; all that was acknowledged is there."""
    stock = ShopStock(address_in(folder), who="Bob")
    number = len(stock.accepted(most=1000))
    boards = sum(held.count for held in stock.entries() if held.mark == "A1")
    offcuts = sum(held.count for held in stock.entries() if held.mark != "A1")
    if number not in (acknowledged, acknowledged + 1):
        yield f"{number} layouts of {acknowledged}"
    if (boards, offcuts) != (500 - number, 2 * number):
        yield f"{number} layouts, but {500 - boards} boards gone and {offcuts} offcuts"


# ---- papers ----------------------------------------------------------------------------------------------------------


def write(folder: Path, say: Say) -> None:
    """A set of files, written again and again."""
    for number in range(100_000):
        files = {f"drawings/{i}.svg": version(number).encode() for i in range(12)}
        write_folder(folder / "out", files | {f"extra-{number % 3}.txt": version(number).encode()})
        say(number)


def written(folder: Path, acknowledged: int) -> Iterator[str]:
    """Each file is whole, of the last build or the one after it; the next build takes away what was left aside."""
    out = folder / "out"
    for path in sorted(p for p in out.rglob("*") if p.is_file() and not p.name.endswith(".json")):
        if any(part.startswith(".") for part in path.relative_to(out).parts):
            continue
        number = number_of(path.read_text(encoding="utf-8"))
        if number not in (acknowledged, acknowledged + 1) and not path.name.startswith("extra"):
            yield f"{path.name} is of build {number}, not {acknowledged}"
    grow_old(out)
    write_folder(out, {"a.txt": b"x"})
    left = sorted(str(p.relative_to(out)) for p in out.rglob("*") if p.is_file())
    if left != ["a.txt", "made-by-casewright.json"]:
        yield f"left for good: {left[:6]}"


# ---- variants that are worked out ------------------------------------------------------------------------------------

IN_A_ROW = 5
"""Variants whose rows are kept at once."""


def variants(number: int) -> list[Variant]:
    """Those that are kept together."""
    first = number * IN_A_ROW
    return [
        Variant(n + 1, {"width": str(n)}, {("shape", "width"): n})
        for n in range(first, first + IN_A_ROW)
    ]


def explore(folder: Path, say: Say) -> None:
    """Rows of variants kept, some at a time."""
    kept = KeptRows(folder / "rows.sqlite")
    for number in range(100_000):
        rows = [
            (one, Row(one.number, one.choices, {"mass": one.number / 8}))
            for one in variants(number)
        ]
        kept.keep("job", rows)
        say(number)


def explored(folder: Path, acknowledged: int) -> Iterator[str]:
    """All acknowledged rows are there as they were, of those kept next all or none."""
    kept = KeptRows(folder / "rows.sqlite")
    for number in range(acknowledged + 3):
        found = kept.found("job", variants(number))
        wrong = [n for n, row in found.items() if row.figures != {"mass": n / 8}]
        if wrong or len(found) not in (0, IN_A_ROW):
            yield f"{len(found)} of {IN_A_ROW} rows together, {len(wrong)} others than were kept"
        if (not found and number <= acknowledged) or (found and number > acknowledged + 1):
            yield f"{len(found)} rows of {number}, acknowledged up to {acknowledged}"


SORTS: dict[str, tuple[Callable[[Path, Say], None], Callable[[Path, int], Iterator[str]]]] = {
    "save": (save, saved),
    "edit": (edit, edited),
    "tick": (tick, ticked_off),
    "accept a layout": (accept, accepted),
    "write papers": (write, written),
    "explore": (explore, explored),
}
