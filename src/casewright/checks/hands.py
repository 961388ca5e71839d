"""What hands need round controls."""

from __future__ import annotations

import math
from collections.abc import Mapping

from casewright.basics.remembering import remembered
from casewright.behavior.abreast import person_at
from casewright.catalog.kinds import Dial, Lever, PushButton, Trackball
from casewright.checks.subject import Subject
from casewright.geometry.devices.button import FINGER_ROOM
from casewright.geometry.devices.dial import KNOB_FINGERS
from casewright.geometry.devices.lever import HAND_ROOM
from casewright.geometry.model import Placed
from casewright.geometry.thinning import NUT_ACROSS
from casewright.geometry.viewers import Viewer

COMFORTABLE_PITCH = {"small": 32.0, "middle": 36.0, "large": 40.0}
"""Buttons side by side under relaxed fingers, by hand. Source: common practice (36 to 40 for 30 mm kinds). [mm]"""

BETWEEN = 1.0
"""Least between two rims or two nuts. Source: common practice. [mm]"""


def rim(placed: Placed) -> float:
    """Radius of what a control shows on the panel's face. [mm]"""
    data = placed.part.data
    match data:
        case PushButton():
            return data.bezel / 2
        case Dial():
            return data.knob / 2
        case Lever():
            return data.washer / 2
        case Trackball():
            return data.hole / 2
    return 0.0


def hardware_radius(placed: Placed) -> float:
    """Radius of the larger of a round control's rim and its nut. [mm]"""
    data = placed.part.data
    match data:
        case PushButton():
            return max(data.bezel, data.nut) / 2
        case Dial():
            return max(data.knob, NUT_ACROSS * data.hole) / 2
    return rim(placed)


def lever_sweep(data: Lever) -> float:
    """How far from its upright axis the ball's flank gets at full tilt. [mm]

    Source:
        Plain geometry: the ball's middle swings on an arm from the pivot.
    """
    arm = data.pivot + data.ball_height + data.ball / 2
    return arm * math.sin(math.radians(data.tilt_deg)) + data.ball / 2


def hand_radius(placed: Placed) -> float:
    """Room that the hand needs round a control's axis. [mm]"""
    data = placed.part.data
    match data:
        case Lever():
            return lever_sweep(data) + HAND_ROOM
        case Dial():
            return data.knob / 2 + KNOB_FINGERS
    return rim(placed) + FINGER_ROOM / 2


@remembered(4)
def viewer_of(subject: Subject) -> Mapping[int, Viewer]:
    """Who plays by which number: from left to right both; empty where there are not as many of each."""
    return person_at(subject.viewers)


def comfortable_pitch(subject: Subject, a: Placed, b: Placed) -> float:
    """Distance of two buttons' axes that suits the hand of whoever plays there. [mm]"""
    whose = viewer_of(subject)
    numbers = {p.wish.player for p in (a, b) if p.wish.player is not None}
    hands = [whose[number].person.hand for number in numbers & whose.keys()] or [
        v.person.hand for v in subject.viewers if v.plays and subject.cabinet.project.people
    ]
    return max((COMFORTABLE_PITCH[hand] for hand in hands), default=COMFORTABLE_PITCH["middle"])


__all__ = [
    "BETWEEN",
    "COMFORTABLE_PITCH",
    "comfortable_pitch",
    "hand_radius",
    "hardware_radius",
    "lever_sweep",
    "rim",
    "viewer_of",
]
