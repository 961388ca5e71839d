"""The papers that a page has made and those in the making, which goes on while another view is looked at."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from nicegui import run

from casewright.basics.errors import CasewrightError
from casewright.faces.web import sending
from casewright.faces.web.wording import error_lines
from casewright.session.making import Making, StoppedError
from casewright.workflow import Worked


@dataclass(frozen=True)
class Papers:
    """A set of papers, kept for the browser to fetch."""

    name: str
    """In addresses."""
    files: Mapping[str, bytes]
    version: int
    """Of the text they were made from."""


class PaperJob:
    """One page's papers.

    Args:
        changed: Called whenever there is something new to show.
    """

    def __init__(self, changed: Callable[[], None]) -> None:
        self._changed = changed
        self._making: Making | None = None
        self.papers: Papers | None = None
        """Those made last."""
        self.stage = ""
        """What is being made; "" while nothing is."""

    async def make(self, worked: Worked, *, version: int, bench: str = "") -> list[str]:
        """Make them; what is wrong, nothing where they were made or the making was stopped."""
        if self._making is not None:
            return []
        loop = asyncio.get_running_loop()
        self._making = making = Making(
            worked, paper=worked.opened.project.shop.paper, bench=bench or None
        )
        self._tell("getting ready")

        def progress(stage: str) -> None:
            loop.call_soon_threadsafe(self._tell, stage)

        try:
            files = await run.io_bound(making.run, progress)
            if files is not None:  # else the server is ending
                self.papers = Papers(sending.keep(files), files, version)
        except StoppedError:
            return []
        except CasewrightError as error:
            return error_lines(error)
        finally:
            self._making = None
            self._tell("")
        return []

    def stop(self) -> None:
        """Stop the making, at once."""
        if self._making is not None:
            self._making.stop()

    def _tell(self, stage: str) -> None:
        if stage and self._making is None:
            return  # the last word of one that has ended
        self.stage = stage
        self._changed()


__all__ = ["PaperJob", "Papers"]
