"""Zernike polynomials: order, norm, and the forms printed in the standard."""

from __future__ import annotations

import math

import pytest

from pycore.optics import trace, zernike

#: Radial polynomials as printed in ANSI Z80.28 (value from memory).
RADIAL = {
    (2, 0): {2: 2.0, 0: -1.0},
    (3, 1): {3: 3.0, 1: -2.0},
    (4, 2): {4: 4.0, 2: -3.0},
    (5, -1): {5: 10.0, 3: -12.0, 1: 3.0},
    (6, 0): {6: 20.0, 4: -30.0, 2: 12.0, 0: -1.0},
}


@pytest.mark.parametrize(("mode", "terms"), RADIAL.items())
def test_radial_polynomials(mode: tuple[int, int], terms: dict[int, float]) -> None:
    assert dict(zernike.radial_terms(*mode)) == terms


def test_modes_are_in_osa_order() -> None:
    modes = zernike.modes(8)
    assert len(modes) == 45
    assert [zernike.osa_index(n, m) for n, m in modes] == list(range(45))


def test_each_mode_has_unit_rms_and_is_orthogonal() -> None:
    """Mean over the disc, by Gauss quadrature in the square of the radius and even angles."""
    import numpy as np

    nodes, weights = np.polynomial.legendre.leggauss(12)
    square, turns = (nodes + 1) / 2, np.arange(40) * math.tau / 40
    points = np.array(
        [(math.sqrt(s) * math.cos(t), math.sqrt(s) * math.sin(t)) for s in square for t in turns]
    )
    basis = trace._zernike_basis(points)
    gram = (basis.T * np.repeat(weights / 2 / 40, 40)) @ basis
    assert np.allclose(gram, np.eye(45), atol=1e-12)
