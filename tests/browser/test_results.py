"""Results on a phone: nothing yet, three eyes, forty; a file; an eye left out and put back."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.hands import PATIENCE_MS
from tests.browser.test_screens import violations
from tests.invented_series import series

PUT = """async (eyes) => {
  const { openStore } = await import(new URL("store/store.js", document.baseURI).href);
  const store = await openStore();
  for (const eye of eyes) await store.create(eye);
}"""
GRAPHS = 8
expect.set_options(timeout=PATIENCE_MS)


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """Without the service worker: these tests need no copy of the app on the device."""
    return new_context(service_workers="block", reduced_motion="reduce")


@pytest.fixture
def refused(page: Page) -> list[str]:
    """What the page's policy refused while it was used."""
    seen: list[str] = []
    page.on("console", lambda line: seen.append(line.text) if "Content Security Policy" in line.text else None)
    return seen


def _show(page: Page, app_url: str, eyes: list[dict[str, Any]]) -> None:
    page.goto(app_url)
    expect(page.get_by_role("heading", name="Eyes", exact=True)).to_be_visible()
    page.evaluate(PUT, eyes)
    page.get_by_role("link", name="Results", exact=True).tap()
    expect(page.get_by_role("heading", name="How did my eyes turn out?")).to_be_visible()


def test_results_with_no_eye_then_three(page: Page, app_url: str) -> None:
    _show(page, app_url, [])
    expect(page.get_by_text("There are no operated eyes on this device yet.")).to_be_visible()
    expect(page.get_by_text("From about 10 eyes", exact=False)).to_be_visible()
    assert violations(page) == []
    eyes = series(3)
    eyes[2]["follow_ups"] = eyes[2]["follow_ups"][:1]
    page.evaluate(PUT, eyes)
    page.reload()
    expect(page.get_by_text("Only 2 eyes")).to_be_visible()
    expect(page.get_by_text("Keep the label's constant")).to_be_visible()
    expect(page.locator("gl-figure").get_by_text("So few eyes are single stories", exact=False).first).to_be_visible()
    page.get_by_text("1 still to come").tap()
    expect(page.get_by_text("There is no visit from day 28 on yet.", exact=False)).to_be_visible()


def test_results_with_forty_eyes(page: Page, app_url: str, refused: list[str], tmp_path: Path) -> None:
    eyes = series(40)
    _show(page, app_url, [*eyes, {**series(1, seed=9)[0], "demo": True}])
    expect(page.locator("gl-figure .drawing svg")).to_have_count(GRAPHS)
    expect(page.locator("dl.facts").first).to_contain_text("40 of 37")
    expect(page.get_by_text("The demo eyes are in no figure here.", exact=False)).to_be_visible()
    # Bootstrap intervals come when numpy is there; the figures stood before.
    expect(page.locator("dl.facts div").filter(has_text="Median distance")).to_contain_text(re.compile(r"D.* to .*D"))
    assert violations(page) == []
    assert page.locator("main").evaluate("(main) => main.scrollWidth - main.clientWidth") <= 0

    _leave_out(page, eyes[0]["code"])
    expect(page.locator("gl-figure").first).to_contain_text("Excluded: 1 by hand.")
    svg = _saved(page, tmp_path)
    assert "39 eyes of" in svg
    assert "Excluded: 1 by hand." in svg.replace("\n", " ")

    page.reload()
    page.get_by_role("button", name=f"Put {eyes[0]['code']} back").tap()
    expect(page.locator("dl.facts").first).to_contain_text("40 of 37")
    page.get_by_label("One eye a person").tap()
    expect(page.locator("dl.facts").first).to_contain_text("37 of 37")
    page.evaluate("document.documentElement.dataset.theme = 'theatre'")
    assert violations(page) == []
    assert refused == []


def _leave_out(page: Page, code: str) -> None:
    page.get_by_text("Leave an eye out by hand").tap()
    page.locator("select[name=code]").select_option(code)
    page.locator("select[name=reason]").select_option("Refraction not trusted")
    page.get_by_role("button", name="Leave it out").tap()
    expect(page.get_by_text(f"{code} is left out.")).to_be_visible()


def _saved(page: Page, folder: Path) -> str:
    """The first graph as a file: well-formed, on paper's colours, with its words."""
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save “Refraction from target” as SVG").tap()
    path = folder / waiting.value.suggested_filename
    waiting.value.save_as(path)
    assert path.name == "guyline-error-histogram.svg"
    text = path.read_text(encoding="utf-8")
    assert ElementTree.fromstring(text).tag == "{http://www.w3.org/2000/svg}svg"
    assert "var(--" not in text
    assert "currentColor" not in text
    assert "Refraction from target" in text
    return " ".join(re.findall(r"<text[^>]*>([^<]*)</text>", text))
