"""One eye from the plan to the export, on a phone that has been without network since its first load."""

from __future__ import annotations

import csv
import io
from datetime import date, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.hands import (
    choose,
    go,
    iso,
    line,
    log_step,
    new_eye,
    next_step,
    number,
    open_app,
    plan_eye,
    read_back,
    take_reading,
)
from webapp.build.serve import Running

MINUS = "\N{MINUS SIGN}"
DAYS = 30
#: Lengths outside now of both haptics, and the spherical equivalent read there.
READINGS = (("2.5", "-0.15"), ("1.0", "0.40"), ("2.5", "-0.05"))


@pytest.mark.timeout(900)
def test_a_whole_eye_without_network(server: Running, context: BrowserContext) -> None:
    errors: list[str] = []
    context.on("weberror", lambda error: errors.append(str(error.error)))
    first = context.new_page()
    open_app(first, server.address)
    first.close()
    server.stop()
    context.set_offline(True)

    page = context.new_page()
    page.goto(server.address)
    expect(page.get_by_role("heading", name="Eyes")).to_be_visible()
    code = _plan(page)
    _titrate(page)
    cut = _decide_and_flange(page)
    _follow(page)
    row = _export(page)
    _check(row, cut)

    page.reload()
    _all_is_there(page, code)
    assert not errors


def _plan(page: Page) -> str:
    code = new_eye(page, "right")
    line(page, "lens.lens_name", "Three-piece, 13 mm")
    plan_eye(page)
    read_back(page)
    expect(page.get_by_text("Read back by two people")).to_be_visible()
    return code


def _titrate(page: Page) -> None:
    go(page, "Theatre")
    next_step(page, "Readings")
    for index, (length, value) in enumerate(READINGS):
        take_reading(page, (length, length), value, first=index == 0)
    next_step(page, "Chart")
    expect(page.locator("gl-titration-chart svg[role=img] circle.reading")).to_have_count(len(READINGS))
    next_step(page, "Advice")


def _decide_and_flange(page: Page) -> tuple[str, str]:
    """The two cuts as shown, read back, then logged with their flanges."""
    shown = page.locator(".answer-value")
    expect(shown).to_have_count(2)
    first, second = (text.replace("\xa0", " ").removesuffix(" mm") for text in shown.all_inner_texts())
    next_step(page, "Read back the cut")
    read_back(page)
    expect(page.get_by_text("Decision stored")).to_be_visible()
    next_step(page, "What was done")
    for haptic, cut in (("a", first), ("b", second)):
        log_step(page, haptic, "cut", cut)
        log_step(page, haptic, "melt", "1.0")
    expect(page.locator("[data-role=state]")).to_contain_text("Both flanged")
    return first, second


def _follow(page: Page) -> None:
    go(page, "Follow-up")
    line(page, "surgery_on", iso(date.today() - timedelta(days=DAYS)))
    line(page, "new_visit.on", iso(date.today()))
    choose(page, "new_visit.refraction_method", "subjective")
    number(page, "new_visit.sphere_d", "-0.25")
    number(page, "new_visit.cylinder_d", "-1.00")
    number(page, "new_visit.axis_deg", "90")
    line(page, "new_visit.cdva_written", "6/7.5")
    expect(page.locator("[data-role=cdva-shown]")).to_contain_text("20/25")
    number(page, "new_visit.iop_mmhg", "15")
    choose(page, "new_visit.looked", "none")
    page.get_by_role("button", name="Save visit").tap()
    visit = page.locator("[data-visit]")
    expect(visit).to_contain_text(f"day {DAYS}")
    expect(visit.locator("[data-role=error]")).to_contain_text("predicted after the readings")


def _export(page: Page) -> dict[str, str]:
    page.get_by_role("link", name="Export", exact=True).tap()
    page.get_by_text("Single files").tap()
    button = page.get_by_role("button", name="Save eyes.csv")
    expect(button).to_be_enabled()
    with page.expect_download() as waiting:
        button.tap()
    text = Path(waiting.value.path()).read_text(encoding="utf-8")
    assert "Three-piece" not in text
    rows = list(csv.DictReader(io.StringIO(text)))
    assert len(rows) == 1
    return rows[0]


def _check(row: dict[str, str], cut: tuple[str, str]) -> None:
    """What was typed, to the digit; the equivalent of -0.25 -1.00 x 90 is -0.75 by hand."""
    typed = {
        "axial_length_mm": 23.51, "k1_d": 43.25, "k2_d": 44.5, "lens_power_d": 21.5, "a": 118.7,
        "plan_target_d": -0.5, "readings_count": 3, "readings_placements": 3,
        "first_reading_refraction_d": -0.15, "last_reading_refraction_d": -0.05,
        "first_reading_outside_a_mm": 2.5, "last_reading_outside_b_mm": 2.5,
        "done_cut_a_mm": float(cut[0]), "done_cut_b_mm": float(cut[1]), "done_melt_a_mm": 1.0,
        "outcome_days": DAYS, "outcome_sphere_d": -0.25, "outcome_cylinder_d": -1.0,
        "outcome_axis_deg": 90, "outcome_se_d": -0.75, "outcome_iop_mmhg": 15,
    }  # fmt: skip
    assert {name: float(row[name]) for name in typed} == pytest.approx(typed, abs=1e-9)
    assert (row["eye"], row["outcome_counts"], row["complications"]) == ("right", "true", "none")
    for side, shown in zip("ab", cut, strict=True):
        assert f"{float(row[f'decision_cut_{side}_mm']):.1f}" == shown


def _all_is_there(page: Page, code: str) -> None:
    page.get_by_role("link", name="Eyes", exact=True).tap()
    page.get_by_role("link").filter(has_text=code).tap()
    go(page, "Plan")
    expect(page.locator('gl-number[path="measurements.axial_length_mm"] input')).to_have_value("23.51")
    expect(page.locator('gl-line[path="lens.lens_name"] input')).to_have_value("Three-piece, 13 mm")
    go(page, "Theatre")
    expect(page.locator("[data-entry]")).to_have_count(4)
    go(page, "Follow-up")
    expect(page.locator("[data-visit]")).to_contain_text(f"{MINUS}0.75 D")
