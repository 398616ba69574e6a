"""Another entry distance: only where the surgeon's own eyes settle what it does."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from typing import Any

import pytest

from pycore.api import handle
from pycore.belief.priors import INDEX, Prior, default_priors
from pycore.belief.second_lens import SHARE_OTHER_MODEL, for_new_tunnels
from pycore.belief.surgeon import learn, no_history
from pycore.belief.surgeon_eye import lesson
from pycore.belief.surgeon_next import entry_settled, settled_entries_mm
from pycore.planning.another_entry import another_entry
from pycore.planning.titrate import Case, titrate
from tests.simulation.simulated_surgeon import Surgeon, eyes
from tests.unit.test_other_options import case

#: Own eyes say: 0.6 mm less deep for each mm further back, with little doubt left.
KNOWN = Prior(-0.6, 0.15)


def known(eye: Case) -> Case:
    return replace(eye, priors={**default_priors(axial_method="optical", lens_power_d=21.0), "entry_effect": KNOWN})


HYPEROPIC = known(case(1.8, 2.2, 2.0, 1.8))


def test_a_hyperopic_surprise_asks_for_an_entry_that_brings_the_lens_forward() -> None:
    found = another_entry(HYPEROPIC, titrate(HYPEROPIC), (2.0, 3.0, 4.0), iop_mmhg=18.0)
    assert found is not None and found.offered
    assert found.entry_mm == 4.0
    assert found.outlook.titrated_within_050 - found.chance_now >= 0.25


def test_a_myopic_surprise_never_asks_for_it() -> None:
    eye = known(case(-3.0, -2.6, -2.8, -3.0))
    found = another_entry(eye, titrate(eye), (2.0, 3.0))
    assert found is not None and "gain_small" in found.unmet


def test_without_settled_distances_or_readings_there_is_none() -> None:
    for distances in ((), (2.0,), (2.2,)):
        assert another_entry(HYPEROPIC, titrate(HYPEROPIC), distances) is None
    unread = known(case())
    assert another_entry(unread, titrate(unread), (2.0, 3.0)) is None


def test_conditions_are_those_of_another_lens() -> None:
    titration = titrate(HYPEROPIC)
    soft = another_entry(HYPEROPIC, titration, (2.0, 4.0), iop_mmhg=6.0)
    assert soft is not None and soft.unmet == ("soft_eye",)
    once = known(case(2.2))
    single = another_entry(once, titrate(once), (2.0, 4.0), iop_mmhg=18.0)
    assert single is not None and "not_repeated" in single.unmet


def test_new_tunnels_keep_the_label_and_half_of_the_place() -> None:
    after = titrate(HYPEROPIC).after.belief
    found = for_new_tunnels(after, HYPEROPIC.priors)
    for name in ("lens_label_d", "entry_effect", "settle_d", "axial_length_mm"):
        assert found.mean[INDEX[name]] == after.mean[INDEX[name]]
        assert found.sd(INDEX[name]) == pytest.approx(after.sd(INDEX[name]))
    at = INDEX["lens_position_mm"]
    assert found.mean[at] == pytest.approx(SHARE_OTHER_MODEL * after.mean[at])
    assert found.sd(at) > after.sd(at)
    assert (found.mean[INDEX["slip_mm"]], found.mean[INDEX["drift_d"]]) == (0.0, 0.0)


def series(effect: float, per_distance: int, seed: int) -> list[Any]:
    """Own eyes at 2.0 and at 3.5 mm; those further back end ``effect`` mm deeper per mm, 1.3 D per mm."""
    made = []
    for number, eye in enumerate(eyes(Surgeon(), 2 * per_distance, seed=seed)):
        entry = 2.0 if number % 2 else 3.5
        shift = 1.3 * effect * (entry - 2.0)
        made.append(lesson(replace(
            eye, eye=replace(eye.eye, entry_mm=entry), follow_up_d=eye.follow_up_d + shift,
            readings=tuple(replace(one, refraction_d=one.refraction_d + shift) for one in eye.readings))))
    return made


def test_own_eyes_settle_the_sign_or_do_not() -> None:
    clear = learn(series(-0.8, 15, seed=2))
    assert settled_entries_mm(clear) == (2.0, 3.5)
    assert entry_settled(clear)
    assert clear.belief.mean("entry_effect") < 0.0
    assert settled_entries_mm(learn(series(0.0, 15, seed=2))) == ()
    assert settled_entries_mm(learn(series(-0.8, 9, seed=2))) == ()
    assert not entry_settled(learn([]))


def ask(surgeon: dict[str, Any]) -> list[dict[str, Any]]:
    payload = {
        "axial_length_mm": 23.7, "k1_d": 42.5, "k2_d": 43.0, "axial_method": "optical", "formula": "holladay1",
        "constants": {"a": 118.7}, "lens_power_d": 19.0, "target_d": -0.5, "surgeon": surgeon,
        "readings": [
            {"outside_mm": [e, e], "refraction_d": y + 2.0, "instrument": "aberrometer", "iop_mmhg": 18.0}
            for e, y in ((2.5, 0.8), (1.0, 1.2), (1.8, 1.0), (2.5, 0.8))],
        "haptic": {"drawn_out_mm": 2.5},
    }
    answer = json.loads(handle(json.dumps({"id": 1, "operation": "advise", "payload": payload})))
    found: list[dict[str, Any]] = answer["value"]["other_options"]
    return found


def surgeon(**given: Any) -> dict[str, Any]:
    """A surgeon as ``learn`` gives one, with the entry effect known."""
    belief = no_history()
    at = belief.names.index("entry_effect")
    mean = [0.0] * len(belief.names)
    covariance = [list(row) for row in belief.own.covariance]
    mean[at], covariance[at][at] = -0.6, 0.1**2
    return {"formula": "holladay1", "eyes": 40, "names": list(belief.names), "mean": mean, "covariance": covariance,
            "noise_sd_d": belief.noise_sd_d, "plan_factor": 1.0, "after_factor": 1.0, **given}


def test_advice_names_the_entry_only_for_a_surgeon_whose_eyes_settle_it() -> None:
    options = ask(surgeon(settled_entries_mm=[2.0, 3.5]))
    assert [one["option"] for one in options] == ["accept", "another_lens", "another_entry"]
    entry = options[-1]
    assert entry["entry_mm"] == 3.5
    assert "less deep for each mm of entry further back" in entry["message"] or entry["unmet"]
    assert [one["option"] for one in ask(surgeon())] == ["accept", "another_lens"]


def test_the_same_eyes_in_any_order_teach_the_same() -> None:
    """Given in another order nothing changes at all, not even the last digit."""
    from tests.unit.test_surgeon_learn import series as stored
    from tests.unit.test_surgeon_learn import value
    cases = stored(12)
    mixed = list(cases)
    random.Random(3).shuffle(mixed)
    first, second = (value("learn", {"cases": found}) for found in (cases, mixed))
    assert first["surgeon"] == second["surgeon"]
    assert first["trail"] == second["trail"]
