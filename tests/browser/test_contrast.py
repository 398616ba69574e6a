"""Measured contrast of both themes (WCAG 2.2, success criteria 1.4.3, 1.4.6 and 1.4.11)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

TOKENS = Path(__file__).parents[2] / "webapp" / "styles" / "tokens.css"
GROUNDS = ("ground", "surface", "sunken")
TONES = ("accent", "caution", "stop", "done")
AT_LEAST_TEXT, AT_LEAST_VALUES, AT_LEAST_EDGES = 4.5, 7.0, 3.0


def theme(selector: str) -> dict[str, str]:
    """Colours by name in the first block of ``selector``."""
    block = re.search(re.escape(selector) + r"\s*\{(.*?)\n\}", TOKENS.read_text(), re.S)
    assert block
    return dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})", block[1]))


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    channels = [int(colour[start:start + 2], 16) / 255 for start in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    dark, light = sorted((luminance(first), luminance(second)))
    return (light + 0.05) / (dark + 0.05)


def pairs() -> list[tuple[str, str, float]]:
    """Foreground, background, and the least contrast for what is written so."""
    values = [("ink", ground, AT_LEAST_VALUES) for ground in (*GROUNDS, "accent-soft", "caution-soft",
                                                            "stop-soft", "done-soft")]
    soft = [("ink-soft", ground, AT_LEAST_TEXT) for ground in GROUNDS]
    tones = [(tone, ground, AT_LEAST_TEXT) for tone in TONES for ground in (*GROUNDS, f"{tone}-soft")]
    edges = [(edge, ground, AT_LEAST_EDGES) for edge in ("edge", "focus") for ground in GROUNDS]
    return [*values, *soft, *tones, *edges, ("on-accent", "accent", AT_LEAST_TEXT)]


def test_black_on_white_has_the_ratio_of_the_standard() -> None:
    """WCAG 2.2 gives 21:1 for black on white."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("selector", [":root", ':root[data-theme="theatre"]'])
@pytest.mark.parametrize(("front", "back", "least"), pairs())
def test_contrast(selector: str, front: str, back: str, least: float) -> None:
    colours = theme(selector)
    assert contrast(colours[front], colours[back]) >= least, f"{front} on {back}"
