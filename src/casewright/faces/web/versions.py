"""Named versions of the project, what changed since, and the project as one page to give away."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.faces.share import share_page
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.drawings import page_svg
from casewright.faces.web.live import said
from casewright.faces.web.wording import error_lines
from casewright.outputs.difference import TITLES, Line, changed_pieces, difference, line_words
from casewright.outputs.drawings.difference_view import difference_drawing
from casewright.outputs.drawings.marks import Drawing
from casewright.outputs.drawings.svg import write_svg
from casewright.session.versions import Version, keep_version, state_of, versions_of
from casewright.workflow import SUFFIX, Worked, open_text, work_out

PICTURE = (190.0, 150.0)
"""Width and height that the picture of what changed is laid out for. [mm]"""


NOW = "as it is now"
"""What a version is compared with where nothing else is chosen."""


def versions_dialog(bench: Bench) -> None:
    """Keep the project under a name; look at what changed since a version, or bring it back."""
    box, inner = dialog("Versions of this project")
    kept: dict[str, Version] = {}

    async def compare(version: Version) -> None:
        await _tell(bench, version, kept.get(str(with_.value)), told)

    async def keep() -> None:
        try:
            text = str(name.value or "")
            await run.io_bound(keep_version, bench.session.path, bench.session.text, text)
        except CasewrightError as error:
            problem.set_text(" ".join(error_lines(error)))
            return
        problem.set_text("")
        name.value = ""
        show()

    def show() -> None:
        rows.clear()
        try:
            known = versions_of(bench.session.path)
        except CasewrightError as error:
            problem.set_text(" ".join(error_lines(error)))
            return
        kept.update(
            {f"{number}. {version.name}": version for number, version in enumerate(known, 1)}
        )
        with_.set_options([NOW, *kept], value=with_.value)
        with_.set_visibility(len(kept) > 1)
        with rows:
            if not known:
                said("No version is kept yet.", "p").classes("quietly")
            with ui.element("table").classes("list"), ui.element("tbody"):
                for version in reversed(known):
                    _row(bench, version, compare, box)

    with inner:
        with ui.element("div").classes("in-line"):
            name = ui.input("Keep it as it is now, as").props(
                "dense outlined maxlength=80 autofocus"
            )
            name.on("keydown.enter", keep)
            press("Keep", keep, classes="main")
        problem = said("", "p").classes("problem")
        problem.props["role"] = "alert"
        rows = ui.element("div")
        with_ = ui.select([NOW], value=NOW, label="What changed until").props("dense outlined")
        with_.classes("typed")
        told = ui.element("div").classes("scrolls")
        told.props["aria-live"] = "polite"
        with ui.element("div").classes("in-line"):
            press("Close", box.close)
    show()
    box.open()


def _row(
    bench: Bench, version: Version, compare: Callable[[Version], object], box: ui.dialog
) -> None:
    with ui.element("tr"):
        said(version.name, "td")
        said(f"{version.when.astimezone():%Y-%m-%d %H:%M}", "td").classes("quietly")
        with ui.element("td"):
            press(
                "What changed since",
                partial(compare, version),
                classes="order",
                label=f"What changed since {version.name}",
            )
        with ui.element("td"):
            press(
                "Bring it back",
                partial(_bring, bench, version, box),
                classes="order",
                label=f"Bring {version.name} back; Undo takes it back again",
            )


async def _tell(bench: Bench, version: Version, until: Version | None, told: ui.element) -> None:
    """What is different between a version and another one; without one, the project as it is now."""
    worked, opened = bench.worked, bench.opened
    if worked is None or opened is None:
        return
    # Right after an edit what is shown is still of the text before it.
    is_behind = bench.session.is_behind

    def at(one: Version) -> Worked:
        return work_out(open_text(one.text, file=one.name, catalogs=bench.desk.catalogs))

    def compared() -> tuple[tuple[Line, ...], Drawing | None]:
        before = at(version)
        after = at(until) if until else work_out(opened) if is_behind else worked
        lines = difference(state_of(before), state_of(after))
        changed = changed_pieces(before.cabinet, after.cabinet)
        drawn = difference_drawing(before.cabinet, after.cabinet, changed, room=PICTURE)
        return lines, drawn if changed else None

    told.clear()
    try:
        compare = await run.io_bound(compared)
    except CasewrightError as error:
        with told:
            said(" ".join(error_lines(error)), "p").classes("problem")
        return
    if told.is_deleted or compare is None:
        return
    found, picture = compare
    with told:
        said(f"Since '{version.name}'" + (f", until '{until.name}'" if until else ""), "h3")
        if picture:
            drawn = ui.html(page_svg(picture, name="difference"), sanitize=False)
            drawn.classes("difference-picture")
            drawn.props["role"] = "img"
            drawn.props["aria-label"] = (
                f"Side view, cabinet and changed faces: grey as at '{version.name}', blue what has changed"
            )
            svg = write_svg(picture, margin=8.0)
            press(
                "Take the picture (SVG)",
                lambda: ui.download(svg.encode(), "difference.svg", "image/svg+xml"),
                classes="order",
            )
        if not found:
            said("Nothing is different.", "p")
        for kind, title in TITLES.items():
            mine = [line for line in found if line.kind == kind]
            if mine:
                said(title, "h4")
                with ui.element("ul"):
                    for line in mine:
                        said(bench.say(line_words(line)), "li")


async def _bring(bench: Bench, version: Version, box: ui.dialog) -> None:
    problems = await bench.do(
        lambda: bench.session.edit_text(version.text, f"bring back {version.name}"[:80])
    )
    if await bench.tell(problems) and not box.is_deleted:
        box.close()


async def share(bench: Bench) -> None:
    """Make the page and hand it to the browser."""
    worked = bench.worked
    if worked is None:
        await bench.tell(["Nothing can be shared yet; the project text says what is amiss."])
        return
    name = bench.session.path.name
    ui.notify("Making the page …", timeout=1500)
    page = await run.io_bound(lambda: share_page(worked, bench.session.text, name=name))
    if page is not None:
        ui.download(page, f"{name.removesuffix(SUFFIX)}.html", "text/html")


__all__ = ["share", "versions_dialog"]
