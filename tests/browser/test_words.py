"""Every screen in two invented languages: one with long words, one that runs from right to left."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.hands import PATIENCE_MS
from webapp.build.core_texts import core_texts

LANGUAGES = Path(__file__).with_name("pseudo_languages.js")
SIZES = ((390, 844), (320, 568))
PLACES = ("eyes", "new", "box", "results", "export", "import", "setup", "glossary", "learning")

#: The same in every language: units, symbols, names in trade use, names of works and files.
SAME = re.compile(
    r"\b(mm|mmHg|D|SD|MB|kB|GB|RMSE|CSV|SVG|IOP|logMAR|Guyline|SRK/T|Holladay 1|Hoffer Q|Haigis|PMMA|English|Tray \d, row [A-Z]|guyline-backup-[\d-]+.json)\b"
    # Without its service worker the app says why, in the browser's own words.
    r"|Cannot read properties of undefined \(reading 'addEventListener'\)"
)
LOOK = (Path(__file__).with_name("look_at_words.js")).read_text()


def in_other_languages(context: BrowserContext) -> None:
    """The app's own languages are replaced by the invented ones."""
    core = core_texts()
    texts = json.dumps({"texts": sorted(core.texts), "forms": core.forms})
    context.route("**/words/languages.js", lambda route: route.fulfill(
        body=LANGUAGES.read_text(encoding="utf-8"), content_type="text/javascript"))
    context.route("**/words/core-texts.json", lambda route: route.fulfill(body=texts, content_type="application/json"))


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """A phone that speaks the invented languages; routes are seen only without a service worker."""
    made = new_context(service_workers="block")
    in_other_languages(made)
    return made


def speaking(page: Page, app_url: str, language: str) -> None:
    """Choose the language in Setup, as a user would, and bring the demo eyes."""
    page.goto(f"{app_url}#/setup")
    page.locator('gl-choice[path="setup.language"] label').filter(has=page.locator(f'input[value="{language}"]')).tap()
    expect(page.locator("html")).to_have_attribute("dir", "rtl" if language == "rtl" else "ltr")
    expect(page.locator("gl-choice[path='setup.language']")).to_be_visible()
    page.goto(f"{app_url}#/eyes")
    page.locator("[data-role=add-demo]").tap()
    expect(page.locator("a.eye")).to_have_count(3, timeout=PATIENCE_MS)


def screens(page: Page) -> Iterator[str]:
    """Every place, and every stage of the demo eyes, one after another."""
    codes = page.locator("a.eye gl-eye").evaluate_all("(all) => all.map((one) => one.code)")
    for place in PLACES:
        yield f"#/{place}"
    for code in codes:
        for stage in ("plan", "theatre", "follow-up"):
            yield f"#/eye/{code}/{stage}"


def settled(page: Page) -> None:
    """The screen's answers are there."""
    expect(page.locator("main h1, main h2, main gl-card").first).to_be_visible()
    expect(page.locator(".result.stale, [role=status].busy, .calculating")).to_have_count(0)


def faults(page: Page, address: str, app_url: str) -> Iterator[tuple[str, str, str]]:
    """What is wrong on one screen at each size: address and size, kind, text."""
    page.goto(f"{app_url}{address}")
    settled(page)
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        found: dict[str, list[Any]] = page.evaluate(LOOK, [SAME.pattern, width])
        for kind, texts in found.items():
            yield from ((f"{address} {width}", kind, text) for text in texts)


@pytest.mark.parametrize("language", ["long", "rtl"])
def test_every_screen_is_translated_and_fits(page: Page, app_url: str, language: str) -> None:
    speaking(page, app_url, language)
    found = [fault for address in list(screens(page)) for fault in faults(page, address, app_url)]
    assert found == []
