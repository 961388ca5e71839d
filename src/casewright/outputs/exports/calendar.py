"""The days of painting as a calendar file, for any calendar program (iCalendar, RFC 5545)."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from casewright.behavior.painting import COATING_H, Painting, Sitting

FOLD = 75
"""Octets in a line at most. Source: rfc-5545, 3.1."""

_NAMESPACE = uuid.UUID("7d2d0c5e-5a0e-5f0c-9d53-0c6f9a3b7e11")
"""Ours: the same event of the same project bears the same name in every build."""

_SPRAY = (
    "Spray outdoors or with air moving away from you, with a respirator for organic vapors; no flames or pilot "
    "lights. The can's own instructions go first."
)


def write_calendar(painting: Painting, *, start: str, name: str, fingerprint: str) -> bytes:
    """Each coat as an hour, the hardening as whole days, from a first day on.

    Args:
        painting: What goes on, and when.
        start: First day, "2027-03-05".
        name: The project's.
        fingerprint: Of the project's state; part of each event's name.

    Returns:
        The file. Hours float: they are the shop's own, wherever it stands. The same input gives the same bytes.

    Source:
        rfc-5545: 3.1 (lines folded at 75 octets), 3.3.5 (floating time), 3.6.1 (events), 3.3.11 (text).
    """
    first = date.fromisoformat(start)
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//casewright//bench papers//EN"]
    for sitting in painting.sittings:
        lines += _event(sitting, painting, first, name, fingerprint)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line)).encode("utf-8")


def _event(
    sitting: Sitting, painting: Painting, first: date, name: str, fingerprint: str
) -> Iterator[str]:
    begin, dry = (_moment(first, hours) for hours in (sitting.start_h, sitting.end_h))
    own = uuid.uuid5(_NAMESPACE, f"{fingerprint} {first} {sitting.label} {sitting.start_h}")
    yield "BEGIN:VEVENT"
    yield f"UID:{own}"
    yield f"DTSTAMP:{first:%Y%m%d}T000000Z"
    if sitting.kind == "harden":
        last = max(dry.date(), begin.date() + timedelta(days=1))
        yield f"DTSTART;VALUE=DATE:{begin:%Y%m%d}"
        yield f"DTEND;VALUE=DATE:{last:%Y%m%d}"
        said = ["No screws, parts or clamps on the paint until it is hard."]
    else:
        yield f"DTSTART:{begin:%Y%m%dT%H%M%S}"
        yield f"DTEND:{begin + timedelta(hours=COATING_H):%Y%m%dT%H%M%S}"
        said = [f"Sand with {sitting.grit} first, wipe off the dust."] if sitting.grit else []
        said.append(f"Dry on {dry:%Y-%m-%d} at {dry:%H:%M}.")
        if any(p.coat.kind == sitting.kind and p.coat.how == "spray" for p in painting.products):
            said.append(_SPRAY)
    yield f"SUMMARY:{_text(f'{name}: {sitting.label}')}"
    yield f"DESCRIPTION:{_text(' '.join(said))}"
    yield "END:VEVENT"


def _moment(first: date, hours: float) -> datetime:
    return datetime.combine(first, time()) + timedelta(hours=hours)


def _text(text: str) -> str:
    r"""Text with its special signs escaped.

    Source:
        rfc-5545, 3.3.11.

    Example:
        >>> print(_text("Quiz; box, 1"))
        Quiz\; box\, 1
    """
    for sign in ("\\", ";", ","):
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\n", "\\n")


def _folded(line: str) -> Iterator[str]:
    """A line in pieces of at most 75 octets, the later ones begun by a space; no letter is torn apart."""
    part, room = "", FOLD
    for sign in line:
        size = len(sign.encode("utf-8"))
        if size > room:
            yield part
            part, room = " ", FOLD - 1
        part += sign
        room -= size
    yield part


__all__ = ["FOLD", "write_calendar"]
