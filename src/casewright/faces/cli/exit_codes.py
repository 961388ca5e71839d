"""Codes that commands end with."""

from __future__ import annotations

FINE, STOPS, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130
OUR_FAULT = 70
"""Neither "stops found" nor "bad input". Source: EX_SOFTWARE of sysexits.h, 4.3BSD; a value from memory."""

SAID = -INTERRUPTED
"""Code of a command that was stopped and has said so, and what it has done until then."""

__all__ = ["BAD_INPUT", "FINE", "INTERRUPTED", "OUR_FAULT", "SAID", "STOPS"]
