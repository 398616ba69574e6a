"""What is believed about an eye before any reading, and why.

Each unknown is a deviation from what the base formula computes. Spreads are totals
(surgeon-level and between-eye parts together). Every entry can be overridden by name.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from pycore.belief.linear import Matrix, diagonal

INSTRUMENTS: Final = ("aberrometer", "retinoscope", "autorefractor")

#: Order of the unknowns in the state vector. One reading bias for each instrument; the
#: last two belong to the placement of the haptics at the latest reading.
UNKNOWNS: Final = (
    "axial_length_mm",
    "corneal_power_d",
    "lens_position_mm",
    "travel_ratio",
    "lens_label_d",
    "settle_d",
    "entry_effect",
    "tunnel_effect",
    *(f"reading_bias_d:{name}" for name in INSTRUMENTS),
    "slip_mm",
    "drift_d",
)
INDEX: Final = {name: position for position, name in enumerate(UNKNOWNS)}
TRAVEL: Final = INDEX["travel_ratio"]

#: Names a caller may override; one reading bias stands for every instrument's.
OVERRIDABLE: Final = (*UNKNOWNS[:8], "reading_bias_d")


@dataclass(frozen=True, slots=True)
class Prior:
    """Mean and standard deviation of one unknown.

    ``shared`` holds covariances with other unknowns by name; it counts where both unknowns
    list each other, so replacing one of them also frees the other.
    """

    mean: float
    sd: float
    shared: tuple[tuple[str, float], ...] = ()


#: Contact scans read short by 0.20 +/- 0.26 mm, within-eye SD immersion 0.03 and contact
#: 0.14 (Ademola-Popoola et al., J Curr Ophthalmol 2016;27:110-114, 92 adults). Optical
#: 0.03 and immersion 0.06 include calibration between devices: our assumption.
AXIAL_LENGTH: Final = {
    "optical": Prior(0.0, 0.03),
    "immersion": Prior(0.0, 0.06),
    "contact": Prior(0.20, 0.26),
}

#: Between-device limits of agreement about +/-1 D (four SD wide) give 0.20 to 0.25 D
#: (PMC7775111); hand-held 0.35 and altered corneas 0.60 are our assumptions.
CORNEAL_POWER_SD_D: Final = {"table": 0.20, "hand_held": 0.35}
ALTERED_CORNEA_SD_D: Final = 0.60

#: Scatter of refraction after flanged fixation, 0.56 to 0.75 D (Eye Vis 2023;10:29), less
#: the other sources, over 1.3 D per mm: 0.49 mm.
LENS_POSITION: Final = Prior(0.0, 0.49)
#: No source gives optic movement per mm of haptic: our assumption, to be learned.
TRAVEL_RATIO: Final = Prior(0.20, 0.08)
#: Reading bias in theatre; refraction change to one month (our assumptions).
READING_BIAS: Final = Prior(0.0, 0.20)
SETTLE: Final = Prior(0.0, 0.25)
#: The literature contradicts itself on the sign (J Korean Ophthalmol Soc 2026;67:103-109
#: against the geometry of the outer openings), hence no mean and a wide spread.
ENTRY_EFFECT: Final = Prior(0.0, 0.50)
#: Shorter tunnels give deeper lenses (Jun et al., J Cataract Refract Surg 2024, 1.0 against
#: 2.0 mm); the size is our judgement.
TUNNEL_EFFECT: Final = Prior(0.20, 0.30)

#: Per placement: real optic movement and unreal reading change, both our assumptions.
SLIP_SD_MM: Final = 0.08
DRIFT_SD_D: Final = 0.10
#: Error of carrying out a cut and flange, per side: our assumption.
EXECUTION_SD_MM: Final = 0.25

#: One reading. Aberrometer: repeatability 0.2-0.3 D under good conditions (value from
#: memory). Retinoscope: same examiner 95 % limits -0.90 to +0.78 D, SD 0.43 (Ulster series,
#: 108 children). Hand-held autorefractor: our assumption for an eye under a drape.
READING_NOISE_SD_D: Final = {"aberrometer": 0.25, "retinoscope": 0.45, "autorefractor": 0.30}

#: Chance that a reading is gross, and its extra SD: our assumptions.
GROSS_CHANCE: Final = 0.03
GROSS_SD_D: Final = 1.5

#: ISO 11979-2 dioptric power tolerance by labelled power: up to 15 D +/-0.3, to 25 D
#: +/-0.4, to 30 D +/-0.5, above +/-1.0 D (bounds taken as inclusive: value from memory).
ISO_11979_2_TOLERANCE_D: Final = ((15.0, 0.3), (25.0, 0.4), (30.0, 0.5), (math.inf, 1.0))


def label_tolerance_d(lens_power_d: float) -> float:
    """Allowed difference between label and lens, ISO 11979-2; by magnitude of power."""
    return next(
        tolerance for limit, tolerance in ISO_11979_2_TOLERANCE_D if abs(lens_power_d) <= limit
    )


def corneal_power_sd_d(*, keratometry_method: str, cornea: str) -> float:
    """SD of the corneal power: by instrument, wider when the cornea was altered."""
    return CORNEAL_POWER_SD_D[keratometry_method] if cornea == "ordinary" else ALTERED_CORNEA_SD_D


def default_priors(
    *,
    axial_method: str,
    lens_power_d: float,
    keratometry_method: str = "table",
    cornea: str = "ordinary",
) -> dict[str, Prior]:
    """The belief before any reading, by the names of :data:`OVERRIDABLE`."""
    k_sd = corneal_power_sd_d(keratometry_method=keratometry_method, cornea=cornea)
    return {
        "axial_length_mm": AXIAL_LENGTH[axial_method],
        "corneal_power_d": Prior(0.0, k_sd),
        "lens_position_mm": LENS_POSITION,
        "travel_ratio": TRAVEL_RATIO,
        "lens_label_d": Prior(0.0, label_tolerance_d(lens_power_d) / 2),
        "settle_d": SETTLE,
        "entry_effect": ENTRY_EFFECT,
        "tunnel_effect": TUNNEL_EFFECT,
        "reading_bias_d": READING_BIAS,
    }


def by_unknown(priors: Mapping[str, Prior]) -> tuple[Prior, ...]:
    """One prior for each entry of :data:`UNKNOWNS`, placement effects included.

    An instrument's own reading bias goes before the one that stands for all.
    """
    placement = {"slip_mm": Prior(0.0, SLIP_SD_MM), "drift_d": Prior(0.0, DRIFT_SD_D)}
    known = {**priors, **placement}
    return tuple(known.get(name) or known[name.partition(":")[0]] for name in UNKNOWNS)


def covariance(parts: Sequence[Prior]) -> Matrix:
    """Covariance matrix of one prior for each entry of :data:`UNKNOWNS`."""
    if not any(part.shared for part in parts):
        return diagonal([part.sd * part.sd for part in parts])
    shared = [dict(part.shared) for part in parts]
    return tuple(
        tuple(
            part.sd * part.sd if i == j else _mutual(shared, i, j) for j in range(len(parts))
        )
        for i, part in enumerate(parts)
    )


def _mutual(shared: Sequence[Mapping[str, float]], i: int, j: int) -> float:
    """Covariance that both unknowns list; zero otherwise."""
    listed = UNKNOWNS[j] in shared[i] and UNKNOWNS[i] in shared[j]
    return shared[i][UNKNOWNS[j]] if listed else 0.0
