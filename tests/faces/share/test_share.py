"""The shared page: whole, offline, harmless, with the very project inside it."""

from __future__ import annotations

import base64
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright
from tests.faces.web.chromium import launch, needs_chromium

from casewright.basics.errors import InputError
from casewright.faces.share import project_in, share_page
from casewright.workflow import open_text, work_out

EXAMPLES = Path(__file__).parents[3] / "examples"
LAP = (EXAMPLES / "lap-controller.cabinet.yaml").read_text(encoding="utf-8")
HOSTILE = '</script><script>document.title="broken"</script><img src=x onerror=alert(1)>'


def page_of(text: str, name: str = "lap.cabinet.yaml") -> bytes:
    return share_page(work_out(open_text(text)), text, name=name)


class Tags(HTMLParser):
    """Every tag with its attributes, as a browser would find them (standard library)."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def test_same_project_same_bytes_and_the_project_comes_out_again(tmp_path: Path) -> None:
    page = page_of(LAP)
    assert page == page_of(LAP)
    path = tmp_path / "shared.html"
    path.write_bytes(page)
    assert project_in(path) == ("lap.cabinet.yaml", LAP)


def test_nothing_in_it_points_anywhere() -> None:
    page = page_of(LAP).decode("utf-8")
    tags = Tags()
    tags.feed(page)
    addresses = [
        value or ""
        for _, attributes in tags.found
        for name, value in attributes.items()
        if name in ("src", "href")
    ]
    assert addresses and all(a.startswith(("data:", "#")) for a in addresses)
    policy = next(
        a["content"]
        for tag, a in tags.found
        if tag == "meta" and "content" in a and "http-equiv" in a
    )
    assert policy and "default-src 'none'" in policy


def test_names_of_the_project_are_only_text(tmp_path: Path) -> None:
    text = re.sub(r"(?m)^name: .*$", f"name: '{HOSTILE[:70]}'", LAP, count=1)
    page = page_of(text, name='../../x"><b>.yaml').decode("utf-8")
    tags = Tags()
    tags.feed(page)
    scripts = [attributes for tag, attributes in tags.found if tag == "script"]
    assert len(scripts) == 4  # import map, project, scene, the page's own
    assert not any("onerror" in attributes for _, attributes in tags.found)
    path = tmp_path / "shared.html"
    path.write_text(page, encoding="utf-8")
    name, inside = project_in(path)
    assert inside == text and "/" not in name and "\\" not in name and "<" not in name


@pytest.mark.parametrize(
    "spoilt",
    [
        "",
        "<html></html>",
        '<script id="casewright-project" data-name="x">%%%</script>',
        '<script type="application/octet-stream" id="casewright-project" data-name="x">//79</script>',
    ],
)
def test_what_is_no_shared_page_is_told(tmp_path: Path, spoilt: str) -> None:
    path = tmp_path / "page.html"
    path.write_text(spoilt, encoding="utf-8")
    with pytest.raises(InputError, match="casewright share"):
        project_in(path)
    with pytest.raises(InputError):
        project_in(tmp_path / "missing.html")


@pytest.mark.browser
@needs_chromium
def test_it_opens_from_the_disk_without_a_network(tmp_path: Path) -> None:
    path = tmp_path / "shared.html"
    path.write_bytes(page_of(LAP))
    with sync_playwright() as player:
        browser = launch(player)
        context = browser.new_context(offline=True, accept_downloads=True)
        page = context.new_page()
        faults: list[str] = []
        asked: list[str] = []
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(path.as_uri(), wait_until="domcontentloaded")
        page.wait_for_selector("#space canvas", timeout=20_000)
        with page.expect_download() as got:
            page.click("#save")
        saved = tmp_path / "saved.yaml"
        got.value.save_as(saved)
        assert saved.read_text(encoding="utf-8") == LAP
        page.locator("summary", has_text="deck").first.click()
        page.wait_for_function(
            "() => [...document.querySelectorAll('details[open] img')].some(i => i.naturalWidth > 50)"
        )
        assert not faults
        assert all(url.startswith(("data:", "blob:")) or url == path.as_uri() for url in asked)
        browser.close()


def test_its_pictures_are_the_drawings() -> None:
    page = page_of(LAP).decode("utf-8")
    codes = re.findall(r'src="data:image/svg\+xml;base64,([^"]+)"', page)
    assert len(codes) > 5
    assert all(base64.b64decode(code).lstrip().startswith((b"<?xml", b"<svg")) for code in codes)
