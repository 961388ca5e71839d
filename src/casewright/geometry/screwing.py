"""Screws through cleats, from inside: their choice, their holes, and what is wrong with the wished ones."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.units import TOUCHING
from casewright.design.project import Project
from casewright.geometry.fastening import (
    BITE_DRY,
    BITE_GLUED,
    SHOW_FACE_ROOM,
    ScrewChoice,
    ScrewSize,
    choose_screw,
    clearance_diameter,
    judge_screw,
    longest_allowed,
    pilot_diameter,
    screw_places,
)
from casewright.geometry.fitting import Fitted
from casewright.geometry.holding_screws import wood_screws
from casewright.geometry.model import Circle, Fastening, Feature, Piece, SolvedShape
from casewright.geometry.thicker import SECTIONS, thicker_board

THROUGH = Rule(
    id="screw.show-face",
    severity=Severity.STOP,
    asks=f"A screw's tip stays {SHOW_FACE_ROOM:g} mm behind a show face.",
    why="A screw that comes through, or lifts a blister, spoils a finished face.",
    source="Common practice",
)
BITE = Rule(
    id="screw.bite",
    severity=Severity.CAUTION,
    asks=f"A screw's thread bites {BITE_GLUED:g} times its diameter beside glue, {BITE_DRY:g} times without.",
    why="A short bite strips when the glue is clamped, and holds nothing if the glue fails.",
    source="Common practice",
)


def screw_cleats(
    project: Project,
    shape: SolvedShape,
    pieces: Sequence[Piece],
    cleats: Sequence[Piece],
    screws: Sequence[ScrewSize],
) -> Fitted:
    """Screws of every cleat into its panel and into the side it runs along."""
    by_key = {piece.key: piece for piece in pieces}
    features: list[tuple[str, Feature]] = []
    fastenings: list[Fastening] = []
    findings: list[Finding] = []
    said: set[tuple[str, str]] = set()
    for cleat in cleats:
        host = by_key[cleat.panel]
        side = _side_of(cleat, by_key)
        choice: ScrewChoice | None = None
        told: list[Finding] = []
        if host.fixing in ("magnets", "locks"):
            pass  # the cleat is only a stop: the panel comes off without a screw
        else:
            choice, told = _into_panel(project, shape, cleat, host, screws)
        for finding in told:
            if (host.key, finding.rule) not in said:
                said.add((host.key, finding.rule))
                findings.append(finding)
        (u0, v0, u1, v1) = cleat.extent
        along_u = u1 - u0 > v1 - v0
        places = screw_places(u1 - u0 if along_u else v1 - v0)
        if choice is not None and not along_u:
            places = _in_wood(cleat, host, choice, places)
        if choice is not None:
            fastenings.append(
                _fastening(f"{cleat.key}.screws", cleat.key, host.key, choice, len(places))
            )
            for number, place in enumerate(places, start=1):
                u = u0 + place if along_u else (u0 + u1) / 2
                v = _middle_v(cleat, host) if along_u else v0 + place
                features += _holes(cleat, host, choice, u, v, number)
        if side is not None and not along_u:
            side_features, fastening = _into_side(cleat, side, screws, places)
            features += side_features
            if fastening:
                fastenings.append(fastening)
    return Fitted(features=tuple(features), fastenings=tuple(fastenings), findings=tuple(findings))


def split_by_screws(screwed: Fitted, cleats: Sequence[Piece]) -> set[str]:
    """Panels with a cleat that a screw's hole or the bore for its head runs out of."""
    by_key = {cleat.key: cleat for cleat in cleats}
    found: set[str] = set()
    for key, feature in screwed.features:
        cleat = by_key.get(key)
        if cleat is None or not isinstance(feature.shape, Circle):
            continue
        low_u, low_v, high_u, high_v = cleat.extent
        hole, half = feature.shape, feature.shape.diameter / 2
        beside = min(hole.u - low_u, high_u - hole.u, hole.v - low_v, high_v - hole.v) - half
        below = math.inf if feature.depth is None else cleat.thickness - feature.depth
        if min(beside, below) <= TOUCHING:
            found.add(cleat.panel)
    return found


BESIDE = 3.0
"""Of the panel beside a screw's pilot, where a bevel runs in under it. Source: common practice. [mm]"""


def _in_wood(
    cleat: Piece, host: Piece, choice: ScrewChoice, places: tuple[float, ...]
) -> tuple[float, ...]:
    """Places along a cleat at which the panel is there as deep as the screw goes; as they are if they all are so. [mm]

    A steep bevel takes the panel away from over the cleat's end.
    """
    share = _pilot_depth(choice, host) / host.thickness
    shows, backs = [v for _, v in host.show], [v for _, v in host.back]
    low = max(min(backs), min(backs) + (min(shows) - min(backs)) * share)
    high = min(max(backs), max(backs) + (max(shows) - max(backs)) * share)
    _, v0, _, v1 = cleat.extent
    room = pilot_diameter(choice.screw) / 2 + BESIDE
    if all(low + room <= v0 + place <= high - room for place in places):
        return places
    start, end = max(v0, low), min(v1, high)
    if end - start < 2 * room:
        return places  # none is, which is told
    return tuple(start - v0 + place for place in screw_places(end - start))


def _pilot_depth(choice: ScrewChoice, host: Piece) -> float:
    """How deep the pilot hole goes into the panel's back. [mm]"""
    return max(1.0, min(choice.bite + 1.0, host.thickness - 1.0))


def _into_panel(
    project: Project,
    shape: SolvedShape,
    cleat: Piece,
    host: Piece,
    screws: Sequence[ScrewSize],
) -> tuple[ScrewChoice | None, list[Finding]]:
    wish = shape.panels[host.panel].cleats if host.panel in shape.panels else None
    head, last = cleat.thickness, host.thickness
    glued = host.fixing == "glued"
    best = choose_screw(screws, head, last, glued=glued)
    if wish is None or not wish.screw:
        if best is None or not best.safe:
            return None, [
                _no_screw(cleat, host, thicker_board(project, host, _holder(cleat, host, screws)))
            ]
        if best.holds:
            return best, []
        bore = wish.counterbore if wish is not None else 0.0
        other = _as_deep(cleat, host, screws, bore) if host.panel in shape.panels else None
        cures = (*_use(host, other, bore), *_otherwise(project, shape, cleat, host, screws))
        return best, [_short_bite(cleat, host, best, cures)]
    screw = _named((*screws, *wood_screws("mm"), *wood_screws("in")), wish.screw)
    if screw is None:
        return best, [_unknown(cleat, host, wish.screw, _use(host, best, wish.counterbore))]
    choice = judge_screw(
        screw, head, last, counterbore=wish.counterbore, keep=SHOW_FACE_ROOM, glued=glued
    )
    # Held with the head as deep as it is wished, if any is: then it is one value to write.
    as_deep = _as_deep(cleat, host, screws, wish.counterbore)
    use = _use(host, as_deep or best, wish.counterbore)
    findings = []
    if not choice.safe:
        findings.append(_comes_through(cleat, host, choice, use))
    elif not choice.holds:
        hold = as_deep or (best if best is not None and best.holds else None)
        cures = _use(host, hold, wish.counterbore)
        if not cures:
            others = _otherwise(project, shape, cleat, host, screws)
            cures = tuple(
                _with_its_screw(project, host, remedy, screw, head, wish.counterbore)
                for remedy in others
            )
        findings.append(_short_bite(cleat, host, choice, cures))
    return choice, findings


def _as_deep(
    cleat: Piece, host: Piece, screws: Sequence[ScrewSize], counterbore: float
) -> ScrewChoice | None:
    """The thickest and longest screw that holds with its head so deep in the cleat [mm]; a slim one if no usual one."""
    made = [
        judge_screw(
            screw,
            cleat.thickness,
            host.thickness,
            counterbore=counterbore,
            keep=SHOW_FACE_ROOM,
            glued=host.fixing == "glued",
        )
        for screw in screws
    ]
    holding = [choice for choice in made if choice.safe and choice.holds]
    usual = [choice for choice in holding if 3.5 <= choice.screw.diameter <= 4.2]
    return max(usual or holding, key=lambda c: (c.screw.diameter, c.screw.length), default=None)


def _holder(cleat: Piece, host: Piece, screws: Sequence[ScrewSize]) -> Callable[[float], bool]:
    """Whether a stock screw holds in a board of some thickness. [mm]"""

    def holds(thickness: float) -> bool:
        choice = choose_screw(screws, cleat.thickness, thickness, glued=host.fixing == "glued")
        return choice is not None and choice.holds

    return holds


def _otherwise(
    project: Project, shape: SolvedShape, cleat: Piece, host: Piece, screws: Sequence[ScrewSize]
) -> tuple[Remedy, ...]:
    """What else makes a bite enough: a thicker board; glue, where it is screwed only and something else opens."""
    cures = thicker_board(project, host, _holder(cleat, host, screws))
    section = SECTIONS.get(host.kind)
    if host.fixing != "screwed" or section not in ("panels", "inner"):
        return cures
    opens = [key for key, panel in shape.panels.items() if panel.fixing != "glued"]
    holds = any(part.placed for part in project.parts.values())
    if holds and not project.doors and not set(opens) - {host.key}:
        return cures  # glued in, it would shut up for good what is fitted inside
    beside_glue = choose_screw(screws, cleat.thickness, host.thickness, glued=True)
    if beside_glue is None or not beside_glue.holds:
        return cures
    text = (
        f"Or glue it for good, if nothing behind it ever asks for a way in: beside glue "
        f"{mm(BITE_GLUED * beside_glue.screw.diameter)} is asked."
    )
    return (*cures, Remedy(text, f"{section}.{host.key}.fixing", "glued"))


def _with_its_screw(
    project: Project,
    host: Piece,
    remedy: Remedy,
    screw: ScrewSize,
    head: float,
    counterbore: float,
) -> Remedy:
    """A cure of the board or its glue beside a screw that is named: where that one still bites too little, it goes."""
    if not remedy.field:
        return remedy
    made_of = project.materials.get(str(remedy.value))
    choice = judge_screw(
        screw,
        head,
        host.thickness if made_of is None else made_of.thickness,
        counterbore=counterbore,
        keep=SHOW_FACE_ROOM,
        glued=made_of is None or host.fixing == "glued",
    )
    if choice.safe and choice.holds:
        return remedy
    text = f"{remedy.text[:-1]}; and name no screw: {screw.name} does not hold in it."
    return replace(
        remedy, text=text, also=(*remedy.also, (f"panels.{host.panel}.cleats.screw", ""))
    )


def _into_side(
    cleat: Piece,
    side: Piece,
    screws: Sequence[ScrewSize],
    places: tuple[float, ...],
) -> tuple[list[tuple[str, Feature]], Fastening | None]:
    choice = choose_screw(screws, cleat.width, side.thickness)
    if choice is None or not choice.safe:
        return [], None
    (u0, v0, u1, _) = cleat.extent
    spread = places if len(places) == 1 else tuple((a + b) / 2 for a, b in pairwise(places))
    features = []
    for number, place in enumerate(spread, start=1):
        point = cleat.frame.point((u0 + u1) / 2, v0 + place, -cleat.thickness / 2)
        u, v, _ = side.frame.local(point)
        features.append(
            (
                side.key,
                Feature(
                    key=f"{cleat.key}.side-pilot-{number}",
                    kind="pilot",
                    shape=Circle(u, v, pilot_diameter(choice.screw)),
                    face="back",
                    depth=min(choice.bite + 1.0, side.thickness - 1.0),
                    tool="brad",
                    owner=cleat.key,
                    label=f"pilot, {cleat.label}",
                ),
            )
        )
    return features, _fastening(
        f"{cleat.key}.side-screws", cleat.key, side.key, choice, len(spread)
    )


def _holes(
    cleat: Piece, host: Piece, choice: ScrewChoice, u: float, v: float, number: int
) -> list[tuple[str, Feature]]:
    """Shank hole and head bore in the cleat, blind pilot in the panel's back."""
    made = [
        (
            cleat.key,
            Feature(
                key=f"screw-{number}",
                kind="clearance",
                shape=Circle(u, v, clearance_diameter(choice.screw)),
                face="back",
                depth=None,
                tool="brad",
                owner=host.key,
                label=f"screw {choice.screw.name}",
            ),
        ),
        (
            host.key,
            Feature(
                key=f"{cleat.key}.pilot-{number}",
                kind="pilot",
                shape=Circle(u, v, pilot_diameter(choice.screw)),
                face="back",
                depth=_pilot_depth(choice, host),
                tool="brad",
                owner=cleat.key,
                label=f"pilot, {cleat.label}",
            ),
        ),
    ]
    if choice.counterbore:
        made.append(
            (
                cleat.key,
                Feature(
                    key=f"head-{number}",
                    kind="counterbore",
                    shape=Circle(u, v, choice.screw.head + 1.0),
                    face="back",
                    depth=choice.counterbore,
                    tool="brad" if choice.screw.head + 1.0 <= 13 else "forstner",
                    owner=host.key,
                    label=f"head of {choice.screw.name}",
                ),
            )
        )
    return made


def _side_of(cleat: Piece, by_key: Mapping[str, Piece]) -> Piece | None:
    (u0, _, u1, _) = cleat.extent
    xs = [cleat.frame.point(u, 0.0)[0] for u in (u0, u1)]
    left, right = by_key["left"], by_key["right"]
    inner_left = left.frame.origin[0] + left.thickness
    inner_right = right.frame.origin[0] - right.thickness
    if min(xs) - inner_left < 1e-3:
        return left
    if inner_right - max(xs) < 1e-3:
        return right
    return None


def _middle_v(cleat: Piece, host: Piece) -> float:
    """Middle of what both faces of a bevelled cleat and the panel's back share in v. [mm]

    A cleat behind an inward corner lies on the panel with half its width only.
    """
    faces = [[v for _, v in face] for face in (cleat.show, cleat.back, host.back)]
    return (max(min(vs) for vs in faces) + min(max(vs) for vs in faces)) / 2


def _fastening(key: str, through: str, into: str, choice: ScrewChoice, count: int) -> Fastening:
    return Fastening(
        key=key,
        through=through,
        into=into,
        diameter=choice.screw.diameter,
        length=choice.screw.length,
        count=count,
        head_stack=choice.head_stack,
        bite=choice.bite,
        left=choice.left,
        pilot=pilot_diameter(choice.screw),
        clearance=clearance_diameter(choice.screw),
        counterbore=choice.counterbore,
        name=choice.screw.name,
    )


def _named(screws: Sequence[ScrewSize], wish: str) -> ScrewSize | None:
    def plain(text: str) -> str:
        return "".join(text.lower().replace("×", "x").split())

    return next((screw for screw in screws if plain(screw.name) == plain(wish)), None)


def _place(cleat: Piece) -> tuple[float, float, float]:
    (u0, v0, u1, v1) = cleat.extent
    return cleat.frame.point((u0 + u1) / 2, (v0 + v1) / 2)


def _use(host: Piece, choice: ScrewChoice | None, wished: float) -> tuple[Remedy, ...]:
    """Write the screw; where its head has to go deeper than wished [mm], leave it to be worked out, head and all."""
    if choice is None:
        return ()
    does = f"it bites {mm(choice.bite)} and keeps {mm(choice.left)}."
    field = f"panels.{host.panel}.cleats.screw"
    if abs(choice.counterbore - wished) <= TOUCHING:
        bore = f" with the head {mm(wished)} deep in the cleat" if wished else ""
        return (Remedy(f"Use {choice.screw.name}{bore}: {does}", field, choice.screw.name),)
    text = (
        f"Name no screw: {choice.screw.name} is taken then, its head {mm(choice.counterbore)} deep in the cleat; "
        f"{does}"
    )
    return (Remedy(text, field, ""),)


def _comes_through(
    cleat: Piece, host: Piece, choice: ScrewChoice, use: tuple[Remedy, ...]
) -> Finding:
    longest = longest_allowed(
        cleat.thickness, host.thickness, counterbore=choice.counterbore, keep=SHOW_FACE_ROOM
    )
    deepest = choice.counterbore - (SHOW_FACE_ROOM - choice.left)
    remedies = use
    if deepest >= 0:
        remedies = (
            Remedy(
                f"Counterbore no deeper than {mm(deepest)}.",
                f"panels.{host.panel}.cleats.counterbore",
                deepest,
            ),
            *remedies,
        )
    state = (
        f"ends {mm(choice.left)} short of the show face"
        if choice.left >= 0
        else f"comes {mm(-choice.left)} out of the show face"
    )
    return THROUGH.finding(
        f"{choice.screw.name} through the {mm(choice.head_stack)} under its head into {host.label} "
        f"({mm(host.thickness)}) {state}; {mm(SHOW_FACE_ROOM)} is asked, so {mm(longest)} is the longest.",
        remedies=remedies,
        names=(host.key, cleat.key),
        point=_place(cleat),
        severity=Severity.STOP if choice.left < 0 else Severity.CAUTION,
    )


def _short_bite(
    cleat: Piece, host: Piece, choice: ScrewChoice, cures: tuple[Remedy, ...]
) -> Finding:
    glued = host.fixing == "glued"
    need = (BITE_GLUED if glued else BITE_DRY) * choice.screw.diameter
    last = (
        "Glue the cleat over its whole length, clamp it, and let the screws only hold it."
        if glued
        else "It comes off for service: set threaded inserts and use machine screws, or drive more screws."
    )
    return BITE.finding(
        f"{choice.screw.name} bites {mm(choice.bite)} in {host.label}; "
        f"{'beside' if glued else 'without'} glue {mm(need)} is asked.",
        remedies=(*cures, Remedy(last)),
        names=(host.key, cleat.key),
        point=_place(cleat),
        severity=Severity.CAUTION if glued else Severity.NOTE,
    )


def _no_screw(cleat: Piece, host: Piece, cures: tuple[Remedy, ...]) -> Finding:
    return BITE.finding(
        f"No stock screw holds {cleat.label} ({mm(cleat.thickness)}) to {host.label} "
        f"({mm(host.thickness)}) without coming through.",
        remedies=(*cures, Remedy("Glue and clamp this cleat; leave the screws out.")),
        names=(host.key, cleat.key),
        point=_place(cleat),
    )


def _unknown(cleat: Piece, host: Piece, wish: str, use: tuple[Remedy, ...]) -> Finding:
    return BITE.finding(
        f"{host.label}: no stock screw is called {wish}.",
        remedies=use,
        names=(host.key, cleat.key),
        point=_place(cleat),
    )


__all__ = ["BITE", "THROUGH", "screw_cleats", "split_by_screws"]
