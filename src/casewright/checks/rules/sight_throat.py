"""Whoever plays sees the whole picture through the opening."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_least, mm
from casewright.basics.units import TOUCHING, shown_beyond
from casewright.behavior.seeing import Sighting, View
from casewright.behavior.throat import EdgeSeen
from casewright.checks.moving import placed_field
from casewright.checks.subject import Subject
from casewright.design.parts import Opening
from casewright.design.writing import length_style
from casewright.geometry.display_face import LAP_LEAST
from casewright.geometry.display_findings import BEARING_LAND
from casewright.geometry.model import Cabinet

RULE = Rule(
    id="sight.throat",
    severity=Severity.CAUTION,
    asks="The opening hides no more of the picture's edge than limits.hidden from anybody who plays.",
    why="A thick panel covers the rows behind its edge from eyes that look across it: scores and menus stand there.",
    source="Project setting",
)

_ACROSS, _UP = ("left", "right"), ("lower", "upper")


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each display; one for each direction where the opening has a size of its own."""
    if subject.behavior is None:
        return
    for sighting in subject.behavior.sight.sightings:
        wish = sighting.placed.wish.opening or Opening()
        sizes = (wish.width, wish.height)
        ways = ((0,), (1,)) if any(size is not None for size in sizes) else ((0, 1),)
        for way in ways:
            if (made := _found(subject.cabinet, sighting, wish, way)) is not None:
                yield made


def _found(
    cabinet: Cabinet, sighting: Sighting, wish: Opening, way: tuple[int, ...]
) -> Finding | None:
    names = [name for number in way for name in (_ACROSS, _UP)[number]]
    most = cabinet.project.limits.hidden
    hidden = [
        (edge, view)
        for view in sighting.playing
        for edge in view.edges
        if edge.name in names and edge.hidden > most + TOUCHING
    ]
    if not hidden:
        return None
    edge, view = max(hidden, key=lambda pair: pair[0].hidden)
    others = len({v.number for _, v in hidden}) - 1
    more = f" and, less of it, from {others} more" if others else ""
    return RULE.finding(
        f"The opening's {edge.name} edge hides {mm(edge.hidden)} of the picture of {sighting.label} from "
        f"{view.viewer.label}{more}; {mm(most)} at most is asked.",
        remedies=_remedies(cabinet, sighting, wish, way, edge, view),
        names=(sighting.key, sighting.placed.piece),
        point=sighting.throat.frame.point(*_spot(sighting, edge)),
    )


def _remedies(
    cabinet: Cabinet,
    sighting: Sighting,
    wish: Opening,
    way: tuple[int, ...],
    edge: EdgeSeen,
    view: View,
) -> tuple[Remedy, ...]:
    """The chamfer alone, the opening alone, or both; and where to look from."""
    placed = sighting.placed
    deepest = max(sighting.through - BEARING_LAND, 0.0)
    made: list[Remedy] = []
    if sighting.chamfer < sighting.chamfer_asked <= deepest:
        made.append(
            Remedy(
                f"Make the chamfer round the opening {mm(sighting.chamfer_asked)}.",
                placed_field(cabinet, placed, "opening.chamfer"),
                sighting.chamfer_asked,
            )
        )
    # The housing must still lap the panel beside the opening.
    room = min(sighting.bezels[side] for number in way for side in (number, number + 2)) - LAP_LEAST
    asked = max(sighting.margin_asked(sighting.chamfer, up=bool(number)) for number in way)
    if asked <= room + TOUCHING:
        made.append(_wider(cabinet, sighting, wish, way, asked))
    elif deepest > sighting.chamfer:
        style = length_style(cabinet.project)
        chamfer = shown_beyond(deepest, style, up=False)
        both = max(sighting.margin_asked(chamfer, up=bool(number)) for number in way)
        both = shown_beyond(both, style, up=True)
        if sighting.chamfer < chamfer and both <= room + TOUCHING:
            wider = _wider(cabinet, sighting, wish, way, both)
            assert wider.value is not None
            made.append(
                Remedy(
                    f"Make the chamfer round the opening {mm(chamfer)}, and {wider.text.removeprefix('Make ')}",
                    placed_field(cabinet, placed, "opening.chamfer"),
                    chamfer,
                    also=((wider.field, wider.value),),
                )
            )
    made = [_in_its_panel(cabinet, sighting, remedy, way) for remedy in made]
    if edge.beyond <= TOUCHING or min(sighting.margins[number] for number in way) < -TOUCHING:
        return tuple(made)  # hidden from straight before it as well
    made.append(
        Remedy(
            f"Or bring the eyes nearer to the middle: the eye of {view.viewer.label} is {mm(edge.beyond)} outward of "
            f"the picture's {edge.name} edge; from within its edges nothing is hidden."
        )
    )
    return tuple(made)


def _in_its_panel(
    cabinet: Cabinet, sighting: Sighting, remedy: Remedy, way: tuple[int, ...]
) -> Remedy:
    """The order; without its values where chamfer and opening would run past the edge of the panel's show face."""
    piece = cabinet.piece_by_key[sighting.placed.piece]
    values = {field.rpartition(".")[2]: value for field, value in _values(remedy)}
    chamfer = values.get("chamfer", sighting.chamfer)
    wider = [0.0, 0.0]
    for number in way:
        name, size = (("width", sighting.throat.width), ("height", sighting.throat.height))[number]
        if name in values:
            wider[number] = (values[name] - size) / 2
        elif "margin" in values:
            wider[number] = values["margin"] - sighting.margins[number]
    u, v = sighting.placed.u, sighting.placed.v
    us, vs = zip(*piece.show, strict=True)
    half_u = sighting.throat.width / 2 + wider[0] + chamfer
    half_v = sighting.throat.height / 2 + wider[1] + chamfer
    past = max(
        min(us) - (u - half_u),
        (u + half_u) - max(us),
        min(vs) - (v - half_v),
        (v + half_v) - max(vs),
    )
    if past <= TOUCHING:
        return remedy
    return Remedy(
        f"{remedy.text} First give it room: it would run {mm(past)} past the edge of {piece.label}."
    )


def _values(remedy: Remedy) -> tuple[tuple[str, float], ...]:
    """The lengths that an order writes."""
    both = ((remedy.field, remedy.value), *remedy.also)
    return tuple((field, value) for field, value in both if isinstance(value, float | int))


def _wider(
    cabinet: Cabinet, sighting: Sighting, wish: Opening, way: tuple[int, ...], asked: float
) -> Remedy:
    size = (wish.width, wish.height)[way[0]]
    if len(way) == 1 and size is not None:
        name = ("width", "height")[way[0]]
        value = (sighting.throat.width, sighting.throat.height)[way[0]] + 2 * asked
        return Remedy(
            f"Make the opening's {name} {mm(value)}; {at_least(asked)} of the housing shows at both edges then: paint "
            "it dull black.",
            placed_field(cabinet, sighting.placed, f"opening.{name}"),
            value,
        )
    return Remedy(
        f"Make the opening {mm(asked)} larger than the lit area on every edge; as much of the housing shows then: "
        "paint it dull black.",
        placed_field(cabinet, sighting.placed, "opening.margin"),
        asked,
    )


def _spot(sighting: Sighting, edge: EdgeSeen) -> tuple[float, float, float]:
    left, lower, right, upper = sighting.throat.outline
    places = {"left": (left, 0.0), "lower": (0.0, lower), "right": (right, 0.0)}
    return (*places.get(edge.name, (0.0, upper)), 0.0)


__all__ = ["RULE", "find"]
