"""Take the README's pictures of the real screens, with the invented demo eyes.

    .venv/bin/python -m tests.browser.take_pictures        (after python3 build.py build)

Writes PNG files into ``tests/browser/pictures/``.
"""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect, sync_playwright

from tests.browser.hands import next_step
from tests.browser.page_state import offline_state
from webapp.build import browser as chromium
from webapp.build.paths import DIST
from webapp.build.serve import Running

FOLDER = Path(__file__).with_name("pictures")
PHONE = {"width": 390, "height": 844}


def shoot(page: Page, name: str) -> None:
    """One picture of what a phone shows now."""
    page.wait_for_timeout(400)  # pressed states and scrolling come to rest
    page.screenshot(path=FOLDER / f"{name}.png")


def top(page: Page, text: str) -> None:
    """Scroll until ``text`` stands under the header."""
    found = page.get_by_text(text, exact=False).first
    found.evaluate("element => element.scrollIntoView({ block: 'start' })")
    page.mouse.wheel(0, -130)


def open_stage(page: Page, address: str, stage: str, shown: str) -> None:
    """The demo eye of this stage, which may show another stage too."""
    page.goto(f"{address}#/eyes")
    link = page.locator(f"a[href$='/{stage}']").first
    expect(link).to_be_visible()
    page.goto(address + (link.get_attribute("href") or "").rsplit("/", 1)[0].lstrip("/") + f"/{shown}")
    page.wait_for_timeout(1500)


def theatre(page: Page, address: str) -> None:
    open_stage(page, address, "theatre", "theatre")
    next_step(page, "Readings")
    page.wait_for_timeout(1500)
    shoot(page, "readings")
    next_step(page, "Chart")
    page.wait_for_timeout(1500)
    shoot(page, "chart")
    next_step(page, "Advice")
    page.wait_for_timeout(1500)
    shoot(page, "advice")


def run(page: Page, address: str) -> None:
    page.goto(address)
    offline_state(page, "ready")
    page.get_by_role("button", name="Add three demo eyes").tap()
    expect(page.locator("a[href*='#/eye/']").first).to_be_visible()
    shoot(page, "eyes")
    open_stage(page, address, "plan", "plan")
    top(page, "Measurements")
    shoot(page, "plan")
    top(page, "What each lens could still reach")
    shoot(page, "reach")
    open_stage(page, address, "follow-up", "follow-up")
    shoot(page, "follow-up")
    theatre(page, address)


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    served = Running(DIST)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(
            executable_path=chromium.find(), args=list(chromium.FLAGS)
        )
        context = started.new_context(
            viewport=PHONE, has_touch=True, is_mobile=True, device_scale_factor=1
        )
        run(context.new_page(), served.address)
        started.close()
    served.stop()


if __name__ == "__main__":
    main()
