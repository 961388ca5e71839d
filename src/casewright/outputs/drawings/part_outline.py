"""A piece's own ground and edges on the face that is seen, bevels included."""

from __future__ import annotations

from collections.abc import Sequence

from casewright.outputs.drawings.face_view import SQUARE, FaceView
from casewright.outputs.drawings.marks import Line, Mark, Material, Operation, Polyline, Region


def outline_marks(view: FaceView, ground: Material) -> tuple[Mark, ...]:
    """The part's own ground, its blank and its edges on both faces."""
    cut = Operation("cut", tool="saw")
    near, far = view.near, view.far
    region = Region(Polyline(near), material=ground)
    if not view.bevels:
        return (region, Polyline(near, operation=cut))
    blank = _blank(view)
    marks: list[Mark] = [
        Region(Polyline(blank), material=ground),
        Polyline(blank, operation=cut),
    ]
    for index in range(len(near)):
        after = (index + 1) % len(near)
        for points, seen in ((near, True), (far, False)):
            a, b = points[index], points[after]
            if not _on_outline(a, b, blank):
                bevel = Operation("bevel", view.face, tool="saw") if seen else None
                marks.append(Line(a, b, "visible" if seen else "hidden", bevel))
    return tuple(marks)


def _blank(view: FaceView) -> tuple[tuple[float, float], ...]:
    """The smallest outline round both faces."""
    from shapely.geometry import MultiPoint
    from shapely.geometry.polygon import orient

    hull = MultiPoint([*view.near, *view.far]).convex_hull
    return tuple((x, y) for x, y in orient(hull).exterior.coords[:-1])


def _on_outline(
    a: tuple[float, float], b: tuple[float, float], outline: Sequence[tuple[float, float]]
) -> bool:
    from shapely.geometry import LinearRing, LineString

    return bool(LinearRing(outline).buffer(SQUARE).covers(LineString([a, b])))


__all__ = ["outline_marks"]
