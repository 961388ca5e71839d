"""How two panels meet: every way with a picture of the cut as it would be here."""

from __future__ import annotations

import asyncio
from html import escape
from math import hypot

from nicegui import ui

from casewright.basics.findings import Remedy, Severity
from casewright.basics.wording import counted
from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import dialog, press
from casewright.faces.web.live import Live, said
from casewright.faces.web.views.seam_form import seam_form
from casewright.geometry.model import Cabinet, Corner, Slab
from casewright.geometry.slabs import goes_on
from casewright.session import Preview
from casewright.workflow import Edits

ROOM = 46.0
"""Shown round the corner. [mm]"""


def seam_words(bench: Bench, corner: Corner) -> str:
    """A seam in one line."""
    first, second = abs(corner.first_tilt_deg), abs(corner.second_tilt_deg)
    is_square = max(first, second) < 0.05  # as the angles are written
    tilts = "cut square" if is_square else f"saw tilt {first:.1f}° and {second:.1f}°"
    end_to_end = goes_on(180 - corner.inside_deg)
    covers = "" if end_to_end else f"{bench.label(corner.over)} covers, "
    ways = {
        "miter": "mitered",
        "cover": f"{bench.label(corner.over)} covers",
        "gap": f"{covers}{bench.length(corner.gap)} open",
        "free": "ends as given",
    }
    wished = "" if corner.wished else ", chosen for you"
    return f"{ways[corner.rule]}{wished}; {tilts}"


def choose_seam(bench: Bench, name: str) -> None:
    """Show the ways two panels can meet at a corner, and take one."""
    worked = bench.built
    if worked is None:
        return
    corner = next((c for c in worked.cabinet.corners if c.name == name), None)
    if corner is None:
        return
    a, b = corner.first, corner.second
    ways = (
        (f"{bench.label(a)} covers {bench.label(b)}", "over", a),
        (f"{bench.label(b)} covers {bench.label(a)}", "over", b),
        ("mitered: both ends at the same line", "rule", "miter"),
    )
    box, inner = dialog(f"Seam at {name}")

    async def take(edits: Edits, words: str) -> None:
        if await bench.tell(await bench.edit(edits, f"seam at {name}: {words}")):
            box.close()

    async def fill() -> None:
        for room, (words, key, value) in zip(rooms, ways, strict=True):
            edits = bench.session.edits_of(Remedy(words, f"seams.{a}/{b}.{key}", value))
            seen = await asyncio.to_thread(bench.session.preview, edits)
            if box.is_deleted:
                return
            room.clear()
            with room:
                _way(bench, name, words, edits, seen, take)

    with inner:
        inner.classes("broad seam-dialog")
        said(
            "Each picture is the cut as it would be here, at the same scale, seen from the right.",
            "p",
        ).classes("quietly")
        with ui.element("div").classes("ways"):
            rooms = [_waiting(words) for words, _, _ in ways]
        with ui.element("details").classes("narrow"):
            said("Say it in numbers", "summary")
            live = Live()
            seam_form(bench, live, corner)
        press("Close", box.close)
    bench.live.add(lambda: live.update() if box.value and not box.is_deleted else None)
    box.open()
    ui.timer(0.05, fill, once=True)


def _waiting(words: str) -> ui.element:
    """The place of a way that is still worked out."""
    with ui.element("div").classes("way-room") as room, ui.element("div").classes("way waiting"):
        said(words, "b")
        said("working this out …", "small").props["role"] = "status"
    return room


def _way(bench: Bench, name: str, words: str, edits: Edits, seen: Preview, take: object) -> None:
    with ui.element("button").classes("way") as card:
        card.props["type"] = "button"
        corner = (
            next((c for c in seen.worked.cabinet.corners if c.name == name), None)
            if seen.worked
            else None
        )
        if corner is None or seen.worked is None:
            said(words, "b")
            said(str(seen.errors.errors[0]) if seen.errors else "It cannot be made.", "small")
            card.props["disabled"] = True
            return
        ui.html(seam_svg(seen.worked.cabinet, corner, words), sanitize=False)
        said(words, "b")
        said(
            f"tilt {abs(corner.first_tilt_deg):.1f}° on {bench.label(corner.first)}, "
            f"{abs(corner.second_tilt_deg):.1f}° on {bench.label(corner.second)}",
            "small",
        )
        grave = [f for f in seen.changes.findings_new if f.severity is not Severity.NOTE]
        if grave:
            said(
                f"brings {counted(len(grave), 'finding')}: {bench.say(grave[0].message)}", "small"
            ).classes("problem")
        gone = len(seen.changes.findings_gone)
        if gone and not grave:
            said(f"ends {counted(gone, 'finding')}", "small")
        now = not seen.changes.shape
        if now:
            said("as it is now", "small")
        card.props["aria-pressed"] = str(now).lower()
        card.on("click", lambda _: take(edits, words) if edits and callable(take) else None)


def seam_svg(cabinet: Cabinet, corner: Corner, label: str) -> str:
    """The two slabs near their corner, cut through."""
    y, z = corner.point
    slabs = [slab for slab in cabinet.slabs if slab.panel in (corner.first, corner.second)]
    paths = "".join(
        f'<path d="{_path(slab)}" fill="var(--{fill})" stroke="var(--ink)" stroke-width="0.9" stroke-linejoin="round"/>'
        for slab, fill in zip(slabs, ("fill-wood", "fill-pocket"), strict=False)
    )
    outline = " ".join(f"{cy:.2f},{-cz:.2f}" for cy, cz in cabinet.shape.corners.values())
    # The inside of the cabinet lies on one side of the corner: show more of that one.
    cy = sum(p[0] for p in cabinet.shape.corners.values()) / len(cabinet.shape.corners) - y
    cz = sum(p[1] for p in cabinet.shape.corners.values()) / len(cabinet.shape.corners) - z
    length = hypot(cy, cz) or 1.0
    at = (y + cy / length * ROOM * 0.3, z + cz / length * ROOM * 0.3)
    box = f"{at[0] - ROOM:.2f} {-at[1] - ROOM * 0.8:.2f} {2 * ROOM:.2f} {1.6 * ROOM:.2f}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img" '
        f'aria-label="{escape(label, quote=True)}">'
        f'<polygon points="{outline}" fill="none" stroke="var(--accent)" '
        f'stroke-width="0.5" stroke-dasharray="4 2"/>{paths}</svg>'
    )


def _path(slab: Slab) -> str:
    points = " L".join(f"{y:.3f} {-z:.3f}" for y, z in slab.polygon)
    return f"M{points}Z"


__all__ = ["ROOM", "choose_seam", "seam_svg", "seam_words"]
