"""Operation ``tilt``: answer, warnings, refusals, and numpy not yet there."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from pycore.api.boundary import answer
from pycore.errors import GuylineError, Infeasible, OpticsError, OutOfRange, WrongUnit

BASIC: dict[str, Any] = {
    "axial_length_mm": 23.5, "k1_d": 43.0, "k2_d": 44.0, "lens_power_d": 21.0, "lens_index": 1.46,
    "tilt_deg": 8, "tilt_axis_deg": 30, "decentre_mm": 0.3, "decentre_axis_deg": 200, "pupil_mm": 3,
}  # fmt: skip

WITHOUT_NUMPY = """
import json, sys
class Block:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] == "numpy" and not allowed:
            raise ModuleNotFoundError("numpy is not here", name="numpy")
allowed = False
sys.meta_path.insert(0, Block())
from pycore.api import handle
request = sys.stdin.read()
first = json.loads(handle(request))
allowed = True
print(json.dumps([first, json.loads(handle(request))]))
"""


def ask(**changes: Any) -> dict[str, Any]:
    return answer("tilt", {**BASIC, **changes})


def test_the_answer_is_consistent_with_itself() -> None:
    value = ask()["value"]
    assert value["shift_d"] == pytest.approx(value["sphere_d"] + value["cylinder_d"] / 2)
    assert value["cylinder_d"] < 0
    assert 0 < value["axis_deg"] <= 180
    paraxial = value["paraxial"]
    assert paraxial["cylinder_d"] == pytest.approx(value["cylinder_d"], abs=0.05)


def test_the_mean_of_the_two_corneal_powers_counts() -> None:
    assert ask(k1_d=43.0, k2_d=44.0)["value"] == ask(k1_d=43.5, k2_d=43.5)["value"]


def test_provenance_names_definition_and_constants() -> None:
    provenance = ask()["provenance"]
    assert "wavefront" in provenance["definition"]
    assert provenance["vertex_mm"] == 12.0
    assert provenance["lens"]["front_mm"] == 4.5
    assert provenance["cornea"]["anterior_radius_mm"] == pytest.approx(337.5 / 43.5)


def test_light_beside_the_optic_is_a_warning() -> None:
    assert ask()["warnings"] == []
    assert [w["code"] for w in ask(pupil_mm=5, decentre_mm=1.0)["warnings"]] == ["pupil_beyond_optic"]


@pytest.mark.parametrize("power", [-10.0, -0.5, 0.0, 0.5, 10.0, 45.0])
@pytest.mark.parametrize("length", [14.0, 24.0, 40.0])
@pytest.mark.parametrize("k_d", [28.0, 43.0, 65.0])
def test_every_possible_eye_is_computed(power: float, length: float, k_d: float) -> None:
    value = ask(lens_power_d=power, axial_length_mm=length, k1_d=k_d, k2_d=k_d)["value"]
    assert value["cylinder_d"] <= 0.0


def test_a_lens_without_power_adds_almost_nothing() -> None:
    value = ask(lens_power_d=0.0)["value"]
    assert abs(value["cylinder_d"]) < 0.02
    assert abs(value["shift_d"]) < 0.02


@pytest.mark.parametrize(
    ("changes", "error", "field"),
    [({"tilt_deg": 46}, OutOfRange, "tilt_deg"), ({"k1_d": 7.8}, WrongUnit, "k1_d"),
     ({"lens_index": 1.4, "lens_power_d": 45}, Infeasible, "lens_index"),
     ({"lens_index": 1.42, "lens_power_d": 45, "pupil_mm": 8, "decentre_mm": 3}, OpticsError, "pupil_mm")],
)  # fmt: skip
def test_refusals_name_the_field(changes: dict[str, Any], error: type[GuylineError], field: str) -> None:
    with pytest.raises(error) as raised:
        ask(**changes)
    assert raised.value.field == field


def test_without_numpy_a_named_error_until_it_is_there() -> None:
    request = json.dumps({"id": 1, "operation": "tilt", "payload": BASIC})
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_NUMPY], input=request, text=True, capture_output=True,
        cwd=Path(__file__).parents[2], check=True, timeout=120,
    )  # fmt: skip
    first, second = json.loads(done.stdout)
    assert first["error"]["code"] == "numpy_not_ready"
    assert second["value"]["cylinder_d"] == pytest.approx(ask()["value"]["cylinder_d"])
