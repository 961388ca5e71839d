"""Every view of the workbench, of the phone and of the other pages, with what it is for and how to get there."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

from casewright.faces.web.keys import KEYS
from casewright.faces.web.page import NUMBERED, NUMBERS, STEPS
from casewright.faces.web.phone.reading import READINGS
from making.markdown import code, head, page, table

SOURCE = Path(__file__).resolve().parents[2] / "src" / "casewright"
INTRODUCTION = (
    "`casewright open` shows them in the browser, on this machine only. The job runs down the left; findings stand at "
    "the right, the figures that decide at the foot, each with its *why?*.",
)
OTHERS = (
    ("Start page", "/", "faces/web/start.py"),
    ("Bench view: one step", "/desk/PROJECT/step", "faces/web/phone/step_page.py"),
    ("Bench view: what is read", "/desk/PROJECT/read/...", "faces/web/phone/reading.py"),
    ("Bench view: putting down, measuring", "over the step", "faces/web/phone/sheets.py"),
    ("Stock on a phone", "/stock/MARK", "faces/web/stock_pages.py"),
    ("Shared page", "NAME.html", "faces/share/page.py"),
)
"""Pages beside the workbench: title, address, module that builds it."""


def views_page() -> str:
    """The page."""
    lines = head("Views", *INTRODUCTION)
    lines += ["## The workbench", ""]
    lines += table(
        ("step", "view", "key", "address", "shows"),
        [
            (
                str(number) if number <= NUMBERED else "",
                name,
                f"Alt + {key.upper()}",
                code(f"?view={step}"),
                _about(Path(sys.modules[view.__module__].__file__ or "")),
            )
            for number, ((step, name, view), key) in enumerate(zip(STEPS, NUMBERS, strict=True), 1)
        ],
    )
    lines += ["## In use, by topic", ""]
    lines += [
        f"- **{path.stem}**: {_about(path).removeprefix('Sheet: ')}" for path in topic_files()
    ]
    lines += ["", "## Other pages", ""]
    rows = [(title, code(place), _about(SOURCE / file)) for title, place, file in OTHERS]
    lines += table(("page", "address", "shows"), rows)
    lines += ["What is read on a phone: " + ", ".join(READINGS) + ".", "", "## Keys", ""]
    lines += table(("key", "does"), [(key, words) for key, words in KEYS])
    return page(lines)


def topic_files() -> list[Path]:
    """The modules that write a topic of *In use*."""
    folder = SOURCE / "outputs" / "topics"
    known = ("__init__.py", "sheet.py")
    return [
        path
        for path in sorted(folder.glob("*.py"))
        if path.name not in known and "pictures" not in path.name
    ]


def _about(path: Path) -> str:
    """First paragraph of a module's docstring."""
    told = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    return told.split("\n\n")[0].replace("\n", " ")


__all__ = ["topic_files", "views_page"]
