"""Readings and lengths: what cannot follow from what was entered before it.

The dangerous slip is counting a removed piece twice: after a cut, the length outside *now*
is shorter, and whoever enters the old length together with the removed one tells the advice
of a haptic that was drawn out further than it was.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from pycore.records.case import Case, current_log, rows
from pycore.records.finding import Check, Finding, Today, impossible, missing, unusual
from pycore.records.haptic_entries import with_corrected_removals
from pycore.records.moments import after, not_after
from pycore.words import say

#: In the light path of a reading: no refraction of the saline-filled eye can be meant.
REFUSED_FILLS: Final = {
    "air": "Air", "gas": "Gas", "perfluorocarbon": "Perfluorocarbon", "viscoelastic": "Viscoelastic",
}
#: Callipers at the sclera read to half a millimetre (common practice, no source).
CALLIPER_MM: Final = 0.5
#: Shorter ends are not held well enough for a reading (our judgement).
LEAST_OUTSIDE_MM: Final = 1.0
#: Readings further apart in pressure are not of the same eye shape (our judgement).
LARGE_IOP_DIFFERENCE_MMHG: Final = 10.0
#: Two ways of entering one refraction may differ by rounding, D.
SAME_REFRACTION_D: Final = 0.13
#: Smallest length that counts as a change, mm.
_LEAST_MM: Final = 0.05
#: Sums of lengths typed to 0.1 mm agree to this in binary, mm.
_SAME_MM: Final = 1e-6
_SIDES: Final = ("a", "b")
_DRAWN: Final = ("pull", "externalise")


def _readings(case: Case) -> list[tuple[str, Case]]:
    return [(path, row) for path, row in rows(case, "readings") if row["withdrawn"] is None]


def fill(case: Case, today: Today) -> Iterator[Finding]:
    """What fills the light path."""
    for path, reading in _readings(case):
        if reading["fill"] in REFUSED_FILLS:
            yield impossible(
                f"{path}.fill", "reading_refused",
                say(
                    "{refused_fills} in the light path: this reading says nothing about the final "
                    "refraction. Exchange it for saline and read again, or withdraw it.",
                    refused_fills=REFUSED_FILLS[reading["fill"]],
                ),
            )
        elif reading["fill"] == "oil":
            yield unusual(
                f"{path}.fill", "reading_through_oil",
                "Silicone oil changes the refraction by several dioptres. Use this reading only if "
                "the oil stays and the plan was made for it.",
            )


def refraction(case: Case, today: Today) -> Iterator[Finding]:
    """Each reading has one refraction, and a cylinder has an axis."""
    for path, reading in _readings(case):
        yield from _one_refraction(path, reading)
        yield from cylinder_has_axis(path, reading)
        yield from _distance_of_retinoscope(path, reading)


def _one_refraction(path: str, reading: Case) -> Iterator[Finding]:
    spherical, sphere, cylinder = (reading[key] for key in ("refraction_d", "sphere_d", "cylinder_d"))
    meridians = [reading["meridian_1_d"], reading["meridian_2_d"]]
    if meridians != [None, None]:
        yield from _two_meridians(path, meridians, other=spherical is not None or sphere is not None)
    elif spherical is None and sphere is None:
        yield missing(f"{path}.refraction_d", "missing_for_reading",
                      "The reading has no refraction. Enter it, or withdraw the reading.")
    elif spherical is not None and sphere is not None and cylinder is not None:
        equivalent = sphere + cylinder / 2
        if abs(spherical - equivalent) > SAME_REFRACTION_D:
            yield impossible(
                f"{path}.refraction_d", "two_refractions",
                say(
                    "Sphere and cylinder make {equivalent} D, but {spherical} D was entered as well. "
                    "Clear the one that is wrong.",
                    equivalent=f"{equivalent:+.2f}", spherical=f"{spherical:+.2f}",
                ),
            )


def _two_meridians(path: str, meridians: list[float | None], *, other: bool) -> Iterator[Finding]:
    if None in meridians:
        where = f"{path}.meridian_{1 + meridians.index(None)}_d"
        yield missing(where, "missing_meridian", "Neutralise both meridians, or withdraw the reading.")
    if other:
        yield impossible(f"{path}.meridian_1_d", "two_refractions",
                         "Two meridians and another refraction were entered. Clear the one that is wrong.")


def _distance_of_retinoscope(path: str, reading: Case) -> Iterator[Finding]:
    if reading["working_distance_m"] is not None and reading["instrument"] != "retinoscope":
        yield impossible(f"{path}.working_distance_m", "distance_without_retinoscope",
                         "A working distance belongs to the retinoscope only. Clear it, or choose the "
                         "retinoscope.")


def cylinder_has_axis(path: str, row: Case) -> Iterator[Finding]:
    """Sphere and cylinder belong together; a cylinder needs its axis. Also for visits."""
    sphere, cylinder, axis = row["sphere_d"], row["cylinder_d"], row["axis_deg"]
    if sphere is not None and cylinder is None:
        yield missing(f"{path}.cylinder_d", "missing_cylinder",
                      "Enter the cylinder too; enter 0 if there is none.")
    if sphere is None and cylinder is not None:
        yield missing(f"{path}.sphere_d", "missing_sphere", "Enter the sphere too.")
    if cylinder and axis is None:
        yield missing(f"{path}.axis_deg", "missing_axis", "Enter the axis of the cylinder.")


def conditions(case: Case, today: Today) -> Iterator[Finding]:
    """What is needed to use a reading, and pressures that differ."""
    first: float | None = None
    for path, reading in _readings(case):
        yield from _needed(path, reading)
        iop = reading["iop_mmhg"]
        first = iop if first is None else first
        if iop is not None and first is not None and abs(iop - first) > LARGE_IOP_DIFFERENCE_MMHG:
            yield unusual(
                f"{path}.iop_mmhg", "iop_differs",
                say(
                    "IOP was {first} mmHg at the first reading and {iop} mmHg here. Bring it to the same "
                    "level and read again.",
                    first=f"{first:g}", iop=f"{iop:g}",
                ),
            )


def _needed(path: str, reading: Case) -> Iterator[Finding]:
    for key, message in (
        ("instrument", "Enter what took the reading."),
        ("fill", "Enter what fills the light path; a reading through gas or air is refused."),
        ("iop_mmhg", "Enter the IOP; readings at different pressures cannot be compared."),
        ("length_basis", "Enter how the length outside is known."),
    ):
        if reading[key] is None:
            yield missing(f"{path}.{key}", "missing_for_reading", message)
    if reading["length_basis"] == "measured":
        yield from _both_measured(path, reading)


def _both_measured(path: str, reading: Case) -> Iterator[Finding]:
    for side in _SIDES:
        length = reading[f"outside_{side}_mm"]
        if length is None:
            yield missing(
                f"{path}.outside_{side}_mm", "missing_length",
                "Measure both haptics: pulling one draws the other in.",
            )
        elif length < LEAST_OUTSIDE_MM:
            yield unusual(
                f"{path}.outside_{side}_mm", "short_end",
                say(
                    "Only {length} mm is outside: unless it is held or bulbed, the haptic may slip back "
                    "into the eye.",
                    length=f"{length:g}",
                ),
            )


def removed_lengths(case: Case, today: Today) -> Iterator[Finding]:
    """What was removed only grows, and what is outside now is shorter for it."""
    settled = with_corrected_removals(case)
    for side in _SIDES:
        yield from _removed_on_one_side(settled, side)


def _removed_on_one_side(case: Case, side: str) -> Iterator[Finding]:
    earlier: list[Case] = []
    for path, reading in _readings(case):
        if earlier and reading[f"removed_{side}_mm"] is not None:
            yield from _against_earlier(case, earlier, reading, path, side)
        yield from _against_taut(case, reading, path, side)
        earlier.append(reading)


def _against_earlier(
    case: Case, earlier: list[Case], reading: Case, path: str, side: str
) -> Iterator[Finding]:
    now = reading[f"removed_{side}_mm"]
    before = max((row[f"removed_{side}_mm"] or 0.0 for row in earlier), default=0.0)
    if now < before - _LEAST_MM:
        yield impossible(
            f"{path}.removed_{side}_mm", "removed_became_less",
            say(
                "{before} mm had been removed from this haptic before; it cannot be {now} mm now. Enter "
                "everything removed so far.",
                before=f"{before:g}", now=f"{now:g}",
            ),
        )
    elif now > before + _LEAST_MM and not _drawn_since(case, earlier[-1], reading, side):
        yield from _after_removal(earlier, reading, path, side)


def _after_removal(earlier: list[Case], reading: Case, path: str, side: str) -> Iterator[Finding]:
    known = [(row[f"outside_{side}_mm"], row[f"removed_{side}_mm"] or 0.0) for row in earlier]
    lengths = [(outside, outside + removed) for outside, removed in known if outside is not None]
    outside = reading[f"outside_{side}_mm"]
    if outside is None or not lengths:
        return
    original = outside + reading[f"removed_{side}_mm"]
    before, longest = max(length for length, _ in lengths), max(length for _, length in lengths)
    if outside >= before:
        yield unusual(
            f"{path}.outside_{side}_mm", "not_shorter_after_cut",
            say(
                "More was removed from this haptic, but {outside} mm outside is not less than the "
                "{before} mm before. Enter the length outside now, measured after the cut.",
                outside=f"{outside:g}", before=f"{before:g}",
            ),
        )
    elif original > longest + CALLIPER_MM + _SAME_MM:
        yield unusual(
            f"{path}.outside_{side}_mm", "longer_after_cut",
            say(
                "{outside} mm outside now plus {value} mm removed make {original} mm, more than the "
                "{longest} mm that were out before. Measure again, or log the pull.",
                outside=f"{outside:g}", value=f"{original - outside:g}", original=f"{original:g}",
                longest=f"{longest:g}",
            ),
        )


def _drawn_since(case: Case, last: Case, reading: Case, side: str) -> bool:
    return any(
        entry["haptic"] == side
        and entry["haptic_step"] in _DRAWN
        and after(entry["at"], last["at"])
        and not_after(entry["at"], reading["at"])
        for entry in current_log(case)
    )


def _against_taut(case: Case, reading: Case, path: str, side: str) -> Iterator[Finding]:
    drawn, outside = case["plan"]["drawn_out_mm"], reading[f"outside_{side}_mm"]
    if drawn is None or outside is None:
        return
    original = outside + (reading[f"removed_{side}_mm"] or 0.0)
    if original > drawn + CALLIPER_MM + _SAME_MM:
        yield unusual(
            f"{path}.outside_{side}_mm", "beyond_taut",
            say(
                "With what was removed this is {original} mm, but the haptic is taut at {drawn} mm. Was "
                "a removed piece counted twice? If the haptic was drawn further, change Drawn out.",
                original=f"{original:g}", drawn=f"{drawn:g}",
            ),
        )


CHECKS: Final[tuple[Check, ...]] = (fill, refraction, conditions, removed_lengths)
