"""The product as a policy: it is asked as a surgeon would ask it, and obeyed.

Both ends are read as everybody reads them; the third reading is taken where the product
wants it. When it then calls a reading doubtful enough to repeat, that one is repeated once.
Only measured values are handed over; nothing of the truth.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pycore.belief.calibration import UNCALIBRATED, Calibration
from pycore.belief.eye import EyeModel
from pycore.belief.outcome import FinalView
from pycore.belief.priors import default_priors
from pycore.belief.readings import Reading, prior_belief
from pycore.belief.surgeon import SurgeonBelief
from pycore.belief.surgeon_next import next_priors
from pycore.fixation.haptic import FlangePlan
from pycore.formulas import FORMULAS, Biometry, LensConstants
from pycore.planning.lens_choice import outlook
from pycore.planning.next_reading import SAME_PLACEMENT_MM
from pycore.planning.titrate import REPEAT_GROSS_CHANCE, Case, Titration, titrate
from tests.simulation.cohort.by_hand import Ends
from tests.simulation.cohort.eyes import Eyes
from tests.simulation.cohort.formula import SURGEON_FACTOR_MM
from tests.simulation.cohort.optics import Array
from tests.simulation.cohort.theatre import read, seen_mean_mm
from tests.simulation.cohort.world import BURIED_MM, MELTED_MM, REFERENCE_MM, World

CONSTANTS = LensConstants(surgeon_factor_mm=SURGEON_FACTOR_MM)
#: What can be drawn out is not known before surgery: the usual length.
PLANNED = FlangePlan(2.5, MELTED_MM, BURIED_MM)


@dataclass(frozen=True, slots=True)
class Advised:
    """What each eye was advised: length to aim at (free haptics) and what was promised."""

    cases: list[Case]
    answers: list[Titration]
    side_mm: Array
    low80_d: Array
    high80_d: Array
    within_050: Array
    readings: Array


def first_case(
    eyes: Eyes, world: World, ends: Ends, row: int, surgeon: SurgeonBelief | None = None
) -> Case:
    """The case after both ends were read; ``surgeon`` is what own eyes have taught."""
    axial, kerato = float(eyes.measured_axial_length_mm[row]), float(eyes.measured_keratometry_d[row])
    thin = FORMULAS["holladay1"].predict(Biometry(axial, kerato, kerato), CONSTANTS)
    label = float(eyes.label_d[row])
    priors = default_priors(axial_method=world.axial_method, lens_power_d=label,
                            keratometry_method=world.keratometry_method)
    calibration = _calibration(surgeon) if surgeon else UNCALIBRATED
    readings = (
        _reading(world, calibration, ends.out_mm[row], ends.out_d[row], 0),
        _reading(world, calibration, ends.in_mm[row], ends.in_d[row], 1),
    )
    return Case(
        eye=EyeModel(thin.axial_length_mm, thin.lens_position_mm, thin.corneal_power_d, label),
        priors=next_priors(surgeon, priors) if surgeon else priors,
        readings=readings,
        plan=_plan(world, float(ends.out_mm[row])),
        target_d=world.target_d,
        haptic_state="one_flanged" if world.first_flanged else "both_free",
        instrument=world.instrument,
        calibration=calibration,
    )


def _calibration(surgeon: SurgeonBelief) -> Calibration:
    return Calibration(surgeon.plan_factor.value, surgeon.after_factor.value, surgeon.noise_sd_d)


def _plan(world: World, drawn_out_mm: float) -> FlangePlan:
    taken = REFERENCE_MM + BURIED_MM if world.first_flanged else 0.0
    return FlangePlan(drawn_out_mm, MELTED_MM, BURIED_MM, (taken, 0.0))


def _reading(
    world: World, calibration: Calibration, side_mm: float, refraction_d: float, placement: int
) -> Reading:
    outside = float(seen_mean_mm(world, np.asarray(side_mm)))
    noise = calibration.noise_sd_d[world.instrument]
    return Reading(outside, float(refraction_d), world.instrument, noise, placement)


#: Lenses looked at around the formula's, D.
LENSES_D = (-0.5, 0.0, 0.5, 1.0, 1.5)


def chosen_lens_d(cases: list[Case]) -> Array:
    """The lens with the best chance after titration for each case, judged before any reading."""
    return np.array([_chosen_d(case) for case in cases])


def _chosen_d(case: Case) -> float:
    powers = [case.eye.lens_power_d + step for step in LENSES_D]
    chances = [
        outlook(replace(case.eye, lens_power_d=power), case.priors, PLANNED, target_d=case.target_d,
                instrument=case.instrument).titrated_within_050
        for power in powers
    ]
    return powers[int(np.argmax(chances))]


def advise(first: list[Case], eyes: Eyes, world: World) -> tuple[Advised, Advised]:
    """Advice after the two ends, and after the third reading with a repeat where asked."""
    early = [titrate(case) for case in first]
    thirds = [_third_mm(case, answer) for case, answer in zip(first, early, strict=True)]
    cases = _read_more(first, eyes, world, thirds, reading=2)
    late = [titrate(case) for case in cases]
    repeats = [_repeat_mm(case, answer) for case, answer in zip(cases, late, strict=True)]
    again = _read_more(cases, eyes, world, repeats, reading=3)
    late = [answer if wanted is None else titrate(case)
            for case, answer, wanted in zip(again, late, repeats, strict=True)]
    return _advised(first, early, world), _advised(again, late, world)


def _third_mm(case: Case, answer: Titration) -> float:
    """Where the product wants it, or once more where the haptics are."""
    wanted = answer.next.outside_mm
    return case.readings[-1].outside_mm if wanted is None else wanted


def _repeat_mm(case: Case, answer: Titration) -> float | None:
    """Where the most doubtful reading was taken, if it is doubtful enough."""
    gross = answer.after.gross
    worst = max(range(len(gross)), key=gross.__getitem__)
    return case.readings[worst].outside_mm if gross[worst] > REPEAT_GROSS_CHANCE else None


def _read_more(
    cases: list[Case], eyes: Eyes, world: World, wanted: list[float | None] | list[float], *, reading: int
) -> list[Case]:
    """One more reading for each case that wants one, at the same placement if nothing moves."""
    placements = np.array([_placement(case, mm) for case, mm in zip(cases, wanted, strict=True)])
    sides = np.array([_side_mm(case, mm) for case, mm in zip(cases, wanted, strict=True)])
    stays = placements == [case.readings[-1].placement for case in cases]
    true = np.where(stays, _where_it_lies(cases, eyes), sides + eyes.length_error_mm[:, reading])
    seen = read(eyes, world, np.minimum(true, eyes.drawn_out_mm), placement=placements, reading=reading)
    return [
        case if mm is None
        else replace(case, readings=(*case.readings, _reading(world, case.calibration, side, value, place)))
        for case, mm, side, value, place in zip(
            cases, wanted, sides, seen.tolist(), placements.tolist(), strict=True)
    ]


def _placement(case: Case, outside_mm: float | None) -> int:
    latest = case.readings[-1]
    stays = outside_mm is None or abs(outside_mm - latest.outside_mm) <= SAME_PLACEMENT_MM
    return latest.placement if stays else len(case.readings)


def _side_mm(case: Case, outside_mm: float | None) -> float:
    """Length of the free haptics for a mean; the latest one if nothing is to move."""
    latest = case.readings[-1].outside_mm
    stays = outside_mm is None or abs(outside_mm - latest) <= SAME_PLACEMENT_MM
    mean = latest if stays or outside_mm is None else outside_mm
    return 2 * mean - REFERENCE_MM if case.haptic_state == "one_flanged" else mean


def _where_it_lies(cases: list[Case], eyes: Eyes) -> Array:
    """True length at the latest placement: pushed in, or where the third reading was."""
    third = np.array([_side_mm(case, None) for case in cases]) + eyes.length_error_mm[:, 2]
    at_second = np.array([case.readings[-1].placement == 1 for case in cases])
    return np.where(at_second, eyes.pushed_in_mm, third)


def _advised(cases: list[Case], answers: list[Titration], world: World) -> Advised:
    options = [answer.advice.option for answer in answers]
    mean = np.array([option.outside_mm for option in options])
    return Advised(
        cases=cases,
        answers=answers,
        side_mm=2 * mean - REFERENCE_MM if world.first_flanged else mean,
        low80_d=np.array([option.final.low80_d for option in options]),
        high80_d=np.array([option.final.high80_d for option in options]),
        within_050=np.array(
            [option.final.chance_within(0.50, target_d=world.target_d) for option in options]),
        readings=np.array([len(case.readings) for case in cases], dtype=float),
    )


def plan_interval(cases: list[Case]) -> tuple[Array, Array]:
    """The 80 % interval of the plan at the reference length, before any reading."""
    planned = [FinalView.of(case.eye, prior_belief(case.priors)).at(REFERENCE_MM) for case in cases]
    return np.array([part.low80_d for part in planned]), np.array([part.high80_d for part in planned])
