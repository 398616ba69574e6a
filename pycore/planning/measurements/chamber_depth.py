"""Phakic chamber depth by its two definitions.

The formulas want the depth from the corneal epithelium to the natural lens. Some instruments give
it from the endothelium (aqueous depth)::

    epithelium to lens = endothelium to lens + central corneal thickness

Depth in mm, thickness in micrometres. Tests: tests/limits/test_measurements.py.
"""

from __future__ import annotations

from typing import Final

from pycore.planning.measurements.step import Step
from pycore.words import say

#: Central corneal thickness when it was not measured; common practice, no source.
MEAN_THICKNESS_UM: Final = 540.0


def from_epithelium_mm(depth_mm: float, *, thickness_um: float) -> float:
    """Depth from the epithelium, from a depth from the endothelium.

    >>> from_epithelium_mm(2.75, thickness_um=550.0)
    3.3
    """
    return depth_mm + thickness_um / 1000.0


def thickness_step(depth_mm: float, *, thickness_um: float | None) -> Step:
    """The conversion; an unmeasured thickness is named as assumed."""
    used = MEAN_THICKNESS_UM if thickness_um is None else thickness_um
    how = "assumed" if thickness_um is None else "measured"
    return Step(
        "chamber_depth",
        say(
            "From the endothelium to the epithelium: {used} µm of cornea, {how}.",
            used=f"{used:.0f}", how=how,
        ),
        depth_mm,
        from_epithelium_mm(depth_mm, thickness_um=used),
        "definition",
        "assumption" if thickness_um is None else "derived",
    )
