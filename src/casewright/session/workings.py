"""Results kept in memory, so that undo is at once and the same thing is not worked out twice."""

from __future__ import annotations

from collections import OrderedDict, deque
from dataclasses import replace
from typing import Final

from casewright.basics.errors import InputErrors
from casewright.catalog.load import Catalog
from casewright.session.states import State
from casewright.workflow import LoadedDocument, Opened, Worked, load_text, open_document, work_out

TEXTS: Final = 64
"""Texts whose results are kept."""
PROJECTS: Final = 8
"""Projects whose results are kept for a text that comes to the same."""


class Workings:
    """Works texts out, each one once."""

    def __init__(self, catalog: Catalog) -> None:
        self._catalog = catalog
        self._texts: OrderedDict[str, State] = OrderedDict()
        self._projects: deque[Worked] = deque(maxlen=PROJECTS)

    def state_of(self, text: str, document: LoadedDocument | None = None, *, file: str) -> State:
        """The state of a text, from memory where it was there before.

        Args:
            text: The project file's text.
            document: The same as read, where that is at hand.
            file: What to call it in messages.
        """
        state = self._texts.pop(text, None)
        if state is None:
            state = self._worked_out(text, document, file)
        self._texts[text] = state
        while len(self._texts) > TEXTS:
            self._texts.popitem(last=False)
        return state

    def work(self, document: LoadedDocument) -> Worked:
        """What a document leads to.

        Raises:
            InputErrors: All that is wrong with it.
        """
        return self._work(open_document(document, self._catalog))

    def forget(self) -> None:
        """Forget all texts: messages about them are to name another file."""
        self._texts.clear()

    def _worked_out(self, text: str, document: LoadedDocument | None, file: str) -> State:
        opened: Opened | None = None
        try:
            document = document or load_text(text, file=file)
            opened = open_document(document, self._catalog)
            return State(text, document, opened, self._work(opened))
        except InputErrors as errors:
            return State(text, document, opened, errors=errors)

    def _work(self, opened: Opened) -> Worked:
        """Work it out, or take what was worked out of an equal project."""
        for known in self._projects:
            if known.opened.project == opened.project and known.opened.parts == opened.parts:
                return replace(known, opened=opened)
        worked = work_out(opened)
        self._projects.append(worked)
        return worked


__all__ = ["PROJECTS", "TEXTS", "Workings"]
