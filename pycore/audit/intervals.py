"""Interval of a proportion.

Wilson score interval for ``k`` of ``n`` at the normal quantile ``z``::

    centre = (k + z^2/2) / (n + z^2)
    half   = z / (n + z^2) * sqrt(k (n - k) / n + z^2/4)

Never outside 0 to 1, and sensible for small ``n`` and for 0 or ``n`` successes. Source:
Wilson EB, J Am Stat Assoc 1927;22:209-212. Checked by tests/published/checks_constants.py,
tests/published/test_audit_published.py and tests/reference/test_audit_reference.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

from pycore.errors import OutOfRange
from pycore.words import say

#: Two-sided coverage of every interval of a proportion.
COVERAGE: Final = 0.95


@dataclass(frozen=True, slots=True)
class Proportion:
    """``count`` of ``n`` as a fraction with its 95 % interval."""

    fraction: float
    low95: float
    high95: float
    count: int


def wilson(count: int, n: int) -> Proportion:
    """The proportion ``count / n`` with its interval.

    Raises :class:`OutOfRange` unless ``0 <= count <= n`` and ``n >= 1``.
    """
    if n < 1 or not 0 <= count <= n:
        raise OutOfRange(
            say(
                "A proportion needs 0 <= count <= n and n >= 1; got {count} of {n}.",
                count=count, n=n,
            ), field="count"
        )
    share, low, high = wilson_score(count / n, float(n))
    return Proportion(fraction=share, low95=low, high95=high, count=count)


def wilson_score(share: float, n: float) -> tuple[float, float, float]:
    """``share`` with its interval at ``n`` eyes; ``n`` may be an effective number, not whole."""
    z = NormalDist().inv_cdf(0.5 + COVERAGE / 2.0)
    spread = n + z * z
    centre = (share * n + z * z / 2.0) / spread
    half = z / spread * math.sqrt(n * share * (1.0 - share) + z * z / 4.0)
    low = 0.0 if share <= 0.0 else max(centre - half, 0.0)
    high = 1.0 if share >= 1.0 else min(centre + half, 1.0)
    return share, low, high
