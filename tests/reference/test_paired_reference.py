"""Formulas side by side in the results, worked out again with scipy from each eye's own numbers."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy import optimize, stats

from pycore.api.boundary import answer
from pycore.api.result_rows import row_of
from pycore.units import STANDARD_VERTEX_MM
from tests.invented_series import series

ROWS = [row_of(case) for case in series(60, seed=21, pairs=0.0)]
COUNTED = [row for row in ROWS if row["state"] == "counted"]
#: Refractive index of the thin-lens eye of the formulas, per mm (1.336).
AQUEOUS = 1336.0


@pytest.fixture(scope="module")
def found() -> dict[str, Any]:
    value: dict[str, Any] = answer("results", {"rows": ROWS})["value"]
    return value


def thin_lens_d(length: Any, position: Any, cornea: Any, power: Any) -> Any:
    """Refraction at the spectacle plane by vergence, written again with arrays."""
    behind = AQUEOUS / (length - position)
    before = behind - power
    corneal = AQUEOUS * before / (AQUEOUS + position * before) - cornea
    return corneal / (1.0 + STANDARD_VERTEX_MM * corneal / 1000.0)


def zeroed(name: str) -> Any:
    """Errors of one formula after moving every lens by the same length until their mean is nought."""
    length, position, cornea = (np.array([row["formulas"][name][place] for row in COUNTED]) for place in range(3))
    power, achieved = (np.array([row[key] for row in COUNTED]) for key in ("lens_power_d", "achieved_d"))

    def errors(moved: float) -> Any:
        return achieved - thin_lens_d(length, position + moved, cornea, power)

    return errors(optimize.brentq(lambda moved: float(errors(moved).mean()), -3.0, 3.0, xtol=1e-13))


@pytest.mark.parametrize("name", ["srkt", "hoffer_q", "haigis"])
def test_distance_against_the_base_formula_is_the_paired_t_interval(found: dict[str, Any], name: str) -> None:
    rows = {row["name"]: row for row in found["formulas"]["rows"]}
    if name not in rows:
        pytest.fail(f"{name} is not compared although every eye can be computed with it")
    base = found["formulas"]["base"]
    paired = stats.ttest_rel(np.abs(zeroed(name)), np.abs(zeroed(base)))
    low, high = paired.confidence_interval(0.95)
    ours = rows[name]["distance_against_base_d"]
    difference = np.abs(zeroed(name)).mean() - np.abs(zeroed(base)).mean()
    # both means are zeroed to 1e-4 D
    assert (ours["value"], ours["low95"], ours["high95"]) == pytest.approx((difference, low, high), abs=2e-4)


def test_figures_after_zeroing(found: dict[str, Any]) -> None:
    for row in found["formulas"]["rows"]:
        errors = zeroed(row["name"])
        figures = row["figures"]
        assert figures["n"] == len(COUNTED)
        assert figures["sd_d"] == pytest.approx(float(errors.std(ddof=1)), abs=1e-4)
        assert figures["mae_d"] == pytest.approx(float(np.abs(errors).mean()), abs=2e-4)
        assert figures["medae_d"] == pytest.approx(float(np.median(np.abs(errors))), abs=2e-4)


def test_the_interval_of_a_constant_is_the_t_interval_over_the_slope(found: dict[str, Any]) -> None:
    """Holladay 1's surgeon factor moves the lens by itself: mm for mm."""
    row = next(one for one in found["constants"]["rows"] if one["name"] == "holladay1")
    errors, step = zeroed("holladay1"), 1e-4
    length, position, cornea = (np.array([one["formulas"]["holladay1"][place] for one in COUNTED])
                                for place in range(3))
    power = np.array([one["lens_power_d"] for one in COUNTED])
    shift = row["shift"]["value"]
    ahead, behind = (thin_lens_d(length, position + shift + way * step, cornea, power).mean() for way in (1, -1))
    slope = (ahead - behind) / (2 * step)
    half = stats.t.ppf(0.975, len(errors) - 1) * stats.sem(errors) / abs(slope)
    # the program's slope is a secant of the mean error, not the tangent
    assert row["shift"]["high95"] - row["shift"]["low95"] == pytest.approx(2 * half, rel=0.02)
