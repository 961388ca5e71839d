"""Sheet: who sees what of the picture."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import mm
from casewright.basics.wording import fine
from casewright.behavior.clear_sheets import inset, shift
from casewright.behavior.seeing import ASIDE_DEG, FACE_LEAST_DEG, LEVEL_DEG, Sighting, View
from casewright.behavior.sight import LETTER_ARCMIN, Sight, filled_deg, letter_height
from casewright.behavior.throat import EdgeSeen
from casewright.behavior.whole import Behavior
from casewright.design.writing import length_style
from casewright.geometry.model import Cabinet
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet
from casewright.outputs.topics.sight_pictures import (
    HAIR,
    as_seen,
    at_the_edge,
    from_above,
    from_the_side,
    is_abreast,
    widened,
)


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """What everybody sees of every display; nothing where there is none."""
    sight = behavior.sight
    if not sight.sightings:
        return None
    return TopicSheet(
        key="sight",
        title="Sight",
        question="Does everybody see the whole picture?",
        answer=" ".join(_answer(sighting) for sighting in sight.sightings),
        pictures=tuple(_pictures(cabinet, sight)),
        tables=tuple(_tables(sight)),
        numbers=tuple(
            f"sight.{sighting.key}.{name}"
            for sighting in sight.sightings
            for name in _deciding(sighting)
        ),
        notes=tuple(_notes(cabinet, sight)),
    )


def _answer(sighting: Sighting) -> str:
    label = sighting.label
    losing = [view for view in sighting.views if view.shades or view.hidden > HAIR]
    if not losing:
        seen = f"The whole picture of {label} is seen by everybody."
    else:
        worst = min(losing, key=lambda view: view.share)
        lost = f"{worst.viewer.label} loses most: {1 - worst.share:.1%} of it"
        clear = len(sighting.views) - len(losing)
        others = f"; {clear} of {len(sighting.views)} see all" if clear else ""
        seen = f"Of the picture of {label}, {lost}{others}."
    glares = {
        image.light.label for view in sighting.views for image in view.mirrored if image.is_seen
    }
    return f"{seen} Mirrored in it: {', '.join(sorted(glares))}." if glares else seen


def _pictures(cabinet: Cabinet, sight: Sight) -> Iterator[Picture]:
    style = length_style(cabinet.project)
    for sighting in sight.sightings:
        yield Picture(
            as_seen(sighting, style),
            f"{sighting.label} as each person sees it: hatched is hidden, gray is housing that shows; both drawn "
            f"{widened(sighting):g} times as wide{'; white is a lamp mirrored' if sight.lights else ''}",
        )
        yield Picture(
            from_the_side(cabinet, sighting, sight.lights), f"Lines of sight to {sighting.label}"
        )
        if is_abreast(sighting):
            yield Picture(
                from_above(cabinet, sighting),
                f"Lines of sight to {sighting.label}, from above: whose eye, and how far off square it looks",
            )
        worst = _worst_edge(sighting)
        if worst is not None:
            edge, view = worst
            yield Picture(
                at_the_edge(sighting, edge, view, style),
                f"The opening's {edge.name} edge, cut: where most is lost",
            )


def _worst_edge(sighting: Sighting) -> tuple[EdgeSeen, View] | None:
    """Where the opening hides most."""
    pairs = [(edge, view) for view in sighting.views for edge in view.edges]
    worst = max(pairs, key=lambda pair: pair[0].hidden, default=None)
    return worst if worst is not None and worst[0].hidden > HAIR else None


def _tables(sight: Sight) -> Iterator[Rows]:
    for sighting in sight.sightings:
        rows = []
        for view in sighting.views:
            edge = max(view.edges, key=lambda e: e.hidden, default=None)
            lost = f"{mm(edge.hidden)} {edge.name}" if edge and edge.hidden > HAIR else "–"
            blocked = ", ".join(shade.label for shade in view.shades) or "–"
            rows.append(
                (
                    f"{view.number} {view.viewer.label}",
                    mm(view.distance),
                    _level(view),
                    f"{view.off_square_deg:.0f}°",
                    f"{filled_deg(sighting.throat.width, view.distance):.0f}°",
                    lost,
                    blocked,
                    *([f"{view.light:.0%}"] if sighting.throat.sheets else []),
                )
            )
        yield Rows(
            f"Who looks at {sighting.label}",
            (
                "who",
                "distance",
                "looks",
                "off square",
                "fills",
                "hidden by the opening",
                "in the way",
                *(["light let through"] if sighting.throat.sheets else []),
            ),
            tuple(rows),
            (1, 2, 3, 4, 5, *([7] if sighting.throat.sheets else [])),
        )
        yield _settings(sighting)


def _level(view: View) -> str:
    """The line of sight to the picture's middle, over or under level."""
    up = view.level_deg
    return "level" if abs(up) < 0.5 else f"{abs(up):.0f}° {'up' if up > 0 else 'down'}"


def _settings(sighting: Sighting) -> Rows:
    """What is, and what would serve all who play."""
    chamfer, tilt = sighting.chamfer, sighting.tilt
    asked = [sighting.margin_asked(chamfer, up=up) for up in (False, True)]
    farthest = max(view.distance for view in sighting.views)
    rows = [
        ("opening beyond the picture, at the sides", mm(sighting.margins[0]), mm(asked[0])),
        ("opening beyond the picture, above and below", mm(sighting.margins[1]), mm(asked[1])),
        ("chamfer, with that opening", mm(chamfer), _chamfer(sighting)),
    ]
    if tilt is not None:
        fits = tilt.least_deg <= tilt.most_deg
        span = f"{max(tilt.least_deg, 0.0):.0f}° to {tilt.most_deg:.0f}°" if fits else "no one tilt"
        rows.append(
            (
                "screen laid back from upright",
                f"{tilt.now_deg:.1f}°",
                f"best {max(tilt.best_deg, 0.0):.0f}°; {span}",
            )
        )
    rows.append(("letters that the farthest reads easily", "", mm(letter_height(farthest))))
    return Rows("What hides nothing", ("what", "is", "serves all"), tuple(rows), (1, 2))


def _chamfer(sighting: Sighting) -> str:
    asked = sighting.chamfer_asked
    return mm(asked) if asked < sighting.through - HAIR else "none does"


def _deciding(sighting: Sighting) -> Iterator[str]:
    for view in sighting.views:
        edge = max(view.edges, key=lambda e: e.hidden, default=None)
        if edge is not None and edge.hidden > HAIR:
            yield f"{view.number}.hidden_{edge.name}"
        yield f"{view.number}.share"
    yield from ("margin_sides", "margin_upright", "chamfer")
    if sighting.tilt is not None:
        yield from ("tilt_best", "tilt_least", "tilt_most")
    yield "letters"


def _notes(cabinet: Cabinet, sight: Sight) -> Iterator[str]:
    usual = [v.viewer.label for v in sight.sightings[0].views if v.viewer.usual]
    if usual:
        yield f"Eyes at a usual height: {', '.join(usual)}. Measure who will use it, and give people.*.eye."
    before = [
        v.viewer.label
        for v in sight.sightings[0].views
        if v.viewer.player is not None and v.viewer.person.aside is None
    ]
    if len(before) > 1:
        yield f"Each before the own controls: {', '.join(before)}. Give people.*.aside where somebody sits elsewhere."
    setback = [
        s.label
        for s in sight.sightings
        if "glass_setback" not in s.placed.part.origin
        or s.placed.part.origin["glass_setback"] != "measured"
    ]
    if setback:
        yield (
            "The glass is reckoned level with the front of its housing unless glass_setback says how far behind it "
            "lies: measure it, each bit of depth hides as much more."
        )
    bare = [s for s in sight.sightings if not s.throat.glass]
    steep = max((s.steepest(up=up) for s in bare for up in (False, True)), default=0.0)
    if steep > 0:
        more = fine(inset(steep, 1.0), inches=cabinet.project.unit == "in")
        yield (
            "Glass over the picture bends the line of sight and hides more of its edge: write its thickness as glass. "
            f"Here each millimeter of it would hide {more} more from who looks most aslant."
        )
    yield from _sheet_notes(cabinet, sight)
    below, above = LEVEL_DEG
    yield (
        f"Asked is at least {FACE_LEAST_DEG:g}° between a line of sight and the screen's face. Restful is what lies "
        f"from {above:g}° above to {-below:g}° below level and no more than {ASIDE_DEG:g}° to a side. Some panels "
        f"turn pale from below much earlier: try the real one. Letters: {LETTER_ARCMIN:g} minutes of arc."
    )
    if not sight.lights:
        yield "No lamp is named: give site.lamps their height, distance and aside, and what is mirrored is told."


def _sheet_notes(cabinet: Cabinet, sight: Sight) -> Iterator[str]:
    """What the clear sheets before the openings do."""
    inches = cabinet.project.unit == "in"
    for sighting in sight.sightings:
        sheets = sighting.throat.sheets
        lights = [view.light for view in sighting.views if view.eye[2] > 0]
        if not sheets or not lights:
            continue
        steep = max(sighting.steepest(up=up) for up in (False, True))
        moved = shift(steep, sheets)
        by = f", by up to {fine(moved, inches=inches)} here" if steep > 0 else ""
        yield (
            f"The clear sheet before {sighting.label} bends lines of sight so that a little more of the picture's edge "
            f"is seen{by}; that is counted. It lets {min(lights):.0%} of the picture's light through at the least, and "
            "mirrors lamps with both its faces as the glass does: choose a matt face where a lamp is mirrored."
        )


__all__ = ["sheet"]
