"""What is measured on a screen: targets, quantities in view, overflow; nothing runs inside the page's policy."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

#: Every control that is drawn, with the size of what a finger can hit.
_TARGETS = """() => {
  const found = [];
  const walk = (root) => {
    for (const one of root.querySelectorAll("*")) {
      if (one.shadowRoot) walk(one.shadowRoot);
      if (!one.matches("button, a[href], label:has(input), input, summary")) continue;
      if (one.matches("input") && (one.closest("label") || one.closest(".box"))) continue;
      const box = one.getBoundingClientRect();
      if (box.width && box.height) found.push([one.innerText?.trim().slice(0, 30) || one.tagName, Math.round(box.width), Math.round(box.height)]);
    }
  };
  walk(document);
  return found;
}"""

#: Decimal numbers and percentages that stand in view, as they are written.
_QUANTITIES = """() => {
  const high = document.querySelector("gl-shell").shadowRoot.querySelector("main").getBoundingClientRect();
  const found = [];
  const walk = (root) => {
    for (const node of root.childNodes) {
      if (node.nodeType === Node.TEXT_NODE) {
        const range = document.createRange();
        range.selectNodeContents(node);
        const box = range.getBoundingClientRect();
        const seen = box.width > 2 && box.bottom > high.top && box.top < high.bottom;
        if (seen) found.push(...(node.data.match(/\\d+\\.\\d+|\\d+\\s?%/g) ?? []));
      } else if (node.nodeType === Node.ELEMENT_NODE && node.tagName !== "STYLE" && !node.matches(".unseen, svg")) {
        walk(node.shadowRoot ?? node);
        if (node.shadowRoot) walk(node);
      }
    }
  };
  walk(document.querySelector("gl-shell").shadowRoot.querySelector("main"));
  return found;
}"""

_OVERFLOW = """() => {
  const main = document.querySelector("gl-shell").shadowRoot.querySelector("main");
  return [main.scrollWidth - main.clientWidth, document.documentElement.scrollHeight - window.innerHeight];
}"""


def small_targets(page: Page, least: int = 44) -> list[list[Any]]:
    """Controls that a finger may miss."""
    found: list[list[Any]] = page.evaluate(_TARGETS)
    assert found, "no control was found at all"
    return [one for one in found if min(one[1], one[2]) < least]


def quantities(page: Page) -> list[str]:
    """The numbers in view."""
    found: list[str] = page.evaluate(_QUANTITIES)
    return found


def overflow(page: Page) -> list[int]:
    """What does not fit: across in the screen, and down in the document."""
    found: list[int] = page.evaluate(_OVERFLOW)
    return found
