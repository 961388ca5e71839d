"""What can go wrong, by kind.

    CasewrightError
    ├── InputError        one thing in the input that cannot be used
    ├── InputErrors       all of them, reported at once
    ├── OutputError       a file or folder that cannot be written
    └── RefusedError      something that cannot be done as things stand; nothing was changed

A design that should not be built is a `Finding`, never an error. Our own bugs are plain exceptions.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class CasewrightError(Exception):
    """Base of every error a user may meet; its text is written for him."""


@dataclass(frozen=True)
class Spot:
    """A place in a text file."""

    file: str
    line: int
    column: int
    text: str = ""
    """The source line itself, for showing with a caret."""


class InputError(CasewrightError):
    """One value that cannot be used.

    Args:
        field: Dotted path of the value, as the user wrote it ("panels.deck.material").
        got: What was found.
        want: What is expected, in plain words.
        example: A value that would pass.
        spot: Where it stands, added by whoever knows the file.
    """

    def __init__(
        self,
        field: str,
        *,
        got: object,
        want: str,
        example: str = "",
        spot: Spot | None = None,
    ) -> None:
        self.field = field
        self.got = str(got)
        self.want = want
        self.example = example
        self.spot = spot
        super().__init__(self.text())

    def text(self) -> str:
        """The whole message on one line, without the place."""
        tail = f" Example: {self.example}" if self.example else ""
        head = f"{self.field}: " if self.field else ""
        return f"{head}found {self.got}; expected {self.want}.{tail}"

    def at(self, spot: Spot) -> InputError:
        """The same error with its place in the file."""
        return InputError(self.field, got=self.got, want=self.want, example=self.example, spot=spot)

    def inside(self, prefix: str) -> InputError:
        """The same error seen from one level further out."""
        field = f"{prefix}.{self.field}" if self.field else prefix
        return InputError(field, got=self.got, want=self.want, example=self.example, spot=self.spot)

    def as_json(self) -> dict[str, object]:
        """Plain data for `--json` and the web page."""
        spot = self.spot
        return {
            "field": self.field,
            "got": self.got,
            "want": self.want,
            "example": self.example,
            "file": spot.file if spot else None,
            "line": spot.line if spot else None,
            "column": spot.column if spot else None,
        }


class InputErrors(CasewrightError):
    """All that is wrong with an input, in the order of the file."""

    def __init__(self, errors: Iterable[InputError]) -> None:
        self.errors = tuple(errors)
        super().__init__("\n".join(str(error) for error in self.errors))


class OutputError(CasewrightError):
    """A file or folder that cannot be written, with what to do about it."""

    def __init__(self, path: str, *, why: str, remedy: str) -> None:
        self.path = path
        self.why = why
        self.remedy = remedy
        super().__init__(f"{path}: {why}. {remedy}")


class RefusedError(CasewrightError):
    """Something that cannot be done as things stand, with every reason; nothing was changed."""

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("\n".join(self.reasons))


__all__ = ["CasewrightError", "InputError", "InputErrors", "OutputError", "RefusedError", "Spot"]
