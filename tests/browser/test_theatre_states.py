"""Every state of the theatre, seen and measured; and its paths by touch: retinoscope, before the lens, no reading."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.hands import begin_reading, choose, next_step, number, read_back, take_reading
from tests.browser.measures import overflow, quantities, small_targets
from tests.browser.test_screens import violations
from tests.browser.theatre_eyes import eye, open_theatre, put, surprised

MINUS = "\N{MINUS SIGN}"
#: The most numbers that are read at a glance, and the most taps that three readings may cost.
MOST_NUMBERS, MOST_TAPS = 8, 120
SMALL = {"width": 320, "height": 568}
SIDEWAYS = {"width": 844, "height": 390}
TAPS = """() => {
  window.taps = 0;
  window.addEventListener("pointerdown", () => { window.taps += 1; }, true);
}"""
NO_LOCK = {
    "refused": "navigator.wakeLock.request = () => Promise.reject(new DOMException('no', 'NotAllowedError'));",
    "unsupported": "delete Navigator.prototype.wakeLock;",
}


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """Without the service worker: these tests need no copy of the app on the device."""
    return new_context(service_workers="block")


def walk(page: Page, address: str) -> Iterator[str]:
    """Through the states of the theatre, one after another, each by its name."""
    plain, off, bare = eye(), surprised(2.2), eye(readings=[])
    unread = {**eye(readings=[]), "readbacks": []}
    put(page, address, plain, off, bare, unread)
    page.goto(f"{address}#/eye/{unread['code']}/theatre")
    expect(page.locator("gl-read-back")).to_be_visible()
    yield "not read back"
    open_theatre(page, address, bare)
    yield "no readings"
    yield from _new_reading(page)
    open_theatre(page, address, plain)
    yield "readings"
    next_step(page, "Chart")
    yield "chart"
    next_step(page, "Advice")
    yield "advice"
    page.locator("button[data-lever=less]").tap()
    expect(page.locator("[data-role=advice]")).to_contain_text("Not the advised cut")
    yield "a neighbour"
    next_step(page, "Read back the cut")
    yield "cut"
    read_back(page)
    expect(page.get_by_text("Decision stored")).to_be_visible()
    yield "decision"
    next_step(page, "What was done")
    yield "log"
    open_theatre(page, address, off)
    next_step(page, "Chart")
    next_step(page, "Advice")
    expect(page.locator("[data-role=other-options]")).to_contain_text("instead of")
    yield "other options"


def _new_reading(page: Page) -> Iterator[str]:
    page.get_by_role("button", name="New reading").tap()
    expect(page.locator("button[data-condition]")).to_have_count(5)
    yield "conditions"
    next_step(page, "Where are the haptics?")
    choose(page, "new_reading.length_basis", "measured")
    number(page, "new_reading.outside_a_mm", "2.5")
    number(page, "new_reading.outside_b_mm", "2.0")
    yield "where"
    next_step(page, "What was read?")
    choose(page, "new_reading.instrument", "retinoscope")
    choose(page, "new_reading.held", "held")
    choose(page, "new_reading.form", "meridians")
    yield "retinoscope"


def test_every_state_is_accessible_whole_and_large(page: Page, app_url: str) -> None:
    """Both themes by axe; every target; no scrolling across; at most eight numbers in view at the top."""
    for state in walk(page, app_url):
        assert small_targets(page) == [], state
        assert len(quantities(page)) <= MOST_NUMBERS, (state, quantities(page))
        assert overflow(page) == [0, 0], state
        for theme in ("clinic", "theatre"):
            page.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", theme)
            assert violations(page) == [], (state, theme)
        for size in (SMALL, SIDEWAYS):
            page.set_viewport_size({"width": size["width"], "height": size["height"]})
            assert overflow(page) == [0, 0], (state, size)
        page.set_viewport_size({"width": 390, "height": 844})


def test_three_readings_from_the_open_eye_to_the_advice_are_counted(page: Page, app_url: str) -> None:
    bare = eye(readings=[])
    put(page, app_url, bare)
    page.evaluate(TAPS)
    open_theatre(page, app_url, bare)
    for index, (length, value) in enumerate((("2.5", "-0.40"), ("1.0", "0.25"), ("2.5", "-0.30"))):
        take_reading(page, (length, length), value, first=index == 0)
    next_step(page, "Chart")
    next_step(page, "Advice")
    expect(page.locator(".answer-value")).to_have_count(2)
    taps = page.evaluate("() => window.taps")
    print(f"taps from the open eye to the advice, three readings: {taps}")
    assert 0 < taps <= MOST_TAPS


def test_a_retinoscope_before_the_lens_and_after_it(page: Page, app_url: str) -> None:
    bare = eye(readings=[])
    put(page, app_url, bare)
    open_theatre(page, app_url, bare)
    page.get_by_role("button", name="Reading before the lens is in").tap()
    choose(page, "aphakic.instrument", "retinoscope")
    choose(page, "aphakic.form", "meridians")
    for key, text in (("meridian_1_d", "10.50"), ("meridian_2_d", "12.00"), ("vertex_mm", "12"), ("working_distance_m", "0.67")):
        number(page, f"aphakic.{key}", text)
    expect(page.locator("[data-role=routes]")).to_contain_text("The two routes agree")
    page.get_by_role("button", name="Back", exact=True).tap()
    begin_reading(page)
    choose(page, "new_reading.length_basis", "drawn_out")
    next_step(page, "What was read?")
    choose(page, "new_reading.instrument", "retinoscope")
    expect(page.get_by_text("as held or net")).to_be_visible()
    choose(page, "new_reading.held", "held")
    number(page, "new_reading.working_distance_m", "0.5")
    choose(page, "new_reading.form", "meridians")
    number(page, "new_reading.meridian_1_d", "2.00")
    number(page, "new_reading.meridian_2_d", "1.00")
    next_step(page, "The eye during it")
    number(page, "new_reading.iop_mmhg", "18")
    for key, word in (("infusion", "closed"), ("fill", "saline"), ("iridectomy_done", "yes")):
        choose(page, f"new_reading.{key}", word)
    page.get_by_role("button", name="Save reading").tap()
    expect(page.locator("[data-reading]")).to_contain_text(f"{MINUS}0.50 D")
    expect(page.get_by_role("button", name="The reading before the lens was in")).to_be_visible()
    begin_reading(page)
    choose(page, "new_reading.moved", "no")
    next_step(page, "What was read?")
    expect(page.locator("[data-said=reading]")).to_contain_text("Retinoscope, as held at 0.50 m, Two meridians")
    expect(page.locator('gl-number[path="new_reading.meridian_1_d"] input')).to_have_value("")


def test_no_reading_at_all_is_a_way_to_the_advice(page: Page, app_url: str) -> None:
    bare = eye(readings=[])
    put(page, app_url, bare)
    open_theatre(page, app_url, bare)
    page.get_by_role("button", name="Advice without a reading").tap()
    expect(page.locator("[data-role=advice]")).to_contain_text("From the plan alone")
    expect(page.locator("[data-role=plan-alone]")).to_contain_text("No reading was taken")
    next_step(page, "Read back the cut")
    expect(page.locator("gl-read-back")).to_contain_text("the plan alone, without a reading")


@pytest.mark.parametrize("how", NO_LOCK)
def test_a_screen_that_may_turn_off_says_so(page: Page, app_url: str, how: str) -> None:
    page.add_init_script(NO_LOCK[how])
    bare = eye(readings=[])
    put(page, app_url, bare)
    open_theatre(page, app_url, bare)
    expect(page.locator(".lit")).to_have_text(re.compile("Screen may turn off"))
    page.get_by_role("button", name="Hand over").tap()
    expect(page.locator("gl-hand-over")).to_contain_text("auto-lock to Never")
    assert small_targets(page) == []
