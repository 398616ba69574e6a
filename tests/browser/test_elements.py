"""The number field, its keypad and the other elements, each alone on a page of the built app."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

MINUS = "\u2212"

MOUNT = """([tag, given]) => {
  const element = document.createElement(tag);
  Object.assign(element, given);
  window.seen = [];
  for (const name of ["commit", "draft", "confirm", "undo"]) {
    element.addEventListener(name, (event) => {
      window.seen.push({ name, ...(event.detail ?? {}) });
      if (window.refuse && name === "commit") event.detail.saved = Promise.reject(new Error("full"));
    });
  }
  document.body.replaceChildren(element, document.createElement("gl-keypad"));
}"""


@pytest.fixture
def context(new_context: Callable[..., BrowserContext]) -> BrowserContext:
    """Without the service worker: these tests need no copy of the app on the device."""
    return new_context(service_workers="block")


@pytest.fixture
def mount(page: Page, app_url: str) -> Any:
    """Puts one element on the page, with a keypad beneath it."""
    page.goto(app_url)
    expect(page.get_by_role("heading", name="Eyes")).to_be_visible()

    def put(tag: str, **given: Any) -> None:
        page.evaluate(MOUNT, [tag, given])

    return put


def seen(page: Page, name: str) -> list[dict[str, Any]]:
    """Events of one name so far."""
    found: list[dict[str, Any]] = page.evaluate("(name) => window.seen.filter((e) => e.name === name)", name)
    return found


def enter(page: Page, text: str) -> None:
    """Type with a hardware keyboard and leave the field."""
    box = page.get_by_role("textbox")
    box.fill("")
    box.press_sequentially(text)
    box.blur()


def key(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


# ---- reading numbers -------------------------------------------------------------------------


@pytest.mark.parametrize(("field", "text", "value"), [
    ("axial_length_mm", "23.5", 23.5),
    ("axial_length_mm", "23,5", 23.5),
    ("axial_length_mm", " 23.456 ", 23.456),
    ("target_d", "-1.25", -1.25),
    ("target_d", "\u22121,25", -1.25),
    ("target_d", "\u20131.25", -1.25),
    ("target_d", "+0.5", 0.5),
    ("target_d", "0", 0),
    ("target_d", "-0.00", 0),
])
def test_every_way_of_writing_a_number_is_read(mount: Any, page: Page, field: str, text: str, value: float) -> None:
    mount("gl-number", field=field, path="a.b")
    enter(page, text)
    commits = seen(page, "commit")
    assert [(one["path"], one["value"]) for one in commits] == [("a.b", value)]


@pytest.mark.parametrize(("text", "words"), [
    ("23..5", "2 decimal separators"),
    ("2,3.5", "2 decimal separators"),
    (".5", "Put a 0 before"),
    ("23.", "missing after the separator"),
    ("23x", "not part of a number"),
    ("--1", "more than one sign"),
    ("-", "Digits are missing"),
])
def test_what_is_no_number_is_refused_and_stays_on_screen(mount: Any, page: Page, text: str, words: str) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b")
    enter(page, text)
    expect(page.get_by_text(words)).to_be_visible()
    expect(page.get_by_role("textbox")).to_have_value(text)
    assert seen(page, "commit") == []


def test_two_separators_are_reported_while_typing(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b")
    page.get_by_role("textbox").press_sequentially("2,3,5")
    expect(page.get_by_text("2 decimal separators")).to_be_visible()


@pytest.mark.parametrize(("field", "text", "limit"), [
    ("axial_length_mm", "92", "40.00 mm"),
    ("axial_length_mm", "2.35", "14.00 mm"),
    ("target_d", "-125", f"{MINUS}12.00 D"),
])
def test_impossible_is_refused_and_the_limit_is_named(mount: Any, page: Page, field: str, text: str, limit: str) -> None:
    mount("gl-number", field=field, path="a.b")
    enter(page, text)
    expect(page.get_by_text(limit)).to_be_visible()
    expect(page.get_by_role("button", name="Keep")).to_have_count(0)
    assert seen(page, "commit") == []


def test_unusual_waits_for_a_tap(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b")
    enter(page, "32.45")
    expect(page.get_by_text("20.00 to 30.00 mm")).to_be_visible()
    assert seen(page, "commit") == []
    key(page, "Keep 32.45 mm")
    assert [one["value"] for one in seen(page, "commit")] == [32.45]


def test_unusual_can_be_discarded(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b", value=23.5)
    enter(page, "32.45")
    key(page, "Discard")
    expect(page.get_by_role("textbox")).to_have_value("23.50")
    assert seen(page, "commit") == []


def test_a_stored_value_is_shown_with_all_its_digits_and_not_saved_again(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b", value=23.45678)
    box = page.get_by_role("textbox")
    expect(box).to_have_value("23.45678")
    box.focus()
    box.blur()
    assert seen(page, "commit") == []


def test_emptying_a_field_commits_that_nothing_is_known(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b", value=23.5)
    enter(page, "")
    assert [one["value"] for one in seen(page, "commit")] == [None]


def test_every_keystroke_is_a_draft(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b")
    page.get_by_role("textbox").press_sequentially("23.5")
    assert [one["text"] for one in seen(page, "draft")] == ["2", "23", "23.", "23.5"]


def test_what_could_not_be_saved_stays_and_says_so(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b")
    page.evaluate("() => { window.refuse = true; }")
    enter(page, "23.5")
    expect(page.get_by_text("Not saved. What you typed is still here.")).to_be_visible()
    expect(page.get_by_role("textbox")).to_have_value("23.5")
    page.evaluate("() => { window.refuse = false; }")
    key(page, "Save again")
    expect(page.get_by_text("Not saved.")).to_have_count(0)
    assert len(seen(page, "commit")) == 2


def test_a_draft_is_shown_as_not_entered(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b", value=22.1, draft="23,5")
    expect(page.get_by_role("textbox")).to_have_value("23,5")
    expect(page.get_by_text("not entered", exact=False).first).to_be_visible()
    assert seen(page, "commit") == []
    key(page, "Enter 23.50 mm")
    assert [one["value"] for one in seen(page, "commit")] == [23.5]


def test_a_form_gets_its_draft_back_by_itself(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="new.x", draft="23,5", local=True)
    expect(page.get_by_role("textbox")).to_have_value("23.50")
    assert [(one["value"], one["local"]) for one in seen(page, "commit")] == [(23.5, True)]


# ---- the keypad ------------------------------------------------------------------------------


def test_the_keypad_writes_a_signed_number(mount: Any, page: Page) -> None:
    mount("gl-number", field="target_d", path="a.b")
    box = page.get_by_role("textbox")
    box.click()
    key(page, "Minus")
    for name in ("1", "Decimal separator", "2", "5"):
        key(page, name)
    expect(box).to_have_value(f"{MINUS}1.25")
    expect(box).to_be_focused()
    key(page, "Plus")
    expect(box).to_have_value("+1.25")
    key(page, "Minus")
    key(page, "Minus")
    key(page, "Delete one")
    expect(box).to_have_value(f"{MINUS}1.2")
    assert seen(page, "commit") == []
    key(page, "Done")
    assert [one["value"] for one in seen(page, "commit")] == [-1.2]
    expect(page.get_by_role("button", name="Done")).to_have_count(0)


@pytest.mark.parametrize(("sign", "value"), [("plus", 1.25), ("minus", -1.25)])
def test_a_number_without_a_sign_is_asked_about(mount: Any, page: Page, sign: str, value: float) -> None:
    mount("gl-number", field="sphere_d", path="a.b")
    enter(page, "1.25")
    expect(page.get_by_text("No sign was typed. Plus or minus?")).to_be_visible()
    assert seen(page, "commit") == []
    page.locator(f"[data-sign={sign}]").click()
    assert [one["value"] for one in seen(page, "commit")] == [value]
    expect(page.get_by_text("No sign was typed")).to_have_count(0)


@pytest.mark.parametrize(("field", "text", "value"), [("sphere_d", "0", 0), ("lens_power_d", "21.5", 21.5)])
def test_no_sign_is_asked_where_none_is_in_doubt(mount: Any, page: Page, field: str, text: str, value: float) -> None:
    mount("gl-number", field=field, path="a.b")
    enter(page, text)
    assert [one["value"] for one in seen(page, "commit")] == [value]


def test_the_keypad_never_drops_a_separator(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b")
    page.get_by_role("textbox").click()
    for name in ("2", "Decimal separator", "3", "Decimal separator", "5"):
        key(page, name)
    expect(page.get_by_role("textbox")).to_have_value("2.3.5")
    expect(page.get_by_text("2 decimal separators")).to_be_visible()


def test_an_unsigned_number_offers_no_sign(mount: Any, page: Page) -> None:
    mount("gl-number", field="axial_length_mm", path="a.b")
    page.get_by_role("textbox").click()
    expect(page.get_by_role("button", name="This number has no sign")).to_be_disabled()


@pytest.mark.parametrize(("width", "height", "wide", "high"), [(390, 844, 118, 72), (320, 568, 94, 56)])
def test_keys_are_large(mount: Any, page: Page, width: int, height: int, wide: int, high: int) -> None:
    page.set_viewport_size({"width": width, "height": height})
    mount("gl-number", field="target_d", path="a.b")
    page.get_by_role("textbox").click()
    for name in ("Plus", "Minus"):
        half = page.get_by_role("button", name=name, exact=True).bounding_box()
        assert half is not None
        assert half["width"] >= 44, name
        assert half["height"] >= high, name
    for name in ("1", "0", "Decimal separator", "Delete one", "Done"):
        box = page.get_by_role("button", name=name, exact=True).bounding_box()
        assert box is not None
        assert box["width"] >= wide, name
        assert box["height"] >= high, name


# ---- choices, holding, formats ---------------------------------------------------------------


def test_a_choice_has_no_default(mount: Any, page: Page) -> None:
    mount("gl-choice", field="eye", path="eye")
    for radio in page.get_by_role("radio").all():
        expect(radio).not_to_be_checked()
    page.get_by_label("Left eye").click()
    assert [(one["path"], one["value"]) for one in seen(page, "commit")] == [("eye", "left")]


def test_a_flag_has_three_states(mount: Any, page: Page) -> None:
    mount("gl-flag", field="iridectomy_planned", path="plan.iridectomy_planned")
    for radio in page.get_by_role("radio").all():
        expect(radio).not_to_be_checked()
    page.get_by_label("No", exact=True).click()
    assert [one["value"] for one in seen(page, "commit")] == [False]


def test_holding_briefly_does_nothing_and_long_enough_confirms(mount: Any, page: Page) -> None:
    mount("gl-hold", label="Remove")
    box = page.get_by_role("button").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.wait_for_timeout(300)
    page.mouse.up()
    page.wait_for_timeout(1200)
    assert seen(page, "confirm") == []
    page.mouse.down()
    page.wait_for_timeout(1400)
    page.mouse.up()
    assert len(seen(page, "confirm")) == 1


def test_a_keyboard_confirms_in_two_steps(mount: Any, page: Page) -> None:
    mount("gl-hold", label="Remove")
    page.get_by_role("button").press("Enter")
    assert seen(page, "confirm") == []
    page.get_by_role("button", name="Confirm: Remove").press("Enter")
    assert len(seen(page, "confirm")) == 1


@pytest.mark.parametrize(("value", "field", "text"), [
    (-1.25, "target_d", f"{MINUS}1.25\u00a0D"),
    (0.5, "target_d", "+0.50\u00a0D"),
    (0, "target_d", "0.00\u00a0D"),
    (-0.001, "target_d", "0.00\u00a0D"),
    (23.5, "axial_length_mm", "23.50\u00a0mm"),
    (5, "axis_deg", "005°"),
    (None, "target_d", "–"),
])
def test_numbers_are_written_with_sign_unit_and_fixed_decimals(
    mount: Any, page: Page, value: float | None, field: str, text: str
) -> None:
    mount("gl-value", field=field, value=value)
    assert page.locator("gl-value .figure").text_content() == text


def test_the_eye_is_named_in_words(mount: Any, page: Page) -> None:
    mount("gl-eye", eye=None, code="ABCD")
    expect(page.get_by_text("Eye not chosen")).to_be_visible()
    mount("gl-eye", eye="right", demo=True)
    expect(page.get_by_text("Right eye")).to_be_visible()
    expect(page.get_by_text("Demo, invented")).to_be_visible()
