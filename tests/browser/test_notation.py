"""Notation: typed and shown as the surgeon set it, stored as ever."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.browser.hands import begin_reading, choose, new_eye, next_step, number
from tests.browser.test_screens import violations, with_demo

MINUS = "\N{MINUS SIGN}"
#: Demo eye in theatre, its plan read back.
IN_THEATRE, FOLLOWED = "9FRM-X3H7", "C6PY-E8JW"


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """Without the service worker: these tests need no copy of the app on the device."""
    return new_context(service_workers="block")


def stored(page: Page, code: str) -> dict[str, Any]:
    """The record as it is kept."""
    record: dict[str, Any] = page.evaluate("""async (code) => {
      const { openStore } = await import(new URL("store/store.js", document.baseURI).href);
      return (await openStore()).read(code);
    }""", code)
    return record


def kept(page: Page, wanted: dict[str, str]) -> None:
    """The last choice has reached the device."""
    page.wait_for_function("""async (wanted) => {
      const settings = await document.querySelector("gl-shell").store.preference("notation");
      return Object.entries(wanted).every(([name, word]) => settings?.[name] === word);
    }""", arg=wanted)


def set_notation(page: Page, app_url: str, **wanted: str) -> None:
    """Choose in Setup, and see it kept over a reload."""
    page.goto(f"{app_url}#/setup")
    for name, word in wanted.items():
        choose(page, f"notation.{name}", word)
    kept(page, wanted)
    page.reload()
    for name, word in wanted.items():
        expect(page.locator(f'gl-choice[path="notation.{name}"] input[value="{word}"]')).to_be_checked()


def minus_form(of: dict[str, Any]) -> tuple[float, float, float]:
    return of["sphere_d"], of["cylinder_d"], of["axis_deg"]


def test_plus_cylinder_and_comma_in_theatre_store_the_minus_form(page: Page, app_url: str) -> None:
    with_demo(page, app_url)
    set_notation(page, app_url, cylinder_notation="plus", decimal_mark="comma")
    expect(page.locator("gl-notation-card dl")).to_contain_text(f"{MINUS}2,00 D +1,50 D × 030°")
    assert violations(page) == []
    page.goto(f"{app_url}#/eye/{IN_THEATRE}/theatre")
    expect(page.get_by_text("Read back by two people")).to_be_visible()
    next_step(page, "Readings")
    expect(page.locator("[data-reading]").first).to_contain_text("0,38 D")
    begin_reading(page)
    choose(page, "new_reading.moved", "no")
    next_step(page, "What was read?")
    expect(page.locator("[data-said=reading]")).to_contain_text("Sphere and cylinder")
    number(page, "new_reading.sphere_d", "-2,00")
    number(page, "new_reading.cylinder_d", "+1,50")
    number(page, "new_reading.axis_deg", "30")
    forms = page.locator("[data-role=both-forms]")
    expect(forms).to_contain_text(re.compile(f"Plus cylinder form.*{MINUS}2,00 D .1,50 D × 030°.*Minus cylinder form.*"
                                             f"{MINUS}0,50 D {MINUS}1,50 D × 120°.*{MINUS}1,25", re.S))
    next_step(page, "The eye during it")
    number(page, "new_reading.iop_mmhg", "18")
    page.get_by_role("button", name="Save reading").tap()
    expect(page.locator("[data-reading]")).to_have_count(3)
    assert minus_form(stored(page, IN_THEATRE)["readings"][-1]) == (-0.5, -1.5, 120)


def test_a_change_of_notation_changes_no_stored_value(page: Page, app_url: str) -> None:
    with_demo(page, app_url)
    before = {code: stored(page, code) for code in (IN_THEATRE, FOLLOWED)}
    set_notation(page, app_url, cylinder_notation="plus", decimal_mark="comma", corneal_notation="d", acuity_first="logmar")
    page.goto(f"{app_url}#/eye/{FOLLOWED}/follow-up")
    visit = page.locator("[data-visit=demo-f-month-1]")
    expect(visit).to_contain_text("+0,75 D")
    expect(visit).to_contain_text("Minus cylinder form")
    page.goto(f"{app_url}#/eye/{IN_THEATRE}/plan")
    steep = page.locator('gl-number[path="measurements.k2_d"]')
    expect(steep.locator("input")).to_have_value("43,37")
    expect(steep).to_contain_text("= 7,78 mm with index 1,3375")
    expect(page.get_by_text("Read back by two people")).to_be_visible()
    assert {code: stored(page, code) for code in before} == before
    page.goto(f"{app_url}#/eyes")
    code = new_eye(page, "left")
    number(page, "measurements.k1_d", "43,25")
    expect(page.locator('gl-number[path="measurements.k1_d"]')).to_contain_text("= 7,80 mm")
    assert stored(page, code)["measurements"] == {"k_unit": "d", "k1_d": 43.25}


def drag(page: Page, dial: Locator, start: tuple[float, float], end: tuple[float, float]) -> None:
    """From one place to another, as parts of the dial's width from its middle, y down."""
    box = dial.locator("circle.rim").bounding_box()
    assert box is not None
    half = box["width"] / 2
    middle = (box["x"] + half, box["y"] + half)
    page.mouse.move(middle[0] + start[0] * half, middle[1] + start[1] * half)
    page.mouse.down()
    page.mouse.move(middle[0] + end[0] * half, middle[1] + end[1] * half, steps=4)
    page.mouse.up()


def test_the_dial_turns_as_tabo_and_speaks_as_a_slider(page: Page, app_url: str) -> None:
    page.goto(f"{app_url}#/eyes")
    code = new_eye(page, "left")
    expect(page.locator("gl-status-line .line > span")).to_have_count(1, timeout=60_000)  # the line on Python's start is gone
    field = page.locator('gl-axis[path="measurements.k2_axis_deg"]')
    field.get_by_role("button", name="Turn a dial").tap()
    dial = field.get_by_role("slider", name="Steep axis, dial")
    expect(dial).to_have_attribute("aria-valuetext", "not entered")
    dial.evaluate("element => element.scrollIntoView({ block: 'center' })")
    drag(page, dial, (0.8, 0.0), (0.57, -0.57))
    expect(field.locator("input")).to_have_value("045")
    expect(dial).to_have_attribute("aria-valuenow", "45")
    drag(page, dial, (0.0, 0.8), (0.57, 0.57))
    expect(field.locator("input")).to_have_value("135")
    dial.press("ArrowUp")
    dial.press("PageUp")
    dial.press("Enter")
    expect(dial).to_have_attribute("aria-valuetext", "146 degrees")
    dial.press("End")
    dial.press("ArrowRight")
    expect(field.locator("input")).to_have_value("001")
    dial.press("End")
    dial.press("Enter")
    expect(page.locator("gl-undo")).to_contain_text("Steep axis")
    expect(page.locator(".result.stale")).to_have_count(0)
    assert violations(page) == []
    page.wait_for_function("([box, text]) => box.value === text", arg=[field.locator("input").element_handle(), "180"])
    assert stored(page, code)["measurements"]["k2_axis_deg"] == 180
