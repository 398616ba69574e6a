"""What is believed about a second lens in the same eye, after readings of the first.

The eye stays: length, cornea, reading bias and the change to one month carry over. The
second lens shares part of the first one's position and movement deviations, the rest is
drawn anew with the same total spread; its label error, slip and drift are fresh::

    x2 = share * x1 + (1 - share) * prior mean + sqrt(1 - share^2) * prior SD * new

The shares are our assumptions. Test: ``tests/limits/test_second_lens.py``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from pycore.belief.gaussian import Gaussian
from pycore.belief.priors import UNKNOWNS, Prior, by_unknown, label_tolerance_d

#: Same model and tunnels, or another model or new tunnels (our assumption).
SHARE_SAME_MODEL: Final = 0.7
SHARE_OTHER_MODEL: Final = 0.5

_SHARED: Final = ("lens_position_mm", "travel_ratio")
_PLACED: Final = ("slip_mm", "drift_d")
_FRESH: Final = ("lens_label_d", *_PLACED)


def for_second_lens(
    belief: Gaussian, priors: Mapping[str, Prior], *, lens_power_d: float, same_model: bool
) -> Gaussian:
    """The belief about the eye with another lens; ``priors`` are those of the first."""
    label = Prior(0.0, label_tolerance_d(lens_power_d) / 2)
    share = SHARE_SAME_MODEL if same_model else SHARE_OTHER_MODEL
    return _carried(belief, {**priors, "lens_label_d": label}, _kept(share, _FRESH))


def for_new_tunnels(belief: Gaussian, priors: Mapping[str, Prior]) -> Gaussian:
    """The belief about the eye with the same lens held in new tunnels."""
    return _carried(belief, priors, _kept(SHARE_OTHER_MODEL, _PLACED))


def _carried(belief: Gaussian, priors: Mapping[str, Prior], kept: tuple[float, ...]) -> Gaussian:
    fresh = by_unknown(priors)
    mean = tuple(
        share * value + (1.0 - share) * prior.mean
        for share, value, prior in zip(kept, belief.mean, fresh, strict=True)
    )
    covariance = tuple(
        tuple(
            kept[i] * kept[j] * value + ((1.0 - kept[i] ** 2) * fresh[i].sd ** 2 if i == j else 0.0)
            for j, value in enumerate(row)
        )
        for i, row in enumerate(belief.covariance)
    )
    return Gaussian(mean, covariance)


def _kept(share: float, fresh: tuple[str, ...]) -> tuple[float, ...]:
    """How much of each unknown's deviation carries over; nothing of ``fresh``."""
    by_name = dict.fromkeys(_SHARED, share) | dict.fromkeys(fresh, 0.0)
    return tuple(by_name.get(name, 1.0) for name in UNKNOWNS)
