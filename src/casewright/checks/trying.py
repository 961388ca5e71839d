"""Values of remedies that change the outline, its seams or a board's thickness, tried before they are named.

A thicker board reaches farther in, and a miter of it wants another tilt; a seam of another kind may leave nothing of a
panel; a recipe may not take a wish beside the others. What a value would bring is found with the outline alone, which
takes no time. A remedy whose value would bring a stop is said in words, with what stands against it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding, Remedy, mm
from casewright.basics.units import TOUCHING
from casewright.basics.wording import capital, listed
from casewright.checks.flat import flat_of
from casewright.checks.moving import label_of
from casewright.checks.places import deepened
from casewright.checks.sizes import outgrown, overall, size_of
from casewright.design.panels import Panel, Seam
from casewright.design.parts import Placement
from casewright.design.project import Project
from casewright.geometry.carcass import thicknesses
from casewright.geometry.model import Cabinet, Corner, Point2, Slab, SolvedShape
from casewright.geometry.recipes import solve_shape
from casewright.geometry.slabs import UNUSABLE_SEAM, VANISHES, cut_slabs
from casewright.geometry.thicker import stock_takes

CLOSE = 0.05
"""Nobody sets a blade finer. [deg]"""

_SEAM_RULES = ("seam.tilt", UNUSABLE_SEAM.id, VANISHES.id)


@dataclass(frozen=True)
class _Outline:
    shape: SolvedShape
    slabs: tuple[Slab, ...]
    corners: tuple[Corner, ...]
    findings: tuple[Finding, ...]


def tried(finding: Finding, cabinet: Cabinet) -> Finding:
    """Return the finding with no value among its remedies that the outline alone shows to be no cure."""
    if not any(_is_of_outline(f) for remedy in finding.remedies for f, _ in _values(remedy)):
        return finding
    remedies = [_tried(remedy, finding, cabinet) for remedy in finding.remedies]
    kept = [remedy for remedy in remedies if remedy is not None]
    return replace(finding, remedies=tuple(kept or (_words(r) for r in finding.remedies)))


def _is_of_outline(field: str) -> bool:
    section, _, rest = field.partition(".")
    return (
        section == "seams"
        or (section == "shape" and rest != "side.material")
        or (section in ("panels", "inner") and rest.endswith(".material"))
        or field == "site.height"  # recipes turn the screen to the eyes
        or section == "people"
    )


def _values(remedy: Remedy) -> tuple[tuple[str, Any], ...]:
    """All that a remedy writes."""
    return ((remedy.field, remedy.value), *remedy.also)


def _words(remedy: Remedy) -> Remedy:
    return Remedy(remedy.text)


def _tried(remedy: Remedy, finding: Finding, cabinet: Cabinet) -> Remedy | None:
    """The remedy, or its words with what stands against it; None for a seam that only swaps one stop for another."""
    if not any(_is_of_outline(f) for f, _ in _values(remedy)) or remedy.value is None:
        return remedy
    against = next(_against(remedy, finding, cabinet), None)
    if against is None:
        return _with_left_over(remedy, cabinet)
    if remedy.field.startswith("seams."):
        return None
    return Remedy(f"{remedy.text} {against}")


def _with_left_over(remedy: Remedy, cabinet: Cabinet) -> Remedy:
    """The remedy, with a word of what sits where a panel no longer reaches with it, or no longer fits its sheets."""
    outline = _outline(_changed(cabinet.project, _values(remedy)), cabinet)
    words = [remedy.text]
    for labels, panel, by, stays in list(_left_over(outline, cabinet))[:1]:
        name, them = capital(label_of(cabinet, panel)), listed(labels)
        end = f"then bring {them} in." if stays else f"it is too short for {them} then."
        words.append(f"{name} gets {mm(by)} shorter with it: {end}")
    was, now = (_depth(shape) for shape in (cabinet.shape, outline.shape))
    if len(words) == 1 and was - now > TOUCHING and cabinet.project.shape.recipe != "outline":
        words.append(
            f"The cabinet gets {mm(was - now)} shallower with it: see then that all in it has room."
        )
    for panel, high in list(_past_sheets(outline, cabinet))[:1]:
        words.append(
            f"But {label_of(cabinet, panel)} is {mm(high)} from end to end then, for which no sheet is large enough."
        )
    return remedy if len(words) == 1 else replace(remedy, text=" ".join(words))


def _depth(shape: SolvedShape) -> float:
    ys = [y for y, _ in shape.corners.values()]
    return max(ys) - min(ys)


def _past_sheets(outline: _Outline, cabinet: Cabinet) -> Iterator[tuple[str, float]]:
    """Panels that their sheets take now and would not any more, with their length along the run. [mm]"""
    for slab in outline.slabs:
        piece = cabinet.piece_by_key.get(slab.panel)
        if piece is None or not stock_takes(cabinet.project, piece.material, piece):
            continue
        (ey, ez), (y0, z0) = slab.run.direction, slab.run.p
        along = [(y - y0) * ey + (z - z0) * ez for y, z in slab.polygon]
        high = max(along) - min(along)
        low_u, low_v, high_u, _ = piece.extent
        high_u += outline.shape.width - cabinet.shape.width
        face = tuple((u, v) for v in (low_v, low_v + high) for u in (low_u, high_u))
        if not stock_takes(cabinet.project, piece.material, replace(piece, show=face, back=face)):
            yield slab.panel, high


def _left_over(outline: _Outline, cabinet: Cabinet) -> Iterator[tuple[list[str], str, float, bool]]:
    """What would cut past a panel's lower or upper end: labels, the panel, how much shorter it gets [mm].

    And whether its places are given; else it is as near to the panel's middle as before, and has no room there.
    """
    now = {slab.panel: slab for slab in cabinet.slabs}
    for slab in outline.slabs:
        piece, was = cabinet.piece_by_key.get(slab.panel), now.get(slab.panel)
        if piece is None or was is None:
            continue
        (low, high), (old_low, old_high) = _reach(slab), _reach(was)
        by = (old_high - old_low) - (high - low)
        if by <= TOUCHING:
            continue
        shift = (low + high - old_low - old_high) / 2
        past: dict[str, bool] = {}
        for feature in piece.features:
            placed = cabinet.placed_by_key.get(feature.owner)
            if placed is None:
                continue
            given = _is_given(cabinet, placed.wish)
            _, least, _, most = flat_of(feature.shape).box
            moved = 0.0 if given else shift
            if max(low - least - moved, most + moved - high) > TOUCHING:
                past[placed.key] = given
        for given in (True, False):
            count = Counter(
                cabinet.placed_by_key[k].label for k, its in past.items() if its is given
            )
            if count:
                yield (
                    [name if n == 1 else f"{n} × {name}" for name, n in count.items()],
                    slab.panel,
                    by,
                    given,
                )


def _reach(slab: Slab) -> tuple[float, float]:
    """Between which v both faces of a panel are there. [mm]"""
    run = slab.run
    (ey, ez), (y0, z0) = run.direction, run.p if run.climbs else run.q
    sign = 1.0 if run.climbs else -1.0

    def v(point: Point2) -> float:
        return sign * ((point[0] - y0) * ey + (point[1] - z0) * ez)

    show = sorted((v(slab.show_start), v(slab.show_end)))
    back = sorted((v(slab.back_start), v(slab.back_end)))
    return max(show[0], back[0]), min(show[1], back[1])


def _is_given(cabinet: Cabinet, wish: Placement) -> bool:
    """Whether how far up it sits is given, by itself or by what it follows; else it moves with the panel's middle."""
    wishes = {w.key: w for part in cabinet.project.parts.values() for w in part.placed}
    seen: set[str] = set()
    while wish.v is None and wish.like is not None and wish.key not in seen:
        seen.add(wish.key)
        wish = wishes[wish.like]
    return wish.v is not None


def _against(remedy: Remedy, finding: Finding, cabinet: Cabinet) -> Iterator[str]:
    """What a remedy's values would bring, in words."""
    try:
        project = _changed(cabinet.project, _values(remedy))
        outline = _outline(project, cabinet)
    except InputErrors as errors:
        error = errors.errors[0]
        yield f"Another wish stands against it, {error.field}: {error.want} would be asked."
        return
    except (KeyError, ValueError):
        yield "That is past what may be written for it."
        return
    before = set(_steep(cabinet.corners, cabinet.project.shop.tilt_most))
    for panel, other in _steep(outline.corners, project.shop.tilt_most):
        if (panel, other) not in before:
            tilt = _tilt(outline.corners, panel, other)
            met = f" where it meets {label_of(cabinet, other)}" if other else ""
            yield (
                f"Change a seam with it: {label_of(cabinet, panel)}{met} would need a saw tilt of {tilt:.1f}°, and the "
                f"saw tilts to {project.shop.tilt_most:g}°."
            )
    told = {(f.rule, f.place.names) for f in cabinet.findings}
    own = (finding.rule, finding.place.names)
    for found in outline.findings:
        if (found.rule, found.place.names) not in told - {own}:
            yield f"Nothing would be left of {label_of(cabinet, found.place.names[0])} then."
    if finding.rule == "seam.tilt" and set(finding.place.names) in [
        {panel, other} - {""} for panel, other in _steep(outline.corners, project.shop.tilt_most)
    ]:
        yield "That alone is not enough."
    against = _too_large(outline.shape, cabinet)
    if against:
        yield against
    for field, value in _values(remedy):
        if field.endswith(".material") and outline.shape.corners == cabinet.shape.corners:
            yield from _in_the_way(field, value, project, cabinet)


def _too_large(shape: SolvedShape, cabinet: Cabinet) -> str:
    """What a cabinet that grows has no room for any more: its place, or a passage."""
    more = []
    for axis in (0, 1):
        was, now = ([c[axis] for c in s.corners.values()] for s in (cabinet.shape, shape))
        more.append((max(now) - min(now)) - (max(was) - min(was)))
    wider, (deeper, higher) = shape.width - cabinet.shape.width, more
    if max(wider, deeper, higher) <= TOUCHING:
        return ""
    deep = size_of(overall(cabinet))[1] + deeper if deeper > TOUCHING else None
    return outgrown(cabinet, deep, wide=wider, high=higher)


def _in_the_way(field: str, value: Any, project: Project, cabinet: Cabinet) -> Iterator[str]:
    """What a thicker board would reach into."""
    key = field.split(".")[1]
    host = cabinet.piece_by_key.get(key)
    if host is None or not isinstance(value, str):
        return
    more = project.materials[value].thickness - host.thickness
    if more <= TOUCHING:
        return
    met = deepened(cabinet, key, more)
    if met:
        yield (
            f"First give it room: it reaches {mm(more)} farther in, and {label_of(cabinet, met)} stands there."
        )


def _outline(project: Project, cabinet: Cabinet) -> _Outline:
    shape = solve_shape(project, cabinet.parts)
    slabs, corners, findings = cut_slabs(
        shape, thicknesses(project, shape), tilt_most=project.shop.tilt_most
    )
    return _Outline(shape, slabs, corners, findings)


def _steep(corners: tuple[Corner, ...], most: float) -> Iterator[tuple[str, str]]:
    """Panel and neighbor of each end past the saw's tilt [deg]."""
    for corner in corners:
        for panel, other, tilt in (
            (corner.first, corner.second, corner.first_tilt_deg),
            (corner.second, corner.first, corner.second_tilt_deg),
        ):
            if panel and abs(tilt) > most + CLOSE:
                yield panel, other


def _tilt(corners: tuple[Corner, ...], panel: str, other: str) -> float:
    return max(
        abs(corner.first_tilt_deg if corner.first == panel else corner.second_tilt_deg)
        for corner in corners
        if {corner.first, corner.second} == {panel, other}
    )


# ---- values written into a project -----------------------------------------------------------------------------------


def _changed(project: Project, values: tuple[tuple[str, Any], ...]) -> Project:
    """The project with values of its outline, panels and seams changed.

    Raises:
        ValueError: The value is past its limits.
        KeyError: There is no such place.
    """
    for field, value in values:
        section, _, rest = field.partition(".")
        if section == "seams":
            project = _with_seam(project, rest, value)
        elif section == "panels":
            key, _, name = rest.partition(".")
            panel = project.panels.get(key, Panel()).model_copy(update={name: value})
            panels = {**project.panels, key: panel}
            project = project.model_copy(update={"panels": panels})
        elif field == "site.height":
            site = project.site.model_copy(update={"height": value})
            project = project.model_copy(update={"site": site})
        elif section == "people":
            number, _, name = rest.partition(".")
            people = list(project.people)
            people[int(number)] = people[int(number)].model_copy(update={name: value})
            project = project.model_copy(update={"people": tuple(people)})
        elif section == "shape":
            project = project.model_copy(update={"shape": _with_shape(project, rest, value)})
        # What lies outside the outline does not change it.
    return project


def _with_shape(project: Project, rest: str, value: Any) -> Any:
    shape = project.shape
    given = {name: getattr(shape, name) for name in shape.model_fields_set}
    steps = rest.split(".")
    if steps[0] == "corners" and len(steps) == 3:
        corner = list(given["corners"][steps[1]])
        corner[int(steps[2])] = value
        given["corners"] = {**given["corners"], steps[1]: tuple(corner)}
    elif len(steps) == 1:
        given[rest] = value
    else:
        raise KeyError(rest)
    return type(shape).model_validate(given, context={"unit": "mm"})


def _with_seam(project: Project, rest: str, value: Any) -> Project:
    names, _, name = rest.partition(".")
    first, second = names.split("/")
    old = next((s for s in project.seams if set(s.between) == {first, second}), None)
    seam = old or Seam(between=(first, second))
    if name == "over":
        rule = "gap" if seam.rule == "gap" else "cover"
        seam = seam.model_copy(update={"rule": rule, "over": value})
    elif name == "rule":
        seam = seam.model_copy(update={"rule": value, "over": None})
    elif "." in name:
        group, panel = name.split(".")
        seam = seam.model_copy(update={group: {**getattr(seam, group), panel: value}})
    else:
        seam = seam.model_copy(update={name: value})
    others = tuple(s for s in project.seams if s is not old)
    return project.model_copy(update={"seams": (*others, seam)})


__all__ = ["CLOSE", "tried"]
