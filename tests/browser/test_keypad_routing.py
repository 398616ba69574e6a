"""A key of the keypad goes to the field with the caret, never to the one that was left."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

TWO_FIELDS = """() => {
  const make = (path) => Object.assign(document.createElement("gl-number"),
    { field: "outside_now_mm", path, label: path, local: true });
  document.body.replaceChildren(make("first"), make("second"), document.createElement("gl-keypad"));
}"""

# All in one go, faster than any screen can be redrawn: leave the first field, enter the second
# if asked to, and press a key of the keypad that still stands there.
LEAVE_AND_PRESS = """(enterSecond) => {
  const [first, second] = document.querySelectorAll("gl-number");
  first.leave();
  if (enterSecond) second.take();
  document.querySelector("gl-keypad").shadowRoot.querySelector('button[aria-label="7"]').click();
  return [first.text, second.text];
}"""


@pytest.fixture
def fields(page: Page, app_url: str) -> Page:
    """Two fields above a keypad that is open for the first, which holds 2.5."""
    page.goto(app_url)
    expect(page.get_by_role("heading", name="Eyes")).to_be_visible()
    page.evaluate(TWO_FIELDS)
    page.locator("gl-number").first.locator("input").tap()
    pad = page.locator("gl-keypad")
    for name in ("2", "Decimal separator", "5"):
        pad.get_by_role("button", name=name, exact=True).tap()
    return page


def test_a_key_after_a_change_of_field_goes_to_the_new_field(fields: Page) -> None:
    assert fields.evaluate(LEAVE_AND_PRESS, True) == ["2.5", "7"]


def test_a_key_after_leaving_changes_nothing(fields: Page) -> None:
    assert fields.evaluate(LEAVE_AND_PRESS, False) == ["2.5", ""]
