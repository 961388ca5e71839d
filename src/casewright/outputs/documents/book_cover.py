"""The cover: what it will be, in one picture and the figures that decide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from casewright.basics.findings import Severity
from casewright.basics.wording import counted, listed
from casewright.checks.sizes import overall, size_of
from casewright.outputs.documents.book_blocks import Block, Writer, clean, cut_short
from casewright.outputs.drawings.hidden_lines import LinePicture, project_lines
from casewright.outputs.drawings.marks import Drawing, Mark, Polyline
from casewright.outputs.drawings.plain_pieces import without_small
from casewright.outputs.drawings.viewpoint import VIEWS, View

EXPLODED = 0.55
"""Pieces are moved out by this share of their distance from the middle."""


def cover(writer: Writer) -> Block:
    """Title, the cabinet in space, its pieces apart, sizes, and how far it can be trusted."""
    cabinet = writer.cabinet
    project = cabinet.project
    view = VIEWS["cover"]
    high = size_of(overall(cabinet))[2]
    plain = replace(cabinet, pieces=without_small(cabinet.pieces, high / 100))
    whole = view_drawing("The cabinet", project_lines(plain, view))
    plain = replace(cabinet, pieces=without_small(cabinet.pieces, high / 40))
    apart = project_lines(plain, view, explode=EXPLODED, bodies=False, least=1.0)
    exploded = view_drawing("The pieces apart", apart, pen_thin=True)
    name = clean(project.name)
    notes = clean(" ".join(project.notes.split()))
    return {
        "kind": "cover",
        "over": "Bench book",
        "title": cut_short(name, 160),
        "size": 28 if len(name) <= 40 else 20 if len(name) <= 90 else 15,
        "notes": cut_short(notes, 420),
        "main": _sized(writer, whole, (writer.width, writer.height * 0.44)),
        "exploded": _sized(writer, exploded, (writer.width * 0.44, writer.height * 0.27)),
        "facts": [[clean(a), clean(b)] for a, b in cover_facts(writer)],
        "statements": [clean(line) for line in statements(writer)],
    }


def cover_facts(writer: Writer) -> list[tuple[str, str]]:
    """The figures that decide."""
    source, cabinet = writer.source, writer.cabinet
    balance, budget = source.balance, cabinet.project.limits.budget
    mass = writer.mass(balance.total_kg)
    if not balance.is_complete:
        mass = f"{mass} and {counted(len(balance.missing), 'part')} not weighed"
    sheets = sum(plan.plan.bought for plan in source.cutting.plans)
    cost = f"{source.shopping.cost.value:.0f}"
    if budget is not None:
        cost += f" of {budget:.0f}"
    return [
        ("over all (w × d × h)", writer.sizes(*size_of(overall(cabinet)))),
        ("mass", mass),
        ("sheets to buy", str(sheets)),
        ("still to pay", f"{cost} {cabinet.project.currency}"),
        ("pieces to make", str(len(cabinet.pieces))),
        ("state of the project", writer.fingerprint),
    ]


def statements(writer: Writer) -> Sequence[str]:
    """What is measured, what assumed, and whether to cut."""
    parts = writer.cabinet.parts.values()
    origins = [origin for part in parts for origin in part.origin.values()]
    measured = sum(origin == "measured" for origin in origins)
    open_parts = sum(any(o == "assumed" for o in part.origin.values()) for part in parts)
    rests = f"{counted(open_parts, 'part')} {'rests' if open_parts == 1 else 'rest'}"
    materials = writer.cabinet.project.materials
    sheets = [m.label or key for key, m in materials.items() if m.measured is None]
    lines = [
        f"Measured: {measured} dimensions of bought parts. Assumed: "
        f"{sum(o == 'assumed' for o in origins)}. From catalog or usual: "
        f"{sum(o in ('catalog', 'default') for o in origins)}."
        + (f" {rests} on assumptions." if open_parts else ""),
    ]
    if sheets:
        lines.append(f"Thickness not measured yet: {listed(sheets)}.")
    stops = sum(f.severity is Severity.STOP for f in writer.source.findings)
    if stops:
        lines.append(
            f"Do not cut yet: {stops} {'finding says' if stops == 1 else 'findings say'} stop. "
            "See the next chapter."
        )
    lines.append(
        "Local codes, the makers' instructions and licensed trades go before anything printed here."
    )
    return lines


def view_drawing(title: str, picture: LinePicture, *, pen_thin: bool = False) -> Drawing:
    """A line picture as a drawing in true millimeters."""
    marks: list[Mark] = []
    for lines, pen in ((picture.hidden, "hidden"), (picture.visible, "visible")):
        for line in lines:
            name = "thin" if pen == "visible" and (pen_thin or "." in line.key) else pen
            points = line.points[:-1] if line.is_closed else line.points
            marks.append(
                Polyline(points, closed=line.is_closed, pen="thin")
                if name == "thin"
                else Polyline(points, closed=line.is_closed, pen="visible")
                if name == "visible"
                else Polyline(points, closed=line.is_closed, pen="hidden")
            )
    return Drawing(title, tuple(marks))


def _sized(writer: Writer, drawing: Drawing, room: tuple[float, float]) -> Block:
    scale = min(room[0] / drawing.bounds.width, room[1] / drawing.bounds.height)
    sized = Drawing(drawing.title, drawing.marks, drawing.bounds, scale=scale)
    return writer.drawing(sized, margin=0.5)


__all__ = ["View", "cover", "cover_facts", "statements", "view_drawing"]
