"""Planning one eye by hand on a phone."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.hands import NUMBERS, choose, go, new_eye, number, open_app, plan_eye, press, read_back

MINUS = "\N{MINUS SIGN}"


@pytest.fixture
def planned(page: Page, app_url: str) -> Page:
    """A right eye with everything the plan needs."""
    open_app(page, app_url)
    new_eye(page, "right")
    plan_eye(page)
    return page


def test_an_empty_plan_names_what_it_needs_and_a_tap_goes_there(page: Page, app_url: str) -> None:
    open_app(page, app_url)
    new_eye(page, "left")
    result = page.locator("gl-card[heading=Result]")
    result.get_by_role("button", name="Enter the axial length").tap()
    expect(page.locator('gl-number[path="measurements.axial_length_mm"] input')).to_be_focused()


def test_powers_and_radii_are_two_inputs(page: Page, app_url: str) -> None:
    """Changing the unit never carries a number over."""
    open_app(page, app_url)
    new_eye(page, "left")
    expect(page.locator('gl-number[path="measurements.k1_d"]')).to_have_count(0)
    choose(page, "measurements.k_unit", "d")
    number(page, "measurements.k1_d", "43.25")
    choose(page, "measurements.k_unit", "mm")
    expect(page.locator('gl-number[path="measurements.r1_mm"] input')).to_have_value("")
    choose(page, "measurements.k_unit", "d")
    expect(page.locator('gl-number[path="measurements.k1_d"] input')).to_have_value("43.25")


def test_the_result_says_value_interval_chance_and_formula(planned: Page) -> None:
    chosen = planned.locator("[data-role=chosen]")
    expect(chosen).to_contain_text("Lens +21.5 D for target")
    expect(chosen).to_contain_text(f"{MINUS}0.50 D")
    expect(chosen).to_contain_text("80 %:")
    expect(chosen).to_contain_text("Chance within 0.50 D")
    expect(chosen).to_contain_text("Holladay 1")
    expect(planned.get_by_text("What makes the interval wide")).to_be_visible()


def test_a_keystroke_makes_the_result_out_of_date(planned: Page) -> None:
    """Greyed from the first key until the new answer; taken back, it is current again."""
    result = planned.locator("gl-card[heading=Result]")
    before = planned.locator("[data-role=chosen] .outcome").inner_text()
    planned.locator('gl-number[path="measurements.axial_length_mm"] input').tap()
    planned.locator("gl-keypad").get_by_role("button", name="2", exact=True).tap()
    expect(result.get_by_text("Out of date")).to_be_visible()
    expect(result.locator(".result.stale")).to_have_count(1)
    press(planned, "4.51")
    expect(result.get_by_text("Out of date")).to_have_count(0)
    assert planned.locator("[data-role=chosen] .outcome").inner_text() != before


def test_keystrokes_taken_back_leave_the_result_current(planned: Page) -> None:
    result = planned.locator("gl-card[heading=Result]")
    planned.locator('gl-number[path="measurements.axial_length_mm"] input').tap()
    press(planned, "235.1")
    expect(result.get_by_text("Out of date")).to_be_visible()
    planned.locator('gl-number[path="measurements.axial_length_mm"]').get_by_text("cannot be above").wait_for()
    number(planned, "measurements.axial_length_mm", "23.51")
    expect(result.get_by_text("Out of date")).to_have_count(0)


def test_a_tap_on_a_bar_shows_the_lens_and_can_choose_it(planned: Page) -> None:
    planned.locator('gl-reach-chart button[data-power="22"]').tap()
    detail = planned.locator("[data-role=lens-detail]")
    expect(detail).to_contain_text("Lens +22.0 D")
    detail.get_by_role("button", name="Choose +22.0 D").tap()
    expect(planned.locator("[data-role=chosen]")).to_contain_text("Lens +22.0 D")
    expect(planned.locator('gl-number[path="lens.lens_power_d"] input')).to_have_value("+22.0")


def test_haptics_are_named_by_clock_hour(planned: Page) -> None:
    expect(planned.get_by_text("Haptics at 3 o’clock and 9 o’clock")).to_be_visible()
    number(planned, "plan.meridian_deg", "20")
    expect(planned.get_by_text("Haptics at 2:30 and 8:30")).to_be_visible()


def test_read_back_needs_every_line_and_is_repeated_after_a_change(planned: Page) -> None:
    form = planned.locator("gl-plan-view gl-read-back")
    expect(form).to_contain_text("Right eye")
    expect(form).to_contain_text("+21.5 D")
    expect(form.locator("gl-hold button")).to_be_disabled()
    read_back(planned)
    expect(planned.get_by_text("Read back by two people")).to_be_visible()
    number(planned, "plan.target_d", "-0.75")
    expect(planned.get_by_text("The plan has changed since it was read back")).to_be_visible()
    go(planned, "Theatre")
    expect(planned.locator('gl-banner[heading="The plan has changed"]')).to_be_visible()
    expect(planned.locator("gl-theatre-view nav button").last).to_be_disabled()


def test_what_was_entered_is_there_after_a_reload(planned: Page) -> None:
    planned.reload()
    for path, text in NUMBERS.items():
        box = planned.locator(f'gl-number[path="{path}"] input')
        expect(box).not_to_have_value("")
        shown = box.input_value().replace(MINUS, "-").replace("+", "")
        assert float(shown) == float(text), path


def test_the_eye_cannot_be_changed_once_something_was_done_in_theatre(page: Page, app_url: str) -> None:
    open_app(page, app_url)
    page.get_by_role("button", name="Add three demo eyes").tap()
    link = page.locator("a[href$='/theatre']").first
    code = (link.get_attribute("href") or "").split("/")[2]
    page.goto(f"{app_url}#/eye/{code}/plan")
    expect(page.locator('[data-role="eye-fixed"]')).to_contain_text("Left eye")
    expect(page.locator('gl-choice[path="eye"]')).to_have_count(0)
