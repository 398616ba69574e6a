"""A surgeon's belief as JSON, so that it can be learned once and used for many eyes.

``learn`` writes it, ``advise``, ``plan_case`` and ``theatre_case`` read it back. Tests:
``tests/unit/test_surgeon_learn.py``.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.schema import Notes, choice, finite, listing, number, optional, record, required, text, whole
from pycore.belief.calibration import Calibration
from pycore.belief.gaussian import Gaussian
from pycore.belief.linear import cholesky
from pycore.belief.priors import INSTRUMENTS
from pycore.belief.surgeon import LEAST_FACTOR, MOST_FACTOR, Factor, SurgeonBelief
from pycore.belief.surgeon_split import FLANGED, own_names
from pycore.errors import Inconsistent, OutOfRange
from pycore.words import say

NAMES: Final = own_names((FLANGED,))
#: No surgeon is further than this from the defaults, mm or D.
_MOST_OWN: Final = 5.0
_MOST_EYES: Final = 100_000
#: Half millimetres among all entries that are possible.
_MOST_ENTRIES: Final = 13
_ROUNDING: Final = 1e-9


def _own(value: Any, path: str, notes: Notes) -> float:
    result = finite(value, path, notes)
    if abs(result) > _MOST_OWN:
        raise OutOfRange(say(
            "{path} must lie between -{most_own} and {most_own}.",
            path=path, most_own=f"{_MOST_OWN:g}",
        ), field=path)
    return result


def _factor(value: Any, path: str, notes: Notes) -> float:
    result = finite(value, path, notes)
    if not LEAST_FACTOR <= result <= MOST_FACTOR:
        raise OutOfRange(
            say(
                "{path} must lie between {least_factor} and {most_factor}. Use what learn gave.",
                path=path, least_factor=f"{LEAST_FACTOR:g}", most_factor=f"{MOST_FACTOR:g}",
            ), field=path
        )
    return result


_SHAPE: Final = record(
    required("formula", choice("formula")),
    required("eyes", whole(0, _MOST_EYES)),
    required("names", listing(text, most=len(NAMES))),
    required("mean", listing(_own, most=len(NAMES))),
    required("covariance", listing(listing(_own, most=len(NAMES)), most=len(NAMES))),
    required("noise_sd_d", record(*(required(name, number("noise_sd_d")) for name in INSTRUMENTS))),
    required("plan_factor", _factor),
    required("after_factor", _factor),
    optional("settled_entries_mm", listing(number("entry_mm"), most=_MOST_ENTRIES), default=[]),
)


def surgeon_value(belief: SurgeonBelief, *, formula: str) -> dict[str, Any]:
    """The belief as JSON, full precision."""
    return {
        "formula": formula,
        "eyes": belief.eyes,
        "names": list(belief.names),
        "mean": list(belief.own.mean),
        "covariance": [list(row) for row in belief.own.covariance],
        "noise_sd_d": belief.noise_sd_d,
        "plan_factor": belief.plan_factor.value,
        "after_factor": belief.after_factor.value,
        "settled_entries_mm": list(belief.settled_entries_mm),
    }


def surgeon_of(value: Any, path: str, notes: Notes) -> tuple[SurgeonBelief, str]:
    """The belief in ``value`` and its formula; raises named errors for anything else."""
    given = _SHAPE(value, path, notes)
    if tuple(given["names"]) != NAMES or len(given["mean"]) != len(NAMES):
        raise Inconsistent(say(
            "{path} is not a surgeon as learn gives it. Learn again.",
            path=path,
        ), field=path)
    belief = SurgeonBelief(
        names=NAMES,
        own=Gaussian(tuple(given["mean"]), _covariance(given["covariance"], f"{path}.covariance")),
        noise_sd_d=given["noise_sd_d"],
        plan_factor=_used(given["plan_factor"], given["eyes"]),
        after_factor=_used(given["after_factor"], given["eyes"]),
        eyes=given["eyes"],
        settled_entries_mm=tuple(given["settled_entries_mm"]),
    )
    return belief, given["formula"]


def _used(value: float, eyes: int) -> Factor:
    return Factor(value, value, eyes)


def _covariance(rows: list[list[float]], path: str) -> tuple[tuple[float, ...], ...]:
    """A covariance matrix of the right size, symmetric and positive definite."""
    size = range(len(NAMES))
    square = len(rows) == len(NAMES) and all(len(row) == len(NAMES) for row in rows)
    if not square or any(abs(rows[i][j] - rows[j][i]) > _ROUNDING for i in size for j in size):
        raise Inconsistent(say(
            "{path} is not a covariance matrix. Use what learn gave.",
            path=path,
        ), field=path)
    try:
        cholesky(rows)
    except (ValueError, ZeroDivisionError, OverflowError) as error:
        raise Inconsistent(say(
            "{path} is not positive definite. Use what learn gave.",
            path=path,
        ), field=path) from error
    return tuple(map(tuple, rows))


def calibration_of(belief: SurgeonBelief) -> Calibration:
    """How wide to predict for this surgeon."""
    return Calibration(belief.plan_factor.value, belief.after_factor.value, belief.noise_sd_d)
