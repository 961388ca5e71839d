"""Projects brought in from elsewhere: out of a shared page, or as a file; nothing else is written, nothing outside."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from tests.faces.web.chromium import needs_chromium
from tests.faces.web.serving import Server
from tests.faces.web.workbench import visit

from casewright.basics.errors import CasewrightError, InputError
from casewright.faces.share.page import PROJECT_ID
from casewright.faces.share.unpacking import LARGEST_CODE, plain_name
from casewright.faces.web.bringing import bring_in, open_named, picked
from casewright.faces.web.desk import Desk
from casewright.faces.web.security import LARGEST_BODY
from casewright.faces.web.start import has_room, wished_width
from casewright.session import RecentFiles
from casewright.workflow import SUFFIX, starter_text

CASE = Path(__file__).parents[3] / "examples" / "speaker-case.cabinet.yaml"
TEXT = CASE.read_text(encoding="utf-8")


def shared(text: str, name: str) -> str:
    code = base64.b64encode(text.encode()).decode()
    return f'<script type="application/octet-stream" id="{PROJECT_ID}" data-name="{name}">{code}</script>'


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    folder = tmp_path / "desk"
    folder.mkdir()
    made = Desk(folder, recent=RecentFiles(tmp_path / "data"))
    yield made
    made.close()


@pytest.mark.parametrize(
    ("name", "plain"),
    [
        ("case.cabinet.yaml", "case.cabinet.yaml"),
        ("../../etc/x.yaml", "x.cabinet.yaml"),
        ("C:\\Users\\me\\x.yml", "x.cabinet.yaml"),
        ("..", "project.cabinet.yaml"),
        (".hidden", "hidden.cabinet.yaml"),
        ("a\0b\nc<d>.cabinet.yaml", "a_b_c_d_.cabinet.yaml"),
        ("木" * 300, "木" * 60 + ".cabinet.yaml"),
    ],
)
def test_names_lead_nowhere_and_fit_every_disk(name: str, plain: str) -> None:
    assert plain_name(name) == plain
    assert len(plain.encode()) <= 255  # NAME_MAX of POSIX systems


def test_a_shared_page_is_opened_by_its_name_beside_what_is_there(desk: Desk) -> None:
    page = desk.folder / "given.HTML"
    page.write_text(shared(TEXT, "../../case.cabinet.yaml"), encoding="utf-8")
    for name in ("case", "case-2"):
        key = open_named(desk, " given.HTML ")
        session = desk.find(key)
        assert session is not None and session.text == TEXT
        assert session.path == desk.folder / f"{name}{SUFFIX}"
    assert {path.name for path in desk.folder.parent.iterdir()} <= {"desk", "data"}
    assert open_named(desk, "case") != open_named(desk, "case-2")


@pytest.mark.parametrize("name", ["../given.html", "/etc/passwd.html", "a\\b.html", "gone.html"])
def test_pages_of_other_folders_are_not_looked_at(desk: Desk, name: str) -> None:
    (desk.folder.parent / "given.html").write_text(shared(TEXT, "case"), encoding="utf-8")
    with pytest.raises(InputError):
        open_named(desk, name)
    assert list(desk.folder.iterdir()) == []


@pytest.mark.parametrize(
    "told",
    [
        {},
        {"name": "page.html"},
        {"name": "page.html", "inside": "x", "code": "%%%"},
        {"name": "page.html", "inside": "x", "code": "//79"},  # no UTF-8
        {"name": "page.html", "inside": "x", "code": "A" * (LARGEST_CODE + 1)},
        {"name": "page.html", "text": TEXT},  # what it is follows from its name
        {"name": "p.yaml", "text": " "},
        {"name": "p.yaml", "wrong": "too large", "text": TEXT},
        {"name": "p.yaml", "text": "casewright: 1\nname: ["},
        {"name": "p.yaml", "text": TEXT.replace("kind:", "knid:", 1)},
    ],
)
def test_what_holds_no_project_is_told_and_nothing_is_written(
    desk: Desk, told: dict[str, str]
) -> None:
    with pytest.raises(CasewrightError):
        bring_in(desk, *picked(told))
    assert list(desk.folder.iterdir()) == []


def test_a_width_that_has_no_room_is_found_before_a_file_is_written() -> None:
    assert wished_width(" ", "mm") is None
    assert wished_width("27 1/2", "in") == pytest.approx(698.5)  # 27.5 × 25.4
    with pytest.raises(InputError):
        wished_width("wide", "mm")
    assert has_room(starter_text("lap", name="x"))
    assert not has_room(starter_text("lap", name="x", width=20.0))


@pytest.mark.browser
@needs_chromium
def test_a_shared_page_larger_than_a_request_may_be(page: Page, server: Server) -> None:
    """Only the project in it is sent; none of its words run. What is none is told beside the box."""
    visit(page, server.address)
    box = page.get_by_label("A shared page, or a project file from elsewhere")
    told = page.locator(".start-open [role=alert]").last
    box.set_input_files({"name": "x.html", "mimeType": "text/html", "buffer": b"<p>nothing</p>"})
    expect(told).to_contain_text("without a project")
    hostile = "<script>document.title = 1</script><img src=x onerror='document.title = 1'>"
    filled = f"{hostile}<!--{'x' * LARGEST_BODY}-->{shared(TEXT, '../../brought.cabinet.yaml')}"
    box.set_input_files({"name": "a.html", "mimeType": "text/html", "buffer": filled.encode()})
    page.wait_for_url("**/desk/**")
    expect(page.locator(".project-name")).to_have_text("Workshop loudspeaker")
    assert page.title() == "casewright"
    brought = server.folder / f"brought{SUFFIX}"
    assert brought.read_text(encoding="utf-8") == TEXT
    page.wait_for_load_state("networkidle")
    brought.unlink()
