"""The log of what was done to each haptic, and the decision that was read back."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from pycore.records.case import Case, current_log, log_rows, rows
from pycore.records.finding import Check, Finding, Today, impossible, missing, unusual
from pycore.records.moments import after
from pycore.words import say

#: A measured reading is a step of the haptic too.
_READING: Final = "reading"
#: Steps whose length is what is outside afterwards, and steps whose length is taken away.
LEAVES_OUTSIDE: Final = ("externalise", "pull", "measure", _READING)
TAKES_AWAY: Final = ("bulb", "cut", "melt")
#: Steps that mean nothing without a length.
_NEEDS_LENGTH: Final = ("cut", "melt", "bury", "measure")
#: Lengths along a haptic are known to half a millimetre (common practice, no source).
_CALLIPER_MM: Final = 0.5
#: The same length written twice may differ by rounding, mm.
_ROUNDING_MM: Final = 0.3
#: Depth of the flange's shoulder when none is planned, mm (common practice, no source).
_USUAL_BURY_MM: Final = 0.3
#: Sums of lengths agree to this, mm.
_SAME_MM: Final = 1e-6
_SIDES: Final = ("a", "b")


def removed_mm(case: Case, side: str, *, before: str | None = None) -> float | None:
    """Everything logged as taken away from one haptic; ``None`` when nothing was logged.

    ``before`` leaves out entries known to be later than that instant.
    """
    taken = [
        entry["length_mm"]
        for entry in current_log(case)
        if entry["haptic"] == side and entry["haptic_step"] in TAKES_AWAY
        and entry["length_mm"] is not None
        and not after(entry["at"], before)
    ]
    return math.fsum(taken) if taken else None


def with_corrected_removals(case: Case) -> Case:
    """The case whose readings say what the corrected log says had been removed before them.

    A reading keeps what the log said when it was taken. If what was cut or melted is corrected
    afterwards the log holds, or the two would contradict each other for good. The argument is
    not changed; a log without corrections changes nothing.
    """
    sides = [side for side in _SIDES if _corrected(case, side)]
    if not sides:
        return case
    return {**case, "readings": [_as_corrected(case, reading, sides) for reading in case["readings"]]}


def _as_corrected(case: Case, reading: Case, sides: list[str]) -> Case:
    logged = {f"removed_{side}_mm": removed_mm(case, side, before=reading["at"]) or 0.0 for side in sides}
    return {**reading, **logged}


def _corrected(case: Case, side: str) -> bool:
    """Whether something that was taken from this haptic was logged again."""
    aims = {entry["corrects"] for entry in case["haptic_log"]} - {None}
    return any(
        entry["haptic"] == side and entry["haptic_step"] in TAKES_AWAY and entry["id"] in aims
        for entry in case["haptic_log"]
    )


def both_buried(case: Case) -> bool:
    """Whether the log says that both flanges are buried."""
    buried = {entry["haptic"] for entry in current_log(case) if entry["haptic_step"] == "bury"}
    return set(_SIDES) <= buried


def complete_entries(case: Case, today: Today) -> Iterator[Finding]:
    """Every entry says which haptic, which step and, where it matters, how long."""
    for path, entry in rows(case, "haptic_log"):
        for key, message in (("haptic", "Enter which haptic."), ("haptic_step", "Enter the step.")):
            if entry[key] is None:
                yield missing(f"{path}.{key}", "missing_in_log", message)
        if entry["haptic_step"] in _NEEDS_LENGTH and entry["length_mm"] is None:
            yield missing(f"{path}.length_mm", "missing_in_log", "Enter the length of this step.")
        if entry["haptic_step"] in TAKES_AWAY and (entry["length_mm"] or 0.0) < 0:
            yield impossible(f"{path}.length_mm", "negative_removed",
                             "A removed length cannot be negative. Enter what was taken away.")


def corrections(case: Case, today: Today) -> Iterator[Finding]:
    """A correction points at one earlier entry of the same haptic that is not yet corrected."""
    seen: dict[str, Case] = {}
    corrected: set[str] = set()
    for path, entry in rows(case, "haptic_log"):
        aim = entry["corrects"]
        if aim is not None:
            yield from _aim(f"{path}.corrects", entry, seen.get(aim), aim in corrected)
            corrected.add(aim)
        if entry["id"] is not None:
            seen[entry["id"]] = entry


def _aim(path: str, entry: Case, aimed: Case | None, already: bool) -> Iterator[Finding]:
    if aimed is None:
        yield impossible(path, "corrects_nothing",
                         "This entry corrects one that does not stand before it in the log.")
    elif already:
        yield impossible(path, "corrected_twice",
                         "The entry it corrects was corrected before. Correct the newer one.")
    elif aimed["haptic"] != entry["haptic"]:
        yield unusual(path, "corrects_other_haptic",
                      "This entry corrects one of the other haptic. Check the clock hour.")


def lengths_in_order(case: Case, today: Today) -> Iterator[Finding]:
    """Nothing longer than what is outside is taken away, and it is shorter afterwards."""
    for side in _SIDES:
        outside: float | None = None
        shortened = False
        for path, step, length in _steps(case, side):
            yield from _fits(path, step, length, outside, shortened)
            yield from _melt_fits(case, path, step, length, outside)
            outside = _outside_after(step, length, outside)
            shortened = step in TAKES_AWAY


def _steps(case: Case, side: str) -> list[tuple[str, str, float | None]]:
    """Path, step and length of one haptic in time; a measured reading says where it lay."""
    logged = [
        (entry["at"] or "", path, entry["haptic_step"], entry["length_mm"])
        for path, entry in log_rows(case)
        if entry["haptic"] == side and entry["haptic_step"]
    ]
    read = [
        (row["at"] or "", path, _READING, row[f"outside_{side}_mm"])
        for path, row in rows(case, "readings")
        if row["withdrawn"] is None and row["length_basis"] == "measured"
    ]
    return [found[1:] for found in sorted(logged + read, key=lambda timed: timed[0])]


def _fits(
    path: str, step: str, length: float | None, outside: float | None, shortened: bool
) -> Iterator[Finding]:
    if length is None or outside is None:
        return
    if step in ("bulb", "cut") and length > outside + _SAME_MM:
        yield impossible(
            f"{path}.length_mm", "removed_more_than_outside",
            say(
                "{length} mm cannot be taken away from {outside} mm outside. Correct this entry, or log "
                "the pull before it.",
                length=f"{length:g}", outside=f"{outside:.1f}",
            ),
        )
    if step == "measure" and shortened and length > outside + _CALLIPER_MM + _SAME_MM:
        yield unusual(
            f"{path}.length_mm", "longer_than_logged",
            say(
                "After what was logged {outside} mm should be outside; {length} mm was measured. Measure "
                "again, or log the pull before it.",
                outside=f"{outside:.1f}", length=f"{length:g}",
            ),
        )


def _melt_fits(
    case: Case, path: str, step: str, length: float | None, outside: float | None
) -> Iterator[Finding]:
    """A haptic is held out further by the depth it will be buried while it is melted."""
    bury = case["plan"]["bury_mm"]
    held = _USUAL_BURY_MM if bury is None else max(bury, 0.0)
    if step != "melt" or length is None or outside is None:
        return
    if length <= outside + held + _ROUNDING_MM + _SAME_MM:
        return
    yield impossible(
        f"{path}.length_mm", "melt_longer_than_outside",
        say(
            "{length} mm cannot be melted with {outside} mm outside. Correct this entry, or log the pull "
            "before it.",
            length=f"{length:g}", outside=f"{outside:.1f}",
        ),
    )


def _outside_after(step: str, length: float | None, outside: float | None) -> float | None:
    if step in LEAVES_OUTSIDE:
        return length
    if step in TAKES_AWAY:
        return None if outside is None or length is None else outside - length
    if step == "bury":
        return None if length is None else -length
    return outside


def removed_as_logged(case: Case, today: Today) -> Iterator[Finding]:
    """A reading's removed lengths are those of the log, as far as nothing was corrected since."""
    for path, reading in rows(with_corrected_removals(case), "readings"):
        for side in _SIDES:
            entered = reading[f"removed_{side}_mm"]
            logged = removed_mm(case, side, before=reading["at"])
            if reading["withdrawn"] is None and entered is not None and logged is not None:
                yield from _same(f"{path}.removed_{side}_mm", entered, logged)


def _same(path: str, entered: float, logged: float) -> Iterator[Finding]:
    if abs(entered - logged) > _ROUNDING_MM + _SAME_MM:
        yield unusual(
            path, "removed_disagrees",
            say(
                "{entered} mm was entered as removed, {logged} mm was logged. Correct the one that is "
                "wrong.",
                entered=f"{entered:g}", logged=f"{logged:g}",
            ),
        )


def decisions(case: Case, today: Today) -> Iterator[Finding]:
    """The advice that was read back is consistent in itself."""
    case = with_corrected_removals(case)
    for path, decision in rows(case, "decisions"):
        yield from _interval(path, decision)
        yield from _cut_fits(case, path, decision)


def _interval(path: str, decision: Case) -> Iterator[Finding]:
    low, mean, high = (decision[key] for key in ("low80_d", "mean_d", "high80_d"))
    if None not in (low, mean, high) and not low <= mean <= high:
        yield impossible(f"{path}.mean_d", "outside_its_interval",
                         "The prediction lies outside its own interval. Make the decision again.")


def _cut_fits(case: Case, path: str, decision: Case) -> Iterator[Finding]:
    """``mean cut = outside - melt + bury - removed``, as in :mod:`pycore.fixation.haptic`."""
    keys = ("outside_mm", "cut_a_mm", "cut_b_mm", "melt_mm", "bury_mm")
    outside, first, second, melt, bury = (decision[key] for key in keys)
    if None in (outside, first, second, melt, bury):
        return
    expected = outside - melt + bury - _mean_removed(case, decision["at"])
    if abs((first + second) / 2 - expected) > _ROUNDING_MM + _SAME_MM:
        yield unusual(
            f"{path}.cut_a_mm", "cut_disagrees",
            say(
                "To leave {outside} mm to the original tip the mean cut is {expected} mm; {value} mm was "
                "recorded. Check the cut before making it.",
                outside=f"{outside:g}", expected=f"{expected:.1f}", value=f"{(first + second) / 2:.1f}",
            ),
        )


def _mean_removed(case: Case, instant: str | None) -> float:
    return math.fsum(_removed_before(case, side, instant) for side in _SIDES) / 2


def _removed_before(case: Case, side: str, instant: str | None) -> float:
    logged = removed_mm(case, side, before=instant)
    read = [
        reading[f"removed_{side}_mm"] or 0.0
        for reading in case["readings"]
        if reading["withdrawn"] is None and not after(reading["at"], instant)
    ]
    return max([logged or 0.0, *read])


CHECKS: Final[tuple[Check, ...]] = (
    complete_entries, corrections, lengths_in_order, removed_as_logged, decisions,
)
