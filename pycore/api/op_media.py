"""``media``: what silicone oil or gas behind the lens does to the refraction, by lens shape.

For every lens shape: the refraction in saline (the base formula's own), in the medium, their
difference, and the label power that would reach the target in the medium. The refraction is also
answered at the cornea, as a gas-filled eye may have no spectacle refraction (then null). Which of
the two to plan for hangs on whether the oil stays, so that is asked when it was not said.
"""

from __future__ import annotations

from typing import Any, Final

from pycore.api.biometry import BIOMETRY_ITEMS, CONSTANTS_ITEM, read_biometry, read_constants
from pycore.api.boundary import as_error
from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, choice, optional, required
from pycore.errors import GuylineError
from pycore.formulas import FORMULAS, Biometry
from pycore.optics.filled_eye import aphakic_refraction_d
from pycore.optics.media import (
    BACK_SHARE,
    MEDIA,
    Eye,
    corneal_refraction_in_d,
    power_for_target_d,
    shaped_lens,
)
from pycore.optics.vergence import lens_power_d, to_spectacle_plane_d
from pycore.units import AQUEOUS_INDEX, STANDARD_VERTEX_MM

ITEMS = (
    *BIOMETRY_ITEMS,
    optional("formula", choice("formula"), default="holladay1"),
    CONSTANTS_ITEM,
    required("target_d"),
    required("medium"),
    required("lens_index"),
    optional("lens_power_d", about="By default the power for the target in saline."),
    optional("oil_stays"),
)

_STAYS_UNKNOWN: Final = (
    "Will the oil stay? If it is to be removed, choose the lens for saline: the eye is hyperopic until "
    "then. If it stays for good, choose the lens for oil."
)
_GAS: Final = (
    "With gas in the eye no refraction has a meaning; choose the lens for saline. After gas a lens in "
    "the bag stayed further forward (mean error \u22120.36 to \u22120.82 D in three series); a lens fixed "
    "to the sclera may behave differently."
)
_SOURCES: Final = (
    "Stefansson E et al. Retina 1988;8:20-23",
    "McCartney DL et al. Arch Ophthalmol 1987;105:1385-1387",
    "Ophthalmology 2020;127:511-515",
)


def run(request: dict[str, Any], notes: Notes) -> Answer:
    """All shapes in one medium, and what to plan for."""
    formula = FORMULAS[request["formula"]]
    biometry, constants = read_biometry(request, notes), read_constants(request, notes)
    thin = formula.predict(biometry, constants)
    for code, message in thin.cautions:
        notes.warn(code, message, field="formula")
    eye = Eye(thin.axial_length_mm, thin.lens_position_mm, thin.corneal_power_d)
    _note_medium(request, notes)
    value = {**_plan(eye, biometry, request), "shapes": _shapes(eye, request)}
    rests_on = {"formula": formula.name, "constants": formula.constants_used(constants)}
    return Answer(value, {**rests_on, "sources": list(_SOURCES)})


def _plan(eye: Eye, biometry: Biometry, request: dict[str, Any]) -> dict[str, Any]:
    return {
        "medium": request["medium"],
        "medium_index": MEDIA[request["medium"]],
        "plan_for": _plan_for(request),
        "power_in_saline_d": _saline_power_d(eye, request["target_d"]),
        "aphakic_d": _aphakic(biometry, request["medium"]),
    }


def _plan_for(request: dict[str, Any]) -> str:
    """``saline``, ``medium``, or ``ask`` when it is not known whether oil stays."""
    if request["medium"] != "oil" or request["oil_stays"] is False:
        return "saline"
    return "medium" if request["oil_stays"] else "ask"


def _saline_power_d(eye: Eye, target_d: float) -> float:
    return lens_power_d(
        axial_length_mm=eye.axial_length_mm,
        lens_position_mm=eye.lens_position_mm,
        corneal_power_d=eye.corneal_power_d,
        refraction_d=target_d,
    )


def _aphakic(biometry: Biometry, medium: str) -> dict[str, float | None]:
    """The aphakic eye in saline and filled with the medium; gas has no spectacle refraction."""
    return {
        "saline_d": _aphakic_in(biometry, AQUEOUS_INDEX),
        "filled_d": _aphakic_in(biometry, MEDIA[medium]),
    }


def _aphakic_in(biometry: Biometry, medium_index: float) -> float | None:
    try:
        return aphakic_refraction_d(
            axial_length_mm=biometry.axial_length_mm,
            k1_d=biometry.k1_d,
            k2_d=biometry.k2_d,
            medium_index=medium_index,
        )
    except GuylineError:
        return None


def _shapes(eye: Eye, request: dict[str, Any]) -> dict[str, Any]:
    saline_d = _saline_power_d(eye, request["target_d"])
    power_d = saline_d if request["lens_power_d"] is None else request["lens_power_d"]
    return {shape: _shape(eye, shape, power_d, saline_d, request) for shape in BACK_SHARE}


def _shape(
    eye: Eye, shape: str, power_d: float, saline_d: float, request: dict[str, Any]
) -> dict[str, Any]:
    try:
        lens = shaped_lens(power_d=power_d, shape=shape, index=request["lens_index"])
        before = corneal_refraction_in_d(eye, lens, medium_index=AQUEOUS_INDEX)
        after = corneal_refraction_in_d(eye, lens, medium_index=MEDIA[request["medium"]])
    except GuylineError as error:
        return {"error": as_error(error)}
    spectacle, changed = _spectacle(before), _spectacle(after)
    return {
        "lens_power_d": power_d,
        "refraction_in_saline_d": spectacle,
        "refraction_d": changed,
        "shift_d": None if spectacle is None or changed is None else changed - spectacle,
        "corneal_refraction_d": after,
        "corneal_shift_d": after - before,
        **_needed(eye, shape, saline_d, request),
    }


def _spectacle(at_cornea_d: float) -> float | None:
    try:
        return to_spectacle_plane_d(at_cornea_d, STANDARD_VERTEX_MM)
    except GuylineError:
        return None


def _needed(eye: Eye, shape: str, saline_d: float, request: dict[str, Any]) -> dict[str, float | None]:
    """Label power for the target in the medium; never for gas, which goes away."""
    if request["medium"] == "gas":
        return {"power_for_target_d": None, "extra_power_d": None}
    try:
        needed = power_for_target_d(
            eye,
            shape=shape,
            index=request["lens_index"],
            medium_index=MEDIA[request["medium"]],
            target_d=request["target_d"],
        )
    except GuylineError:
        return {"power_for_target_d": None, "extra_power_d": None}
    return {"power_for_target_d": needed, "extra_power_d": needed - saline_d}


def _note_medium(request: dict[str, Any], notes: Notes) -> None:
    if request["medium"] == "gas":
        notes.warn("gas_goes_away", _GAS, field="medium")
    if _plan_for(request) == "ask":
        notes.warn("oil_stays_unknown", _STAYS_UNKNOWN, field="oil_stays")


OPERATION = Operation(
    "media", "What oil or gas behind the lens does to the refraction, by lens shape.", ITEMS, run
)
