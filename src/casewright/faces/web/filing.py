"""The project as a file: save, save as, what another program did to it."""

from __future__ import annotations

from nicegui import ui

from casewright.basics.errors import CasewrightError
from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.desk import path_in
from casewright.faces.web.live import said
from casewright.faces.web.versions import share, versions_dialog
from casewright.faces.web.wording import error_lines
from casewright.session import Restored

LOOK_EVERY = 2.0
"""At the file on the disk. [s]"""


def file_menu(bench: Bench) -> None:
    """The button with what can be done with the file."""
    button = press("", lambda: None, icon="menu", label="Project")
    button.props["aria-haspopup"] = "menu"
    with button, ui.menu().props("auto-close").classes("paper-menu"):
        for item in (
            ui.menu_item("Start page", lambda: ui.navigate.to("/")),
            ui.menu_item("Save   Ctrl + S", bench.save),
            ui.menu_item("Save as …", lambda: _save_as(bench)),
            ui.menu_item(
                "Download the project file",
                lambda: ui.download.from_url(f"/desk/{bench.key}/project.yaml"),
            ),
            ui.menu_item("Versions …", lambda: versions_dialog(bench)),
            ui.menu_item("Share as one page", lambda: share(bench)),
            ui.menu_item("Edit the project's text", lambda: bench.go("text")),
        ):
            item.props["role"] = "menuitem"


def _save_as(bench: Bench) -> None:
    box, inner = dialog("Save as")

    async def take() -> None:
        try:
            path = path_in(bench.session.path.parent, name.value or "")
        except CasewrightError as error:
            words.set_text(error_lines(error)[0])
            return
        made: list[str] = []
        problems = await bench.do(lambda: made.append(bench.desk.save_as(bench.session, path)))
        if problems:
            words.set_text(problems[0])
            return
        box.close()
        ui.navigate.to(f"/desk/{made[0]}?view={bench.view}")

    with inner:
        said(f"In the folder {bench.session.path.parent}", "p").classes("quietly")
        name = ui.input("File name", value=bench.session.path.name).props(
            "dense outlined autofocus"
        )
        name.on("keydown.enter", take)
        words = said("", "p").classes("problem")
        words.props["role"] = "alert"
        with ui.element("div").classes("in-line"):
            press("Save", take, classes="main")
            press("Cancel", box.close)
    box.open()


def watch_disk(bench: Bench) -> None:
    """Warn when another program changed the file, and say what was taken up again after a crash."""
    session = bench.session
    bar = ui.element("div").classes("disk-bar")
    bar.props["role"] = "alert"
    shown = ""

    def look() -> None:
        nonlocal shown
        change = session.disk_change() or ""
        if change == shown:
            return
        shown = change
        bar.clear()
        if not change:
            return
        with bar:
            if change == "gone":
                said("The file is gone from the disk; your work is still here.")
                press("Save it again", bench.save, classes="order")
            else:
                said("Another program changed the file.")
                press("Take the file from the disk", reload, classes="order")
                press("Keep mine", keep, classes="order")
                press("Save mine as …", lambda: _save_as(bench), classes="order")

    async def reload() -> None:
        await bench.tell(await bench.do(session.reload))
        look()

    async def keep() -> None:
        await bench.tell(await bench.do(session.keep_mine))
        look()
        bench.refresh()

    ui.timer(LOOK_EVERY, look)
    restored = session.restored
    if restored is not None and not restored_was_told(bench):
        words = restored_words(restored)
        ui.notify(words, timeout=8000, close_button="Close", multi_line=True)
    if session.is_elsewhere:
        ui.notify("This project is open in another program too.", type="warning", timeout=8000)


def restored_words(restored: Restored) -> str:
    """What was taken up again after a crash."""
    if restored.is_gone:
        steps = f" and {counted(restored.steps, 'step')} after it" if restored.steps else ""
        return (
            f"The project file is gone. Its text{steps} were kept beside it and are taken up again; "
            "Save writes the file anew."
        )
    words = f"Unsaved changes were taken up again: {counted(restored.steps, 'step')}."
    if restored.is_conflict:
        words += " The file was changed as well since; look before saving."
    return words


def restored_was_told(bench: Bench) -> bool:
    """Whether a page of this server told it already; true from the second time on."""
    told = bench.desk.told
    key = f"{bench.key} {bench.session.restored}"
    if key in told:
        return True
    told.add(key)
    return False


__all__ = ["file_menu", "restored_was_told", "restored_words", "watch_disk"]
