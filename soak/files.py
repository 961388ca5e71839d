"""Hostile files: whatever they hold, a typed error or a project, soon and in little memory.

Inputs are bred: from whole files and from a grammar of what files may say, changed at random places. Half of the time
what made the program say something that it had not said before is bred from again; the other half, where atheris is
installed, what took a way through the code that none had taken before (`soak.guided`). An input that takes too long is
ended, and one that asks for more memory than it may have gets none (`soak.limits`).
"""

from __future__ import annotations

import base64
import random
import re
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from tests.pace import slowness
from tests.session.projects import SMALL

from casewright.basics.errors import CasewrightError, InputErrors
from casewright.basics.units import parse_angle, parse_length, parse_mass, parse_power
from casewright.catalog.load import read_catalog
from casewright.faces.share.page import PROJECT_ID
from casewright.faces.share.unpacking import project_in
from casewright.projectfile.yamltext import load_bytes
from casewright.stock.tables_csv import COLUMNS, rows_of_csv
from casewright.workflow import build_up, open_document, read_catalogs
from soak.common import ROOT, Budget, Tally, batches, told
from soak.limits import TooLongError, ended_after, forget_peak, keep_within, peak_mb

LONGEST_S = 1.0
"""Processor time that an input may take, on an ordinary desk computer."""
MOST_MB = 512.0
"""Memory that the reading process may hold in all, the program itself with it."""
ENDED = 5.0
"""How many times as long as it may take an input is let go on, so that how long is known."""
ROUNDS = {"lengths": 6000, "project files": 220, "as-built records": 60, "catalog files": 250}
ROUNDS |= {"stock tables": 500, "shared pages": 200, "bombs": 12}
"""Inputs of each sort in a batch."""

ATOMS = (
    *("0", "-1", "1e9", "1e999", "-0.0", ".nan", ".inf", "NaN", "null", "~", "true", "no", "''"),
    *("18 mm", '3/4"', "19 1/0", "1' 6-1/4\"", "-3 mm", "1e9 m", "3 kg", "12,5", "１２", "٣", "½"),
    *(
        "[]",
        "{}",
        "[[[[]]]]",
        "{a: {b: {c: {}}}}",
        "*x",
        "&x 1",
        "!!python/object:os.system 1",
        "!!int x",
    ),
    *(
        "|\n    text",
        ">\n  a",
        '"\\u0000"',
        '"\\ud800"',
        "\u202e",
        "\ufeff",
        "\u0007",
        "👩‍🔧",
        "e\u0301" * 40,
    ),
    *(
        "'=1+1'",
        "'<img onerror=x>'",
        "'../../x'",
        "'%s%n{0}'",
        "9" * 400,
        "x" * 3000,
        "0x1F",
        "1_000",
        "08:30",
    ),
    *(
        "2027-03-05",
        "2027-99-99",
        "- ",
        ": ",
        "# x",
        "? a",
        "<<: *x",
        "%YAML 9.9",
        "---",
        "...",
        "\t",
        "\r",
        "\x85",
    ),
)
"""Words that readers of files trip over."""
KEYS = (
    *(
        "name",
        "unit",
        "shape",
        "panels",
        "parts",
        "materials",
        "seams",
        "shop",
        "people",
        "as built",
        "doors",
    ),
    *(
        "features",
        "measured",
        "placed",
        "layers",
        "corners",
        "recipe",
        "width",
        "sheets",
        "kind",
        "on",
        "u",
        "v",
    ),
    *(
        "__class__",
        "constructor",
        "length",
        "sizes",
        "made",
        "batten",
        "boards",
        "inner",
        "cutting",
        "finish",
    ),
)
WORDS = (
    "mm",
    "in",
    "ft",
    "cm",
    "m",
    "'",
    '"',
    "/",
    "-",
    " ",
    ".",
    ",",
    "e",
    "+",
    "1",
    "2",
    "16",
    "99",
    "0",
    "⁄",
    "″",
)
AS_BUILT = """\
as built:
  base: {state: cut, length: 276.4, width: 200, thickness: 11.7}
  front: {state: drilled, holes: {go: {u: 101, v: 60}}, bevels: {top: 44}}
"""
CATALOG = (
    '[types.b1]\nlike = "button-30-screw"\nhole = 30.2\n\n[types.own]\nkind = "push button"\n'
    'title = "A button"\nhole = 24\nbezel = 27\n'
)


def run(budget: Budget, tell: Callable[[Tally], None]) -> Tally:
    """Breed inputs until the time is over."""
    from soak.guided import guided, is_there

    if not is_there() or budget.most is not None:
        return batches(some_inputs, budget, tell)
    total = batches(some_inputs, replace(budget, seconds=budget.seconds / 2), tell)
    guided(total, replace(budget, seconds=budget.seconds / 2), tell)
    return total


@dataclass(frozen=True)
class Sort:
    """A sort of input."""

    first: tuple[str, ...]
    """Whole ones, from which others are made."""
    change: Callable[[random.Random, str], str]
    read: Callable[[str], object]


@contextmanager
def sorts_of(rng: random.Random) -> Iterator[dict[str, Sort]]:
    """Every sort, by name."""
    examples = [p.read_text(encoding="utf-8") for p in sorted((ROOT / "examples").glob("*.yaml"))]
    head = ",".join(COLUMNS)
    tables = (f"{head}\n", f"{head}\noffcut,C1,2\n", "kind;length\noffcut;600\n")
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "shared.html"

        def shared(text: str) -> None:
            page.write_bytes(text.encode("utf-8", "surrogatepass"))
            project_in(page)

        def lengths(text: str) -> None:
            rng.choice((parse_length, parse_length, parse_angle, parse_mass, parse_power))(text)

        def table(text: str) -> None:
            rows_of_csv(text.encode("utf-8", "surrogatepass"))

        yield {
            "lengths": Sort(("18 mm", "19 1/2 in", "1' 6-1/4\""), changed_length, lengths),
            "project files": Sort(
                (SMALL, SMALL, SMALL, rng.choice(examples)), changed_yaml, project
            ),
            "as-built records": Sort((SMALL + AS_BUILT,), changed_yaml, project),
            "catalog files": Sort(
                (CATALOG,), changed_toml, lambda text: read_catalog("own.toml", text)
            ),
            "stock tables": Sort(tables, changed_table, table),
            "shared pages": Sort((shared_page(SMALL),), changed_page, shared),
        }


class Breed:
    """Inputs of one sort, and those that are bred from again."""

    def __init__(
        self, rng: random.Random, first: list[str], change: Callable[[random.Random, str], str]
    ) -> None:
        self.rng, self.change = rng, change
        self.kept = list(first)
        self.heard: set[str] = set()

    def next(self) -> str:
        """One that was kept, changed at a few places."""
        text = self.rng.choice(self.kept)
        for _ in range(self.rng.choice((1, 1, 1, 2, 4))):
            text = self.change(self.rng, text)
        return text[:600_000]

    def heed(self, text: str, said: str) -> None:
        """Breed from it again if the program has not said such a thing before."""
        if said not in self.heard and len(text) < 20_000:
            self.heard.add(said)
            self.kept.append(text)


def some_inputs(number: int) -> Tally:
    """A batch of every sort."""
    rng, tally = random.Random(number), Tally()
    limit = LONGEST_S * slowness()
    keep_within(MOST_MB)
    with sorts_of(rng) as sorts:
        for name, sort in sorts.items():
            breed = Breed(rng, list(sort.first), sort.change)
            for _ in range(ROUNDS[name]):
                text = breed.next()
                breed.heed(text, tried(tally, name, text, sort.read, limit))
        for _ in range(ROUNDS["bombs"]):
            tried(tally, "bombs", bomb(rng), project, limit)
    return tally


def project(text: str) -> None:
    """As the program opens a file, and as far as the cabinet if it is one."""
    document = load_bytes(text.encode("utf-8", "surrogatepass"), file="hostile.cabinet.yaml")
    build_up(open_document(document, read_catalogs()))


def tried(tally: Tally, sort: str, text: str, read: Callable[[str], object], limit: float) -> str:
    """Read it. What the program said, without what is the input's own."""
    said = "taken"
    forget_peak()
    start = time.thread_time()
    try:
        with ended_after(ENDED * limit):
            read(text)
    except CasewrightError as error:
        said = words_of(error)
        if len(str(error)) > 200_000:
            tally.fail(f"{sort}: an error of {len(str(error))} characters", repr(text[:20_000]))
    except TooLongError:
        said = "ended"
    except Exception as error:  # noqa: BLE001 - any other one is the failure that is looked for
        tally.fail(f"{sort}: {type(error).__name__}", f"{text!r}\n\n{told(error)}")
    took, held = time.thread_time() - start, peak_mb()
    tally.largest = max(tally.largest, held)
    if held > MOST_MB:
        tally.fail(f"{sort}: {held:.0f} MB", repr(text[:100_000]))
    tally.count(sort, took)
    if took > limit:
        tally.fail(f"{sort}: {took:.1f} s", repr(text[:100_000]))
    return said


def words_of(error: CasewrightError) -> str:
    """What is wanted of which fields; not what was found there."""
    if isinstance(error, InputErrors):
        wants = {re.sub(r"\d+", "0", f"{e.field}|{e.want}") for e in error.errors}
        return "\n".join(sorted(wants))
    return type(error).__name__


# ---- how inputs are changed ------------------------------------------------------------------------------------------


def changed_bytes(rng: random.Random, text: str) -> str:
    """A place taken out, doubled, or with another character in it."""
    if not text:
        return rng.choice(ATOMS)
    a = rng.randrange(len(text))
    b = min(len(text), a + rng.choice((1, 1, 2, 7, 40, 300)))
    other = rng.choice(
        (
            text[a:b] * 2,
            "",
            chr(rng.choice((rng.randrange(0x250), rng.randrange(0xD800), 0x10FFFF))),
        )
    )
    return text[:a] + rng.choice((other, rng.choice(ATOMS))) + text[b:]


def changed_yaml(rng: random.Random, text: str) -> str:
    """A value, a key, a line: exchanged, doubled, taken out, deeper; or any place."""
    lines = text.splitlines()
    if not lines or rng.random() < 0.15:
        return changed_bytes(rng, text)
    at = rng.randrange(len(lines))
    line = lines[at]
    sort = rng.randrange(8)
    if sort <= 2:  # a value
        values = list(re.finditer(r"(?<=[:,\[] )[^,:{}\[\]#\n]+", line))
        if values:
            chosen = rng.choice(values)
            lines[at] = line[: chosen.start()] + rng.choice(ATOMS) + line[chosen.end() :]
    elif sort == 3:  # a key
        names = list(re.finditer(r"[\w ]+(?=:)", line))
        if names:
            chosen = rng.choice(names)
            lines[at] = line[: chosen.start()] + rng.choice(KEYS) + line[chosen.end() :]
    elif sort == 4:
        lines.insert(rng.randrange(len(lines) + 1), line)
    elif sort == 5:
        del lines[at]
    elif sort == 6:
        lines[at] = " " * rng.choice((1, 2, 4, 30)) + line
    else:
        lines.insert(at, f"{' ' * rng.choice((0, 2, 4))}{rng.choice(KEYS)}: {rng.choice(ATOMS)}")
    return "\n".join(lines) + "\n"


def changed_toml(rng: random.Random, text: str) -> str:
    """A value or a name of a catalog file."""
    if rng.random() < 0.4:
        return changed_bytes(rng, text)
    lines = text.splitlines()
    at = rng.randrange(len(lines)) if lines else 0
    value = rng.choice(
        (*ATOMS, "1979-05-27T07:32:00Z", "'''", '"""', "[[x]]", "{a=1,}", "nan", "+inf")
    )
    name = rng.choice((*KEYS, "like", "hole", "title", "source", "sources", "bezel"))
    row = rng.choice((f"{name} = {value}", f"[types.{value}]", f"[{name}]", f"{name}.{name} = 1"))
    return "\n".join([*lines[:at], row, *lines[at + rng.randrange(2) :]]) + "\n"


def changed_table(rng: random.Random, text: str) -> str:
    """A cell, a row, the head."""
    if rng.random() < 0.3:
        return changed_bytes(rng, text)
    rows = [line.split(",") for line in text.splitlines()] or [[]]
    row = rng.choice(rows)
    at = rng.randrange(len(row) + 1)
    row[at : at + rng.randrange(2)] = [
        rng.choice((*ATOMS, *COLUMNS, '"', '""', "offcut", "sheet", "@x", "-2+3"))
    ]
    if rng.random() < 0.3:
        rows.append(
            [rng.choice((*ATOMS, "offcut", "600")) for _ in range(rng.randrange(len(COLUMNS) + 3))]
        )
    return rng.choice(("\n", "\r\n", "\r")).join(",".join(row) for row in rows)


def changed_length(rng: random.Random, text: str) -> str:
    """Another word in a length, or any character."""
    if rng.random() < 0.3:
        return changed_bytes(rng, text)
    at = rng.randrange(len(text) + 1)
    return (text[:at] + rng.choice((*WORDS, *ATOMS)) + text[at + rng.randrange(3) :])[:5000]


def shared_page(text: str, name: str = "small") -> str:
    """The part of a shared page that holds the project."""
    packed = base64.b64encode(text.encode("utf-8", "surrogatepass")).decode("ascii")
    return f'<html><script type="x" id="{PROJECT_ID}" data-name="{name}">{packed}</script></html>'


def changed_page(rng: random.Random, text: str) -> str:
    """Another name, another project, or any place."""
    sort = rng.randrange(3)
    if sort == 0:
        return changed_bytes(rng, text)
    name = rng.choice(
        ("../../x", "..\\x", "CON", "a" * 300, "&lt;b&gt;", "\u202e", "x\x00", "/etc/x", "")
    )
    return shared_page(changed_yaml(rng, SMALL), name if sort == 1 else "small")


def bomb(rng: random.Random) -> str:
    """Aliases that grow tenfold, nesting, very long rows: little to write, much to hold."""
    depth = rng.choice((8, 30, 200, 5000))
    sort = rng.randrange(7)
    if sort == 0:
        rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
        rows += [
            f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 10)}]" for i in range(1, min(depth, 30))
        ]
        return "\n".join(rows) + "\n" + SMALL
    if sort == 1:
        return "name: " + "[" * depth + "]" * depth
    if sort == 2:
        return "\n".join(" " * i + "a:" for i in range(min(depth, 900)))
    if sort == 3:
        return "name: " + "{a: " * depth + "}" * depth
    if sort == 4:
        return SMALL + "".join(f"k{i}: {rng.choice(ATOMS[:12])}\n" for i in range(8 * depth))
    if sort == 5:
        holes = "".join(
            f"  - {{shape: hole, on: front, u: {i % 290}, v: {i % 140}, diameter: 3}}\n"
            for i in range(depth)
        )
        return SMALL + "features:\n" + holes
    return "a: &a [*a]\n" + SMALL + "notes: |\n" + "  x\n" * depth
