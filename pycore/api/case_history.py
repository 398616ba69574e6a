"""Starting the next eye from the surgeon's own finished eyes.

An operation takes ``history`` (stored eyes) or ``surgeon`` (as ``learn`` gives it); with
``ignore_history`` the numbers are those without. What the history moved is always shown.
Without either nothing changes. Tests: ``tests/unit/test_surgeon_learn.py``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from pycore.api.case_learning import LeftOut, Taken, code_of, learn_from
from pycore.api.schema import Item, Notes, flag, listing, mapping, optional
from pycore.api.surgeon_items import calibration_of, surgeon_of
from pycore.belief.calibration import Calibration
from pycore.belief.eye import REFERENCE_OUTSIDE_MM, predict_final
from pycore.belief.outcome import FinalView, Outcome
from pycore.belief.priors import READING_NOISE_SD_D, UNKNOWNS, Prior, by_unknown
from pycore.belief.readings import Reading, prior_belief
from pycore.belief.surgeon import History, SurgeonBelief, learn
from pycore.belief.surgeon_next import next_priors, own_sd, surgeon_now
from pycore.errors import GuylineError, Inconsistent
from pycore.planning.titrate import Case, Titration, titrate
from pycore.words import say

HISTORY_ITEMS: Final[tuple[Item, ...]] = (
    optional("history", listing(mapping), about="The surgeon's stored eyes, to start from."),
    optional("surgeon", mapping, about="What learn gave, instead of history."),
    optional("ignore_history", flag, default=False, about="Predict as if nothing was learned."),
)

#: What a history can move, in the order shown.
LABELS: Final = {
    "lens_position_mm": "Lens position",
    "travel_ratio": "Optic movement per mm of haptic",
    "settle_d": "Table-to-one-month change",
    "entry_effect": "Entry distance",
    "tunnel_effect": "Tunnel length",
    "reading_bias_d:aberrometer": "Reading bias, aberrometer",
    "reading_bias_d:retinoscope": "Reading bias, retinoscope",
    "reading_bias_d:autorefractor": "Reading bias, autorefractor",
}


@dataclass(frozen=True, slots=True)
class CaseHistory:
    """What was learned from stored eyes, which were left out, and what was assumed."""

    history: History
    left_out: tuple[LeftOut, ...]
    assumed: dict[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Start:
    """The surgeon's belief that an eye starts from; ``left_out`` is unknown for a given one."""

    surgeon: SurgeonBelief
    left_out: int | None
    ignored: bool

    @property
    def settled_entries_mm(self) -> tuple[float, ...]:
        """Entry distances whose effect the own eyes settle; none when they are ignored."""
        return () if self.ignored else self.surgeon.settled_entries_mm


def learn_from_cases(
    documents: Iterable[object],
    *,
    formula: str,
    as_of: str | None = None,
    after: str | None = None,
    ignore: Sequence[str] = (),
    this_eye: str | None = None,
) -> CaseHistory:
    """Everything that stored eyes teach for ``formula``; each eye counts once.

    ``as_of`` leaves out visits after that date, ``after`` eyes operated on that date or before it.
    """
    taken: dict[str, Taken] = {}
    left_out: list[LeftOut] = []
    for document in documents:
        found = _one(document, taken, formula=formula, as_of=as_of, ignore=ignore, this_eye=this_eye)
        if isinstance(found, Taken) and after is not None and found.lesson.on <= after:
            message = say(
                "Operated on {on}; you learn from eyes after {after}.",
                on=found.lesson.on, after=after,
            )
            found = LeftOut(found.lesson.code, "before_start", message)
        if isinstance(found, Taken):
            taken[found.lesson.code] = found
        else:
            left_out.append(found)
    return CaseHistory(
        learn([one.lesson for one in taken.values()]),
        tuple(left_out),
        {code: one.assumed for code, one in taken.items() if one.assumed},
    )


def _one(
    document: object,
    taken: dict[str, Taken],
    *,
    formula: str,
    as_of: str | None,
    ignore: Sequence[str],
    this_eye: str | None,
) -> Taken | LeftOut:
    code = code_of(document)
    if code in ignore:
        return LeftOut(code, "excluded", "Excluded by hand.")
    if code == this_eye:
        return LeftOut(code, "this_eye", "An eye does not teach its own prediction.")
    if code in taken:
        return LeftOut(code, "twice", "This eye was given twice; the first one counts.")
    return learn_from(document, formula=formula, as_of=as_of)


def start_of(
    request: dict[str, Any], notes: Notes, *, formula: str, case: dict[str, Any] | None = None
) -> Start | None:
    """What the request starts the eye from; ``None`` when it gives no history.

    A stored eye does not teach itself, and may say that the history is to be ignored.

    Raises :class:`Inconsistent` for history and surgeon together, and for a surgeon learned
    with another base formula.
    """
    given, documents = request["surgeon"], request["history"]
    ignored = request["ignore_history"] or bool(case and case["ignore_history"])
    this_eye = case["code"] if case else None
    if given is not None and documents is not None:
        raise Inconsistent("Give history or surgeon, not both.", field="surgeon")
    if given is not None:
        return Start(_same_formula(given, notes, formula), None, ignored)
    if documents is None:
        return None
    found = learn_from_cases(documents, formula=formula, this_eye=this_eye)
    return Start(surgeon_now(found.history), len(found.left_out), ignored)


def given_surgeon(given: dict[str, Any] | None, notes: Notes, formula: str) -> SurgeonBelief | None:
    """The belief in a request's ``surgeon``; raises as :func:`start_of` does."""
    return None if given is None else _same_formula(given, notes, formula)


def _same_formula(given: dict[str, Any], notes: Notes, formula: str) -> SurgeonBelief:
    belief, learned_with = surgeon_of(given, "surgeon", notes)
    if learned_with != formula:
        raise Inconsistent(
            say(
                "The surgeon was learned with {learned_with}, this eye is planned with {formula}. Learn "
                "again with that formula.",
                learned_with=learned_with, formula=formula,
            ),
            field="surgeon.formula",
        )
    return belief


def started(case: Case, start: Start | None, *, kept: Sequence[str] = ()) -> Case:
    """``case`` with the surgeon's priors, noise and factors; unknowns in ``kept`` stay.

    The very same case when nothing was learned or the history is ignored.
    """
    if start is None or start.ignored or start.surgeon.eyes == 0:
        return case
    surgeon = start.surgeon
    learned = next_priors(surgeon, case.priors)
    priors = {name: part for name, part in learned.items() if name.partition(":")[0] not in kept}
    calibration = calibration_of(surgeon)
    return replace(
        case,
        priors={**priors, **{name: case.priors[name] for name in kept}},
        readings=tuple(_with_noise(reading, calibration) for reading in case.readings),
        calibration=calibration,
    )


def _with_noise(reading: Reading, calibration: Calibration) -> Reading:
    """A reading with its instrument's calibrated noise; one stated by hand stays."""
    if reading.noise_sd_d != READING_NOISE_SD_D[reading.instrument]:
        return reading
    return replace(reading, noise_sd_d=calibration.noise_sd_d[reading.instrument])


def moved_plan(before: Case, after: Case, start: Start | None) -> dict[str, float | None]:
    """Expected refraction at the reference length, with the history less without.

    The interval is the surgeon's own means' alone, along this eye's gradient.
    """
    if after is before or start is None:
        return {"mean_d": 0.0, "sd_d": 0.0, "low80_d": 0.0, "high80_d": 0.0}
    first, second = (
        FinalView.of(case.eye, prior_belief(case.priors)).at(REFERENCE_OUTSIDE_MM).mean_d
        for case in (before, after)
    )
    means = tuple(part.mean for part in by_unknown(after.priors))
    found = predict_final(after.eye, means, outside_mm=REFERENCE_OUTSIDE_MM, unmoved=False)
    sd = own_sd(start.surgeon, dict(zip(UNKNOWNS, found.gradient, strict=True)))
    moved = Outcome(second - first, sd)
    return {"mean_d": moved.mean_d, "sd_d": sd, "low80_d": moved.low80_d, "high80_d": moved.high80_d}


def moved_advice(before: Case, after: Case, titration: Titration) -> dict[str, float | None]:
    """The advised length, and the refraction expected there, with the history less without.

    Nothing can be said where there is no advice without the history.
    """
    if after is before:
        return {"outside_mm": 0.0, "mean_d": 0.0}
    try:
        without = titrate(before)
    except GuylineError:
        return {"outside_mm": None, "mean_d": None}
    outside = titration.advice.option.outside_mm
    return {
        "outside_mm": outside - without.advice.option.outside_mm,
        "mean_d": titration.view.at(outside).mean_d - without.view.at(outside).mean_d,
    }


def history_value(
    start: Start | None, before: Case, after: Case, moved: dict[str, float | None]
) -> dict[str, Any] | None:
    """What the history moved; ``moved`` holds the operation's own differences."""
    if start is None:
        return None
    return {
        "used": 0 if start.ignored else start.surgeon.eyes,
        "left_out": start.left_out,
        "ignored": start.ignored,
        "shifts": shifts_value(before.priors, after.priors),
        "noise_sd_d": dict(after.calibration.noise_sd_d),
        "plan_factor": after.calibration.plan_factor,
        "after_factor": after.calibration.after_factor,
        "moved": moved,
    }


def shifts_value(before: dict[str, Prior], after: dict[str, Prior]) -> list[dict[str, Any]]:
    """Every surgeon-level unknown's mean and SD, as it was and as it is now."""
    return [
        _shift(name, label, _prior(before, name), _prior(after, name)) for name, label in LABELS.items()
    ]


def _prior(priors: dict[str, Prior], name: str) -> Prior:
    return priors.get(name) or priors[name.partition(":")[0]]


def _shift(name: str, label: str, before: Prior, after: Prior) -> dict[str, Any]:
    return {
        "name": name,
        "label": label,
        "default_mean": before.mean,
        "default_sd": before.sd,
        "mean": after.mean,
        "sd": after.sd,
    }
