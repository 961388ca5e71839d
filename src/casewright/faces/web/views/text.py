"""The project's text, with what is wrong at its lines."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial

from nicegui import ui

from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import heading, press
from casewright.faces.web.live import Live, said
from casewright.workflow import schema_of_projects, schema_of_results

SCHEMAS: tuple[tuple[str, str, Callable[[], object]], ...] = (
    ("JSON Schema of this file", "project.schema.json", schema_of_projects),
    ("JSON Schema of cabinet.json", "cabinet.schema.json", schema_of_results),
)


def view(bench: Bench) -> None:
    """The text, to be edited as a whole."""
    session = bench.session
    heading("Project text", "The file itself. All else follows from it; comments are kept.")
    base = session.text

    with ui.element("div").classes("text-view"):
        editor = ui.codemirror(base, language="YAML")
        editor.classes("text-editor")
        _name(editor, "Project text")

        def dress(dark: bool) -> None:
            editor.theme = "githubDark" if dark else "githubLight"  # 4.5 : 1 and more

        dress(bench.is_dark)
        bench.theme_watchers.append(dress)

        async def take() -> None:
            nonlocal base
            text = editor.value or ""
            if session.text != base and session.text != text:
                ui.notify(
                    "The project was changed on another page meanwhile. Take the present text first, or copy yours.",
                    type="warning",
                    timeout=8000,
                )
                return
            await bench.tell(await bench.do(lambda: session.edit_text(text)))
            base = session.text

        def fetch() -> None:
            nonlocal base
            base = session.text
            editor.value = base

        with ui.element("div").classes("in-line"):
            press("Use this text", take, classes="main")
            press("Forget my changes here", fetch)
            said("Ctrl + Z inside the text undoes typing; Undo above undoes whole steps.").classes(
                "quietly"
            )

        with ui.element("div").classes("in-line"):
            said("For editors and other programs:").classes("quietly")
            for words, name, make in SCHEMAS:
                press(words, partial(_hand_over, name, make), classes="order")
            link = ui.element("a").classes("press order")
            link.props["href"], link.props["target"] = "/openapi.json", "_blank"
            link.props["rel"] = "noopener"
            with link:
                said("the server's addresses (OpenAPI)")

        def errors(live: Live) -> None:
            found = session.errors
            if found is None:
                return
            with ui.element("ol").classes("plain line-errors"):
                for error in found.errors[:30]:
                    with ui.element("li"):
                        spot = error.spot
                        if spot:
                            press(
                                f"line {spot.line}",
                                partial(_show_line, editor, spot.line),
                                classes="order",
                            )
                        said(" " + error.text())
                        if spot and spot.text:
                            said(spot.text.rstrip()[:200], "code").classes("source-line")

        bench.live.section(errors, lambda: str(session.errors or ""))

        def follow() -> None:
            nonlocal base
            if session.text != base and (editor.value or "") == base:
                base = session.text
                editor.value = base

        bench.live.add(follow)


def _hand_over(name: str, make: Callable[[], object]) -> None:
    data = json.dumps(make(), indent=2, ensure_ascii=False) + "\n"
    ui.download(data.encode("utf-8"), name, "application/json")


def _name(editor: ui.codemirror, words: str) -> None:
    """Say what it is to screen readers; only the browser has the element that is typed into, and a little later."""
    editor.client.run_javascript(
        f"(function name(tries) {{ const view = getElement({editor.id})?.editor; if (view) "
        f"view.contentDOM.setAttribute('aria-label', {json.dumps(words)}); "
        "else if (tries) setTimeout(() => name(tries - 1), 50); })(200)"
    )


def _show_line(editor: ui.codemirror, line: int) -> None:
    """Scroll to a line and put the cursor there."""
    editor.client.run_javascript(
        f"const e=getElement({editor.id}); const v=e && e.editor; if(v){{const l=v.state.doc.line(Math.min({int(line)},"
        "v.state.doc.lines)); v.dispatch({selection:{anchor:l.from},scrollIntoView:true}); v.focus();}"
    )


__all__ = ["SCHEMAS", "view"]
