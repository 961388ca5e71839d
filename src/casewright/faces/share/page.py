"""The shared page: HTML that needs no server and no network, with the project file inside it."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from importlib.resources import files
from pathlib import Path
from typing import Any

from casewright.basics.findings import worded
from casewright.basics.wording import counted
from casewright.checks.sizes import overall, size_of
from casewright.faces.web.components.scene import scene_changes, scene_parts
from casewright.faces.web.components.viewer import SCENE_MODULE
from casewright.geometry.model import Piece
from casewright.outputs.drawings.part_files import svg_files
from casewright.outputs.drawings.part_view import PartSheet, part_drawings
from casewright.outputs.fingerprint import fingerprint
from casewright.outputs.work_words import STAGE_TITLES, hours_words, setting_words
from casewright.planning.joints import is_along_u
from casewright.planning.work import Step
from casewright.planning.work.step import labels_of
from casewright.workflow import SUFFIX, Worked

ROOM = (180.0, 150.0)
"""Width and height that a piece's drawing is laid out for. [mm]"""
PROJECT_ID = "casewright-project"
"""Of the element that holds the project file, base64 of its bytes."""
POLICY = (
    "default-src 'none'; script-src 'unsafe-inline' data:; style-src 'unsafe-inline'; img-src data:; "
    "base-uri 'none'; form-action 'none'"
)
"""What the page may load: nothing from anywhere."""


def share_page(worked: Worked, text: str, *, name: str) -> bytes:
    """The page as one file.

    Args:
        worked: The cabinet.
        text: The project file's text, which goes into the page as it is.
        name: The project file's name.

    Returns:
        UTF-8 HTML. The same input gives the same bytes.
    """
    opened, cabinet = worked.opened, worked.cabinet
    sheets = part_drawings(cabinet, opened.style, room=ROOM)
    body = "\n".join(
        [
            _head(worked, name),
            "<main>",
            '<section id="view" aria-label="The cabinet in space"><div id="space"></div>',
            '<div class="knobs"><label>Apart <input id="apart" type="range" min="0" max="1" step="0.01" value="0">'
            '</label><label><input id="glass" type="checkbox"> see through the wood</label>'
            '<label><input id="bodies" type="checkbox" checked> bought parts</label>'
            '<span id="picked" aria-live="polite"></span></div></section>',
            _pieces(worked, sheets),
            _steps(worked),
            _findings(worked),
            _service(worked),
            "</main>",
        ]
    )
    project = base64.b64encode(text.encode("utf-8")).decode("ascii")
    scene = scene_changes({}, scene_parts(cabinet)).parts_json()
    title = escape(opened.project.name)
    file = escape(_file_name(name), quote=True)
    page = f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>{_asset("share.css")}</style>
<script type="importmap">{_json(_modules())}</script>
</head>
<body>
{body}
<script type="application/octet-stream" id="{PROJECT_ID}" data-name="{file}">{project}</script>
<script type="application/json" id="scene">{_json(scene)}</script>
<script type="module">{_asset("share.js")}</script>
</body>
</html>
"""
    return page.encode("utf-8")


# ---- sections ----


def _head(worked: Worked, name: str) -> str:
    project, style = worked.opened.project, worked.opened.style
    figures = [
        ("over all", _overall(worked)),
        ("mass", f"{worked.balance.total_kg:.1f} kg"),
        ("pieces", str(len(worked.cabinet.pieces))),
        ("cost", f"{worked.shopping.cost.value:.0f} {project.currency}"),
        ("steps", f"{len(worked.work.steps)}"),
        ("mark", fingerprint(project)),
    ]
    row = "".join(
        f"<div><dt>{escape(label)}</dt><dd>{escape(value)}</dd></div>" for label, value in figures
    )
    notes = f"<p>{escape(project.notes)}</p>" if project.notes else ""
    stops = len(worked.stops)
    warning = (
        f'<p class="stop">{counted(stops, "finding")} still {"forbids" if stops == 1 else "forbid"} cutting.</p>'
        if stops
        else ""
    )
    unit = "millimeters" if style.unit == "mm" else "inches"
    return (
        f"<header><h1>{escape(project.name)}</h1>{notes}{warning}<dl>{row}</dl>"
        f'<p><button id="save" type="button">Save the project file</button> '
        f"<span>Open it with casewright, put in your own display or buttons, and make papers of your own. "
        f"Sizes here are in {unit}.</span></p>"
        '<nav><a href="#view">In space</a> <a href="#pieces">Pieces</a> <a href="#steps">Steps</a> '
        '<a href="#findings">What to look at</a> <a href="#service">Service</a></nav></header>'
    )


def _overall(worked: Worked) -> str:
    write = worked.opened.write_length
    return " × ".join(write(size) for size in size_of(overall(worked.cabinet)))


def _pieces(worked: Worked, sheets: Sequence[PartSheet]) -> str:
    write = worked.opened.write_length
    pictures = dict(zip(svg_files(sheets).values(), sheets, strict=False))
    by_piece: dict[str, list[str]] = {}
    for data, sheet in pictures.items():
        code = base64.b64encode(data).decode("ascii")
        words = escape(f"{sheet.label}, {sheet.face_words}", quote=True)
        for key in sheet.pieces:
            by_piece.setdefault(key, []).append(
                f'<img loading="lazy" alt="{words}" src="data:image/svg+xml;base64,{code}">'
            )
    shown: set[str] = set()
    rows = []
    for piece in worked.cabinet.pieces:
        code = "".join(by_piece.get(piece.key, []))
        drawing = code if code not in shown else "<p>As the one before it.</p>"
        shown.add(code)
        rows.append(
            f'<details id="piece-{escape(piece.key, quote=True)}"><summary>{escape(piece.label)} '
            f"<span>{escape(_size(piece, write))}, {escape(_material(worked, piece))}</span></summary>"
            f"{drawing}</details>"
        )
    return f'<section id="pieces"><h2>Pieces</h2>{"".join(rows)}</section>'


def _size(piece: Piece, write: Any) -> str:
    sizes = [piece.width, piece.height] if is_along_u(piece) else [piece.height, piece.width]
    return " × ".join(write(size) for size in (*sizes, piece.thickness))


def _material(worked: Worked, piece: Piece) -> str:
    material = worked.opened.project.materials.get(piece.material)
    return "batten" if material is None else material.label or piece.material


def _steps(worked: Worked) -> str:
    plan, write = worked.work, worked.opened.write_length
    by_key = {step.key: step for step in plan.steps}
    days = []
    for day in plan.days:
        rows = "".join(_step(by_key[key], write) for key in day.steps if key in by_key)
        days.append(
            f"<details><summary>Day {day.number} <span>{escape(hours_words(day.busy_h))} at the bench</span></summary>"
            f"<ol>{rows}</ol></details>"
        )
    cautions = (
        "<p>Saws, routers, dust, fumes, mains and heavy pieces can hurt. Read the cautions of the bench book, keep "
        "guards on, follow your local codes, and leave mains to bought, enclosed, certified units and licensed "
        "people.</p>"
    )
    return f'<section id="steps"><h2>Steps</h2>{cautions}{"".join(days)}</section>'


def _step(step: Step, write: Any) -> str:
    setting = setting_words(step.setting)
    orders = "".join(f"<li>{escape(worded(order, write))}</li>" for order in step.orders)
    said = [
        STAGE_TITLES[step.stage],
        worded(setting, write) if setting else step.tool,
        f"{step.face} face up" if step.face else "",
    ]
    words = ", ".join(word for word in said if word)
    return (
        f'<li value="{step.number}"><b>{escape(worded(step.title, write))}</b> <span>{escape(words)}</span>'
        f"<ul>{orders}</ul></li>"
    )


def _findings(worked: Worked) -> str:
    write = worked.opened.write_length
    rows = "".join(
        f'<li class="{finding.severity.value}"><b>{finding.severity.value.capitalize()}</b> '
        f"{escape(worded(finding.message, write))}</li>"
        for finding in worked.findings
    )
    return f'<section id="findings"><h2>What to look at</h2><ul>{rows or "<li>Nothing.</li>"}</ul></section>'


def _service(worked: Worked) -> str:
    rows = "".join(
        f"<tr><td>{escape(a)}</td><td>{escape(b)}</td></tr>" for a, b in service_rows(worked)
    )
    return f'<section id="service"><h2>Service</h2><table>{rows}</table></section>'


def service_rows(worked: Worked) -> Iterator[tuple[str, str]]:
    """What a person needs who opens it in some years: supply, screws by place, what comes off."""
    cabinet, write = worked.cabinet, worked.opened.write_length
    labels = labels_of(cabinet)
    for piece in cabinet.pieces:
        if piece.fixing not in ("glued",) and piece.kind in (
            "panel",
            "door",
            "inner",
            "board",
            "bar",
        ):
            screws = [
                f"{f.count} × {f.name}"
                for f in cabinet.fastenings
                if f.name and piece.key in (f.into, f.through)
            ]
            yield (
                piece.label,
                f"comes off: {piece.fixing}" + (f", {', '.join(screws)}" if screws else ""),
            )
    for key, known in cabinet.parts.items():
        names = ", ".join(p.label or p.key for p in cabinet.placed if p.part.key == key)
        data = known.data
        said = [
            f"{getattr(data, name):g} {unit}"
            for name, unit in (("volts", "V"), ("output_amps", "A"), ("typical_w", "W"))
            if isinstance(getattr(data, name, None), float | int) and getattr(data, name)
        ]
        yield known.label, "; ".join(word for word in (names, ", ".join(said)) if word)
    for fastening in cabinet.fastenings:
        if fastening.name:
            yield (
                f"{labels.get(fastening.through, fastening.through)} on {labels.get(fastening.into, fastening.into)}",
                f"{fastening.count} × {fastening.name}, {worded(write(fastening.length), write)} long",
            )


# ---- what goes in with it ----


def _modules() -> dict[str, dict[str, str]]:
    """The viewer and three.js as addresses that hold their own text; names instead of paths between them."""
    viewing = Path(str(files("casewright.faces.web.components") / "viewing"))
    texts = {
        f"casewright-viewing/{path.name}": path.read_text(encoding="utf-8")
        for path in sorted(viewing.glob("*.js"))
    }
    texts["nicegui-scene"] = (SCENE_MODULE / "index.js").read_text(encoding="utf-8")
    return {
        "imports": {
            name: "data:text/javascript;base64,"
            + base64.b64encode(_by_name(text).encode("utf-8")).decode("ascii")
            for name, text in texts.items()
        }
    }


def _by_name(text: str) -> str:
    """A module's imports of its neighbors, by name."""
    return text.replace('from "./', 'from "casewright-viewing/')


def _asset(name: str) -> str:
    return files("casewright.faces.share").joinpath(name).read_text(encoding="utf-8")


def _json(data: Mapping[str, Any]) -> str:
    """JSON that cannot end the element it stands in."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _file_name(name: str) -> str:
    return name if name.endswith(SUFFIX) else f"{name}{SUFFIX}"


__all__ = ["PROJECT_ID", "service_rows", "share_page"]
