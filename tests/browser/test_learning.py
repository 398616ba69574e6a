"""The surgeon's own eyes: they move the next plan, can be ignored for it, and be left out one by one."""

from __future__ import annotations

import random
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.hands import choose, go, new_eye, number, open_app, plan_eye
from tests.browser.store_page import run
from tests.generators_surgeon import code, stored_eye

GOOD: dict[str, Any] = {"on": "2026-06-20", "refraction_method": "subjective", "cdva_logmar": 0.0, "iop_mmhg": 15,
                        "complications": [], "cylinder_d": 0.0, "axis_deg": None}

def finished(count: int) -> list[dict[str, Any]]:
    """Eyes that all ended about 1 D more hyperopic than a mixed series, and one invented one."""
    source = random.Random("own eyes on the phone")
    eyes = [stored_eye(source, place, **GOOD) for place in range(count)]
    for eye in eyes:
        eye["follow_ups"][-1]["sphere_d"] = 1.25
    return [*eyes, {**stored_eye(source, count, **GOOD), "demo": True}]


def test_own_eyes_move_the_plan_are_ignored_left_out_and_taken_in_again(page: Page, app_url: str) -> None:
    open_app(page, app_url)
    run(page, "for (const record of given.records) await store.create(record);", records=finished(6))
    new_eye(page, "right")
    plan_eye(page)
    own, outcome = page.locator("[data-role=own-eyes]"), page.locator("[data-role=chosen] .outcome strong")
    expect(own).to_contain_text("Your 6 eyes move this plan by +")
    expect(own).to_contain_text("80 %:")
    moved = outcome.inner_text()

    own.locator("gl-flag label").filter(has_text="Yes").tap()
    expect(own).to_contain_text("Ignored for this eye")
    expect(outcome).not_to_have_text(moved)
    page.reload()
    expect(own).to_contain_text("Ignored for this eye")
    own.locator("gl-flag label").filter(has_text="No").tap()
    expect(own).to_contain_text("Your 6 eyes")
    expect(outcome).to_have_text(moved)

    own.get_by_role("link", name="What your eyes have taught").tap()
    expect(page.get_by_role("heading", name="Eyes that teach: 6")).to_be_visible()
    expect(page.locator("gl-card[data-figure=final_against_plan]")).to_contain_text("6 eyes")
    expect(page.locator("gl-card[data-figure=final_against_plan] svg")).to_be_visible()
    page.get_by_role("button", name=f"Leave out {code(2)}").tap()
    choose(page, "learning.reason", "Another technique or lens")
    expect(page.get_by_role("heading", name="Eyes that teach: 5")).to_be_visible()
    expect(page.locator(f"[data-left-out={code(2)}]")).to_contain_text("Excluded by hand: Another technique or lens")
    page.go_back()
    expect(own).to_contain_text("Your 5 eyes")
    page.go_forward()
    page.get_by_role("button", name=f"Take in {code(2)} again").tap()
    expect(page.get_by_role("heading", name="Eyes that teach: 6")).to_be_visible()
    page.get_by_role("button", name="Learn only from eyes after today").tap()
    expect(page.get_by_text("No eye teaches yet")).to_be_visible()
    page.get_by_role("button", name="Learn from all eyes again").tap()
    expect(page.get_by_role("heading", name="Eyes that teach: 6")).to_be_visible()


def test_a_second_route_agrees_contradicts_and_says_what_would_explain_it(page: Page, app_url: str) -> None:
    open_app(page, app_url)
    new_eye(page, "left")
    plan_eye(page)
    choose(page, "aphakic.instrument", "retinoscope")
    routes = page.locator("[data-role=routes]")
    expect(routes).to_contain_text("The aphakic reading is not used")
    choose(page, "aphakic.form", "meridians")
    for path, text in (("meridian_1_d", "13.5"), ("meridian_2_d", "14.5"), ("vertex_mm", "12"), ("working_distance_m", "0.5")):
        number(page, f"aphakic.{path}", text)
    expect(routes).to_contain_text("+12.00 D")
    expect(routes.locator("tbody tr")).to_have_count(3)
    agreed = routes.locator("tbody tr").last.inner_text()
    number(page, "aphakic.working_distance_m", "1")
    expect(routes).to_contain_text("The two routes contradict each other")
    expect(routes).to_contain_text("Working distance")
    expect(routes).to_contain_text("would explain it")
    expect(routes.locator("tbody tr").last).not_to_have_text(agreed)

    choose(page, "fill_after.medium", "oil")
    number(page, "fill_after.lens_index", "1.47")
    expect(page.locator("[data-role=media]")).to_contain_text("Will the oil stay?")
    page.get_by_text("Measured otherwise?").tap()
    choose(page, "otherwise.kind", "velocity")
    number(page, "otherwise.axial_length_mm", "23.8")
    choose(page, "otherwise.axial_method", "immersion")
    number(page, "otherwise.velocity_m_s", "1550")
    choose(page, "otherwise.lens_state", "aphakic")
    expect(page.locator("[data-role=offer]")).to_contain_text("Axial length 23.52 mm")
    page.get_by_role("button", name="Use this value").tap()
    expect(page.locator('gl-number[path="measurements.axial_length_mm"] input')).to_have_value("23.52")
    expect(page.locator("[data-role=converted]")).to_contain_text("1550 m/s")
    go(page, "Theatre")
    expect(page.locator("gl-theatre-view gl-read-back")).to_be_visible()
