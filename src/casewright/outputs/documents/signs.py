"""Safety signs beside the cautions they belong to, drawn here after the rules of ISO 3864-1.

A yellow triangle with a black rim warns, a blue disc with a white picture commands (ISO 3864-1; the subjects are those
of ISO 7010, the drawings are our own). Colors from memory: RAL 1003 signal yellow, RAL 5005 signal blue.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from casewright.planning.cautions import Hazard

YELLOW, BLUE, BLACK = "#f9a800", "#005b8c", "#1a1a1a"

_WARNINGS: Mapping[str, str] = {
    "general": '<path d="M48 38h4l-1.2 26h-1.6z" stroke-width="3.4"/><circle cx="50" cy="74.5" r="3.6"/>',
    "sharp": (
        '<circle cx="50" cy="60" r="12.5" fill="none" stroke-width="4"/>'
        '<path d="M50 43.5l5 5h-7zM66.5 60l-5 5v-7zM50 76.5l-5-5h7zM33.5 60l5-5v7z'
        'M61.6 48.4l0 7-5-5zM61.6 71.6l-7 0 5-5zM38.4 71.6l0-7 5 5zM38.4 48.4l7 0-5 5z" '
        'stroke-width="1"/><circle cx="50" cy="60" r="3"/>'
    ),
    "electricity": '<path d="M54 34L40 59h9l-4 17 16-24h-9l6-18z" stroke-width="1"/>',
    "flame": (
        '<path d="M50 36c3 8 13 13 13 25a13 13 0 0 1-26 0c0-7 5-9 6-15 3 2 5 5 5 8 3-5 3-11 2-18z" '
        'stroke-width="1"/><path d="M36 78h28v3h-28z" stroke-width="1"/>'
    ),
    "hot": (
        '<path d="M34 73h32v4h-32z" stroke-width="1"/>'
        '<path d="M41 68c-5-6 5-10 0-17M50 68c-5-7 5-12 0-20M59 68c-5-6 5-10 0-17" fill="none" '
        'stroke-width="3.6" stroke-linecap="round"/>'
    ),
    "heavy": (
        '<circle cx="50" cy="41" r="4.5"/><path d="M45 48h10l2 15h-14z" stroke-width="1"/>'
        '<path d="M38 64h24v14h-24z" stroke-width="1"/>'
    ),
    "harmful": (
        '<path d="M40 56a10 10 0 1 1 20 0v8h-5v6h-10v-6h-5z" stroke-width="1"/>'
        f'<circle cx="46" cy="56" r="2.7" fill="{YELLOW}" stroke="none"/>'
        f'<circle cx="54" cy="56" r="2.7" fill="{YELLOW}" stroke="none"/>'
        '<path d="M38 75l24 5M62 75l-24 5" stroke-width="3"/>'
    ),
}
_ORDERS: Mapping[str, str] = {
    "eyes": (
        '<circle cx="50" cy="50" r="25"/>'
        f'<g fill="{BLUE}"><rect x="27" y="42" width="20" height="14" rx="6"/>'
        '<rect x="53" y="42" width="20" height="14" rx="6"/>'
        '<rect x="24" y="44" width="52" height="4"/></g>'
    ),
    "ears": (
        '<circle cx="50" cy="52" r="21"/>'
        '<path d="M27 52a23 23 0 0 1 46 0" fill="none" stroke="#fff" stroke-width="4"/>'
        '<rect x="20" y="45" width="11" height="19" rx="5"/><rect x="69" y="45" width="11" height="19" rx="5"/>'
        f'<path d="M31.5 40v28M68.5 40v28" stroke="{BLUE}" stroke-width="2"/>'
    ),
    "mask": (
        '<circle cx="50" cy="49" r="24"/>'
        f'<path d="M32 54c6-6 30-6 36 0l-3 13c-6 7-24 7-30 0z" fill="{BLUE}"/>'
        '<path d="M38 60h24M39 66h22" stroke="#fff" stroke-width="2"/>'
        f'<circle cx="42" cy="43" r="2.5" fill="{BLUE}"/><circle cx="58" cy="43" r="2.5" fill="{BLUE}"/>'
    ),
    "gloves": (
        '<path d="M36 74v-20l-7-9c-2-4 3-6 5-4l6 6v-20c0-4 5-4 5 0v14h1v-18c0-4 5-4 5 0v18h1v-16c0-4 5-4 5 0v17h1v-11'
        'c0-4 5-4 5 0v24c0 7-3 11-5 13v6z"/>'
    ),
    "unplug": (
        '<path d="M34 46h18v18h-18zM52 50h8v3h-8zM52 57h8v3h-8zM22 53h12v4h-12z"/>'
        '<path d="M66 42v26h10v-26z"/><path d="M60 30l-8 8M66 28v9M54 76l6-6" stroke="#fff" stroke-width="3"/>'
    ),
}

HAZARD_SIGNS: Mapping[Hazard, tuple[str, ...]] = MappingProxyType(
    {
        "saw": ("sharp", "eyes", "ears"),
        "router": ("sharp", "eyes", "ears"),
        "drill": ("general", "eyes"),
        "dust": ("harmful", "mask"),
        "plastics": ("sharp", "eyes"),
        "glue": ("general", "gloves"),
        "fumes": ("flame", "mask"),
        "heat": ("hot",),
        "mains": ("electricity", "unplug"),
        "low voltage": ("electricity",),
        "lifting": ("heavy",),
    }
)
"""Signs of each hazard, the warning first."""


def sign_svg(name: str) -> str:
    """One sign as an SVG, 100 units high.

    Raises:
        KeyError: There is no such sign: a bug of ours.
    """
    head = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 100 100">'
    )
    if name in _WARNINGS:
        picture = (
            f'<path d="M50 9L96 89H4z" fill="{YELLOW}" stroke="{BLACK}" stroke-width="7" '
            f'stroke-linejoin="round"/><g fill="{BLACK}" stroke="{BLACK}" stroke-linejoin="round" '
            f'transform="translate(50 61) scale(1.22) translate(-50 -59)">{_WARNINGS[name]}</g>'
        )
    else:
        picture = (
            f'<circle cx="50" cy="50" r="46" fill="{BLUE}"/><g fill="#fff">{_ORDERS[name]}</g>'
        )
    return f"{head}{picture}</svg>\n"


SIGNS = tuple(sorted((*_WARNINGS, *_ORDERS)))
"""Names of all signs."""

__all__ = ["HAZARD_SIGNS", "SIGNS", "sign_svg"]
