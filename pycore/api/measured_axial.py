"""The axial length in a request of ``measurements``: corrected, with its belief and steps."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

from pycore.api.measured_cornea import Cornea, estimate_step
from pycore.api.schema import Item, Notes, listing, number, optional, record, required
from pycore.belief.priors import AXIAL_LENGTH
from pycore.errors import Inconsistent, MissingField, OutOfRange
from pycore.fields import FIELDS
from pycore.formulas import FORMULAS, Biometry, LensConstants
from pycore.optics.vergence import lens_power_d
from pycore.planning.measurements.axial_length import (
    OIL_SD_MM,
    Echo,
    pseudophakic_step,
    segments_step,
    whole_eye_step,
)
from pycore.planning.measurements.population import from_fellow, length_from_mean_power
from pycore.planning.measurements.step import Step
from pycore.planning.measurements.velocities import TISSUE
from pycore.words import say

_SEGMENT: Final = record(
    required("tissue"), required("length_mm", number("segment_mm")), required("velocity_m_s")
)
AXIAL_ITEMS: Final[tuple[Item, ...]] = (
    optional("axial_length_mm", about="As shown by the instrument."),
    optional("axial_method"),
    optional("velocity_m_s"),
    optional("lens_state"),
    optional("lens_material"),
    optional("lens_thickness_mm"),
    optional("segments", listing(_SEGMENT, most=12), default=[], about="Instead of one velocity."),
)


@dataclass(frozen=True, slots=True)
class Measured:
    """A length for the formulas, and the belief of what it is off by, mm."""

    value: float
    measured: bool
    mean: float
    sd: float
    steps: tuple[Step, ...] = ()


def axial_length(
    request: dict[str, Any], fellow: dict[str, Any], cornea: Cornea, notes: Notes
) -> Measured:
    """The axial length of this eye, measured or estimated."""
    if request["axial_length_mm"] is None and not request["segments"]:
        return _estimated(request, fellow.get("axial_length_mm"), cornea, notes)
    if request["axial_method"] is None:
        raise MissingField("axial_method is missing. Say how the length was measured.", field="axial_method")
    steps = _steps(request, notes)
    value = steps[0].after if steps else request["axial_length_mm"]
    _refuse_impossible(value)
    belief = AXIAL_LENGTH[request["axial_method"]]
    return Measured(value, True, belief.mean, math.hypot(belief.sd, _oil_sd_mm(request, notes)), steps)


def _oil_sd_mm(request: dict[str, Any], notes: Notes) -> float:
    """What oil in the beam adds to the SD; an optical instrument only has to be told."""
    tissues = [part["tissue"] for part in request["segments"]]
    through = request["lens_state"] in ("phakic_oil", "aphakic_oil")
    if not through and not {"oil_1000", "oil_5000"} & {*tissues}:
        return 0.0
    if request["axial_method"] == "optical":
        notes.warn("oil_in_beam", "Check that the instrument was set to an oil-filled eye.",
                   field="lens_state")
        return 0.0
    notes.warn("oil_in_beam", "Ultrasound through silicone oil is unsure, more so with a partial fill. "
               "Measure optically, or after the oil is out.", field="lens_state")
    return OIL_SD_MM


def _steps(request: dict[str, Any], notes: Notes) -> tuple[Step, ...]:
    """The one conversion that applies, if any."""
    _refuse_mixed(request)
    if request["segments"]:
        return (segments_step([_echo(part) for part in request["segments"]]),)
    if request["axial_method"] == "optical":
        return ()
    if request["velocity_m_s"] is None and request["lens_state"] is None:
        notes.warn("velocity_unknown", "Which velocity was the instrument set to, and what was in the beam? "
                   "An eye without lens measured at 1550 m/s reads 0.27 mm too long.", field="velocity_m_s")
        return ()
    for name in ("velocity_m_s", "lens_state"):
        if request[name] is None:
            raise MissingField(say(
                "{name} is missing. Enter it to convert the length.",
                name=name,
            ), field=name)
    return (_whole(request),)


def _whole(request: dict[str, Any]) -> Step:
    shown, velocity = request["axial_length_mm"], request["velocity_m_s"]
    if request["lens_state"] != "pseudophakic":
        return whole_eye_step(shown, set_m_s=velocity, state=request["lens_state"])
    for name in ("lens_material", "lens_thickness_mm"):
        if request[name] is None:
            raise MissingField(say(
                "{name} is missing. Enter it for a lens implant in the beam.",
                name=name,
            ), field=name)
    return pseudophakic_step(
        shown,
        set_m_s=velocity,
        material=request["lens_material"],
        thickness_mm=request["lens_thickness_mm"],
    )


def _echo(part: dict[str, Any]) -> Echo:
    return Echo(part["length_mm"], part["velocity_m_s"], TISSUE[part["tissue"]].m_per_s)


def _refuse_mixed(request: dict[str, Any]) -> None:
    if request["segments"] and (request["velocity_m_s"] or request["axial_length_mm"]):
        raise Inconsistent("Give the whole length with one velocity, or segments, not both.",
                           field="segments")
    if request["axial_method"] == "optical" and (request["velocity_m_s"] or request["segments"]):
        raise Inconsistent("An optical length has no ultrasound velocity. Leave it out, or choose how it was "
                           "measured.", field="axial_method")


def _estimated(
    request: dict[str, Any], fellow_mm: float | None, cornea: Cornea, notes: Notes
) -> Measured:
    if fellow_mm is not None:
        found = from_fellow(fellow_mm, quantity="length")
    else:
        found = length_from_mean_power(_power_by_length(request, cornea))
    notes.warn("length_estimated", say(
        "{text} Its SD is {sd} mm. Measure it if you can.",
        text=found.text, sd=f"{found.sd:.2f}",
    ),
               field="axial_length_mm")
    return Measured(found.value, False, 0.0, found.sd, (estimate_step(found, "length"),))


def _power_by_length(request: dict[str, Any], cornea: Cornea) -> Any:
    """Emmetropic power of this cornea by length, of the base formula."""
    given = request["constants"]
    if given is None or all(value is None for value in given.values()):
        raise MissingField("Enter the A constant: without an axial length the mean lens power of a "
                           "population stands in, and that depends on the lens.", field="constants.a")
    constants, formula = LensConstants(**given), FORMULAS[request["formula"]]

    def power(axial_length_mm: float) -> float:
        thin = formula.predict(
            Biometry(axial_length_mm, cornea.k1_d, cornea.k2_d, request["chamber_depth_mm"]), constants
        )
        return lens_power_d(
            axial_length_mm=thin.axial_length_mm,
            lens_position_mm=thin.lens_position_mm,
            corneal_power_d=thin.corneal_power_d,
            refraction_d=0.0,
        )

    return power


def _refuse_impossible(value: float) -> None:
    entry = FIELDS["axial_length_mm"]
    if entry.lowest is not None and entry.highest is not None and not entry.lowest <= value <= entry.highest:
        raise OutOfRange(
            say(
                "The axial length becomes {value} mm, which no eye has. Check length and velocity.",
                value=f"{value:.2f}",
            ),
            field="axial_length_mm",
        )
