"""Named versions of the project, what changed since, and the project as one page to give away."""

from __future__ import annotations

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
from casewright.session.versions import Version, keep_version, state_of, versions_of
from casewright.workflow import SUFFIX, open_text, work_out

PICTURE = (190.0, 150.0)
"""Width and height that the picture of what changed is laid out for. [mm]"""


def versions_dialog(bench: Bench) -> None:
    """Keep the project under a name; look at what changed since a version, or bring it back."""
    box, inner = dialog("Versions of this project")

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
        with rows:
            if not known:
                said("No version is kept yet.", "p").classes("quietly")
            with ui.element("table").classes("list"), ui.element("tbody"):
                for version in reversed(known):
                    _row(bench, version, told, box)

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
        told = ui.element("div").classes("scrolls")
        told.props["aria-live"] = "polite"
        with ui.element("div").classes("in-line"):
            press("Close", box.close)
    show()
    box.open()


def _row(bench: Bench, version: Version, told: ui.element, box: ui.dialog) -> None:
    with ui.element("tr"):
        said(version.name, "td")
        said(f"{version.when.astimezone():%Y-%m-%d %H:%M}", "td").classes("quietly")
        with ui.element("td"):
            press(
                "What changed since",
                partial(_tell, bench, version, told),
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


async def _tell(bench: Bench, version: Version, told: ui.element) -> None:
    worked, opened = bench.worked, bench.opened
    if worked is None or opened is None:
        return
    # Right after an edit what is shown is still of the text before it.
    is_behind = bench.session.is_behind

    def compared() -> tuple[tuple[Line, ...], str]:
        before = work_out(open_text(version.text, file=version.name, catalogs=bench.desk.catalogs))
        after = work_out(opened) if is_behind else worked
        lines = difference(state_of(before), state_of(after))
        changed = changed_pieces(before.cabinet, after.cabinet)
        drawing = difference_drawing(before.cabinet, after.cabinet, changed, room=PICTURE)
        return lines, page_svg(drawing, name="difference") if changed else ""

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
        said(f"Since '{version.name}'", "h3")
        if picture:
            drawn = ui.html(picture, sanitize=False).classes("difference-picture")
            drawn.props["role"] = "img"
            drawn.props["aria-label"] = (
                f"Side view, cabinet and changed faces: grey as at '{version.name}', blue what has changed"
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
