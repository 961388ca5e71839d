"""Sheet: whether hands find their controls."""

from __future__ import annotations

import math

from casewright.basics.findings import mm
from casewright.behavior.hands import CURL, SPREAD_DEG, THUMB_REST, THUMB_ROUND
from casewright.behavior.playing import Cluster, Playing
from casewright.behavior.wheelchair import KNEES_HIGH, TOES_DEEP, WIDE
from casewright.behavior.whole import Behavior
from casewright.catalog.kinds import PushButton
from casewright.geometry.model import Cabinet, Point2
from casewright.outputs.drawings.marks import Circle, Drawing, Line, Mark, Polyline
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

BEYOND = 10.0
"""Radius of the ring in a button that lies out of reach. [mm]"""
CAPTION = (
    "Hands where they lie best. Blue: what fingers and thumb reach; a ring marks what lies beyond."
)
ROOM = (150.0, 95.0)
"""Paper that a picture takes at most. [mm]"""


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Reach, heights and levers; nothing where nobody plays."""
    playing = behavior.playing
    if not playing.clusters and not playing.heights and not playing.chairs:
        return None
    rows = [
        (
            f"player {cluster.player}",
            cluster.who or "usual hand",
            cluster.which,
            str(len(cluster.keys)),
            mm(cluster.reach.worst),
        )
        for cluster in playing.clusters
    ]
    heights = [(who, mm(deck), mm(elbow), mm(deck - elbow)) for who, deck, elbow in playing.heights]
    tables = []
    if rows:
        tables.append(
            Rows(
                "Reach with the palm at rest",
                ("where", "who", "hand", "buttons", "farthest out of reach"),
                tuple(rows),
                (3, 4),
            )
        )
    if heights:
        tables.append(
            Rows(
                "Heights over the floor",
                ("who", "controls", "elbow", "controls over the elbow"),
                tuple(heights),
                (1, 2, 3),
            )
        )
    notes = [
        "Hands differ: lay the deck's template on cardboard, put your hand on it and move what does not suit."
    ]
    if playing.chairs:
        tables.append(_chairs(playing))
        notes.append(
            f"From a wheelchair: {KNEES_HIGH:g} mm (27 in) for the knees and {TOES_DEEP:g} mm (17 in) for the toes are "
            f"asked by the ADA Standards of 2010; your local code goes first. A chair takes {WIDE:g} mm (30 in) of "
            "width and 1220 mm (48 in) of floor."
        )
    return TopicSheet(
        key="hands",
        title="Hands",
        question="Do hands find every control without looking or stretching?",
        answer=_answer(playing),
        pictures=tuple(_pictures(cabinet, playing)),
        tables=tuple(tables),
        numbers=tuple(number.key for number in playing.numbers),
        notes=tuple(notes),
    )


def _chairs(playing: Playing) -> Rows:
    rows = []
    for chair in playing.chairs:
        high = mm(max(chair.knees_high, 0.0)) if math.isfinite(chair.knees_high) else "free"
        toes = mm(max(chair.toes_deep, 0.0)) if math.isfinite(chair.toes_deep) else "free"
        rows.append(
            (
                chair.label,
                high,
                mm(chair.knees_lack) if chair.knees_lack > 0 else "–",
                toes,
                mm(chair.front_edge),
                f"{len(chair.beyond)} out of reach" if chair.beyond else "all in reach",
            )
        )
    heads = (
        "from a wheelchair",
        "knees: high",
        "depth lacking",
        "toes: deep",
        "deck's edge",
        "controls",
    )
    return Rows("Room for a wheelchair", heads, tuple(rows), (1, 2, 3, 4))


def _answer(playing: Playing) -> str:
    if not playing.clusters:
        return "No group of buttons is played by one hand."
    worst = max(playing.clusters, key=lambda cluster: cluster.reach.worst)
    if worst.reach.worst <= 0:
        return "All buttons lie under resting fingers."
    return (
        f"The farthest button is {mm(worst.reach.worst)} out of reach of a resting hand "
        f"(player {worst.player}, {worst.which} hand)."
    )


def _pictures(cabinet: Cabinet, playing: Playing) -> list[Picture]:
    """One of each panel: its controls, and each hand where it lies best."""
    found = []
    for panel in dict.fromkeys(cluster.panel for cluster in playing.clusters):
        clusters = [cluster for cluster in playing.clusters if cluster.panel == panel]
        found.append(
            Picture(
                _picture(cabinet, panel, clusters),
                CAPTION,
            )
        )
    return found


def _picture(cabinet: Cabinet, panel: str, clusters: list[Cluster]) -> Drawing:
    piece = cabinet.piece_by_key[panel]
    low_u, low_v, high_u, high_v = piece.extent
    scale = min(ROOM[0] / (high_u - low_u), ROOM[1] / (high_v - low_v + 60.0), 0.5)
    marks: list[Mark] = [Polyline(tuple(piece.show))]
    for placed in cabinet.placed:
        if placed.piece != panel:
            continue
        data = placed.part.data
        if isinstance(data, PushButton):
            marks.append(Circle((placed.u, placed.v), data.bezel / 2, "visible"))
        elif (washer := getattr(data, "washer", None)) is not None:
            marks.append(Circle((placed.u, placed.v), washer / 2, "visible"))
            marks.append(
                Circle(
                    (placed.u, placed.v), data.shaft / 2 if hasattr(data, "shaft") else 5.0, "thin"
                )
            )
    for cluster in clusters:
        marks += _hand(cluster)
        short = dict(zip(cluster.keys, cluster.reach.short, strict=True))
        for key, (u, v) in zip(cluster.keys, cluster.places, strict=True):
            if short[key] > 0:
                marks.append(Circle((u, v), BEYOND, "accent"))
    return Drawing(f"Hands on {piece.label}", tuple(marks), scale=scale)


def _hand(cluster: Cluster) -> list[Mark]:
    """The reach of the fingers: between curled and stretched, and the palm's outline behind the knuckles."""
    hand, reach = cluster.hand, cluster.reach
    mirror = -1.0 if cluster.which == "left" else 1.0
    a = math.radians(reach.turn_deg)

    def at(x: float, y: float) -> Point2:
        x *= mirror
        u, v = reach.knuckle
        return (u + x * math.cos(a) + y * math.sin(a), v - x * math.sin(a) + y * math.cos(a))

    half = hand.breadth / 2
    spread = math.radians(SPREAD_DEG)

    def edge(share: float, *, back: bool) -> list[Point2]:
        radius = share * hand.finger
        turns = [spread * step / 6 for step in range(7)]
        right = [at(half + radius * math.sin(t), radius * math.cos(t)) for t in turns]
        left = [at(-half - radius * math.sin(t), radius * math.cos(t)) for t in reversed(turns)]
        points = [*left, *right]
        return points[::-1] if back else points

    palm = [
        at(-half, 0),
        at(half, 0),
        at(0.4 * hand.breadth, -hand.palm),
        at(-0.4 * hand.breadth, -hand.palm),
    ]
    rest = at(THUMB_REST[0] * hand.length, THUMB_REST[1] * hand.length)
    return [
        Circle(rest, THUMB_ROUND * hand.length, "accent-thin"),
        Polyline((*edge(CURL[1], back=False), *edge(CURL[0], back=True)), pen="accent-thin"),
        Polyline(tuple(palm), pen="phantom"),
        Line(at(0, -hand.palm), at(0, -hand.palm - 15.0), "phantom"),
    ]


__all__ = ["sheet"]
