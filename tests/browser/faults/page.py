"""A page of the app with the faults loaded before it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Page

from .call_sites import call_sites

HERE = Path(__file__).parent
FAULTS = (HERE / "faults.js").read_text(encoding="utf-8")
STORIES = (HERE / "stories.js").read_text(encoding="utf-8")
PLACES = {site.name: site.place for site in call_sites()}


def page_with_faults(context: BrowserContext, address: str) -> Page:
    """The app open on its list of eyes."""
    page = context.new_page()
    page.add_init_script(FAULTS)
    page.goto(address)
    page.get_by_role("heading", name="Eyes").wait_for()
    page.evaluate("(places) => { window.faultPlaces = places; }", PLACES)
    return page


def told(page: Page, rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Tell stories: without a fault (``clean``), or with one at a place."""
    results: list[dict[str, Any]] = page.evaluate(STORIES, {"rows": rows})
    return results

