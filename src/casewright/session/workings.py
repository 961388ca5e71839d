"""Results kept in memory, so that undo is at once and the same thing is not worked out twice.

An answer comes in two stages: first the cabinet in space, then all that is said of it. The second may be given up when
something newer is wanted.
"""

from __future__ import annotations

import time
from collections import OrderedDict, deque
from collections.abc import Callable
from dataclasses import replace
from typing import Final, TypeAlias

from casewright.basics.errors import InputErrors
from casewright.basics.findings import Finding
from casewright.basics.remembering import let_go
from casewright.catalog.load import Catalog
from casewright.planning.cutting.readying import ready_beside
from casewright.session.states import State
from casewright.workflow import (
    Built,
    LoadedDocument,
    Opened,
    Worked,
    build_up,
    load_text,
    open_document,
    work_out,
)

TEXTS: Final = 32
"""Texts whose results are kept."""
LOOKED_BACK: Final = 32
"""Cabinets worked out, previews among them, after which results are let go that none of them asked for."""
QUICKENED_AFTER: Final = 8
"""Cabinets worked out after which compiled functions for the next plans of cuts are worth their loading."""
QUIET_S: Final = 5.0
"""Nothing has been worked out for so long: a moment to load them."""
PROJECTS: Final = 8
"""Projects whose results are kept for a text that comes to the same."""

Judged: TypeAlias = Callable[[tuple[Finding, ...]], None]
"""Told what the checks found."""


class Workings:
    """Works texts out, each one once."""

    def __init__(self, catalog: Catalog) -> None:
        self._catalog = catalog
        self._texts: OrderedDict[str, State] = OrderedDict()
        self._projects: deque[Worked] = deque(maxlen=PROJECTS)
        self._made = 0
        self._last = time.monotonic()

    def begun(self, text: str, document: LoadedDocument | None, *, file: str) -> State:
        """The state of a text as far as the cabinet in space; from memory, and then whole, where it was there before.

        Args:
            text: The project file's text.
            document: The same as read, where that is at hand.
            file: What to call it in messages.
        """
        state = self._texts.pop(text, None) or self._read(text, document, file)
        self._remember(state)
        return state

    def finished(
        self,
        state: State,
        *,
        wanted: Callable[[], bool] = lambda: True,
        judged: Judged | None = None,
    ) -> State:
        """The whole of a state that is begun.

        Args:
            state: From `begun`.
            wanted: Asked between stages whether it is still wanted.
            judged: Told what the checks found as soon as that is known, where it is not there already.

        Raises:
            Superseded: It is wanted no more.
        """
        if state.built is None or state.worked is not None:
            return state
        try:
            worked = self._work(state.built.opened, state.built, wanted, judged)
            made = replace(state, worked=worked)
        except InputErrors as errors:
            made = replace(state, built=None, errors=errors)
        if self._texts.get(state.text) is state:  # not forgotten meanwhile
            self._remember(made)
        return made

    def work(
        self, document: LoadedDocument, *, wanted: Callable[[], bool] = lambda: True
    ) -> Worked:
        """What a document leads to.

        Raises:
            InputErrors: All that is wrong with it.
            Superseded: It is wanted no more.
        """
        return self._work(open_document(document, self._catalog), None, wanted, None)

    def forget(self) -> None:
        """Forget all texts: messages about them are to name another file."""
        self._texts.clear()

    def _remember(self, state: State) -> None:
        self._texts[state.text] = state
        while len(self._texts) > TEXTS:
            self._texts.popitem(last=False)

    def _read(self, text: str, document: LoadedDocument | None, file: str) -> State:
        opened: Opened | None = None
        try:
            document = document or load_text(text, file=file)
            opened = open_document(document, self._catalog)
            known = self._known(opened)
            if known is not None:
                built = Built(opened, known.cabinet, known.collisions)
                return State(text, document, opened, built, known)
            return State(text, document, opened, build_up(opened))
        except InputErrors as errors:
            return State(text, document, opened, errors=errors)

    def _known(self, opened: Opened) -> Worked | None:
        """What was worked out of a project that is equal but for its ticks."""
        unticked = opened.project.unticked
        for known in tuple(self._projects):
            if known.opened.project.unticked == unticked and known.opened.parts == opened.parts:
                return known.of(opened)
        return None

    def _work(
        self,
        opened: Opened,
        built: Built | None,
        wanted: Callable[[], bool],
        judged: Judged | None,
    ) -> Worked:
        worked = self._known(opened)
        if worked is None:
            worked = work_out(opened, built=built, wanted=wanted, judged=judged)
            self._projects.append(worked)
            self._made += 1
            self._last = time.monotonic()
            if self._made == QUICKENED_AFTER:
                ready_beside(lambda: time.monotonic() - self._last > QUIET_S)
            let_go(LOOKED_BACK)
        return worked


__all__ = ["LOOKED_BACK", "PROJECTS", "TEXTS", "Workings"]
