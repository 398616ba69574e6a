"""Bins, lines and stability counted by hand."""

from __future__ import annotations

import pytest

from pycore.audit import bins
from pycore.audit.scatter import points, regression
from pycore.audit.stability import stability

MINUS = "\N{MINUS SIGN}"


def _filled(counted: tuple[bins.Counted, ...]) -> dict[str, int]:
    return {one.label: one.count for one in counted if one.count}


def test_errors_in_their_bins() -> None:
    """Edges belong to the bin nearer zero; 0.13 D either way is the middle."""
    errors = [0.0, 0.13, -0.13, 0.14, -0.14, 0.5, -0.5, 0.51, -1.0, 1.01, 1.5, -2.0, 2.0, 2.01, -3.25]
    assert _filled(bins.count_errors(errors)) == {
        f"below {MINUS}2.00": 1, f"{MINUS}2.00 to {MINUS}1.51": 1, f"{MINUS}1.00 to {MINUS}0.51": 1,
        f"{MINUS}0.50 to {MINUS}0.14": 2, f"{MINUS}0.13 to +0.13": 3, "+0.14 to +0.50": 2,
        "+0.51 to +1.00": 1, "+1.01 to +1.50": 2, "+1.51 to +2.00": 1, "above +2.00": 1,
    }


def test_a_decimal_sum_on_an_edge_stays_on_it() -> None:
    """0.1 + 0.4 is 0.5 and -0.3 - 0.2 is -0.5, whatever binary makes of them; 1.1 - 0.6 is above 0.5 in binary."""
    assert _filled(bins.count_errors([1.1 - 0.6, -0.3 - 0.2])) == {"+0.14 to +0.50": 1, f"{MINUS}0.50 to {MINUS}0.14": 1}
    assert [one.count for one in bins.count_within([1.1 - 0.6])][:2] == [0, 1]


def test_labels_are_the_bins() -> None:
    assert [one.label for one in bins.error_bins()] == [one.label for one in bins.count_errors([0.0])]
    assert [one.label for one in bins.cylinder_bins()] == [one.label for one in bins.count_cylinders([0.0])]
    low, high = bins.error_bins()[5].low, bins.error_bins()[5].high
    assert (low, high) == (-0.13, 0.13)


def test_cylinders_in_their_bins() -> None:
    found = bins.count_cylinders([0.0, -0.25, -0.5, -0.62, -1.0, 1.25, -1.75, -3.0, -3.25])
    assert _filled(found) == {"up to 0.25": 2, "0.26 to 0.50": 1, "0.51 to 0.75": 1, "0.76 to 1.00": 1,
                              "1.01 to 1.25": 1, "1.51 to 2.00": 1, "2.01 to 3.00": 1, "above 3.00": 1}
    assert sum(one.fraction for one in found) == pytest.approx(1.0)


def test_acuity_is_cumulative_and_low_vision_reaches_no_line() -> None:
    """20/40 written as decimal 0.5 is 0.301; decimal 0.6 is 0.222, so it misses 20/32."""
    found = {one.label: one.count for one in bins.count_acuity([0.0, 0.301, 0.222, None])}
    assert found == {"20/12.5": 0, "20/16": 0, "20/20": 1, "20/25": 1, "20/32": 1, "20/40": 3, "20/63": 3,
                     "20/100": 3, "20/200": 3}
    assert bins.count_acuity([0.0, None])[2].fraction == 0.5


def test_lines_lost_without_correction() -> None:
    """Uncorrected less corrected: +0.10 is one line worse; half a line is rounded away from the same."""
    found = _filled(bins.count_lines([0.0, 0.04, 0.05, 0.1, 0.16, 0.3, 0.9, -0.1, -0.02, 0.3 - 0.1]))
    assert found == {"3 or more worse": 2, "2 worse": 2, "1 worse": 2, "the same": 3, "1 better": 1}


def test_within_each_distance() -> None:
    found = {one.label: one.count for one in bins.count_within([0.25, -0.26, 0.5, -1.0, 2.5])}
    assert found == {"0.25": 1, "0.50": 3, "0.75": 3, "1.00": 4, "1.25": 4, "1.50": 4, "2.00": 4}


def test_nothing_has_no_bins() -> None:
    assert bins.count_errors([]) == bins.count_cylinders([]) == bins.count_acuity([]) == bins.count_within([]) == ()


def test_eyes_share_a_place_of_the_grid() -> None:
    found = points([-0.25, -0.26, 0.1], [0.0, 0.05, -0.5])
    assert [(one.x_d, one.y_d, one.eyes) for one in found] == [(-0.25, 0.0, 2), (0.125, -0.5, 1)]


def test_a_line_needs_different_attempts() -> None:
    assert regression([-0.25, -0.25, -0.25], [0.0, 0.1, 0.2]) is None
    assert regression([0.0, 1.0], [0.0, 1.0]) is None
    line = regression([0.0, 1.0, 2.0], [0.5, 1.5, 2.5])
    assert line is not None
    assert (line.slope, line.intercept_d, line.r_squared) == pytest.approx((1.0, 0.5, 1.0))


def test_stability_counts_changes_on_the_same_eyes() -> None:
    """Of three eyes seen twice one changed by exactly 0.50 D (not counted) and one by 0.75 D."""
    seen = [("a", {"Month 1": -0.5, "Month 3": -0.5}), ("b", {"Month 1": 0.0, "Month 3": -0.5}),
            ("c", {"Month 1": 0.0, "Month 3": 0.75}), ("d", {"Month 3": 2.0})]
    first, second = stability(["Day 1", "Month 1", "Month 3"], seen)
    assert (first.label, first.n, first.n_both, first.change_d) == ("Month 1", 3, 0, None)
    assert (second.n, second.n_both, second.changed) == (4, 3, 1)
    assert second.mean_d == pytest.approx((-0.5 - 0.5 + 0.75 + 2.0) / 4)
    assert second.change_d is not None
    assert second.change_d.value == pytest.approx((0.0 - 0.5 + 0.75) / 3)
