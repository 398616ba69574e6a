"""Titration of one eye by hand on a phone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.hands import (
    begin_reading,
    choose,
    confirm_conditions,
    hold,
    log_step,
    new_eye,
    next_step,
    number,
    open_app,
    pass_gate,
    plan_eye,
    read_back,
    take_reading,
)

MINUS = "\N{MINUS SIGN}"
LEVER = "more cut → lens further forward → more myopic"
#: Sizes that can be read at arm's length, CSS pixels.
VALUE_PX, ANSWER_PX = 44, 60


@pytest.fixture
def ready(page: Page, app_url: str) -> Page:
    """A left eye read back, at its list of readings."""
    open_app(page, app_url)
    new_eye(page, "left")
    plan_eye(page)
    pass_gate(page)
    return page


def _three_readings(page: Page, values: tuple[str, str, str] = ("-0.20", "0.30", "-0.15")) -> None:
    for lengths, value in zip(("2.5", "1.0", "2.5"), values, strict=True):
        take_reading(page, (lengths, lengths), value, first=page.locator("[data-reading]").count() == 0)


def _font_px(page: Page, selector: str) -> float:
    size: str = page.locator(selector).first.evaluate("e => getComputedStyle(e).fontSize")
    return float(size.removesuffix("px"))


def test_nothing_opens_before_the_read_back(page: Page, app_url: str) -> None:
    open_app(page, app_url)
    new_eye(page, "left")
    plan_eye(page)
    page.get_by_role("link", name="Theatre", exact=True).tap()
    expect(page.get_by_text("Not read back yet")).to_be_visible()
    expect(page.locator("gl-theatre-view nav button").last).to_be_disabled()
    expect(page.locator("gl-read-back")).to_contain_text("Left eye")


def test_an_assumed_length_is_called_assumed(ready: Page) -> None:
    begin_reading(ready)
    choose(ready, "new_reading.length_basis", "drawn_out")
    expect(ready.get_by_text("assumed, not measured")).to_be_visible()
    expect(ready.locator('gl-number[path="new_reading.outside_a_mm"]')).to_have_count(0)


def test_a_half_entered_reading_survives_a_reload(ready: Page) -> None:
    begin_reading(ready)
    choose(ready, "new_reading.length_basis", "measured")
    number(ready, "new_reading.outside_a_mm", "2.5")
    ready.reload()
    expect(ready.locator("gl-theatre-view h2")).to_have_text("Where are the haptics?")
    expect(ready.locator('gl-number[path="new_reading.outside_a_mm"] input')).to_have_value("2.5")
    expect(ready.get_by_text("Still to enter: second length")).to_be_visible()


def test_chart_and_advice_after_three_readings(ready: Page) -> None:
    _three_readings(ready)
    next_step(ready, "Chart")
    chart = ready.locator("gl-titration-chart svg[role=img]")
    expect(chart).to_have_attribute("aria-label", re.compile("Expected refraction over the length outside"))
    expect(chart.locator("circle.reading")).to_have_count(3)
    next_step(ready, "Advice")
    expect(ready.locator("[data-role=advice]")).to_contain_text("at 3 o’clock")
    expect(ready.get_by_text(LEVER)).to_be_visible()
    expect(ready.get_by_text("a cut cannot be undone")).to_be_visible()
    assert _font_px(ready, ".answer-value") >= ANSWER_PX
    assert _font_px(ready, ".expected .value") >= VALUE_PX


def test_a_neighbour_is_looked_at_chosen_read_back_and_handed_over(ready: Page) -> None:
    _three_readings(ready)
    for title in ("Chart", "Advice"):
        next_step(ready, title)
    advice = ready.locator("[data-role=advice]")
    expect(advice).to_contain_text("Centre on the reflex, then cut")
    advised = advice.locator(".answer-value").all_inner_texts()
    ready.locator("button[data-lever=less]").tap()
    expect(advice).to_contain_text("Not the advised cut")
    less = advice.locator(".answer-value").all_inner_texts()
    assert less != advised
    expect(ready.get_by_text("less cut, lens further back, more hyperopic")).to_be_visible()
    ready.get_by_role("button", name="Choose this cut").tap()
    expect(advice).to_contain_text("Your own cut, not the advised one")
    expect(ready.locator("[data-role=own-cut]")).to_contain_text("more hyperopic")
    ready.get_by_role("button", name="Hand over").tap()
    view = ready.locator("gl-hand-over")
    expect(view).to_contain_text("The surgeon's own cut")
    expect(view).to_contain_text("Not read back yet")
    assert view.locator(".two .value").all_inner_texts() == less
    ready.get_by_role("button", name="Back to the steps").tap()
    next_step(ready, "Read back the cut")
    expect(ready.locator("[data-role=rules-out]")).to_contain_text("What is cut cannot be put back")
    read_back(ready)
    expect(ready.get_by_text("Decision stored")).to_be_visible()


def test_no_useful_adjustment_is_an_answer_of_the_same_weight(ready: Page) -> None:
    """Readings that lie on the target with nothing cut."""
    _three_readings(ready, ("-1.00", "-0.40", "-0.95"))
    next_step(ready, "Chart")
    next_step(ready, "Advice")
    expect(ready.locator("[data-role=advice]")).to_have_text("No useful adjustment: centre and flange")
    assert _font_px(ready, ".answer-word") >= VALUE_PX


def test_a_withdrawn_reading_stays_with_its_reason(ready: Page) -> None:
    _three_readings(ready)
    first = ready.locator("[data-reading]").first
    first.get_by_role("button", name="Withdraw").tap()
    expect(first.locator("gl-hold button")).to_be_disabled()
    choose(ready, "withdraw.reason", "Poor quality")
    hold(ready, first.locator("gl-hold button"))
    expect(first).to_contain_text("Withdrawn: Poor quality")
    expect(ready.locator("[data-reading]")).to_have_count(3)
    next_step(ready, "Chart")
    expect(ready.locator("gl-titration-chart svg[role=img] circle.reading")).to_have_count(2)


def test_a_reading_through_air_is_kept_but_not_used(ready: Page) -> None:
    begin_reading(ready)
    choose(ready, "new_reading.length_basis", "pushed_in")
    next_step(ready, "What was read?")
    choose(ready, "new_reading.instrument", "retinoscope")
    expect(ready.get_by_text("as held or net")).to_be_visible()
    choose(ready, "new_reading.held", "net")
    choose(ready, "new_reading.form", "cylinder")
    for key, text in (("sphere_d", "0.50"), ("cylinder_d", "-1.00"), ("axis_deg", "90")):
        number(ready, f"new_reading.{key}", text)
    next_step(ready, "The eye during it")
    number(ready, "new_reading.iop_mmhg", "12")
    choose(ready, "new_reading.infusion", "open")
    choose(ready, "new_reading.fill", "air")
    choose(ready, "new_reading.iridectomy_done", "no")
    ready.get_by_role("button", name="Save reading").tap()
    expect(ready.locator("[data-reading]")).to_contain_text("Not used")


def test_cut_is_read_back_stored_and_handed_over(ready: Page) -> None:
    _three_readings(ready)
    for title in ("Chart", "Advice", "Read back the cut"):
        next_step(ready, title)
    form = ready.locator("gl-read-back")
    expect(form).to_contain_text("Left eye")
    expect(form).to_contain_text("cut ")
    expect(form).to_contain_text("leave ")
    read_back(ready)
    expect(ready.get_by_text("Decision stored")).to_be_visible()
    ready.get_by_role("button", name="Hand over").tap()
    view = ready.locator("gl-hand-over")
    expect(view).to_contain_text("Left eye")
    expect(view).to_contain_text("at 9 o’clock")
    expect(view.get_by_text(re.compile("Screen stays on|screen may turn off|Asking"))).to_be_visible()
    expect(view.locator("input, gl-number")).to_have_count(0)
    assert _font_px(ready, "gl-hand-over .value") >= VALUE_PX


def test_log_is_corrected_by_a_new_entry(ready: Page) -> None:
    take_reading(ready, ("2.5", "2.5"), "-0.20", first=True)
    for title in ("Chart", "Advice", "Read back the cut", "What was done"):
        next_step(ready, title)
    expect(ready.locator("[data-role=state]")).to_contain_text("Both free")
    choose(ready, "new_step.haptic", "a")
    choose(ready, "new_step.haptic_step", "cut")
    hold(ready, ready.locator("gl-hold", has_text="It was not read back").get_by_role("button"))
    expect(ready.locator("[data-role=log-gate]")).to_have_count(0)
    log_step(ready, "a", "cut", "0.5")
    log_step(ready, "a", "melt", "1.0")
    expect(ready.locator("[data-role=state]")).to_contain_text("One flanged")
    ready.locator("[data-entry]").first.get_by_role("button", name="Correct").tap()
    number(ready, "new_step.length_mm", "1.0")
    choose(ready, "new_step.basis", "measured")
    ready.get_by_role("button", name="Save the correction").tap()
    expect(ready.locator("[data-entry]")).to_have_count(3)
    expect(ready.locator("[data-entry].gone")).to_have_count(1)
    expect(ready.locator("[data-entry].gone")).to_contain_text("Cut 0.5 mm")


def test_conditions_are_asked_again_after_each_reading(ready: Page) -> None:
    take_reading(ready, ("2.5", "2.5"), "-0.20", first=True)
    ready.get_by_role("button", name="New reading").tap()
    expect(ready.locator("button[data-condition]")).to_have_count(5)
    expect(ready.locator('button[data-condition][aria-pressed="true"]')).to_have_count(0)
    confirm_conditions(ready)
    expect(ready.get_by_text("All confirmed")).to_be_visible()
