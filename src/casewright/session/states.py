"""What an open project is at one moment, and what it would be."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding
from casewright.session.changes import Changes
from casewright.workflow import Built, LoadedDocument, Opened, Worked


@dataclass(frozen=True)
class State:
    """One text and what follows from it."""

    text: str
    document: LoadedDocument | None = None
    """None where the text is no YAML."""
    opened: Opened | None = None
    built: Built | None = None
    """The cabinet in space; None where something is wrong with the text."""
    worked: Worked | None = None
    """None where something is wrong with the text, and while it is still being worked out."""
    shown: Worked | None = None
    """The same, or the last one there was."""
    placed: Built | None = None
    """The cabinet in space, or the last one there was."""

    @property
    def is_behind(self) -> bool:
        """Whether what is shown is of an earlier text, and that of this one is being worked out."""
        return self.built is not None and self.worked is None and self.errors is None

    errors: InputErrors | None = None


@dataclass(frozen=True)
class Restored:
    """Unsaved changes of an earlier program that were found and are shown now."""

    when: datetime
    """Of the last change."""
    steps: int
    is_conflict: bool
    """The file itself was changed as well since."""
    is_gone: bool = False
    """The file itself is not there any more: all of the text comes from the journal."""


@dataclass(frozen=True)
class Preview:
    """What an edit would lead to."""

    changes: Changes
    worked: Worked | None
    errors: InputErrors | None = None
    is_superseded: bool = False
    """Given up for something newer; it tells nothing."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings that would be there."""
        return self.worked.findings if self.worked else ()


__all__ = ["Preview", "Restored", "State"]
