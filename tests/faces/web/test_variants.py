"""Variants and batches in the workbench: the same rows and layouts as the command's."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path

from nicegui import ElementFilter, events, ui
from tests.faces.web.pages import Shown, showing, until
from tests.session.projects import SMALL

from casewright.faces.web import sending
from casewright.faces.web.views.exploring import PICKED
from casewright.session.exploring import job_of, try_variant


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
        shown.press("Try them")

        def frame() -> str:
            found = [e for e in shown.elements() if e.tag == "iframe" and e.visible]
            return str(found[0].props.get("src", "")) if found else ""

        await until(lambda: bool(frame()))
        data = json.loads(kept(frame())["variants.json"])
        job = job_of(
            shown.session.path,
            vary=["shape.width=280 to 320 by 20", "parts.button.placed.go.u=90, 100"],
        )
        for one, number in zip(data["variants"], job.numbers, strict=True):
            assert one["figures"] == dict(try_variant(job.base, job.space.variant(number)).figures)
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
        shown.press("Lay them out together")
        await until(lambda: any("cut one by one, 3" in text for text in words(shown)))
        links = [e for e in shown.elements(download="batch.pdf")]
        files = kept(str(links[0].props["href"]))
        assert files["batch.pdf"].startswith(b"%PDF") and b"Shelf" in files["parts.csv"]
        with zipfile.ZipFile(io.BytesIO(sending.archive(files))) as archive:
            assert "part-labels.pdf" in archive.namelist()
