"""The drawing from the seat, and the sheet for theatre on one printed page."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.hands import PATIENCE_MS

ONE_PAGE = re.compile(rb"/Type\s*/Page[^s]")


def open_plan(page: Page, app_url: str) -> None:
    """The plan of the demo eye that is in theatre."""
    page.goto(app_url)
    page.get_by_role("button", name="Add three demo eyes", exact=True).click()
    link = page.locator("a[href$='/theatre']").first
    expect(link).to_be_visible()
    address = (link.get_attribute("href") or "").rsplit("/", 1)[0]
    page.goto(f"{app_url}{address.lstrip('/')}/plan")


def open_sheet(page: Page, app_url: str) -> None:
    """The sheet of the same eye."""
    open_plan(page, app_url)
    page.get_by_role("link", name="Sheet for theatre, with a paper grid").click()
    expect(page.get_by_role("heading", name="How much to cut from each haptic, mm")).to_be_visible(timeout=2 * PATIENCE_MS)


def test_the_sheet_holds_the_plan_the_read_back_and_the_grid_on_one_page(
    page: Page, app_url: str, tmp_path: Path
) -> None:
    open_sheet(page, app_url)
    sheet = page.get_by_role("article", name="Sheet of this eye")
    for text in ("Patient label", "Read by", "more cut", "Demo, invented", "the grid is void"):
        expect(sheet.get_by_text(text, exact=False).first).to_be_visible()
    expect(sheet.locator("td")).to_have_count(13 * 13)
    printed = tmp_path / "sheet.pdf"
    page.pdf(path=printed, prefer_css_page_size=True)
    assert len(ONE_PAGE.findall(printed.read_bytes())) == 1
    page.emulate_media(media="print")
    expect(page.get_by_role("button", name="Print or save as PDF")).to_be_hidden()
    expect(page.get_by_role("navigation", name="Places")).to_be_hidden()


def test_the_grid_follows_the_instrument_it_is_read_with(page: Page, app_url: str) -> None:
    open_sheet(page, app_url)
    cells = page.get_by_role("article", name="Sheet of this eye").locator("tbody")
    before = cells.inner_text()
    page.get_by_text("Retinoscope", exact=True).click()
    expect(page.get_by_text("Both readings by retinoscope", exact=False)).to_be_visible()
    assert cells.inner_text() != before


def test_a_mark_around_the_limbus_is_drawn_warned_of_and_can_be_taken_away(page: Page, app_url: str) -> None:
    """The demo eye in theatre is fixed at 10 and 4 o'clock."""
    open_plan(page, app_url)
    card = page.locator("gl-around-card")
    expect(card.get_by_role("img")).to_be_visible(timeout=2 * PATIENCE_MS)
    card.get_by_role("button", name="Mark a bleb, port, infusion or other place").click()
    card.get_by_text("Infusion", exact=True).click()
    card.get_by_role("combobox").select_option("4:30")
    card.get_by_role("button", name="Add the mark").click()
    expect(card.get_by_text("Infusion at 4:30", exact=True)).to_be_visible()
    expect(card.get_by_text("The entry at 4 o'clock lies within an hour of the infusion", exact=False)).to_be_visible()
    expect(page.get_by_text("Out of date", exact=False)).to_have_count(0)
    card.get_by_role("button", name="Remove: Infusion at 4:30").click()
    expect(card.get_by_text("Infusion at 4:30", exact=True)).to_have_count(0)
