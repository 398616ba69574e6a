"""Which part of each spread is the surgeon's own, and which differs between their eyes.

Both parts together are the total of :mod:`pycore.belief.priors`, in quadrature. Only the
surgeon's own part can be learned: it is the same deviation in every one of their eyes. How a
total divides is our assumption throughout. Test: ``tests/limits/test_surgeon.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from pycore.belief.gaussian import Gaussian
from pycore.belief.linear import diagonal
from pycore.belief.priors import INSTRUMENTS, Prior

#: SD of the surgeon's own part, by unknown.
OWN_SD: Final = {
    "lens_position_mm": 0.20,
    "travel_ratio": 0.0566,
    "settle_d": 0.15,
    "entry_effect": 0.40,
    "tunnel_effect": 0.24,
    "reading_bias_d": 0.1414,
}

BIASES: Final = tuple(f"reading_bias_d:{name}" for name in INSTRUMENTS)
#: What all of the surgeon's eyes share, whatever the style of fixation.
SHARED: Final = ("travel_ratio", "settle_d", "entry_effect", "tunnel_effect", *BIASES)
POSITION: Final = "lens_position_mm"
#: The only style recorded so far; a surgeon's lens position is learned for each style apart.
FLANGED: Final = "flanged"


def own_names(styles: Sequence[str]) -> tuple[str, ...]:
    """Order of the surgeon's own means: shared ones, then one position for each style."""
    return (*SHARED, *(f"{POSITION}:{style}" for style in styles))


def own_variance(name: str) -> float:
    """Variance of the surgeon's own part before any eye; ``name`` may carry a suffix."""
    return OWN_SD[name.partition(":")[0]] ** 2


def between_variance(name: str, total: Prior) -> float:
    """What is left of ``total`` for differences between eyes."""
    own = own_variance(name) if name.partition(":")[0] in OWN_SD else 0.0
    return max(total.sd**2 - own, 0.0)


def before_any_eye(styles: Sequence[str]) -> Gaussian:
    """The surgeon's own means with no history: deviations of zero, apart from each other."""
    names = own_names(styles)
    return Gaussian((0.0,) * len(names), diagonal([own_variance(name) for name in names]))
