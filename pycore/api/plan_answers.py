"""Parts of the plan's answer: formulas side by side, lenses, budget, entries, read-back."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from typing import Any, Final

from pycore.api.case_numbers import both_sides
from pycore.api.schema import Notes
from pycore.api.titration_items import outcome_value, reach_value
from pycore.api.wording import ABSENT, quantity, word
from pycore.belief.eye import REFERENCE_ENTRY_MM, REFERENCE_TUNNEL_MM
from pycore.belief.priors import AXIAL_LENGTH, Prior, label_tolerance_d
from pycore.errors import GuylineError
from pycore.fields import FIELDS
from pycore.fixation.clock import clock_hours, spoken
from pycore.fixation.entries import EntryPlan, plan_entries
from pycore.fixation.haptic_path import USUAL_OPTIC_MM
from pycore.formulas import FORMULAS, Biometry, LensConstants
from pycore.optics.vergence import lens_power_d, refraction_d
from pycore.planning.lens_choice import LensOutlook, budget, outlook
from pycore.planning.other_options import LEAST_RESIDUAL_D
from pycore.planning.titrate import Case
from pycore.records.origins import standing_origin
from pycore.words import joined, say

#: Lens powers are made in half dioptres (common practice, no source).
POWER_STEP_D: Final = 0.5
STEPS_EACH_SIDE: Final = 4
#: Difference between the eyes that many people cannot wear in spectacles (common practice).
LARGE_ANISOMETROPIA_D: Final = 3.0
#: From here on a target is taken to be hyperopic on purpose or by a lost sign (our judgement).
LEAST_HYPEROPIC_TARGET_D: Final = 0.25

_BUDGET_LABELS: Final = {
    "axial_length_mm": "Axial length",
    "corneal_power_d": "Corneal power",
    "lens_position_mm": "Lens position",
    "travel_ratio": "Optic movement per mm of haptic",
    "lens_label_d": "Lens label tolerance",
    "settle_d": "Table-to-one-month change",
    "entry_effect": "Entry distance",
    "tunnel_effect": "Tunnel length",
    "carrying_out": "Slip and carrying out the cut",
}


def formulas_value(
    biometry: Biometry, constants: LensConstants, *, target_d: float, power_d: float | None
) -> dict[str, Any]:
    """Every formula's own answer; one that cannot be computed says why."""
    return {
        name: _formula_value(name, biometry, constants, target_d=target_d, power_d=power_d)
        for name in FORMULAS
    }


def _formula_value(
    name: str,
    biometry: Biometry,
    constants: LensConstants,
    *,
    target_d: float,
    power_d: float | None,
) -> dict[str, Any]:
    try:
        thin = FORMULAS[name].predict(biometry, constants)
        eye = {
            "axial_length_mm": thin.axial_length_mm,
            "lens_position_mm": thin.lens_position_mm,
            "corneal_power_d": thin.corneal_power_d,
        }
        given = None if power_d is None else refraction_d(**eye, lens_power_d=power_d)
        wanted = lens_power_d(**eye, refraction_d=target_d)
    except GuylineError as error:
        blank = {"power_d": None, "lens_position_mm": None, "refraction_d": None}
        return {**blank, "why_not": error.message}
    return {
        "power_d": wanted,
        "lens_position_mm": thin.lens_position_mm,
        "refraction_d": given,
        "why_not": None,
    }


def nearest_step_d(power_d: float) -> float:
    """The half dioptre nearest to a power."""
    return round(power_d / POWER_STEP_D) * POWER_STEP_D


def half_dioptres(centre_d: float, *, each_side: int = STEPS_EACH_SIDE) -> list[float]:
    """The half-dioptre powers around ``centre_d``, as far as lenses exist."""
    powers = (centre_d + POWER_STEP_D * step for step in range(-each_side, each_side + 1))
    return [power for power in powers if _possible_power(power)]


def _possible_power(power_d: float) -> bool:
    entry = FIELDS["lens_power_d"]
    assert entry.lowest is not None and entry.highest is not None
    return entry.lowest <= power_d <= entry.highest


def with_lens(case: Case, power_d: float) -> Case:
    """The same eye with a lens of another power, and that power's label tolerance."""
    label = Prior(0.0, label_tolerance_d(power_d) / 2)
    return replace(
        case,
        eye=replace(case.eye, lens_power_d=power_d),
        priors={**case.priors, "lens_label_d": label},
    )


def lens_outlook(case: Case, power_d: float) -> LensOutlook:
    """What to expect of a lens of this power in the eye of ``case``."""
    lens = with_lens(case, power_d)
    return outlook(
        lens.eye, lens.priors, lens.plan, target_d=lens.target_d, calibration=lens.calibration
    )


def lens_value(case: Case, power_d: float) -> dict[str, Any]:
    """One lens: outcome without titration, reach, and chance after titration."""
    return outlook_value(lens_outlook(case, power_d), target_d=case.target_d)


def outlook_value(found: LensOutlook, *, target_d: float) -> dict[str, Any]:
    """A lens's outlook as an answer."""
    return {
        "lens_power_d": found.lens_power_d,
        **outcome_value(found.plan, target_d=target_d),
        "titrated_within_050": found.titrated_within_050,
        "reach": reach_value(found.reach),
    }


def budget_value(case: Case) -> list[dict[str, Any]]:
    """What makes the interval wide, largest first."""
    return [
        {"name": part.name, "label": _BUDGET_LABELS[part.name], "sd_d": part.sd_d, "share": part.share}
        for part in budget(case.eye, case.priors)
    ]


def clocks_value(case: dict[str, Any]) -> dict[str, str] | None:
    """Clock hours of both haptics, when the meridian is known."""
    meridian = case["plan"]["meridian_deg"]
    if meridian is None:
        return None
    first, second = clock_hours(meridian % 180.0)
    return {"a": first, "b": second}


def entries_value(case: dict[str, Any], notes: Notes) -> EntryPlan | None:
    """Where the entries lie, when limbus and meridian are known; its cautions are noted."""
    measurements, plan, lens = case["measurements"], case["plan"], case["lens"]
    diameters = measurements["limbus_horizontal_mm"], measurements["limbus_vertical_mm"]
    if None in (*diameters, plan["meridian_deg"]):
        return None
    found = plan_entries(
        limbus_horizontal_mm=diameters[0],
        limbus_vertical_mm=diameters[1],
        meridian_deg=plan["meridian_deg"],
        entry_mm=both_sides(plan, "entry", REFERENCE_ENTRY_MM),
        tunnel_mm=both_sides(plan, "tunnel", REFERENCE_TUNNEL_MM),
        lens_length_mm=lens["lens_length_mm"],
        haptic_length_mm=lens["haptic_length_mm"],
        optic_diameter_mm=lens["optic_diameter_mm"] or USUAL_OPTIC_MM,
        melt_mm=plan["melt_mm"] or 1.0,
    )
    for caution in found.cautions:
        notes.warn(caution.code, caution.message, field=_ENTRY_PATHS.get(caution.field, caution.field))
    return found


_ENTRY_PATHS: Final = {
    "meridian_deg": "plan.meridian_deg",
    "entry_mm": "plan.entry_a_mm",
    "tunnel_mm": "plan.tunnel_a_mm",
    "haptic_length_mm": "lens.haptic_length_mm",
}


def note_fellow(case: dict[str, Any], notes: Notes) -> None:
    """Warn when the target would leave the eyes far apart."""
    target, fellow = case["plan"]["target_d"], case["plan"]["fellow_se_d"]
    if None not in (target, fellow) and abs(target - fellow) > LARGE_ANISOMETROPIA_D:
        notes.warn(
            "eyes_far_apart",
            say(
                "The target is {abs} D from the other eye ({fellow}). Agree the target with the patient.",
                abs=f"{abs(target - fellow):.2f}", fellow=quantity(fellow, "fellow_se_d"),
            ),
            field="plan.target_d",
        )


def note_target(case: dict[str, Any], notes: Notes) -> None:
    """A hyperopic target is seldom wished: the sign is asked."""
    target = case["plan"]["target_d"]
    if target is not None and target >= LEAST_HYPEROPIC_TARGET_D:
        notes.warn(
            "target_hyperopic",
            say(
                "The target is hyperopic ({target}). Was minus meant? If plus is wished, keep it.",
                target=quantity(target, 'target_d'),
            ),
            field="plan.target_d",
        )


def note_lens_far(case: Case, chosen: dict[str, Any], notes: Notes) -> None:
    """The lens that was chosen cannot come near the target: power, sign, or another eye's numbers."""
    ends = [end["mean_d"] - case.target_d for end in chosen["reach"]]
    nearest = min(ends, key=abs)
    if ends[0] * ends[1] > 0.0 and abs(nearest) >= LEAST_RESIDUAL_D:
        notes.warn(
            "lens_far_from_target",
            say(
                "This lens ({lens_power_d}) would leave the eye {nearest} from target at best. Check its "
                "power and sign, the measurements, and whose they are.",
                lens_power_d=quantity(chosen['lens_power_d'], 'lens_power_d'),
                nearest=quantity(nearest, 'refraction_d'),
            ),
            field="lens.lens_power_d",
        )


def note_expected_shift(case: dict[str, Any], notes: Notes) -> None:
    """Say why the expected refraction differs from the base formula's own."""
    measurements = case["measurements"]
    if standing_origin(measurements, "axial_origin") is not None:
        return
    shift = AXIAL_LENGTH[measurements["axial_method"]].mean
    if shift:
        notes.warn(
            "contact_reads_short",
            say(
                "Contact ultrasound reads short: the plan takes the eye as {shift} mm longer than "
                "measured, so it expects more myopia than the formulas' own answers show.",
                shift=f"{shift:.2f}",
            ),
            field="measurements.axial_method",
        )


def readback(case: dict[str, Any]) -> dict[str, Any]:
    """What two people read aloud before the lens is opened, and its fingerprint."""
    lens, plan = case["lens"], case["plan"]
    clocks = clocks_value(case)
    meridian = quantity(plan["meridian_deg"], "meridian_deg")
    lines = (
        ("Case code", case["code"]),
        ("Eye", word(case["eye"], "eye")),
        ("Lens power", quantity(lens["lens_power_d"], "lens_power_d")),
        ("Lens", lens["lens_name"] or ABSENT),
        ("Constants", _constants_text(lens)),
        ("Formula", word(plan["formula"] or "holladay1", "formula")),
        ("Target", quantity(plan["target_d"], "target_d")),
        ("Fixation meridian", say(
            "{meridian}, {clocks}",
            meridian=meridian, clocks=_clocks_text(clocks),
        ) if clocks else meridian),
    )
    return {
        "lines": [{"label": label, "value": value} for label, value in lines],
        "fingerprint": fingerprint(case),
    }


#: The part of the plan that is read back; how the haptics will be ended is decided in theatre.
_READ_BACK_PLAN: Final = (
    "target_d", "formula", "meridian_deg", "entry_a_mm", "entry_b_mm", "tunnel_a_mm", "tunnel_b_mm",
)  # fmt: skip

#: Keys that records read back before they existed do not have.
_ORIGINS: Final = ("axial_origin", "cornea_origin", "depth_origin")


def fingerprint(case: dict[str, Any]) -> str:
    """Identity of everything the plan rests on; it changes when any of it changes."""
    parts = {name: case[name] for name in ("code", "eye", "lens")}
    parts["measurements"] = {
        name: value for name, value in case["measurements"].items() if name not in _ORIGINS or value
    }
    parts["plan"] = {name: case["plan"][name] for name in _READ_BACK_PLAN}
    parts["cornea"] = case["history"]["cornea"]
    text = json.dumps(parts, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _clocks_text(clocks: dict[str, str]) -> str:
    return say("{a} and {b}", a=spoken(clocks["a"]), b=spoken(clocks["b"]))


def _constants_text(lens: dict[str, Any]) -> str:
    names = (name for name in ("a", "pacd_mm", "surgeon_factor_mm", "a0", "a1", "a2"))
    given = [say(
        "{label} {lens}",
        label=FIELDS[name].label, lens=quantity(lens[name], name),
    ) for name in names if lens[name] is not None]
    return joined(", ", given) or ABSENT
