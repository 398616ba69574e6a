"""Follow-up of one eye by hand on a phone."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.hands import choose, go, hold, iso, line, new_eye, number, open_app, plan_eye

MINUS = "\N{MINUS SIGN}"


@pytest.fixture
def operated(page: Page, app_url: str) -> Page:
    """A planned right eye, operated on thirty days ago."""
    open_app(page, app_url)
    new_eye(page, "right")
    plan_eye(page)
    go(page, "Follow-up")
    line(page, "surgery_on", iso(date.today() - timedelta(days=30)))
    expect(page.get_by_text("Due visits")).to_be_visible()
    return page


def _due(page: Page, label: str) -> Locator:
    return page.locator(".due li").filter(has=page.get_by_text(label, exact=True))


def _refraction(page: Page) -> None:
    """Plus-cylinder form: -1.25 +1.00 x 90 is -0.25 -1.00 x 180, equivalent -0.75 (transposed by hand)."""
    line(page, "new_visit.on", iso(date.today()))
    choose(page, "new_visit.refraction_method", "subjective")
    number(page, "new_visit.sphere_d", "-1.25")
    number(page, "new_visit.cylinder_d", "1.00")
    number(page, "new_visit.axis_deg", "90")


def test_both_forms_of_a_plus_cylinder_are_shown(operated: Page) -> None:
    _refraction(operated)
    forms = operated.locator("[data-role=both-forms]")
    expect(forms).to_contain_text(f"{MINUS}0.25 D {MINUS}1.00 D × 180°")
    expect(forms).to_contain_text(f"{MINUS}1.25 D +1.00 D × 090°")
    expect(forms).to_contain_text(f"{MINUS}0.75 D")


def test_a_visit_is_compared_with_the_plan_in_words(operated: Page) -> None:
    _refraction(operated)
    number(operated, "new_visit.iop_mmhg", "15")
    expect(operated.get_by_role("button", name="Save visit")).to_be_disabled()
    choose(operated, "new_visit.looked", "some")
    operated.locator("button[data-complication=tilt]").tap()
    operated.get_by_role("button", name="Save visit").tap()
    visit = operated.locator("[data-visit]")
    expect(visit).to_contain_text("day 30")
    expect(visit).to_contain_text(f"{MINUS}0.75 D")
    expect(visit).to_contain_text("than planned")
    expect(visit).to_contain_text("Tilted lens")
    expect(_due(operated, "Month 1")).to_contain_text("done")


def test_a_withdrawn_visit_stays_with_its_reason(operated: Page) -> None:
    line(operated, "new_visit.on", iso(date.today()))
    choose(operated, "new_visit.looked", "none")
    operated.get_by_role("button", name="Save visit").tap()
    visit = operated.locator("[data-visit]")
    visit.get_by_role("button", name="Withdraw this visit").tap()
    choose(operated, "withdraw.reason", "Entered wrongly")
    hold(operated, visit.locator("gl-hold button"))
    expect(visit).to_contain_text("Withdrawn: Entered wrongly")
    expect(_due(operated, "Month 1")).not_to_contain_text("done")


def test_a_half_entered_visit_survives_a_reload(operated: Page) -> None:
    _refraction(operated)
    operated.reload()
    expect(operated.locator('gl-number[path="new_visit.sphere_d"] input')).to_have_value(f"{MINUS}1.25")
    expect(operated.locator('gl-line[path="new_visit.on"] input')).to_have_value(iso(date.today()))
    expect(operated.locator("[data-role=both-forms]")).to_contain_text(f"{MINUS}0.75 D")
