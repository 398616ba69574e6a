"""The published thin-lens formulas, by name.

To add one: a file with a ``FORMULA`` and a line here.
"""

from __future__ import annotations

from typing import Final

from pycore.formulas import haigis, hoffer_q, holladay1, srkt
from pycore.formulas.eye import Biometry, Caution, Formula, LensConstants, ThinEye

FORMULAS: Final[dict[str, Formula]] = {
    module.FORMULA.name: module.FORMULA for module in (srkt, holladay1, hoffer_q, haigis)
}

__all__ = ["FORMULAS", "Biometry", "Caution", "Formula", "LensConstants", "ThinEye"]
