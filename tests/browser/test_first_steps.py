"""The first minutes: what the app says of itself, a demo eye to its advice, and the looks."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.hands import next_step
from tests.browser.test_screens import violations

#: From the first screen to the first advice: the demo eye, then Next three times.
TAPS_TO_ADVICE = 4


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """Without the service worker: these tests need no copy of the app on the device."""
    return new_context(service_workers="block")


def to_advice(page: Page) -> int:
    """Opens the demo eye and goes on to its advice; how many taps it took."""
    page.get_by_role("button", name="Try a demo eye", exact=True).tap()
    expect(page.get_by_text("Read back by two people")).to_be_visible()
    titles = ("Readings", "Chart", "Advice")
    for title in titles:
        next_step(page, title)
    expect(page.locator("[data-role=advice]")).to_be_visible()
    return 1 + len(titles)


def test_first_steps_lead_to_advice_and_every_look_is_readable(page: Page, app_url: str) -> None:
    page.goto(app_url)
    for heading in ("First steps", "Put it on the home screen", "Your records", "What this is, and is not"):
        expect(page.get_by_role("heading", name=heading)).to_be_visible()
    page.get_by_text("iPhone and iPad").tap()
    expect(page.get_by_text("Choose Add to Home Screen", exact=False)).to_be_visible()
    assert violations(page) == []
    assert to_advice(page) == TAPS_TO_ADVICE
    root, switch = page.locator("html"), page.get_by_role("button", name="Look:", exact=False)
    for theme in ("sun", "clinic", "theatre"):
        switch.tap()
        expect(root).to_have_attribute("data-theme", theme)
        expect(root).to_have_attribute("data-room", "theatre")
        assert violations(page) == []
    page.get_by_role("link", name="Plan", exact=True).tap()
    # Back at what theatre shows by itself, the choice has ended: the plan is light again.
    expect(root).to_have_attribute("data-theme", "clinic")
    switch.tap()
    switch.tap()
    expect(root).to_have_attribute("data-theme", "sun")
    expect(page.locator("gl-reach-chart")).to_be_visible()
    assert violations(page) == []
    page.reload()
    expect(root).to_have_attribute("data-theme", "sun")
    expect(page.get_by_role("heading", name="Measurements")).to_be_visible()


@pytest.mark.parametrize(("device", "theme"), [
    ({"color_scheme": "dark"}, "theatre"), ({"contrast": "more"}, "sun"), ({"color_scheme": "light"}, "clinic"),
])
def test_the_look_follows_the_device_until_one_is_chosen(
    new_context: Callable[..., BrowserContext], app_url: str, device: dict[str, str], theme: str
) -> None:
    page = new_context(service_workers="block", **device).new_page()
    page.goto(f"{app_url}#/start")
    expect(page.get_by_role("heading", name="First steps")).to_be_visible()
    expect(page.locator("html")).to_have_attribute("data-theme", theme)
    expect(page.locator("html")).to_have_attribute("data-room", "clinic")
