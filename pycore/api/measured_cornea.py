"""The cornea in a request of ``measurements``: corrected powers, belief, and the steps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from pycore.api.biometry import corneal_powers
from pycore.api.schema import Item, Notes, choice, optional
from pycore.belief.priors import Prior, corneal_power_sd_d
from pycore.errors import Inconsistent, OutOfRange
from pycore.fields import FIELDS
from pycore.planning.measurements.cornea import (
    after_laser_belief,
    after_laser_step,
    index_step,
    keratometric_from_total_d,
)
from pycore.planning.measurements.population import (
    MEAN_LENGTH_MM,
    Estimate,
    cornea_from_length,
    from_fellow,
)
from pycore.planning.measurements.step import Step
from pycore.units import KERATOMETER_INDEX
from pycore.words import say

CORNEA_ITEMS: Final[tuple[Item, ...]] = (
    optional("k1_d"),
    optional("k2_d"),
    optional("r1_mm"),
    optional("r2_mm"),
    optional("keratometer_index"),
    optional("power_kind", choice("power_kind"), default="keratometric"),
    optional("keratometry_method", choice("keratometry_method"), default="table"),
    optional("cornea", choice("cornea"), default="ordinary"),
    optional("laser_for"),
)


@dataclass(frozen=True, slots=True)
class Cornea:
    """Powers for the formulas (index 1.3375), and the belief of what they are off by, D."""

    k1_d: float
    k2_d: float
    measured: bool
    mean: float
    sd: float
    steps: tuple[Step, ...] = ()

    @property
    def k_mean_d(self) -> float:
        return (self.k1_d + self.k2_d) / 2.0


def cornea(
    request: dict[str, Any], fellow: tuple[float, float] | None, notes: Notes
) -> Cornea:
    """The cornea of this eye, measured or estimated."""
    if not _given(request):
        return _estimated(request, fellow, notes)
    _refuse_mixed(request)
    powers = corneal_powers(request, "")
    steps = [step for power in powers for step in _converted(power, request)]
    flat, steep = (steps[0].after, steps[1].after) if steps else powers
    for name, value in (("k1_d", flat), ("k2_d", steep)):
        _refuse_impossible(name, value)
    return _believed(flat, steep, request, tuple(steps), notes)


def fellow_cornea(fellow: dict[str, Any], notes: Notes) -> tuple[float, float] | None:
    """Both powers of the fellow eye, if it was measured."""
    return corneal_powers(fellow, "fellow") if _given(fellow) else None


def _given(source: dict[str, Any]) -> bool:
    return any(source.get(name) is not None for name in ("k1_d", "k2_d", "r1_mm", "r2_mm"))


def _converted(power: float, request: dict[str, Any]) -> list[Step]:
    if request["power_kind"] == "total":
        after = keratometric_from_total_d(power)
        text = "Total power of both faces to keratometric power, back radius 0.82 of the front one."
        return [Step("total_power", text, power, after, "Liou HL, Brennan NA, 1997", "derived")]
    index = request["keratometer_index"]
    if index is not None and index != KERATOMETER_INDEX:
        return [index_step(power, index=index)]
    return []


def _believed(
    flat: float, steep: float, request: dict[str, Any], steps: tuple[Step, ...], notes: Notes
) -> Cornea:
    belief = Prior(
        0.0,
        corneal_power_sd_d(keratometry_method=request["keratometry_method"], cornea=request["cornea"]),
    )
    if request["cornea"] == "refractive_surgery":
        belief, more = _after_laser((flat + steep) / 2.0, request["laser_for"], belief, notes)
        steps = (*steps, *more)
    return Cornea(flat, steep, True, belief.mean, belief.sd, steps)


def _after_laser(
    k_d: float, laser_for: str | None, ordinary: Prior, notes: Notes
) -> tuple[Prior, tuple[Step, ...]]:
    if laser_for is None:
        notes.warn("laser_unknown", "Say whether the laser corrected myopia or hyperopia: after myopic laser "
                   "the measured corneal power is too high, and the eye ends hyperopic.", field="laser_for")
        return ordinary, ()
    notes.warn("after_laser", "The corneal power is a no-history estimate and stands in the belief, not in "
               "k1_d and k2_d. Choose Haigis: its lens position does not follow the changed cornea.",
               field="laser_for")
    return after_laser_belief(k_d, corrected_for=laser_for), (after_laser_step(k_d, corrected_for=laser_for),)


def _estimated(
    request: dict[str, Any], fellow: tuple[float, float] | None, notes: Notes
) -> Cornea:
    length = request["axial_length_mm"]
    if fellow is not None:
        found = from_fellow(sum(fellow) / 2.0, quantity="cornea")
        flat, steep = fellow
    else:
        found = cornea_from_length(MEAN_LENGTH_MM if length is None else length)
        flat = steep = found.value
    notes.warn("cornea_estimated", say(
        "{text} Its SD is {sd} D. Measure it if you can.",
        text=found.text, sd=f"{found.sd:.2f}",
    ),
               field="k1_d")
    return Cornea(flat, steep, False, 0.0, found.sd, (estimate_step(found, "cornea"),))


def estimate_step(found: Estimate, name: str) -> Step:
    """An estimate as a step; there was no value before."""
    return Step(f"{name}_estimated", found.text, found.value, found.value, found.source, found.confidence)


def _refuse_mixed(request: dict[str, Any]) -> None:
    radii = request["r1_mm"] is not None or request["r2_mm"] is not None
    if radii and request["keratometer_index"] is not None:
        raise Inconsistent("A radius needs no keratometer index. Leave it out.", field="keratometer_index")
    if request["power_kind"] == "total" and (radii or request["keratometer_index"] is not None):
        raise Inconsistent("A total corneal power comes as k1_d and k2_d without an index. Enter it so.",
                           field="power_kind")
    if request["laser_for"] is not None and request["cornea"] != "refractive_surgery":
        raise Inconsistent("Laser surgery was given for a cornea without refractive surgery. Choose the "
                           "cornea after refractive surgery.", field="cornea")


def _refuse_impossible(name: str, value: float) -> None:
    low, high = FIELDS[name].lowest, FIELDS[name].highest
    if low is not None and high is not None and not low <= value <= high:
        raise OutOfRange(
            say(
                "{name} becomes {value} D, which no cornea has. Check power and index.",
                name=name, value=f"{value:.2f}",
            ), field=name
        )
