"""Ten thousand eyes: only those near the screen exist, and keyboard and screen reader reach all."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import BrowserContext

_BUILD = """async (count) => {
  const { html } = await import(new URL("vendor/lit/index.js", document.baseURI).href);
  await import(new URL("views/eyes/long-list.js", document.baseURI).href);
  const box = document.createElement("div");
  box.id = "box";
  box.style.cssText = "position: fixed; inset: 0; overflow: auto; z-index: 99";
  const list = document.createElement("gl-long-list");
  list.keyOf = (row) => row.code;
  list.drawRow = (row) => html`<a href=${`#${row.code}`}><p>${row.code}</p><p>Follow-up due</p></a>`;
  list.rows = Array.from({ length: count }, (_, place) => ({ code: `E${place}` }));
  box.append(list);
  document.body.append(box);
  await list.updateComplete;
}"""


def test_a_long_list_draws_what_is_near_and_keeps_the_focus(
    app_url: str, new_context: Callable[..., BrowserContext]
) -> None:
    page = new_context(service_workers="block").new_page()
    page.goto(app_url)
    page.evaluate(_BUILD, 10_000)
    rows = page.locator("#box li[aria-posinset]")
    rows.first.wait_for()
    assert rows.first.get_attribute("aria-setsize") == "10000"
    assert 10 < rows.count() < 150
    first = page.locator('#box a[href="#E0"]')
    first.focus()
    page.evaluate("() => { const box = document.querySelector('#box'); box.scrollTop = box.scrollHeight; }")
    page.locator('#box li[aria-posinset="10000"]').wait_for()
    assert rows.count() < 150
    assert page.evaluate("document.activeElement.getAttribute('href')") == "#E0", "the focus became another eye's"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('href')") != "#E0"
    page.evaluate("() => { document.querySelector('#box').scrollTop = 0; }")
    page.locator('#box li[aria-posinset="1"]').wait_for()
    for place in range(1, 40):
        page.locator(f'#box a[href="#E{place}"]').focus()
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.getAttribute('href')") == f"#E{place + 1}"


def test_a_short_list_is_drawn_whole(app_url: str, new_context: Callable[..., BrowserContext]) -> None:
    page = new_context(service_workers="block").new_page()
    page.goto(app_url)
    page.evaluate(_BUILD, 12)
    page.locator('#box li[aria-posinset="12"]').wait_for()
    assert page.locator("#box li").count() == 12
