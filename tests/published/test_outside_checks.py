"""Every outside value, with its source in the test's name."""

from __future__ import annotations

import pytest

from tests.published.check import OutsideCheck
from tests.published.outside_checks import CHECKS, table


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_agrees_with_outside_value(check: OutsideCheck) -> None:
    assert check.agrees, (
        f"{check.name}: expected {check.expected} +/- {check.tolerance}, "
        f"difference {check.difference:+g}. Source: {check.source} ({check.confidence})"
    )


def test_every_check_names_a_source_and_its_own_name() -> None:
    assert all(check.source.strip() for check in CHECKS)
    names = [check.name for check in CHECKS]
    assert len(names) == len(set(names))


def test_a_wrong_value_is_reported() -> None:
    wrong = OutsideCheck("wrong", "none", "memory", 1.0, 0.1, lambda: 1.2)
    assert not wrong.agrees
    assert not OutsideCheck("nan", "none", "memory", 1.0, 0.1, lambda: float("nan")).agrees


def test_the_table_prints_one_line_for_each_check() -> None:
    assert len(table().splitlines()) == len(CHECKS) + 1
