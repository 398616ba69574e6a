"""Invented eyes on which the advice is compared with importance sampling.

Each eye is one request to ``advise`` and the same eye as the sampler sees it. The answer is
compared at every length it holds: both ends of the reach, what is advised and its
neighbours.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any, Final

from pycore.api import handle
from pycore.formulas import FORMULAS, Biometry, LensConstants
from tests.simulation.importance import (
    NOISE_SD_D,
    Sample,
    SampledEye,
    SampledOutcome,
    Weighted,
    final,
    sample,
    travel,
)

NAMED: Final = {"drawn_out": 2.5, "pushed_in": 1.0}


def read(outside: float | str, refraction_d: float, instrument: str = "aberrometer") -> dict[str, Any]:
    """One reading with equal lengths, or at a named end."""
    where = {"length_basis": outside} if isinstance(outside, str) else {"outside_mm": [outside, outside]}
    return {**where, "refraction_d": refraction_d, "instrument": instrument}


@dataclass(frozen=True, slots=True)
class Scene:
    """A request's parts that differ from the ordinary eye, and the same for the sampler."""

    name: str
    axial_length_mm: float
    k_d: float
    lens_power_d: float
    target_d: float
    readings: tuple[dict[str, Any], ...]
    placements: tuple[int, ...]
    request: dict[str, Any] = field(default_factory=dict)
    beliefs: dict[str, tuple[float, float]] = field(default_factory=dict)
    drawn_out_mm: float = 2.7
    haptic: dict[str, Any] = field(default_factory=dict)
    unmoved: bool = False


ORDINARY: Final = (read(2.4, -0.95), read(1.2, -0.60))

SCENES: Final = (
    Scene("ordinary, two placements", 23.5, 43.5, 21.0, -0.50, ORDINARY, (0, 1)),
    Scene("no reading", 23.5, 43.5, 21.5, -0.50, (), ()),
    Scene("one reading", 23.5, 43.5, 21.5, -0.25, (read(2.5, -0.30),), (0,)),
    Scene("short eye", 21.0, 44.5, 29.0, -0.50,
          (read(2.4, -1.40), read(1.1, -0.60), read(2.4, -1.10)), (0, 1, 2),
          beliefs={"lens_label_d": (0.0, 0.25)}),
    Scene("very short eye, steep slope", 19.0, 46.0, 37.0, 0.0,
          (read(2.5, -0.9), read(1.0, 0.4)), (0, 1), beliefs={"lens_label_d": (0.0, 0.50)}),
    Scene("long eye", 27.5, 43.0, 8.0, 0.5, (read(2.5, 0.55), read(1.0, 0.75)), (0, 1),
          beliefs={"lens_label_d": (0.0, 0.15)}),
    Scene("noisy, retinoscope", 23.0, 43.0, 23.5, -0.50,
          (read(2.4, -0.2, "retinoscope"), read(1.2, 0.6, "retinoscope"),
           read(1.2, -0.1, "retinoscope")), (0, 1, 1)),
    Scene("out of reach", 23.8, 43.2, 17.0, -0.50, (read(2.4, 2.1), read(1.1, 2.6)), (0, 1)),
    Scene("one gross reading", 23.4, 43.6, 21.5, -0.50,
          (read(2.4, -0.75), read(1.2, -0.45), read(1.8, 1.9), read(2.1, -0.55)), (0, 1, 2, 3)),
    Scene("doubtful reading", 23.4, 43.6, 21.5, -0.50,
          (read(2.4, -0.9), read(1.2, 0.45), read(2.0, -0.7)), (0, 1, 2)),
    Scene("repeats", 23.6, 44.0, 20.0, -0.25,
          (read(2.5, -0.35), read(2.5, -0.10), read(2.5, -0.25), read(1.2, 0.2), read(1.2, 0.35),
           read(1.2, 0.1)), (0, 0, 0, 1, 1, 1)),
    Scene("contact ultrasound", 23.2, 43.0, 21.5, -0.50, (read(2.3, -0.2), read(1.3, 0.1)), (0, 1),
          request={"axial_method": "contact"}, beliefs={"axial_length_mm": (0.20, 0.26)}),
    Scene("altered cornea", 24.1, 40.5, 21.5, -0.50, (read(2.3, 0.4), read(1.3, 0.9)), (0, 1),
          request={"cornea": "refractive_surgery"}, beliefs={"corneal_power_d": (0.0, 0.60)}),
    Scene("named ends", 23.5, 43.5, 20.5, -0.50, (read("drawn_out", -0.55), read("pushed_in", -0.12)),
          (0, 1)),
    Scene("named ends, read twice", 22.3, 44.0, 24.5, -0.50,
          (read("drawn_out", -0.8), read("drawn_out", -0.7), read("pushed_in", -0.2),
           read("pushed_in", -0.35)), (0, 0, 1, 1)),
    Scene("deep entries, short tunnels", 23.3, 43.8, 22.0, -0.50, (read(2.2, 0.2), read(1.2, 0.5)),
          (0, 1), request={"entry_mm": [2.6, 2.4], "tunnel_mm": [1.0, 1.2],
                           "keratometry_method": "hand_held"},
          beliefs={"corneal_power_d": (0.0, 0.35)}),
    Scene("two instruments", 23.5, 43.5, 21.0, 0.0,
          (read(2.4, -0.5, "autorefractor"), read(2.4, -0.1, "retinoscope"),
           read(1.1, 0.1, "autorefractor")), (0, 0, 1)),
    Scene("optic hardly moves", 23.0, 43.5, 22.5, -0.50, (read(2.5, -0.1), read(1.0, -0.2)), (0, 1),
          request={"belief": {"travel_ratio": {"mean": 0.10, "sd": 0.08}}},
          beliefs={"travel_ratio": (0.10, 0.08)}),
    Scene("buried, read again", 23.5, 43.5, 21.0, -0.50,
          (*ORDINARY, {**read(-0.3, -0.80), "removed_mm": [2.0, 2.0]},
           {**read(-0.3, -0.55), "removed_mm": [2.0, 2.0]}), (0, 1, 2, 2),
          haptic={"haptic_state": "buried", "removed_mm": [2.0, 2.0]}, unmoved=True),
)

#: Where the closed form is known to be coarser, and how much is shown rather than hidden.
NEVER_READ: Final = Scene("very short eye, no reading", 18.5, 45.0, 41.0, 0.0, (), (),
                          beliefs={"lens_label_d": (0.0, 0.50)})
CONTRADICTED: Final = Scene("both readings contradict biometry", 27.5, 43.0, 8.0, -1.0,
                            (read(2.5, -1.3), read(1.0, -1.2)), (0, 1),
                            beliefs={"lens_label_d": (0.0, 0.15)})


@dataclass(frozen=True, slots=True)
class Compared:
    """One length of one scene: what ``advise`` says and what sampling says."""

    outside_mm: float
    advised: dict[str, float]
    sampled: SampledOutcome


@dataclass(frozen=True, slots=True)
class Comparison:
    """One scene: the answer, the weighted draws, and both side by side."""

    scene: Scene
    value: dict[str, Any]
    found: Weighted
    lengths: tuple[Compared, ...]

    @property
    def mean_difference_d(self) -> float:
        return max(abs(c.advised["mean_d"] - c.sampled.mean_d) for c in self.lengths)

    @property
    def sd_ratio_off(self) -> float:
        return max(abs(c.advised["sd_d"] / c.sampled.sd_d - 1.0) for c in self.lengths)

    @property
    def chance_difference(self) -> float:
        return max(
            abs(c.advised[key] - c.sampled.within[place])
            for c in self.lengths
            for place, key in enumerate(("within_025", "within_050", "within_100"))
            if key in c.advised
        )

    @property
    def travel_difference(self) -> tuple[float, float]:
        mean, sd = travel(self.found)
        return self.value["travel_ratio"]["mean"] - mean, self.value["travel_ratio"]["sd"] - sd

    @property
    def gross_difference(self) -> float:
        pairs = zip(self.value["gross"], self.found.gross, strict=True)
        return max((abs(said - seen) for said, seen in pairs), default=0.0)


def request_of(scene: Scene) -> dict[str, Any]:
    """The payload of ``advise``."""
    return {
        "axial_length_mm": scene.axial_length_mm,
        "k1_d": scene.k_d - 0.5,
        "k2_d": scene.k_d + 0.5,
        "axial_method": "optical",
        "formula": "holladay1",
        "constants": {"a": 118.7},
        "lens_power_d": scene.lens_power_d,
        "target_d": scene.target_d,
        "readings": list(scene.readings),
        "haptic": {"drawn_out_mm": scene.drawn_out_mm, **scene.haptic},
        **scene.request,
    }


def sampled_eye(scene: Scene) -> SampledEye:
    """The same eye for the sampler; only the base formula's thin eye is shared."""
    thin = FORMULAS["holladay1"].predict(
        Biometry(scene.axial_length_mm, scene.k_d, scene.k_d), LensConstants(a=118.7)
    )
    entry, tunnel = scene.request.get("entry_mm", [2.0, 2.0]), scene.request.get("tunnel_mm", [2.0, 2.0])
    return SampledEye(
        axial_length_mm=thin.axial_length_mm,
        lens_position_mm=thin.lens_position_mm,
        corneal_power_d=thin.corneal_power_d,
        lens_power_d=scene.lens_power_d,
        readings=tuple(map(_sample, scene.readings, scene.placements)),
        beliefs=scene.beliefs,
        entry_mm=sum(entry) / 2,
        tunnel_mm=sum(tunnel) / 2,
    )


def _sample(entry: dict[str, Any], placement: int) -> Sample:
    named = entry.get("length_basis")
    removed = sum(entry.get("removed_mm", [0.0, 0.0])) / 2
    outside = NAMED[named] if named else sum(entry["outside_mm"]) / 2 + removed
    return Sample(outside, entry["refraction_d"], entry["instrument"], placement,
                  NOISE_SD_D[entry["instrument"]], 0.4 if named else 0.0)


def compare(scene: Scene, *, seed: int) -> Comparison:
    """Ask ``advise`` and sample the same eye."""
    text = json.dumps({"id": 1, "operation": "advise", "payload": request_of(scene)})
    value = json.loads(handle(text))["value"]
    found = sample(sampled_eye(scene), seed=seed)
    lengths = tuple(
        Compared(part["outside_mm"], part,
                 final(found, outside_mm=part["outside_mm"], target_d=scene.target_d,
                       seed=seed + 1 + place, unmoved=scene.unmoved))
        for place, part in enumerate(_parts(value))
    )
    return Comparison(scene, value, found, lengths)


def _parts(value: dict[str, Any]) -> list[dict[str, Any]]:
    advised = {"outside_mm": value["outside_mm"], **value["final"]}
    parts = {round(part["outside_mm"], 6): part for part in (*value["reach"], *value["neighbours"], advised)}
    return list(parts.values())


def print_table() -> None:
    """Largest difference over all lengths, one line for each eye."""
    print(f"{'eye':<35}{'lengths':>8}{'ESS':>9}{'mean D':>9}{'SD %':>8}{'chance':>8}"
          f"{'travel':>9}{'its SD':>9}{'gross':>8}")
    for seed, scene in enumerate((*SCENES, NEVER_READ, CONTRADICTED)):
        seen = compare(scene, seed=1000 * seed)
        mean, sd = seen.travel_difference
        print(f"{scene.name:<35}{len(seen.lengths):>8}{seen.found.effective_size:>9.0f}"
              f"{seen.mean_difference_d:>9.4f}{100 * seen.sd_ratio_off:>8.2f}{seen.chance_difference:>8.4f}"
              f"{mean:>+9.4f}{sd:>+9.4f}{seen.gross_difference:>8.4f}")
