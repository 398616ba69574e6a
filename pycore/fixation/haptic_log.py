"""What has been done to each haptic, replayed step by step.

Lengths are millimetres from the scleral opening to the haptic's tip as it is now; what was
cut, bulbed or melted away is counted as removed. A step whose length was not recorded leaves
the length unknown (``None``) rather than guessed. Test: ``tests/unit/test_haptic_log.py``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Final

from pycore.errors import Inconsistent
from pycore.words import say

#: How the log's entries are named.
LOG: Final = "haptic_log"

#: A melt may exceed what is outside by the bury depth and the callipers' rounding: the
#: haptic is drawn out while it is melted (our judgement). The usual bury depth is 0.3 mm.
ROUNDING_MM: Final = 0.3
USUAL_BURY_MM: Final = 0.3


@dataclass(frozen=True, slots=True)
class Step:
    """One entry of a haptic's log; ``where`` names it in errors."""

    kind: str
    length_mm: float | None
    measured: bool
    where: str = LOG
    bury_mm: float = USUAL_BURY_MM


@dataclass(frozen=True, slots=True)
class HapticNow:
    """One haptic as it is: length outside now, total removed, and its flange.

    ``placed_by`` is the entry or reading that last said where the haptic lies.
    """

    outside_now_mm: float | None = None
    removed_mm: float = 0.0
    flanged: bool = False
    buried: bool = False
    measured: bool = False
    placed_by: str | None = None

    @property
    def original_mm(self) -> float | None:
        """Length from the scleral opening to the original tip."""
        return None if self.outside_now_mm is None else self.outside_now_mm + self.removed_mm


def replay(steps: Iterable[Step]) -> HapticNow:
    """The haptic after all ``steps``, in order.

    Raises :class:`Inconsistent` when more is taken off than is outside.
    """
    now = HapticNow()
    for step in steps:
        now = _STEPS[step.kind](now, step)
    return now


def measured_together(first: HapticNow, second: HapticNow) -> bool:
    """Whether both lengths come from one reading, or both from the log.

    Pulling one haptic draws the other in, so a length from before the other was moved says
    nothing about how the optic is centred now.
    """
    sources = (first.placed_by, second.placed_by)
    if None in sources:
        return False
    return sources[0] == sources[1] or all(str(place).startswith(LOG) for place in sources)


def haptic_state(first: HapticNow, second: HapticNow) -> str:
    """``both_free``, ``one_flanged``, ``both_flanged`` or ``buried``."""
    if first.buried and second.buried:
        return "buried"
    return ("both_free", "one_flanged", "both_flanged")[first.flanged + second.flanged]


def _unchanged(now: HapticNow, step: Step) -> HapticNow:
    return now


def _moved(now: HapticNow, step: Step) -> HapticNow:
    """Pulled, pushed, drawn out or measured: the length outside is what is given."""
    return replace(
        now,
        outside_now_mm=step.length_mm,
        measured=step.measured,
        buried=False,
        placed_by=step.where,
    )


def _shortened(now: HapticNow, step: Step, *, spare_mm: float = 1e-6) -> HapticNow:
    """Cut or bulbed: the tip comes nearer the sclera, and that much is gone."""
    if step.length_mm is None:
        return replace(now, outside_now_mm=None)
    if now.outside_now_mm is not None and step.length_mm > now.outside_now_mm + spare_mm:
        raise Inconsistent(
            say(
                "{length_mm} mm cannot be taken off a haptic with {outside_now_mm} mm outside. If it was "
                "drawn out first, enter that; else measure it again and correct the entry.",
                length_mm=f"{step.length_mm:g}", outside_now_mm=f"{now.outside_now_mm:g}",
            ),
            field=f"{step.where}.length_mm",
        )
    left = None if now.outside_now_mm is None else now.outside_now_mm - step.length_mm
    return replace(now, outside_now_mm=left, removed_mm=now.removed_mm + step.length_mm)


def _melted(now: HapticNow, step: Step) -> HapticNow:
    """The haptic is drawn out a little while it melts, by what will be buried."""
    return replace(_shortened(now, step, spare_mm=step.bury_mm + ROUNDING_MM), flanged=True)


def _buried(now: HapticNow, step: Step) -> HapticNow:
    """The flange's inner shoulder lies below the surface: outside is negative."""
    depth = step.length_mm
    return replace(now, outside_now_mm=None if depth is None else -depth, buried=True)


_STEPS: Final[dict[str, Callable[[HapticNow, Step], HapticNow]]] = {
    "pass": _unchanged,
    "externalise": _moved,
    "pull": _moved,
    "measure": _moved,
    "bulb": _shortened,
    "cut": _shortened,
    "melt": _melted,
    "bury": _buried,
}
