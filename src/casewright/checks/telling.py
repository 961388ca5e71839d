"""Findings in the words of one who reads them whole: which of several parts is meant, which order is the first."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from casewright.basics.findings import Finding, Remedy
from casewright.basics.wording import listed
from casewright.geometry.model import Cabinet

MOST_LISTED = 3
"""More of one name are only counted."""


def told_apart(findings: Sequence[Finding], cabinet: Cabinet) -> tuple[Finding, ...]:
    """Return findings whose parts share their label with others, each with its key: push button “b2”.

    Only where it is sure which one a word means: the finding names as many of them as its message has words for, in
    the same order, or a single one.
    """
    count = Counter(placed.label for placed in cabinet.placed)
    shared = {label for label, many in count.items() if many > 1}
    # A label that goes on to another one cannot be found by its words alone.
    sure = {a for a in shared if not any(a != b and a in b for b in count)}
    return tuple(_told(finding, cabinet, sure) for finding in findings) if sure else tuple(findings)


def begun(finding: Finding) -> Finding:
    """Return the finding with its first order as one that stands alone, where it was an alternative to others."""
    if not finding.remedies or not finding.remedies[0].text.startswith(_OR):
        return finding
    first, *others = finding.remedies
    text = first.text.removeprefix(_OR)
    return replace(finding, remedies=(replace(first, text=text[:1].upper() + text[1:]), *others))


_OR = "Or "


def _told(finding: Finding, cabinet: Cabinet, sure: set[str]) -> Finding:
    by_label: dict[str, list[str]] = {}
    for name in finding.place.names:
        placed = cabinet.placed_by_key.get(name)
        if placed is not None and placed.label in sure:
            by_label.setdefault(placed.label, []).append(name)
    message, remedies = finding.message, list(finding.remedies)
    for label, keys in by_label.items():
        word = re.compile(rf"(?<!× )(?<!\w){re.escape(label)}(?![\w“])(?! “)")
        counted = f"{len(keys)} × {label}"
        if 1 < len(keys) <= MOST_LISTED and counted in message:
            quoted = listed([f"“{key}”" for key in keys])
            message = message.replace(counted, f"{label} {quoted}")
        elif len(keys) > 1 and len(word.findall(message)) != len(keys):
            continue
        else:
            message = _with_keys(word, message, label, keys)
        remedies = [_remedy(word, remedy, cabinet, label, keys) for remedy in remedies]
    if message == finding.message and remedies == list(finding.remedies):
        return finding
    return replace(finding, message=message, remedies=tuple(remedies))


def _remedy(
    word: re.Pattern[str], remedy: Remedy, cabinet: Cabinet, label: str, keys: Sequence[str]
) -> Remedy:
    """A remedy that moves some of several says which by the fields it writes."""
    if len(keys) > 1:
        fields = (remedy.field, *(field for field, _ in remedy.also))
        moved = dict.fromkeys(_placed_at(field, cabinet) for field in fields)
        keys = [key for key in moved if key in keys]
        if not keys or len(word.findall(remedy.text)) != len(keys):
            return remedy
    return replace(remedy, text=_with_keys(word, remedy.text, label, keys))


def _placed_at(field: str, cabinet: Cabinet) -> str:
    """Key of the placed part that a field belongs to; "" for another field."""
    steps = field.split(".")
    part = cabinet.project.parts.get(steps[1]) if steps[0] == "parts" and len(steps) > 3 else None
    if part is None or steps[2] != "placed" or not steps[3].isdigit():
        return ""
    return part.placed[int(steps[3])].key


def _with_keys(word: re.Pattern[str], text: str, label: str, keys: Sequence[str]) -> str:
    """The words followed by their keys in turn; a single key goes to all of them."""
    left = list(keys)

    def told(_: re.Match[str]) -> str:
        return f"{label} “{left.pop(0) if len(left) > 1 else left[0]}”"

    return word.sub(told, text)


__all__ = ["begun", "told_apart"]
