"""Readings in a request: read, checked, and turned into the model's plain readings."""

from __future__ import annotations

from typing import Any, Final

from pycore.api.schema import Notes, choice, listing, number, optional, pair, record, required, whole
from pycore.belief.priors import READING_NOISE_SD_D
from pycore.belief.readings import Reading
from pycore.errors import GuylineError, Inconsistent, MissingField, ReadingRefused
from pycore.optics.refraction import LEVEL_AXIS_DEG, Spherocylinder
from pycore.optics.retinoscopy import net_equivalent_d, of_meridians
from pycore.planning.next_reading import SAME_PLACEMENT_MM
from pycore.words import say

MOST_READINGS: Final = 24
#: Readings taken at pressures further apart than this do not compare (our judgement; 10 mmHg
#: moved the axial length by 0.06 mm, 51 eyes, J Cataract Refract Surg series).
MOST_IOP_APART_MMHG: Final = 10.0
#: What makes a reading meaningless, and why.
REFUSED_FILL: Final = {
    "air": "air bends light differently: remove it first",
    "gas": "gas bends light differently: no reading until it is gone",
    "perfluorocarbon": "perfluorocarbon bends light differently: remove it first",
    "viscoelastic": "viscoelastic shifts the lens and its index: wash it out first",
}
#: A named end stands in for a measurement: mean length and its SD (our assumption).
NAMED_END_MM: Final = {"drawn_out": 2.5, "pushed_in": 1.0}
NAMED_END_SD_MM: Final = 0.4
#: Half the callipers' step: lengths closer than this are the same.
_SAME_MM: Final = 1e-6

READING = record(
    optional("outside_mm", pair(number("outside_mm")), about="Length outside now, per haptic."),
    optional("removed_mm", pair(number("removed_mm")), default=(0.0, 0.0)),
    optional("length_basis", choice("length_basis"), default="measured"),
    optional("placement", whole(0, 1000)),
    optional("refraction_d"),
    optional("sphere_d"),
    optional("cylinder_d"),
    optional("axis_deg"),
    optional("meridian_1_d", number("refraction_d"), about="Neutralising lens in one meridian."),
    optional("meridian_2_d", number("refraction_d"), about="The same at right angles to it."),
    optional("vertex_mm"),
    optional("working_distance_m"),
    required("instrument"),
    optional("noise_sd_d"),
    optional("iop_mmhg"),
    optional("infusion"),
    optional("fill"),
    optional("iridectomy_done"),
)

READINGS_ITEM = optional("readings", listing(READING, most=MOST_READINGS), default=[])


def model_readings(entries: list[dict[str, Any]], notes: Notes) -> tuple[Reading, ...]:
    """The model's readings in the order taken; warns about what does not fit together."""
    for index, entry in enumerate(entries):
        _refuse_unreadable(entry, f"readings[{index}]")
    _refuse_regrown(entries)
    _note_pressures(entries, notes)
    _note_oil(entries, notes)
    placements = _placements(entries)
    _note_moved(entries, placements, notes)
    return tuple(
        _model_reading(entry, placement, f"readings[{index}]")
        for index, (entry, placement) in enumerate(zip(entries, placements, strict=True))
    )


def spherical_equivalent_d(entry: dict[str, Any], path: str) -> float:
    """SE of a reading given as such or as sphere and cylinder, never both."""
    given, sphere = entry["refraction_d"], entry["sphere_d"]
    if given is not None and sphere is not None:
        raise Inconsistent("Give refraction_d or sphere_d and cylinder_d, not both.", field=path)
    if given is not None:
        return float(given)
    if sphere is None:
        raise MissingField(say(
            "{path} has no refraction. Enter the reading.",
            path=path,
        ), field=f"{path}.refraction_d")
    return float(sphere) + (entry["cylinder_d"] or 0.0) / 2


def reading_equivalent_d(entry: dict[str, Any], path: str) -> float:
    """SE of a reading at 12 mm vertex, net of the working distance of a retinoscope held at one."""
    _refuse_distance(entry, path)
    held = _as_written(entry, path)
    try:
        return net_equivalent_d(
            held, vertex_mm=entry["vertex_mm"], working_distance_m=entry["working_distance_m"]
        )
    except GuylineError as error:
        error.field = path
        raise


def _refuse_distance(entry: dict[str, Any], path: str) -> None:
    if entry["working_distance_m"] is not None and entry["instrument"] != "retinoscope":
        raise Inconsistent(
            "A working distance belongs to the retinoscope only. Leave it out, or choose the retinoscope.",
            field=f"{path}.working_distance_m",
        )


def _as_written(entry: dict[str, Any], path: str) -> Spherocylinder:
    first, second = entry["meridian_1_d"], entry["meridian_2_d"]
    if first is None and second is None:
        if entry["sphere_d"] is None or entry["refraction_d"] is not None:
            return Spherocylinder(spherical_equivalent_d(entry, path), 0.0, LEVEL_AXIS_DEG)
        axis = LEVEL_AXIS_DEG if entry["axis_deg"] is None else entry["axis_deg"]
        return Spherocylinder(entry["sphere_d"], entry["cylinder_d"] or 0.0, axis)
    if entry["refraction_d"] is not None or entry["sphere_d"] is not None:
        raise Inconsistent("Give two meridians, or refraction_d, or sphere_d and cylinder_d.", field=path)
    if first is None or second is None:
        where = f"{path}.meridian_{1 if first is None else 2}_d"
        raise MissingField(say("{where} is missing. Neutralise both meridians.", where=where), field=where)
    return of_meridians(first, second)


def original_lengths_mm(entry: dict[str, Any], path: str) -> tuple[float, float]:
    """Length to the original tip of each haptic: outside now plus already removed."""
    outside = _outside(entry, path)
    removed = entry["removed_mm"]
    return outside[0] + removed[0], outside[1] + removed[1]


def _outside(entry: dict[str, Any], path: str) -> tuple[float, float]:
    """Measured lengths, or the named end's; a named end already means the original tips."""
    if entry["length_basis"] in NAMED_END_MM:
        named = NAMED_END_MM[entry["length_basis"]]
        removed = entry["removed_mm"]
        return named - removed[0], named - removed[1]
    if entry["outside_mm"] is None:
        raise MissingField(
            say("{path}.outside_mm is missing. Measure both haptics from the sclera to the tip.", path=path),
            field=f"{path}.outside_mm",
        )
    first, second = entry["outside_mm"]
    return float(first), float(second)


def _model_reading(entry: dict[str, Any], placement: int, path: str) -> Reading:
    lengths = original_lengths_mm(entry, path)
    return Reading(
        outside_mm=(lengths[0] + lengths[1]) / 2,
        refraction_d=reading_equivalent_d(entry, path),
        instrument=entry["instrument"],
        noise_sd_d=entry["noise_sd_d"] or READING_NOISE_SD_D[entry["instrument"]],
        placement=placement,
        length_sd_mm=0.0 if entry["length_basis"] == "measured" else NAMED_END_SD_MM,
    )


def _placements(entries: list[dict[str, Any]]) -> list[int]:
    """Given placement numbers; otherwise changed lengths start a new one."""
    numbers: list[int] = []
    for index, entry in enumerate(entries):
        given = entry["placement"]
        numbers.append(given if given is not None else _implied_placement(entries, index, numbers))
    return numbers


def _implied_placement(entries: list[dict[str, Any]], index: int, numbers: list[int]) -> int:
    if index == 0:
        return 0
    now = original_lengths_mm(entries[index], f"readings[{index}]")
    before = original_lengths_mm(entries[index - 1], f"readings[{index - 1}]")
    moved = max(abs(a - b) for a, b in zip(now, before, strict=True)) > _SAME_MM
    return max(numbers) + 1 if moved else numbers[-1]


def _refuse_unreadable(entry: dict[str, Any], path: str) -> None:
    fill = entry["fill"]
    if fill in REFUSED_FILL:
        raise ReadingRefused(say(
            "{path}: {refused_fill}.",
            path=path, refused_fill=REFUSED_FILL[fill],
        ), field=f"{path}.fill")


def _refuse_regrown(entries: list[dict[str, Any]]) -> None:
    """Haptic does not grow back: what was removed can only increase."""
    for index in range(1, len(entries)):
        for side in (0, 1):
            before, now = entries[index - 1]["removed_mm"][side], entries[index]["removed_mm"][side]
            if now < before - _SAME_MM:
                where = f"readings[{index}].removed_mm[{side}]"
                raise Inconsistent(
                    say(
                        "{where} is {now} mm after {before} mm at the reading before. What was cut or "
                        "melted stays removed: enter the total so far.",
                        where=where, now=f"{now:g}", before=f"{before:g}",
                    ),
                    field=where,
                )


def _note_oil(entries: list[dict[str, Any]], notes: Notes) -> None:
    for index, entry in enumerate(entries):
        if entry["fill"] == "oil":
            notes.warn(
                "reading_through_oil",
                say(
                    "Reading {value} was taken through silicone oil, which changes the refraction by "
                    "several dioptres; this advice assumes saline. Leave it out and titrate without oil.",
                    value=index + 1,
                ),
                field=f"readings[{index}].fill",
            )


def _note_moved(entries: list[dict[str, Any]], placements: list[int], notes: Notes) -> None:
    """Repeats at one placement share its slip; other lengths mean that something moved."""
    first: dict[int, float] = {}
    for index, (entry, placement) in enumerate(zip(entries, placements, strict=True)):
        now = sum(original_lengths_mm(entry, f"readings[{index}]")) / 2
        if abs(first.setdefault(placement, now) - now) > SAME_PLACEMENT_MM:
            notes.warn(
                "placement_moved",
                say(
                    "Reading {value} shares placement {placement} with an earlier one, but its lengths "
                    "differ. If the haptics were moved, give it a placement of its own.",
                    value=index + 1, placement=placement,
                ),
                field=f"readings[{index}].placement",
            )


def _note_pressures(entries: list[dict[str, Any]], notes: Notes) -> None:
    known = [entry["iop_mmhg"] for entry in entries if entry["iop_mmhg"] is not None]
    if known and max(known) - min(known) > MOST_IOP_APART_MMHG:
        notes.warn(
            "iop_apart",
            say(
                "Readings were taken at IOP {known} to {known2} mmHg. Repeat them at one pressure: a "
                "soft eye reads hyperopic.",
                known=f"{min(known):g}", known2=f"{max(known):g}",
            ),
            field="readings",
        )
