"""The Box by hand on a phone: lenses put in, planned with, chosen, packed for, and kept."""

from __future__ import annotations

import re
from datetime import date, timedelta

from playwright.sync_api import Page, expect

from tests.browser.hands import NUMBERS, choose, iso, line, new_eye, next_step, number, open_app
from tests.browser.test_screens import violations

#: The eye's own numbers without any lens: that comes from the box.
NO_LENS = {path: text for path, text in NUMBERS.items() if not path.startswith("lens.")}


def open_box(page: Page) -> None:
    page.get_by_role("navigation", name="Places").get_by_role("link", name="Box").tap()
    expect(page.get_by_role("heading", name="Box", exact=True)).to_be_visible()


def put_in_run(page: Page, first: str, last: str) -> None:
    """One piece of each whole dioptre of one invented model."""
    line(page, "new_lens.lens_name", "Tray 4")
    choose(page, "new_lens.how", "run")
    number(page, "new_lens.from_d", first)
    number(page, "new_lens.to_d", last)
    number(page, "new_lens.lens_count", "1")
    choose(page, "new_lens.power_step", "whole")
    number(page, "new_lens.a", "118.7")
    page.get_by_role("button", name="Put into the box").tap()


def plan_without_lens(page: Page) -> None:
    choose(page, "measurements.axial_method", "optical")
    choose(page, "measurements.k_unit", "d")
    choose(page, "measurements.keratometry_method", "table")
    for path, text in NO_LENS.items():
        number(page, path, text)


def test_lenses_of_the_box_are_planned_with_chosen_and_packed(page: Page, app_url: str) -> None:
    open_app(page, app_url)
    open_box(page)
    expect(page.locator('gl-card[heading="The box is empty"]')).to_be_visible()
    put_in_run(page, "18", "23")
    expect(page.locator("[data-role=summary]")).to_have_text("6 lenses: 6 ready.")

    row = page.locator('[data-row^="+20.0"]')
    row.get_by_role("button", name="Take one").tap()
    expect(row).to_contain_text("None is left.")
    page.locator("gl-box-view gl-undo").get_by_role("button", name="Undo").tap()
    expect(page.locator("[data-role=summary]")).to_have_text("6 lenses: 6 ready.")

    page.get_by_role("link", name="Eyes", exact=True).tap()
    code = new_eye(page, "right")
    plan_without_lens(page)
    expect(page.locator("[data-role=choice]")).to_contain_text("Tray 4")
    expect(page.locator("[data-role=why]")).to_contain_text("stands before")
    expect(page.locator("[data-role=reserve]")).to_contain_text("breaks, use")
    page.locator("gl-reach-chart button").filter(has_text="1st").tap()
    page.locator("[data-role=lens-detail]").get_by_role("button", name="Choose").tap()
    expect(page.locator("[data-role=chosen]")).to_contain_text("for target")
    expect(page.locator('gl-number[path="lens.a"] input')).to_have_value("118.70")
    expect(page.locator("gl-plan-view gl-read-back")).to_contain_text("Tray 4")

    page.get_by_role("button", name="Undo").tap()
    expect(page.locator('gl-number[path="lens.a"] input')).to_have_value("")

    open_box(page)
    page.locator("gl-pack-view .pick").filter(has_text=code).tap()
    expect(page.locator("[data-role=pack-total]")).to_contain_text("2 lenses for 1 eye; no smaller set does as much.")
    expect(page.locator(f'[data-packed="{code}"]')).to_contain_text("Tray 4")
    page.reload()
    expect(page.locator("[data-role=summary]")).to_have_text("6 lenses: 6 ready.")


def put_in_one(page: Page, power: str, pieces: str, last_day: date) -> None:
    line(page, "new_lens.lens_name", "Tray 1")
    number(page, "new_lens.lens_power_d", power)
    number(page, "new_lens.lens_count", pieces)
    number(page, "new_lens.a", "118.4")
    line(page, "new_lens.expires_on", iso(last_day))
    page.get_by_role("button", name="Put into the box").tap()
    expect(page.locator(f'[data-row^="+{power}"]')).to_be_visible()


def test_an_implanted_lens_leaves_the_box_and_comes_back(page: Page, app_url: str) -> None:
    """The third demo eye has a lens of +20.5 D and its haptics in the log."""
    open_app(page, app_url)
    page.get_by_role("button", name="Add three demo eyes").tap()
    open_box(page)
    put_in_one(page, "20.5", "2", date.today() + timedelta(days=30))
    put_in_one(page, "21.0", "1", date.today() - timedelta(days=1))
    lens = page.locator('[data-row^="+20.5"]')
    expect(lens).to_contain_text("Expires in 30 days")
    expect(page.locator('[data-row^="+21.0"]')).to_contain_text("Expired on")
    assert violations(page) == []

    page.goto(f"{app_url}#/eye/C6PY-E8JW/theatre")
    for title in ("Readings", "Chart", "Advice", "Read back the cut", "What was done"):
        next_step(page, title)
    implanted = page.locator("[data-role=implanted]")
    expect(implanted).to_contain_text("2 in the box")
    implanted.get_by_role("button", name="Take one").tap()
    expect(implanted).to_contain_text(re.compile("taken out of the box for this eye.* 1 left"))
    page.get_by_role("navigation", name="Stages of this eye").get_by_role("link", name="Eyes").tap()
    open_box(page)
    expect(lens.locator("b")).to_have_text("1")
    page.goto(f"{app_url}#/eye/C6PY-E8JW/theatre")
    implanted.get_by_role("button", name="Put it back").tap()
    expect(implanted).to_contain_text("2 in the box")
