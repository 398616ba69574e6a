"""The frame and its own screens: reachable, accessible, and honest about their state."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

AXE = Path(__file__).parents[2] / "webapp" / "node_modules" / "axe-core" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """Without the service worker: these tests need no copy of the app on the device."""
    return new_context(service_workers="block")


def violations(page: Page) -> list[Any]:
    """What axe-core finds against WCAG 2.2 AA."""
    page.evaluate(AXE.read_text() + "\n;0")
    found: list[Any] = page.evaluate("""async (rules) => {
      const result = await axe.run(document, { runOnly: rules });
      return result.violations.map((one) => [one.id, one.nodes.map((node) => node.target.flat(9).join(" "))]);
    }""", RULES)
    return found


def with_demo(page: Page, app_url: str) -> None:
    """Open the app and add the demo eyes."""
    page.goto(app_url)
    page.get_by_role("button", name="Add three demo eyes", exact=True).click()
    expect(page.get_by_role("button", name="Remove the demo eyes")).to_be_visible()


def test_demo_eyes_are_marked_and_go_in_one_tap(page: Page, app_url: str) -> None:
    with_demo(page, app_url)
    eyes = page.locator("a.eye")
    expect(eyes).to_have_count(3)
    expect(page.get_by_text("Demo, invented")).to_have_count(3)
    for heading in ("In theatre", "Follow-up", "Being planned"):
        expect(page.get_by_role("heading", name=heading)).to_be_visible()
    page.get_by_role("button", name="Remove the demo eyes").click()
    expect(eyes).to_have_count(0)
    expect(page.get_by_text("No eyes on this device yet.", exact=False)).to_be_visible()


def test_an_eye_is_found_by_its_code(page: Page, app_url: str) -> None:
    with_demo(page, app_url)
    code = page.locator("a.eye gl-eye").last.get_attribute("code") or page.locator("a.eye code").last.inner_text()
    box = page.get_by_role("textbox", name="Find by code")
    box.fill("O" + code[1:])
    page.get_by_role("button", name="Find").click()
    expect(page.get_by_text("Is it D?")).to_be_visible()
    box.fill(code.lower())
    page.get_by_role("button", name="Find").click()
    expect(page).to_have_url(re.compile(f"#/eye/{code}/"))


def test_no_eye_is_assumed(page: Page, app_url: str) -> None:
    page.goto(f"{app_url}#/new")
    expect(page.get_by_role("button", name="Choose the eye first")).to_be_disabled()


def test_two_eyes_of_a_person_are_linked_and_never_the_same_eye(page: Page, app_url: str) -> None:
    page.goto(f"{app_url}#/new")
    page.get_by_text("Left eye", exact=True).click()
    page.get_by_role("button", name="Add this left eye").click()
    page.wait_for_url(re.compile("/plan$"))
    first = page.url.split("/")[-2]
    page.goto(f"{app_url}#/new")
    page.get_by_label("Another eye of this person").select_option(first)
    page.get_by_text("Left eye", exact=True).click()
    expect(page.get_by_text(f"{first} is already the left eye")).to_be_visible()
    expect(page.get_by_role("button", name="Add this left eye")).to_be_disabled()
    page.get_by_text("Right eye", exact=True).click()
    page.get_by_role("button", name="Add this right eye").click()
    page.wait_for_url(re.compile("/plan$"))
    persons = page.evaluate("""async () => {
      const { openStore } = await import(new URL("store/store.js", document.baseURI).href);
      return (await (await openStore()).list()).map((record) => record.person);
    }""")
    assert len(persons) == 2
    assert persons[0] == persons[1]
    assert persons[0]


def test_coming_straight_back_to_a_new_eye_finds_the_eye_just_added(page: Page, app_url: str) -> None:
    page.goto(f"{app_url}#/new")
    page.get_by_text("Left eye", exact=True).click()
    # Turns back in the moment the plan is asked for, before it is on the screen.
    page.evaluate("addEventListener('hashchange', () => { location.hash = '#/new'; }, { once: true })")
    page.get_by_role("button", name="Add this left eye").click()
    expect(page.get_by_label("Another eye of this person").locator("option")).to_have_count(2)
    expect(page.get_by_role("button", name="Choose the eye first")).to_be_disabled()


def test_the_export_leaves_demo_eyes_out_until_asked(page: Page, app_url: str) -> None:
    with_demo(page, app_url)
    page.get_by_role("link", name="Export").click()
    expect(page.get_by_text("Tick at least one eye")).to_be_visible()
    page.get_by_role("checkbox").first.check()
    expect(page.get_by_text(re.compile("^guyline-X-.*zip"))).to_be_visible()
    page.get_by_text("Single files").click()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save eyes.csv").click()
    text = Path(waiting.value.path()).read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert len(rows) == 1
    assert "axial_length_mm" in rows[0]


@pytest.mark.parametrize("place", ["eyes", "new", "export", "import", "setup", "glossary", "start"])
@pytest.mark.parametrize("size", [(390, 844), (320, 568)])
def test_screens_meet_wcag_and_fit(page: Page, app_url: str, place: str, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    with_demo(page, app_url)
    page.goto(f"{app_url}#/{place}")
    expect(page.locator("h1")).to_be_visible()
    assert violations(page) == []
    assert page.locator("main").evaluate("(main) => main.scrollWidth - main.clientWidth") <= 0


def test_the_dark_theme_meets_wcag(page: Page, app_url: str) -> None:
    page.goto(f"{app_url}#/setup")
    page.get_by_text("Always dark").click()
    expect(page.locator("html")).to_have_attribute("data-theme", "theatre")
    assert violations(page) == []
    page.reload()
    expect(page.locator("html")).to_have_attribute("data-theme", "theatre")
    expect(page.get_by_label("Always dark")).to_be_checked()


def test_a_number_is_whole_at_320_and_with_text_at_200_per_cent(page: Page, app_url: str) -> None:
    page.set_viewport_size({"width": 320, "height": 568})
    page.goto(f"{app_url}#/new")
    page.evaluate("() => { document.documentElement.style.fontSize = '212%'; }")
    page.get_by_text("Left eye", exact=True).click()
    page.get_by_role("button", name="Add this left eye").click()
    target = page.get_by_role("textbox", name="Target", exact=True)
    target.fill("-12.00")
    target.blur()
    expect(page.get_by_role("button", name="Keep \u221212.00 D")).to_be_visible()
    assert target.evaluate("(box) => box.scrollWidth - box.clientWidth") <= 0
    assert page.locator("main").evaluate("(main) => main.scrollWidth - main.clientWidth") <= 0


def test_eyes_are_readable_when_the_calculations_cannot_start(page: Page, app_url: str) -> None:
    with_demo(page, app_url)
    page.route("**/core/pycore.zip", lambda route: route.abort())
    page.reload()
    expect(page.get_by_text("No calculations now")).to_be_visible(timeout=60_000)
    expect(page.locator("a.eye")).to_have_count(3)
    page.unroute("**/core/pycore.zip")
    page.get_by_role("button", name="Start them again").click()
    expect(page.get_by_text("No calculations now")).to_have_count(0, timeout=60_000)


def test_a_removed_eye_can_be_put_back_on_screen(page: Page, app_url: str) -> None:
    page.goto(f"{app_url}#/new")
    page.get_by_text("Left eye", exact=True).click()
    page.get_by_role("button", name="Add this left eye").click()
    page.wait_for_url(re.compile("/plan$"))
    code = page.url.split("/")[-2]
    page.goto(f"{app_url}#/setup")
    page.get_by_text("Remove an eye").click()
    page.get_by_label("Eye to remove").select_option(code)
    hold = page.get_by_role("button", name=f"Remove {code}")
    hold.scroll_into_view_if_needed()
    hold.press("Enter")
    page.get_by_role("button", name=f"Confirm: Remove {code}").click()
    page.get_by_role("button", name="Put it back").click()
    page.get_by_role("link", name="Eyes", exact=True).click()
    expect(page.locator("a.eye")).to_have_count(1)
