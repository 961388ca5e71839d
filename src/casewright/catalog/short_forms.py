"""What the short forms of `casewright.catalog.reading` stand for, and whether a display's sizes agree."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from casewright.basics.errors import InputError
from casewright.catalog.display_size import display_lit_area, parse_aspect
from casewright.catalog.kinds import Display
from casewright.catalog.threads import thread_of

AGREEING = 1.0
"""Sizes of a display that add up this closely agree; calipers and rulers err by so much. [mm] Common practice."""


def from_short_forms(
    kind: str, own: Mapping[str, Any], base: Mapping[str, Any]
) -> tuple[dict[str, tuple[float, str]], list[InputError]]:
    """Return what the short forms among `own` give: field -> (value, the short form it came from).

    Args:
        kind: Key of `KINDS`.
        own: Values as read, from one writer.
        base: Values of the catalog type below, which the writer's own replace.

    The problems' fields are bare names, such as "aspect".
    """
    if kind == "display":
        return _display(own, base)
    if kind == "strip" and "lights_per_cut" in own:
        if "cut_unit" in own:
            return {}, [_twice("lights_per_cut", "cut_unit")]
        per_m = own.get("lights_per_m", base.get("lights_per_m", 60.0))
        return {"cut_unit": (1000.0 * own["lights_per_cut"] / per_m, "lights_per_cut")}, []
    return {}, []


def _display(
    own: Mapping[str, Any], base: Mapping[str, Any]
) -> tuple[dict[str, tuple[float, str]], list[InputError]]:
    found: dict[str, tuple[float, str]] = {}
    problems: list[InputError] = []
    try:
        lit = _lit_area(own, base)
    except InputError as problem:
        return {}, [problem]
    for axis, size in zip(("width", "height"), lit, strict=True):
        if size is not None:
            found[f"lit_{axis}"] = (size, "diagonal")
    for axis, near, far in (
        ("width", "bezel_left", "bezel_right"),
        ("height", "bezel_bottom", "bezel_top"),
    ):
        lit_size = found.get(f"lit_{axis}", (own.get(f"lit_{axis}", base.get(f"lit_{axis}")), ""))[
            0
        ]
        if far not in own or lit_size is None:
            continue
        housing = own.get(f"housing_{axis}")
        if near in own:
            total = own[near] + lit_size + own[far]
            if housing is None:
                found[f"housing_{axis}"] = (total, far)
            elif abs(total - housing) > AGREEING:
                problems.append(
                    InputError(
                        far,
                        got=_mm(own[far]),
                        want=f"{_mm(housing - lit_size - own[near])}, so that both bezels and the lit area"
                        f" make up the housing's {axis} of {_mm(housing)}",
                    )
                )
        elif housing is not None:
            found[near] = (housing - lit_size - own[far], far)
        else:
            problems.append(
                InputError(near, got="nothing", want=f"{near} or housing_{axis} beside {far}")
            )
    return found, problems


def _lit_area(own: Mapping[str, Any], base: Mapping[str, Any]) -> tuple[float | None, float | None]:
    """Width and height by diagonal and aspect, or None twice if there is no diagonal."""
    if "diagonal" not in own:
        if "aspect" in own:
            raise InputError(
                "diagonal", got="nothing", want="the diagonal beside the aspect", example="23.8 in"
            )
        return None, None
    for side in ("lit_width", "lit_height"):
        if side in own:
            raise _twice("diagonal", side)
    if "aspect" in own:
        aspect = parse_aspect(own["aspect"])
    elif "lit_width" in base and "lit_height" in base:
        aspect = (base["lit_width"], base["lit_height"])
    else:
        raise InputError(
            "aspect", got="nothing", want="the aspect beside the diagonal", example='"16:9"'
        )
    return display_lit_area(own["diagonal"], aspect)


def _twice(short: str, field: str) -> InputError:
    return InputError(
        short, got=f"both {short} and {field}", want=f"only one of them, best {field}"
    )


def display_misfits(display: Display) -> Iterator[InputError]:
    """Yield what keeps the lit area from lying inside the housing, and a thread that nobody knows, by bare field names.

    Source:
        Plain geometry.
    """
    for axis, lit, housing, bezel, name in (
        ("width", display.lit_width, display.housing_width, display.bezel_left, "bezel_left"),
        (
            "height",
            display.lit_height,
            display.housing_height,
            display.bezel_bottom,
            "bezel_bottom",
        ),
    ):
        room = housing - lit
        if room < 0:
            yield InputError(
                f"housing_{axis}", got=_mm(housing), want=f"at least the lit {axis} of {_mm(lit)}"
            )
        elif bezel is not None and bezel > room + 1e-6:
            yield InputError(
                name,
                got=_mm(bezel),
                want=f"at most {_mm(room)}, the housing's {axis} less the lit {axis}",
            )
    try:
        thread_of(display.pattern_screw, field="pattern_screw")
    except InputError as unknown:
        yield unknown


def _mm(length: float) -> str:
    return f"{length:.1f} mm"


__all__ = ["AGREEING", "display_misfits", "from_short_forms"]
