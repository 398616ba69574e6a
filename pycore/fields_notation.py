"""Glossary entries of how quantities are written on a screen; none of them is part of a record."""

from __future__ import annotations

from typing import Final

from pycore.field_kinds import choice

NOTATION: Final = (
    choice("cylinder_notation", "Cylinder", "Which cylinder form stands first; the record keeps minus "
            "cylinders.", minus="Minus cylinder", plus="Plus cylinder"),
    choice("decimal_mark", "Decimal mark", "How decimals are shown; both are accepted when typing.",
            point="Point: 0.50", comma="Comma: 0,50"),
    choice("corneal_notation", "Cornea of a new eye", "How the cornea of a new eye is typed: as powers "
            "with index 1.3375, or as radii. Each eye can be changed.",
            ask="Ask each time", d="Powers, D", mm="Radii, mm"),
    choice("acuity_first", "Acuity", "Which notation of an acuity stands first.",
            metre="6/x", feet="20/x", decimal="Decimal", logmar="logMAR"),
)
