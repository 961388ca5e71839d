"""Variants and batches in the workbench: the same rows and layouts as the command's."""

from __future__ import annotations

import io
import json
import threading
import zipfile
from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest
from nicegui import ElementFilter, events, ui
from tests.faces.web.pages import Shown, fire, showing, until
from tests.session.projects import SMALL
from tests.stock.pieces import board

from casewright.faces.web import sending
from casewright.faces.web.views import batching
from casewright.faces.web.views.exploring import PICKED
from casewright.session.exploring import job_of, try_variant
from casewright.session.making import StoppedError
from casewright.stock.shop import ShopStock


def words(shown: Shown) -> list[str]:
    with shown.user:
        return [label.text for label in ElementFilter(kind=ui.label)]


def kept(address: str) -> dict[str, bytes]:
    """The files that the page offers under an address."""
    return dict(sending._MADE[address.split("/")[2]])


async def test_variants_are_tried_and_one_is_taken(tmp_path: Path) -> None:
    async with showing(tmp_path, SMALL) as shown:
        await shown.open("findings")
        shown.press("Try variants")
        await until(lambda: "Try them" in words(shown))
        with shown.user:
            (wish,) = ElementFilter(kind=ui.textarea)
            assert wish.value.startswith("shape.width = 280 to 320 by 10")
            wish.value = "shape.width = 280 to 320 by 20\nparts.button.placed.go.u = 90, 100"
        # As `--show` and `--aim` of the command.
        for label, text in (("Further numbers", "front.length,"), ("Aims", "mass, sight more")):
            (box,) = [e for e in shown.elements() if str(e.props.get("label")).startswith(label)]
            assert isinstance(box, ui.input)
            box.value = text
        shown.press("Try them")

        def frame() -> str:
            found = [e for e in shown.elements() if e.tag == "iframe" and e.visible]
            return str(found[0].props.get("src", "")) if found else ""

        await until(lambda: bool(frame()))
        data = json.loads(kept(frame())["variants.json"])
        job = job_of(
            shown.session.path,
            vary=["shape.width=280 to 320 by 20", "parts.button.placed.go.u=90, 100"],
            shown=["front.length"],
            aims=["mass", "sight more"],
        )
        assert "front.length" in data["variants"][0]["figures"]
        for one, number in zip(data["variants"], job.numbers, strict=True):
            row = try_variant(job.base, job.space.variant(number), job.wishes.shown)
            assert one["figures"] == dict(row.figures)
        assert b"Make it the project" in kept(frame())["explored.html"]
        press_in_frame(shown, 5)
        await until(lambda: "width: 320   # over both sides" in shown.session.text)
        assert "u: 90" in shown.session.text and shown.session.undo_label == "take variant 5"


def press_in_frame(shown: Shown, number: int) -> None:
    """What the page hears when a variant is pressed in the frame."""
    with shown.user:
        page = next(iter(ElementFilter())).client.layout
        for listener in page._event_listeners.values():
            if listener.type.lower() == PICKED.replace("-", ""):
                told = events.GenericEventArguments(sender=page, client=page.client, args=number)
                events.handle_event(listener.handler, told)
                return
    raise AssertionError("nobody listens")


async def test_mistakes_in_what_to_vary_are_told(tmp_path: Path) -> None:
    async with showing(tmp_path, SMALL) as shown:
        await shown.open("findings")
        shown.press("Try variants")
        await until(lambda: "Try them" in words(shown))
        with shown.user:
            (wish,) = ElementFilter(kind=ui.textarea)
            wish.value = "shape.widht = 1, 2"
        shown.press("Try them")
        await until(lambda: any("widht" in text for text in words(shown)))


async def test_a_batch_is_laid_out_and_its_papers_are_there(tmp_path: Path) -> None:
    async with showing(tmp_path, SMALL) as shown:
        other = SMALL.replace("Small box", "Shelf").replace("width: 300", "width: 420")
        (shown.desk.folder / "shelf.cabinet.yaml").write_text(other, encoding="utf-8")
        await shown.open("papers")
        shown.press("Cut a batch")
        await until(lambda: "Lay them out together" in words(shown))
        with shown.user:
            for field in ElementFilter(kind=ui.number):
                if field.props.get("label") == "shelf":
                    field.value = 1
            (paper,) = [e for e in shown.elements(label="Paper") if isinstance(e, ui.select)][-1:]
            paper.value = "Letter"
        shown.press("Lay them out together")
        await until(lambda: any("cut one by one, 3" in text for text in words(shown)))
        links = [e for e in shown.elements(download="batch.pdf")]
        files = kept(str(links[0].props["href"]))
        assert files["batch.pdf"].startswith(b"%PDF") and b"Shelf" in files["parts.csv"]
        size = pypdfium2.PdfDocument(files["batch.pdf"])[0].get_size()
        assert sorted(map(round, size)) == [612, 792]  # Letter, in points
        with zipfile.ZipFile(io.BytesIO(sending.archive(files))) as archive:
            assert "part-labels.pdf" in archive.namelist()


async def test_a_batch_is_accepted_from_the_stock_and_taken_back(tmp_path: Path) -> None:
    """One board serves all copies: it leaves the stock, its rest is booked; undo brings it back."""
    async with showing(tmp_path, SMALL) as shown:
        stock = ShopStock(shown.desk.stock_address, who="Ann")
        stock.add(board("A1", length=1220, width=1220, species=None))
        await shown.open("papers")
        shown.press("Cut a batch")
        await until(lambda: "Lay them out together" in words(shown))
        with shown.user:
            (tick,) = ElementFilter(kind=ui.checkbox)
            tick.value = True
        shown.press("Lay them out together")
        await until(lambda: "Accept this layout …" in words(shown))
        assert any(line.startswith("0 sheets to buy") for line in words(shown))
        shown.press("Accept this layout")
        shown.elements(aria_label="Where the offcuts will lie")[0].value = "rack 3"  # type: ignore[attr-defined]
        fire(shown.user, shown.elements(aria_label="Where the offcuts will lie")[0], "blur")
        shown.press("Accept", which=-1)
        await until(lambda: any("Accepted: it took A1" in line for line in words(shown)))
        (done,) = stock.accepted()
        assert stock.entry("A1").count == 0 and "2 × Small box" in done.project
        assert {stock.entry(mark).record.place for mark in done.booked} == {"rack 3"}
        shown.press("Undo it")
        await until(lambda: "Accept this layout …" in words(shown))
        assert [one.mark for one in stock.entries()] == ["A1"]


async def test_a_batch_that_is_stopped_leaves_the_page_as_it_was(tmp_path: Path) -> None:
    async with showing(tmp_path, SMALL) as shown:
        await shown.open("papers")
        shown.press("Cut a batch")
        await until(lambda: "Lay them out together" in words(shown))
        held, stopped = threading.Event(), []

        def laid_out(*arguments: object, tell: Callable[[str], None], **more: object) -> None:
            held.wait(30)
            try:
                tell("birch")
            except StoppedError:
                stopped.append(True)
                raise

        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(batching, "batched", laid_out)
            shown.press("Lay them out together")
            await until(lambda: any(line.startswith("shown") for line in words(shown)))
            shown.press("Stop", which=-1)
            held.set()
            await until(lambda: bool(stopped))
        shown.press("Lay them out together")
        await until(lambda: "Accept this layout …" in words(shown))
