"""What a surgeon's hands do on the phone: keys, choices, holds, and whole eyes entered with them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from playwright.sync_api import Locator, Page, expect
from playwright.sync_api import TimeoutError as TapMissed

from tests.browser.page_state import offline_state

#: How long a screen may take on a busy machine; nothing here depends on being fast.
PATIENCE_MS = 30_000
expect.set_options(timeout=PATIENCE_MS)

#: A finger that missed a field taps it again.
MOST_TAPS = 3
KEYPAD_MS = 5_000

#: An invented eye; power, constant and target as a surgeon would type them.
NUMBERS: Mapping[str, str] = {
    "measurements.axial_length_mm": "23.51",
    "measurements.k1_d": "43.25",
    "measurements.k2_d": "44.50",
    "lens.lens_power_d": "21.5",
    "lens.a": "118.7",
    "plan.target_d": "-0.50",
    "plan.meridian_deg": "0",
}


def press(page: Page, text: str) -> None:
    """Type with the app's own keypad, then Done; a number without a sign gets its plus where there is one."""
    pad = page.locator("gl-keypad")
    names = {"-": "Minus", "+": "Plus", ".": "Decimal separator", ",": "Decimal separator"}
    plus = pad.get_by_role("button", name="Plus", exact=True)
    unsigned = text[0] not in "+-" and float(text.replace(",", ".")) != 0 and plus.count() > 0
    for key in [*text, *(["+"] if unsigned else [])]:
        pad.get_by_role("button", name=names.get(key, key), exact=True).first.tap()
    pad.get_by_role("button", name="Done", exact=True).tap()
    expect(pad.get_by_role("button")).to_have_count(0)


def number(page: Page, path: str, text: str) -> None:
    """Enter one number and leave the field."""
    tap_into(page, page.locator(f'gl-number[path="{path}"] input'))
    press(page, text)


def tap_into(page: Page, box: Locator) -> None:
    """Tap a field until the keypad is up: answers that arrive may move a field from under a finger."""
    keys = page.locator("gl-keypad").get_by_role("button", name="Done", exact=True)
    for _ in range(MOST_TAPS):
        box.tap()
        try:
            keys.wait_for(timeout=KEYPAD_MS)
        except TapMissed:
            continue
        return
    raise AssertionError("the keypad did not come up")


def choose(page: Page, path: str, word: str) -> None:
    """Tap one answer of a question."""
    page.locator(f'gl-choice[path="{path}"] label').filter(
        has=page.locator(f'input[value="{word}"]')
    ).tap()


def line(page: Page, path: str, text: str) -> None:
    """Fill one line of text, or a date, and leave it."""
    box = page.locator(f'gl-line[path="{path}"] input')
    box.fill(text)
    box.blur()


def hold(page: Page, button: Locator) -> None:
    """Press and keep pressing until the hold is accepted."""
    expect(button).to_be_enabled()
    button.evaluate("element => element.scrollIntoView({ block: 'center' })")
    box = button.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    expect(page.locator("button.holding")).to_have_count(1)
    expect(page.locator("button.holding")).to_have_count(0)
    page.mouse.up()


def next_step(page: Page, title: str) -> None:
    """Next, and the screen that follows."""
    page.locator("gl-theatre-view nav button").last.tap()
    expect(page.locator("gl-theatre-view h2")).to_have_text(title)


def read_back(page: Page) -> None:
    """Confirm every line, then hold."""
    form = page.locator("gl-read-back")
    for row in form.locator("button.read-line").all():
        row.tap()
    hold(page, form.locator("gl-hold button"))


def open_app(page: Page, address: str) -> None:
    """The app, kept on the device."""
    page.goto(address)
    offline_state(page, "ready")
    expect(page.get_by_role("heading", name="Eyes")).to_be_visible()


def new_eye(page: Page, side: str) -> str:
    """A new eye through the screens; its case code."""
    page.get_by_role("link", name="New eye").or_(page.get_by_role("button", name="New eye")).first.tap()
    choose(page, "new.eye", side)
    page.get_by_role("button", name=f"Add this {side} eye").tap()
    page.locator("gl-plan-view").wait_for()
    return page.url.split("/")[-2]


def plan_eye(page: Page, numbers: Mapping[str, str] = NUMBERS) -> None:
    """Everything the plan needs, up to its read-back."""
    choose(page, "measurements.axial_method", "optical")
    choose(page, "measurements.k_unit", "d")
    choose(page, "measurements.keratometry_method", "table")
    for path, text in numbers.items():
        number(page, path, text)
    expect(page.locator("gl-plan-view gl-read-back")).to_be_visible()


def go(page: Page, stage: str) -> None:
    """Another stage of the eye on screen."""
    page.get_by_role("link", name=stage, exact=True).tap()


def pass_gate(page: Page) -> None:
    """The theatre's read-back, up to the list of readings."""
    go(page, "Theatre")
    expect(page.locator("gl-theatre-view gl-read-back")).to_be_visible()
    read_back(page)
    expect(page.get_by_text("Read back by two people")).to_be_visible()
    next_step(page, "Readings")


def confirm_conditions(page: Page) -> None:
    """Every condition tapped."""
    for row in page.locator("button[data-condition]").all():
        row.tap()


def begin_reading(page: Page) -> None:
    """A new reading with its conditions confirmed, up to where the haptics are."""
    page.get_by_role("button", name="New reading").tap()
    expect(page.locator("gl-theatre-view h2")).to_have_text("Conditions")
    confirm_conditions(page)
    next_step(page, "Where are the haptics?")


def take_reading(
    page: Page, lengths: tuple[str, str], value: str, *, first: bool = False, iop: str = "18"
) -> None:
    """One measured reading through its four screens, from the list and back to it."""
    before = page.locator("[data-reading]").count()
    begin_reading(page)
    if not first:
        choose(page, "new_reading.moved", "yes")
    choose(page, "new_reading.length_basis", "measured")
    number(page, "new_reading.outside_a_mm", lengths[0])
    number(page, "new_reading.outside_b_mm", lengths[1])
    next_step(page, "What was read?")
    if first:
        choose(page, "new_reading.instrument", "aberrometer")
        choose(page, "new_reading.form", "equivalent")
    number(page, "new_reading.refraction_d", value)
    next_step(page, "The eye during it")
    number(page, "new_reading.iop_mmhg", iop)
    if first:
        choose(page, "new_reading.infusion", "closed")
        choose(page, "new_reading.fill", "saline")
        choose(page, "new_reading.iridectomy_done", "yes")
    page.get_by_role("button", name="Save reading").tap()
    expect(page.locator("[data-reading]")).to_have_count(before + 1)


def log_step(page: Page, haptic: str, step: str, length: str) -> None:
    """One entry of what was done, with a measured length."""
    before = page.locator("[data-entry]").count()
    choose(page, "new_step.haptic", haptic)
    choose(page, "new_step.haptic_step", step)
    number(page, "new_step.length_mm", length)
    choose(page, "new_step.basis", "measured")
    page.get_by_role("button", name="Add to the log").or_(
        page.get_by_role("button", name="Save the correction")
    ).tap()
    expect(page.locator("[data-entry]")).to_have_count(before + 1)


def iso(day: date) -> str:
    """A date as it is stored."""
    return day.isoformat()
