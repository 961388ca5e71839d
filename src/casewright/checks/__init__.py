"""Checks: small functions that read a cabinet and return findings.

Each rule is a module of `rules` with `RULE` and `find`. Adding one is adding its module to `RULES`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Protocol

from casewright.basics.findings import Finding, Rule, Unsaid
from casewright.checks.made_already import with_made_pieces
from casewright.checks.pairing import every_remedy, paired
from casewright.checks.rules import (
    bevel_small,
    bit_length,
    board_loose,
    chamfer_width,
    collision_room,
    collision_solid,
    content_share,
    control_read,
    control_side,
    control_spacing,
    display_lap,
    display_measured,
    display_wakes,
    door_binds,
    door_closed,
    door_flush,
    door_held,
    door_hinges,
    door_latch,
    door_swing,
    feature_outside,
    feature_web,
    grip_balance,
    groove_depth,
    hand_accident,
    hand_height,
    hand_reach,
    hand_slope,
    hand_wheelchair,
    heat_air,
    heat_vent,
    inner_hangs,
    inner_loose,
    inner_outside,
    lever_land,
    lever_neighbors,
    lift_limit,
    light_dots,
    light_drop,
    light_edges,
    mains_inside,
    mass_limit,
    opening_land,
    paint_edges,
    palm_room,
    panel_fence,
    panel_narrow,
    panel_none,
    panel_sliver,
    part_grip,
    part_measured,
    passage,
    players_abreast,
    power_entry,
    power_idle,
    power_plugs,
    power_rail,
    power_unfed,
    power_wire,
    seam_tilt,
    seam_unequal,
    service_part,
    service_way_in,
    sheet_measured,
    sight_angle,
    sight_blocked,
    sight_glare,
    sight_throat,
    site_room,
    sound_box,
    sound_driven,
    sound_grille,
    sound_leak,
    sound_port,
    stand_lean,
    stand_slope,
    stiff_board,
    tolerance_chance,
)
from casewright.checks.subject import Subject
from casewright.checks.telling import begun, told_apart
from casewright.checks.trying import tried
from casewright.checks.writable import writable


class RuleModule(Protocol):
    """A module of `rules`."""

    RULE: Rule

    def find(self, subject: Subject, /) -> Iterator[Finding]:
        """Findings of this rule."""
        ...


RULES: tuple[RuleModule, ...] = (
    bevel_small,
    bit_length,
    board_loose,
    chamfer_width,
    collision_room,
    collision_solid,
    content_share,
    control_read,
    control_side,
    control_spacing,
    display_lap,
    display_measured,
    display_wakes,
    door_binds,
    door_closed,
    door_flush,
    door_held,
    door_hinges,
    door_latch,
    door_swing,
    feature_outside,
    feature_web,
    grip_balance,
    groove_depth,
    hand_accident,
    hand_height,
    hand_reach,
    hand_slope,
    hand_wheelchair,
    heat_air,
    heat_vent,
    inner_hangs,
    inner_loose,
    inner_outside,
    lever_land,
    lever_neighbors,
    lift_limit,
    light_dots,
    light_drop,
    light_edges,
    mains_inside,
    mass_limit,
    opening_land,
    paint_edges,
    palm_room,
    panel_fence,
    panel_narrow,
    panel_none,
    panel_sliver,
    part_grip,
    part_measured,
    passage,
    players_abreast,
    power_entry,
    power_idle,
    power_plugs,
    power_rail,
    power_unfed,
    power_wire,
    seam_tilt,
    seam_unequal,
    service_part,
    service_way_in,
    sheet_measured,
    sight_angle,
    sight_blocked,
    sight_glare,
    sight_throat,
    site_room,
    sound_box,
    sound_driven,
    sound_grille,
    sound_leak,
    sound_port,
    stand_lean,
    stand_slope,
    stiff_board,
    tolerance_chance,
)


def run_checks(
    subject: Subject, *, first: Callable[[tuple[Finding, ...]], None] | None = None
) -> tuple[Finding, ...]:
    """All findings: geometry's own and every rule's, each said once, gravest first.

    Args:
        subject: The cabinet.
        first: Told the findings as soon as they are there, without those of their remedies that take long to find.
    """
    if first is None:
        return _said(_found(subject), subject)
    quick = replace(subject, is_counted=True)
    found = _found(quick)
    first(tuple(_without_unsaid(finding) for finding in _said(found, quick)))
    whole = [replace(finding, remedies=every_remedy(finding)) for finding in found]
    return _said(whole, subject)


def _found(subject: Subject) -> list[Finding]:
    found = list(subject.cabinet.findings)
    for module in RULES:
        found += module.find(subject)
    return found


def _said(found: Sequence[Finding], subject: Subject) -> tuple[Finding, ...]:
    apart = told_apart(paired(found), subject.cabinet)
    cured = apart if subject.is_counted else (tried(finding, subject.cabinet) for finding in apart)
    shown = (begun(writable(finding, subject.cabinet)) for finding in cured)
    said = (with_made_pieces(finding, subject.cabinet) for finding in shown)
    return tuple(sorted(said, key=lambda finding: finding.order))


def _without_unsaid(finding: Finding) -> Finding:
    said = tuple(remedy for remedy in finding.remedies if not isinstance(remedy, Unsaid))
    return finding if len(said) == len(finding.remedies) else replace(finding, remedies=said)


__all__ = ["RULES", "RuleModule", "Subject", "run_checks"]
