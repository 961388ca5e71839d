"""Hands at the controls of this cabinet: who plays where, which hand has which buttons, and what it reaches."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from casewright.basics.reckoning import Reckoning, Term, derived, stated, total
from casewright.behavior.abreast import controls_by_player, everybody_at, person_at
from casewright.behavior.hands import HANDS, Hand, Reach, WhichHand, best_reach, hand_of
from casewright.behavior.wheelchair import Chair, chair_numbers, chairs_of
from casewright.catalog.kinds import Lever, PushButton
from casewright.geometry.model import Cabinet, Placed, Point2
from casewright.geometry.viewers import LAP_HEIGHT, Viewer, base_over_floor, lap_height

ONE_HAND = 75.0
"""Buttons nearer to one another than this are worked by one hand. Common practice. [mm]"""


@dataclass(frozen=True)
class Cluster:
    """Buttons that one hand works without moving its palm."""

    player: int
    which: WhichHand
    panel: str
    keys: tuple[str, ...]
    places: tuple[Point2, ...]
    """Their middles on the panel. [mm]"""
    who: str
    """Whose hand; "" for a usual one."""
    hand: Hand
    reach: Reach

    @property
    def name(self) -> str:
        """As reckonings name it."""
        return f"hands.player{self.player}.{self.which}"


@dataclass(frozen=True)
class Playing:
    """All hands at all controls."""

    clusters: tuple[Cluster, ...]
    apart: tuple[tuple[int, str, float], ...]
    """By player with a lever: its key, and how far it stands from the middle of that player's buttons. [mm]"""
    heights: tuple[tuple[str, float, float], ...]
    """By person who plays: label, the controls' height over the floor, the elbow's. [mm]"""
    numbers: tuple[Reckoning, ...]
    chairs: tuple[Chair, ...] = ()
    """Of everybody who plays from a wheelchair: room for knees and toes, reach."""


def playing_of(cabinet: Cabinet) -> Playing:
    """Clusters of buttons with the hands that work them, levers' distances, and heights against elbows."""
    everybody = everybody_at(cabinet)
    by_player = controls_by_player(cabinet)
    people = person_at(everybody)
    clusters: list[Cluster] = []
    apart: list[tuple[int, str, float]] = []
    for player, controls in by_player.items():
        viewer = people.get(player)
        clusters += _clusters(player, controls, viewer)
        apart += _apart(player, controls)
    heights = _heights(cabinet, everybody, people, by_player)
    numbers = [_reach_number(cluster) for cluster in clusters]
    numbers += [
        stated(
            f"hands.player{player}.lever_apart",
            "lever from the middle of the buttons",
            distance,
            source="Plain geometry",
        )
        for player, _, distance in apart
    ]
    numbers += _height_numbers(heights)
    numbers += [
        _aside_number(cabinet, number, viewer)
        for number, viewer in enumerate(everybody, start=1)
        if viewer.player is not None
    ]
    chairs = chairs_of(cabinet, everybody, people, by_player)
    numbers += chair_numbers(chairs)
    return Playing(tuple(clusters), tuple(apart), tuple(heights), tuple(numbers), chairs)


def _clusters(player: int, controls: Sequence[Placed], viewer: Viewer | None) -> list[Cluster]:
    """Buttons gathered by nearness; right of the player's lever the right hand has them, left of it the left one."""
    buttons = [c for c in controls if isinstance(c.part.data, PushButton)]
    levers = [c for c in controls if isinstance(c.part.data, Lever)]
    hand = hand_of(viewer.person) if viewer else HANDS["middle"]
    found = []
    for group in _near(buttons):
        us = [b.u for b in group]
        middle = sum(us) / len(us)
        line = levers[0].u if levers else sum(c.u for c in controls) / len(controls)
        which: WhichHand = "left" if middle < line - 1e-6 else "right"
        places = tuple((b.u, b.v) for b in group)
        found.append(
            Cluster(
                player,
                which,
                group[0].piece,
                tuple(b.key for b in group),
                places,
                viewer.label if viewer else "",
                hand,
                best_reach(places, hand, which),
            )
        )
    return found


def _near(buttons: Sequence[Placed]) -> list[list[Placed]]:
    """Groups of buttons on one panel, each within `ONE_HAND` of another of its group; from the left."""
    groups: list[list[Placed]] = []
    for button in sorted(buttons, key=lambda b: (b.u, b.v)):
        mine = [
            group
            for group in groups
            if any(
                b.piece == button.piece and math.dist((b.u, b.v), (button.u, button.v)) <= ONE_HAND
                for b in group
            )
        ]
        merged = [button, *(b for group in mine for b in group)]
        groups = [group for group in groups if group not in mine]
        groups.append(sorted(merged, key=lambda b: (b.u, b.v)))
    return groups


def _apart(player: int, controls: Sequence[Placed]) -> list[tuple[int, str, float]]:
    buttons = [c for c in controls if isinstance(c.part.data, PushButton)]
    found = []
    for lever in (c for c in controls if isinstance(c.part.data, Lever)):
        near = [b for b in buttons if b.piece == lever.piece]
        if near:
            u, v = (sum(getattr(b, axis) for b in near) / len(near) for axis in ("u", "v"))
            found.append((player, lever.key, math.dist((u, v), (lever.u, lever.v))))
    return found


def _heights(
    cabinet: Cabinet,
    everybody: Sequence[Viewer],
    people: Mapping[int, Viewer],
    by_player: Mapping[int, Sequence[Placed]],
) -> list[tuple[str, float, float]]:
    """Of everybody who plays: the controls' height over the floor, and the elbow's."""
    base = base_over_floor(cabinet.project, cabinet.parts).value
    decks = [c for controls in by_player.values() for c in controls]
    if not decks:
        return []
    found = []
    for viewer in (v for v in everybody if v.plays):
        mine = [c for n, controls in by_player.items() if people.get(n) is viewer for c in controls]
        zs = [c.frame.origin[2] for c in mine or decks]
        own = base
        if cabinet.project.site.on == "lap" and not cabinet.project.site.height:
            own += lap_height(viewer.person) - LAP_HEIGHT  # it lies on whoever plays
        found.append((viewer.label, own + sum(zs) / len(zs), base + viewer.elbow))
    return found


def _reach_number(cluster: Cluster) -> Reckoning:
    worst = max(zip(cluster.reach.short, cluster.keys, strict=True), default=(0.0, ""))
    return derived(
        f"{cluster.name}.out_of_reach",
        f"farthest button out of reach of the {cluster.which} hand at rest",
        worst[0],
        "farthest of all buttons from what the fingers reach, the palm lying at its best place",
        [Term(key, short) for key, short in zip(cluster.keys, cluster.reach.short, strict=True)],
        rule=f"Hand {cluster.hand.length:.0f} mm long; fingers stretched, curled and spread as they like.",
        source=cluster.hand.source,
    )


def _aside_number(cabinet: Cabinet, number: int, viewer: Viewer) -> Reckoning:
    """Where along the front somebody plays."""
    key, label = (
        f"hands.aside.{number}",
        f"eye of {viewer.label} right of the cabinet's middle",
    )
    middle = cabinet.shape.width / 2
    if viewer.person.aside is not None:
        return stated(key, label, viewer.person.aside)
    return total(
        key,
        label,
        [
            Term("middle between the outermost of the own controls, from the left", viewer.eye[0]),
            Term("half the width", middle, -1),
        ],
        rule="Who plays looks from before the own controls, unless people.*.aside says otherwise.",
    )


def _height_numbers(heights: Sequence[tuple[str, float, float]]) -> list[Reckoning]:
    return [
        total(
            f"hands.over_elbow.{number}",
            f"controls over the elbow of {label}",
            [Term("controls over the floor", deck), Term("elbow over the floor", elbow, -1)],
            rule="Mean height of the controls.",
        )
        for number, (label, deck, elbow) in enumerate(heights, start=1)
    ]


__all__ = [
    "ONE_HAND",
    "Cluster",
    "Playing",
    "playing_of",
]
