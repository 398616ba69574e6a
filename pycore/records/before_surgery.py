"""Measurements, lens and plan: values that are each possible and contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from pycore.records.case import Case
from pycore.records.finding import Check, Finding, Today, impossible, unusual
from pycore.units import keratometric_power_d
from pycore.words import say

#: Powers and radii entered for one meridian may differ by rounding; our choice, D.
SAME_POWER_D: Final = 0.25
#: Corneal astigmatism above this is asked about, D; common practice, no source.
LARGE_ASTIGMATISM_D: Final = 4.0


def corneal_meridians(case: Case, today: Today) -> Iterator[Finding]:
    """Flat and steep the right way round; a flat meridian has less power, a larger radius."""
    found = case["measurements"]
    yield from _swapped(found["k1_d"], found["k2_d"], "k2_d", "D", flat_is_larger=False)
    yield from _swapped(found["r1_mm"], found["r2_mm"], "r2_mm", "mm", flat_is_larger=True)
    if found["k1_d"] is not None and found["k2_d"] is not None:
        yield from _astigmatism(found["k2_d"] - found["k1_d"])


def _swapped(
    flat: float | None, steep: float | None, key: str, unit: str, *, flat_is_larger: bool
) -> Iterator[Finding]:
    if flat is None or steep is None or flat == steep or (flat > steep) == flat_is_larger:
        return
    word = "smaller" if flat_is_larger else "larger"
    yield impossible(
        f"measurements.{key}", "steep_flat_swapped",
        say(
            "The flat meridian ({flat} {unit}) is {word} than the steep one ({steep} {unit}). Look at "
            "the source which meridian is the steeper, then enter the two the other way round and check "
            "the steep axis.",
            flat=f"{flat:g}", unit=unit, word=word, steep=f"{steep:g}",
        ),
    )


def _astigmatism(difference_d: float) -> Iterator[Finding]:
    if difference_d > LARGE_ASTIGMATISM_D:
        yield unusual(
            "measurements.k2_d", "large_corneal_astigmatism",
            say(
                "The two meridians differ by {difference_d} D. Check both against the source.",
                difference_d=f"{difference_d:.2f}",
            ),
        )


def powers_and_radii(case: Case, today: Today) -> Iterator[Finding]:
    """A meridian entered both as power and as radius must be the same meridian."""
    found = case["measurements"]
    for power_key, radius_key in (("k1_d", "r1_mm"), ("k2_d", "r2_mm")):
        power, radius = found[power_key], found[radius_key]
        if power is None or radius is None:
            continue
        from_radius = keratometric_power_d(radius)
        if abs(from_radius - power) > SAME_POWER_D:
            yield impossible(
                f"measurements.{radius_key}", "power_and_radius_differ",
                say(
                    "{radius} mm is {from_radius} D, but {power} D was entered as well. Clear the one "
                    "that is wrong.",
                    radius=f"{radius:g}", from_radius=f"{from_radius:.2f}", power=f"{power:g}",
                ),
            )


def limbus(case: Case, today: Today) -> Iterator[Finding]:
    """The limbus is seldom taller than wide."""
    found = case["measurements"]
    wide, tall = found["limbus_horizontal_mm"], found["limbus_vertical_mm"]
    if wide is not None and tall is not None and tall > wide:
        yield unusual(
            "measurements.limbus_vertical_mm", "limbus_taller_than_wide",
            say(
                "The limbus is entered as taller ({tall} mm) than wide ({wide} mm). Check that the two "
                "were not swapped.",
                tall=f"{tall:g}", wide=f"{wide:g}",
            ),
        )


def lens_size(case: Case, today: Today) -> Iterator[Finding]:
    """The lens from tip to tip is longer than its optic is wide."""
    length, optic = case["lens"]["lens_length_mm"], case["lens"]["optic_diameter_mm"]
    if length is not None and optic is not None and length <= optic:
        yield impossible(
            "lens.lens_length_mm", "lens_shorter_than_optic",
            say(
                "The lens cannot be {length} mm long with an optic of {optic} mm. Check both.",
                length=f"{length:g}", optic=f"{optic:g}",
            ),
        )


def melt_and_length(case: Case, today: Today) -> Iterator[Finding]:
    """More cannot be melted than can be drawn out."""
    melt, drawn = case["plan"]["melt_mm"], case["plan"]["drawn_out_mm"]
    if melt is not None and drawn is not None and melt > drawn:
        yield impossible(
            "plan.melt_mm", "melt_longer_than_outside",
            say(
                "Melting {melt} mm needs more than the {drawn} mm that can be drawn out. Plan a shorter "
                "melt, or check the length.",
                melt=f"{melt:g}", drawn=f"{drawn:g}",
            ),
        )


CHECKS: Final[tuple[Check, ...]] = (
    corneal_meridians, powers_and_radii, limbus, lens_size, melt_and_length,
)
