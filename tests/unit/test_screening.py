"""Comparison of two eyes; limits of Holladay JT et al., 1988 (values from memory)."""

from __future__ import annotations

import pytest

from pycore.formulas import Biometry
from pycore.formulas.screening import between_eyes

EYE = Biometry(23.50, 43.0, 44.0)


@pytest.mark.parametrize(("fellow", "codes"), [
    (Biometry(23.50, 43.0, 44.0), []),
    (Biometry(23.79, 43.9, 44.9), []),
    (Biometry(23.81, 43.0, 44.0), ["eyes_differ_in_length"]),
    (Biometry(23.19, 43.0, 44.0), ["eyes_differ_in_length"]),
    (Biometry(23.50, 44.1, 45.1), ["eyes_differ_in_corneal_power"]),
    (Biometry(24.50, 41.0, 42.0), ["eyes_differ_in_length", "eyes_differ_in_corneal_power"]),
])
def test_differences_between_eyes(fellow: Biometry, codes: list[str]) -> None:
    assert [code for code, _ in between_eyes(EYE, fellow)] == codes
    assert between_eyes(EYE, fellow) == between_eyes(fellow, EYE)
