"""What the virtual eyes are drawn from: one number each, with where it comes from.

``published`` carries its source; ``from memory`` is a value from memory; ``assumption`` is
ours. The product's own beliefs are not read here: where the two agree, they agree because
both rest on the same sources, and the scenarios of :mod:`scenarios` make them disagree.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class World:
    """Spreads are standard deviations; the world of the plain scenario by default."""

    #: Reference average eye, 23.55 mm and 43.86 D (Holladay, J Cataract Refract Surg
    #: 2003;29:176-197: published). Spreads and correlation of eyes at large: from memory.
    axial_length_mm: float = 23.55
    axial_length_sd_mm: float = 1.2
    axial_length_least_mm: float = 20.5
    axial_length_most_mm: float = 30.5
    keratometry_d: float = 43.86
    keratometry_sd_d: float = 1.5
    axial_keratometry_correlation: float = -0.4

    #: Optical 0.03 mm with calibration (assumption); contact scans read 0.20 +/- 0.26 mm short
    #: (Ademola-Popoola et al., J Curr Ophthalmol 2016;27:110-114: published).
    axial_method: str = "optical"
    #: Between-device limits of +/-1 D are four SD wide or a little more (PMC7775111:
    #: published); hand-held: assumption.
    keratometry_method: str = "table"

    #: Scatter around the formula after flanged fixation, 0.56 to 0.75 D (Eye Vis 2023;10:29:
    #: published), less the other sources, over 1.3 D per mm; its division: assumption.
    position_surgeon_sd_mm: float = 0.20
    position_eye_sd_mm: float = 0.45
    position_shift_mm: float = 0.0

    #: No source gives optic movement per mm of haptic: assumption. Never negative by its
    #: shape, except for a lens put in upside-down.
    travel: float = 0.20
    travel_surgeon_sd: float = 0.0566
    travel_eye_sd: float = 0.0566
    travel_sign: float = 1.0
    #: Half the haptic's range over which the optic follows; ``None``: it always follows.
    travel_gives_out_mm: float | None = None

    #: Lengths that the haptics reach when drawn out and pushed in (assumption).
    drawn_out_mm: float = 2.5
    pushed_in_mm: float = 1.0
    end_sd_mm: float = 0.4
    #: Callipers are read to this step (common practice, no source).
    calliper_step_mm: float = 0.5
    execution_sd_mm: float = 0.25

    #: Assumptions: real movement and unreal change at each placement of the haptics.
    slip_sd_mm: float = 0.08
    drift_sd_d: float = 0.10

    #: Aberrometer 0.25 D (from memory), retinoscope 0.45 D (limits -0.90 to +0.78 D, Ulster
    #: series, 108 children: published).
    instrument: str = "aberrometer"
    noise_times: float = 1.0
    bias_surgeon_sd_d: float = 0.1414
    bias_eye_sd_d: float = 0.1414
    bias_shift_d: float = 0.0
    #: Assumptions. A wild reading is off by a normal error, or by 1 to 4 D either way.
    gross_chance: float = 0.03
    gross_sd_d: float = 1.5
    gross_wild: bool = False
    #: 10 mmHg lower reads 0.15 D more hyperopic (51 eyes: published); added to the second.
    soft_second_reading_d: float = 0.0

    #: Table-to-one-month change with an ordinary follow-up refraction's own error (assumption).
    settle_surgeon_sd_d: float = 0.15
    settle_eye_sd_d: float = 0.20

    #: The first haptic was flanged for 2.0 mm outside before anything was read.
    first_flanged: bool = False
    target_d: float = -0.25


#: Error of the measured axial length (mean, SD in mm; measured less true) by method.
AXIAL_ERROR_MM = {"optical": (0.0, 0.03), "immersion": (0.0, 0.06), "contact": (-0.20, 0.26)}
#: SD of the measured keratometry, D.
KERATOMETRY_ERROR_D = {"table": 0.20, "hand_held": 0.35}
#: SD of one reading, D.
NOISE_SD_D = {"aberrometer": 0.25, "retinoscope": 0.45, "autorefractor": 0.30}
#: ISO 11979-2 tolerance (published): up to 15, 25, 30 D and above.
LABEL_LIMITS_D = (15.0, 25.0, 30.0)
LABEL_TOLERANCES_D = (0.3, 0.4, 0.5, 1.0)

#: Length outside for which the formula's lens position is meant; haptic taken by the
#: flange; depth of its inner shoulder, mm.
REFERENCE_MM = 2.0
MELTED_MM = 1.0
BURIED_MM = 0.3
NOTHING_CUT_MM = MELTED_MM - BURIED_MM
