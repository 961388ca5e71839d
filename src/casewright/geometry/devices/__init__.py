"""Fitting of bought parts, one function a kind."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from casewright.catalog.kinds import (
    Device,
    Dial,
    Display,
    Fan,
    Fitting,
    Foot,
    Grip,
    Hardware,
    Kind,
    Lever,
    Port,
    PushButton,
    Sign,
    Speaker,
    Strip,
    Trackball,
    Vent,
)
from casewright.design.parts import KnownPart
from casewright.design.project import Project
from casewright.geometry.devices.airflow import fit_fan, fit_vent
from casewright.geometry.devices.button import fit_button
from casewright.geometry.devices.device import fit_device
from casewright.geometry.devices.dial import fit_dial
from casewright.geometry.devices.fittings import fit_fitting
from casewright.geometry.devices.grip import fit_grip
from casewright.geometry.devices.lever import fit_lever
from casewright.geometry.devices.port import fit_port
from casewright.geometry.devices.small import fit_foot, fit_hardware, fit_strip
from casewright.geometry.devices.speaker import fit_speaker
from casewright.geometry.devices.trackball import fit_trackball
from casewright.geometry.display import fit_display
from casewright.geometry.fitting import Fitted, Stack
from casewright.geometry.model import Placed, Point2
from casewright.geometry.openings import Area
from casewright.geometry.sign import fit_sign, sign_strip

FIT: Mapping[type[Kind], Callable[[Placed, Any, Stack, Project], Fitted]] = {
    Device: fit_device,
    Dial: fit_dial,
    Display: fit_display,
    Fan: fit_fan,
    Fitting: fit_fitting,
    Foot: fit_foot,
    Grip: fit_grip,
    Hardware: fit_hardware,
    Lever: fit_lever,
    Port: fit_port,
    PushButton: fit_button,
    Sign: fit_sign,
    Speaker: fit_speaker,
    Strip: fit_strip,
    Trackball: fit_trackball,
    Vent: fit_vent,
}
"""The function that fits each kind; the second argument is of that kind."""


def fit_part(
    placed: Placed,
    stack: Stack,
    project: Project,
    parts: Mapping[str, KnownPart] | None = None,
    everything: Sequence[Placed] = (),
    *,
    clear: Area | None = None,
    standing: Sequence[Area] = (),
    inside: Sequence[Point2] | None = None,
) -> Fitted:
    """What one placed part asks of its panel.

    Args:
        placed: The part in its place.
        stack: The panel that it sits on, all layers.
        project: For shop and materials.
        parts: Every part of the project; a sign takes its light strip from them.
        everything: Every placed part.
        clear: For display and sign: part of the back face that no other panel takes.
        standing: For a display: footprints of other pieces on the back face.
        inside: For a sign: clear inside of the cabinet in the side view.
    """
    data = placed.part.data
    if isinstance(data, Display):
        return fit_display(
            placed, data, stack, project, clear=clear, standing=standing, inside=inside
        )
    if isinstance(data, Sign):
        strip = sign_strip(parts or {})
        return fit_sign(placed, data, stack, project, strip=strip, clear=clear, inside=inside)
    return FIT[type(data)](placed, data, stack, project)


__all__ = [
    "FIT",
    "fit_button",
    "fit_device",
    "fit_dial",
    "fit_display",
    "fit_fan",
    "fit_fitting",
    "fit_foot",
    "fit_grip",
    "fit_hardware",
    "fit_lever",
    "fit_part",
    "fit_port",
    "fit_sign",
    "fit_speaker",
    "fit_strip",
    "fit_trackball",
    "fit_vent",
]
