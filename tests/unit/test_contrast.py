"""Measured contrast of the themes (WCAG 2.2, success criteria 1.4.3, 1.4.6 and 1.4.11)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

WEBAPP = Path(__file__).parents[2] / "webapp"
TOKENS = WEBAPP / "styles" / "tokens.css"
SELECTORS = {"clinic": ":root", "theatre": ':root[data-theme="theatre"]', "sun": ':root[data-theme="sun"]'}
GROUNDS = ("ground", "surface", "sunken")
TONES = ("accent", "caution", "stop", "done")
SOFT = tuple(f"{tone}-soft" for tone in TONES)
AT_LEAST_TEXT, AT_LEAST_VALUES, AT_LEAST_EDGES = 4.5, 7.0, 3.0
#: A banner's own names for its tone and the ground under it.
BANNER = {"tone": TONES, "under": SOFT}
#: Ornament beside another mark that carries the meaning: hairlines between groups.
NO_MEANING = {"rule"}


@cache
def theme(name: str) -> dict[str, str]:
    """Colours by token in the first block of a theme; what it does not name is the clinic's."""
    block = re.search(re.escape(SELECTORS[name]) + r"\s*\{(.*?)\n\}", TOKENS.read_text(), re.S)
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


def text_pairs() -> dict[tuple[str, str], float]:
    """What is read: its colour, the ground under it, and the least contrast."""
    grounds = (*GROUNDS, *SOFT)
    values = {("ink", ground): AT_LEAST_VALUES for ground in grounds}
    soft = {("ink-soft", ground): AT_LEAST_TEXT for ground in grounds}
    tones = {(tone, ground): AT_LEAST_TEXT for tone in TONES for ground in (*GROUNDS, f"{tone}-soft")}
    turned = {(ground, tone): AT_LEAST_TEXT for tone in (*TONES, "ink") for ground in ("ground", "surface")}
    signs = {(f"{tone}-soft", tone): AT_LEAST_TEXT for tone in TONES}
    return {**values, **soft, **tones, **turned, **signs, ("on-accent", "accent"): AT_LEAST_TEXT}


def edge_pairs() -> list[tuple[str, str]]:
    """Edges of controls, the focus ring, and marks in drawings."""
    return [(edge, ground) for edge in ("edge", "focus", *TONES, "ink", "ink-soft") for ground in GROUNDS]


def blocks() -> Iterator[tuple[str, str]]:
    """Every innermost style block of the app's own files, with the file's name."""
    for path in (*WEBAPP.glob("styles/*.css"), *(file for place in ("elements", "views", "charts")
                                                  for file in (WEBAPP / place).rglob("*.js"))):
        for block in re.findall(r"\{([^{}]*)\}", path.read_text("utf-8")):
            yield path.name, block


def tokens(block: str, properties: str) -> set[str]:
    return set(re.findall(rf"(?<![-\w])(?:{properties}):[^;]*?var\(--([\w-]+)\)", block))


def meant(name: str) -> tuple[str, ...]:
    return BANNER.get(name, (name,))


def test_black_on_white_has_the_ratio_of_the_standard() -> None:
    """WCAG 2.2 gives 21:1 for black on white."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("name", ["clinic", "theatre"])
@pytest.mark.parametrize(("pair", "least"), text_pairs().items())
def test_what_is_read_stands_out(name: str, pair: tuple[str, str], least: float) -> None:
    assert contrast(*(theme(name)[token] for token in pair)) >= least, " on ".join(pair)


@pytest.mark.parametrize("pair", text_pairs())
def test_the_sun_theme_holds_seven_to_one(pair: tuple[str, str]) -> None:
    assert contrast(*(theme("sun")[token] for token in pair)) >= AT_LEAST_VALUES, " on ".join(pair)


@pytest.mark.parametrize("name", SELECTORS)
@pytest.mark.parametrize("pair", edge_pairs())
def test_edges_and_marks_stand_out(name: str, pair: tuple[str, str]) -> None:
    assert contrast(*(theme(name)[token] for token in pair)) >= AT_LEAST_EDGES, " on ".join(pair)


def test_each_theme_names_every_colour() -> None:
    assert theme("theatre").keys() == theme("sun").keys() == theme("clinic").keys()


def test_every_pair_in_the_styles_is_measured() -> None:
    """A colour and a ground in one block are one of the pairs above, in each theme."""
    measured = text_pairs()
    missing = {
        f"{name}: {front} on {back}"
        for name, block in blocks()
        for first in tokens(block, "color") for second in tokens(block, "background|background-color")
        for front in meant(first) for back in meant(second)
        if (front, back) not in measured and not (first in BANNER and second in BANNER)
    }
    assert missing == set()


def test_every_colour_of_text_and_drawing_is_measured_on_the_grounds() -> None:
    read = {front for front, _ in text_pairs()} | {back for _, back in text_pairs()}
    drawn = {edge for edge, _ in edge_pairs()} | read | NO_MEANING
    found = {(name, token) for name, block in blocks() for wanted, properties in
             ((read, "color"), (drawn, "fill|stroke|outline|border|border-color"))
             for token in tokens(block, properties)
             if token in theme("clinic") and token not in wanted}
    assert found == set()
