"""The shop's stock as a page sees it: read aside, shown when it is there, changed one thing at a time."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from nicegui import run, ui

from casewright.basics.errors import CasewrightError
from casewright.faces.web.bench import Bench
from casewright.faces.web.wording import error_lines
from casewright.session.stocking import accepted_as, is_as_accepted, offered, open_stock
from casewright.stock.records import Held

if TYPE_CHECKING:
    from casewright.stock.history import Accepted
    from casewright.stock.offering import Offer
    from casewright.stock.shop import ShopStock

T = TypeVar("T")


def stock_now(bench: Bench) -> ShopStock:
    """The stock, in the name of whoever sits here.

    Raises:
        CasewrightError: It cannot be reached.
    """
    return open_stock(bench.desk.stock_address, who=bench.desk.who)


async def change_stock(
    bench: Bench, change: Callable[[ShopStock], T]
) -> tuple[T | None, list[str]]:
    """Change something of the stock, aside from the page; what came of it, and what is wrong."""

    def doing() -> tuple[T | None, list[str]]:
        try:
            return change(stock_now(bench)), []
        except CasewrightError as error:
            return None, error_lines(error)

    done = await run.io_bound(doing)
    assert done is not None
    return done


class StockRoom:
    """What one page knows of the stock.

    Args:
        bench: The page.
    """

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.entries: tuple[Held, ...] = ()
        self.layouts: tuple[Accepted, ...] = ()
        self.offer: Offer | None = None
        self.accepted: Accepted | None = None
        """How the project's layout was accepted."""
        self.is_changed = False
        """Whether the layout is another one now."""
        self.address = ""
        self.problems: list[str] = []
        """Why the stock cannot be shown."""
        self.version = 0
        """Grows with each reading."""
        self.kind = ""
        """Kind of entries that is listed; "" for all."""
        self.sheets = ui.element("div")
        """Where dialogs are put: what is listed is built anew with each reading."""
        self._is_reading = False
        self._is_asked = False

    def opened(self) -> ShopStock:
        """The stock, in the name of whoever sits here; see `stock_now`."""
        return stock_now(self.bench)

    async def read(self) -> None:
        """Read it anew; asked for again meanwhile, once more afterwards."""
        self._is_asked = True
        if self._is_reading:
            return
        self._is_reading = True
        try:
            while self._is_asked and not self.bench.client.is_deleted:
                self._is_asked = False
                await run.io_bound(self._look)
                self._show()
        finally:
            self._is_reading = False

    async def do(self, change: Callable[[ShopStock], T]) -> tuple[T | None, list[str]]:
        """Change something; what came of it, and what is wrong."""
        done = await change_stock(self.bench, change)
        await self.read()
        return done

    async def tell(self, problems: list[str], good: str = "") -> None:
        """Say what is wrong, or that it went well."""
        with self.bench.client:  # what was pressed may be gone
            if await self.bench.tell(problems) and good:
                ui.notify(good, timeout=3000)

    def _look(self) -> None:
        worked = self.bench.worked
        try:
            stock = self.opened()
            self.address = stock.address
            self.entries, self.layouts = stock.entries(), stock.accepted(most=20)
            self.offer = offered(worked, stock) if worked else None
            self.accepted = accepted_as(worked, stock) if worked else None
            self.is_changed = bool(
                worked and self.accepted and not is_as_accepted(worked, self.accepted)
            )
            self.problems = []
        except CasewrightError as error:
            self.problems = error_lines(error)

    def _show(self) -> None:
        self.version += 1
        if not self.bench.client.is_deleted:
            with self.bench.client:
                self.bench.live.update()


__all__ = ["StockRoom", "change_stock", "stock_now"]
