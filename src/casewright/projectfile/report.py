"""Input errors as they are shown: as text with the line and a caret, or as plain data."""

from __future__ import annotations

from unicodedata import east_asian_width

from casewright.basics.errors import InputError, InputErrors, Spot

_WINDOW = 96
"""Characters shown of a long line."""


def report_text(errors: InputErrors | InputError) -> str:
    """Return the errors as text: place, what was found, what is expected, the line with a caret.

    Example:
        >>> spot = Spot("radio.yaml", 3, 8, "width: 47 kg")
        >>> print(report_text(InputError("width", got="“47 kg”", want="a length", spot=spot)))
        radio.yaml:3:8: width: found “47 kg”; expected a length.
            width: 47 kg
                   ^
    """
    return "\n".join(map(_one, _all(errors)))


def report_json(errors: InputErrors | InputError) -> dict[str, object]:
    """Return the errors as plain data, for `--json` and the web page."""
    return {"errors": [error.as_json() for error in _all(errors)]}


def _all(errors: InputErrors | InputError) -> tuple[InputError, ...]:
    return errors.errors if isinstance(errors, InputErrors) else (errors,)


def _one(error: InputError) -> str:
    spot = error.spot
    if spot is None:
        return error.text()
    head = f"{spot.file}:{spot.line}:{spot.column}: {error.text()}"
    return f"{head}\n{_marked(spot)}" if spot.text.strip() else head


def _marked(spot: Spot) -> str:
    """The source line, shortened around the column, and a caret under the column."""
    at = min(spot.column - 1, len(spot.text))
    start = max(0, at - _WINDOW // 2) if len(spot.text) > _WINDOW else 0
    shown = "".join(c if c.isprintable() or c == "\t" else "·" for c in spot.text)
    before, line = shown[start:at], shown[start : start + _WINDOW]
    lead = "…" if start else ""
    tail = "…" if start + _WINDOW < len(shown) else ""
    # Tabs stay tabs, so that the caret stands right whatever their width.
    gap = "".join("\t" if c == "\t" else " " * (1 + (east_asian_width(c) in "WF")) for c in before)
    return f"    {lead}{line.rstrip()}{tail}\n    {' ' * len(lead)}{gap}^"


__all__ = ["report_json", "report_text"]
