"""The request of ``advise`` as plain numbers; stored cases go through the same readers."""

from __future__ import annotations

from typing import Any

from pycore.api.aphakic_item import APHAKIC_ITEM, note_route, read_aphakic, recheck_candidates, route_of
from pycore.api.biometry import BIOMETRY_ITEMS, CONSTANTS_ITEM, read_biometry, read_constants
from pycore.api.reading_items import READINGS_ITEM, model_readings
from pycore.api.schema import Notes, choice, number, optional, pair, required
from pycore.api.titration_items import BELIEF_ITEM, HAPTIC_ITEM, flange_plan, overridden
from pycore.api.titration_notes import note_readings
from pycore.belief.eye import REFERENCE_ENTRY_MM, REFERENCE_TUNNEL_MM, EyeModel
from pycore.belief.priors import Prior, default_priors
from pycore.errors import Inconsistent
from pycore.fixation.haptic import FlangePlan
from pycore.formulas import FORMULAS, Biometry, ThinEye
from pycore.planning.aphakic import with_both_routes
from pycore.planning.recheck import Entered
from pycore.planning.titrate import Case
from pycore.words import say

ITEMS = (
    *BIOMETRY_ITEMS,
    required("axial_method"),
    optional("keratometry_method", choice("keratometry_method"), default="table"),
    optional("cornea", choice("cornea"), default="ordinary"),
    optional("formula", choice("formula"), default="holladay1"),
    CONSTANTS_ITEM,
    required("lens_power_d"),
    required("target_d"),
    optional("entry_mm", pair(number("entry_mm")), default=(REFERENCE_ENTRY_MM,) * 2),
    optional("tunnel_mm", pair(number("tunnel_mm")), default=(REFERENCE_TUNNEL_MM,) * 2),
    READINGS_ITEM,
    HAPTIC_ITEM,
    BELIEF_ITEM,
    APHAKIC_ITEM,
)


def read_case(request: dict[str, Any], notes: Notes) -> tuple[Case, dict[str, Any]]:
    """The request as plain numbers, with what the prediction rests on."""
    formula = FORMULAS[request["formula"]]
    constants = read_constants(request, notes)
    biometry = read_biometry(request, notes)
    thin = formula.predict(biometry, constants)
    for code, message in thin.cautions:
        notes.warn(code, message, field="formula")
    readings = model_readings(request["readings"], notes)
    plan = flange_plan(request["haptic"], notes)
    _refuse_removed_less(request, plan)
    note_readings(readings, plan, notes)
    priors, second = _with_aphakic(thin, biometry, request, notes)
    case = Case(
        eye=_eye(thin, request),
        priors=priors,
        readings=readings,
        plan=plan,
        target_d=request["target_d"],
        haptic_state=request["haptic"]["haptic_state"],
        flanged=request["haptic"]["flanged"],
        instrument=readings[-1].instrument if readings else "aberrometer",
    )
    return case, {"formula": formula.name, "constants": formula.constants_used(constants), **second}


def _eye(thin: ThinEye, request: dict[str, Any]) -> EyeModel:
    return EyeModel(
        axial_length_mm=thin.axial_length_mm,
        lens_position_mm=thin.lens_position_mm,
        corneal_power_d=thin.corneal_power_d,
        lens_power_d=request["lens_power_d"],
        entry_mm=sum(request["entry_mm"]) / 2,
        tunnel_mm=sum(request["tunnel_mm"]) / 2,
    )


def _priors(request: dict[str, Any]) -> dict[str, Prior]:
    defaults = default_priors(
        axial_method=request["axial_method"],
        lens_power_d=request["lens_power_d"],
        keratometry_method=request["keratometry_method"],
        cornea=request["cornea"],
    )
    return overridden(defaults, request["belief"])


def _with_aphakic(
    thin: ThinEye, biometry: Biometry, request: dict[str, Any], notes: Notes
) -> tuple[dict[str, Prior], dict[str, Any]]:
    """The belief before the readings: by biometry, and by the aphakic refraction if there is one."""
    priors = _priors(request)
    if request["aphakic"] is None:
        return priors, {}
    reading, taken = read_aphakic(request["aphakic"], notes)
    route = route_of(thin, priors, reading, target_d=request["target_d"])
    entered = Entered(biometry.axial_length_mm, biometry.k_mean_d)
    note_route(route, recheck_candidates(thin, priors, reading, taken, entered=entered), notes)
    used = {"refraction_d": reading.refraction_d, "surprise_sds": route.surprise_sds, "gross": route.gross}
    return with_both_routes(priors, route.belief), {"aphakic": used}


def _refuse_removed_less(request: dict[str, Any], plan: FlangePlan) -> None:
    """The haptics cannot have lost less than at the latest reading."""
    if not request["readings"]:
        return
    latest = request["readings"][-1]["removed_mm"]
    for side in (0, 1):
        if plan.removed_mm[side] < latest[side] - 1e-6:
            raise Inconsistent(
                say(
                    "haptic.removed_mm[{side}] is {removed_mm} mm, but {latest} mm were already removed "
                    "at the latest reading. Enter the total so far.",
                    side=side, removed_mm=f"{plan.removed_mm[side]:g}", latest=f"{latest[side]:g}",
                ),
                field=f"haptic.removed_mm[{side}]",
            )
