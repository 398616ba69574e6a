"""``tilt``: sphere, cylinder and coma that tilt and decentration add to the centred lens."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from pycore.api.operation import Answer, Operation
from pycore.api.schema import Notes, required
from pycore.optics import thick_eye
from pycore.optics.induced import induced_paraxial
from pycore.optics.pose import Pose
from pycore.optics.thick_eye import ThickEye
from pycore.units import AQUEOUS_INDEX, STANDARD_VERTEX_MM
from pycore.words import say


def run(request: dict[str, Any], notes: Notes) -> Answer:
    from pycore.optics import trace  # only here: it needs numpy, which loads after the first answer

    eye, pose, pupil = _eye(request), _pose(request), request["pupil_mm"]
    shown, coma_um = trace.induced(eye, pose, pupil_mm=pupil)
    _warn_edge(trace.beam_at_lens_mm(eye, pose, pupil_mm=pupil), notes)
    value = {**asdict(shown), "coma_um": coma_um, "paraxial": asdict(induced_paraxial(eye, pose))}
    return Answer(value, _provenance(eye))


def _eye(request: dict[str, Any]) -> ThickEye:
    cornea = thick_eye.round_cornea(k1_d=request["k1_d"], k2_d=request["k2_d"])
    lens = thick_eye.equiconvex_lens(power_d=request["lens_power_d"], index=request["lens_index"])
    return ThickEye(cornea, lens, request["axial_length_mm"])


def _pose(request: dict[str, Any]) -> Pose:
    names = ("tilt_deg", "tilt_axis_deg", "decentre_mm", "decentre_axis_deg")
    return Pose(**{name: request[name] for name in names})


def _warn_edge(reach_mm: float, notes: Notes) -> None:
    if reach_mm > thick_eye.EDGE_DIAMETER_MM / 2.0:
        notes.warn(
            "pupil_beyond_optic",
            say(
                "Light reaches {reach_mm} mm from the lens's axis, beside a {edge_diameter_mm} mm optic: "
                "expect glare as well. The figures take the lens as wide enough.",
                reach_mm=f"{reach_mm:.1f}", edge_diameter_mm=f"{thick_eye.EDGE_DIAMETER_MM:.1f}",
            ),
            field="pupil_mm",
        )


def _provenance(eye: ThickEye) -> dict[str, Any]:
    return {
        "definition": "least RMS wavefront over the pupil, real rays; difference from the centred lens",
        "shown": "real rays; the paraxial values stand beside them",
        "pivot": "lens centre, mid-thickness on its own axis; then shifted",
        "fovea": "where a distant object on the corneal axis is imaged on a plane retina",
        "frame": "TABO, seen from in front: counter-clockwise, 0 at the observer's right",
        "vertex_mm": STANDARD_VERTEX_MM,
        "cornea": {
            "anterior_radius_mm": 1.0 / eye.cornea.anterior.curvature_per_mm,
            "posterior_radius_mm": 1.0 / eye.cornea.posterior.curvature_per_mm,
            "anterior_asphericity": eye.cornea.anterior.asphericity,
            "posterior_asphericity": eye.cornea.posterior.asphericity,
            "thickness_mm": eye.cornea.thickness_mm,
            "index": thick_eye.CORNEA_INDEX,
        },
        "lens": {
            "front_mm": eye.lens_front_mm,
            "curvature_per_mm": eye.lens.front.curvature_per_mm,
            "thickness_mm": eye.lens.thickness_mm,
            "shape": "symmetric, spherical faces",
        },
        "aqueous_index": AQUEOUS_INDEX,
    }


OPERATION = Operation(
    "tilt",
    "What tilt and decentration add to the centred lens: sphere, minus cylinder (TABO, 12 mm), coma.",
    (
        required("axial_length_mm"),
        required("k1_d"),
        required("k2_d"),
        required("lens_power_d"),
        required("lens_index"),
        required("tilt_deg"),
        required("tilt_axis_deg", about="The edge 90 degrees counter-clockwise of it comes forward."),
        required("decentre_mm"),
        required("decentre_axis_deg"),
        required("pupil_mm"),
    ),
    run,
)
