"""The thick eye that is traced: a round conic cornea, a lens of known shape, a plane retina.

It stands in for the eye at hand where only tilt and decentration are asked: differences from
the centred lens, not the refraction itself, which the thin-lens formulas predict.

Cornea. Anterior radius from the mean keratometric power, ``Ra = 337.5 / ((K1 + K2) / 2)``;
corneal astigmatism is left out, as no axis is given and what the pose adds is a difference from
the same eye with the lens centred. Posterior radius :data:`POSTERIOR_RATIO` times the anterior;
asphericities and indices by Liou HL, Brennan NA, J Opt Soc Am A 1997;14:1684-95 (surface values
from memory).

Lens. Equiconvex (equiconcave for minus powers), spherical faces, the labelled power being its
thick-lens equivalent power in aqueous::

    p = 1000 (n - 1.336) / R                    one face, D
    P = 2 p - (t / 1000 n) p^2                  lens, D
    t = 0.25 + 2 sag(3 mm)                      plus lens: 0.25 mm edge at 6 mm
    t = 0.25                                    minus lens: 0.25 mm at its centre

Real lenses differ in shape factor and asphericity, so their own figures differ a little.

Place. Front vertex of the centred lens :data:`LENS_FRONT_MM` behind the corneal vertex.

Valid for K 28 to 65 D, lens -10 to +45 D and index 1.40 to 1.80, except where no lens of that
power and index is 6 mm wide (:class:`Infeasible`). Checked by tests/reference/test_thick_eye.py
and tests/published/checks_schematic_eyes.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pycore.errors import Infeasible, OpticsError
from pycore.optics.conic import Conic, sag_mm
from pycore.optics.paraxial import Face, cardinal_points, corneal_refraction_d
from pycore.units import AQUEOUS_INDEX, corneal_radius_mm
from pycore.words import say

#: Corneal index, Liou and Brennan 1997.
CORNEA_INDEX: Final = 1.376
#: Conic constants of the corneal faces, Liou and Brennan 1997 (values from memory).
ANTERIOR_ASPHERICITY: Final = -0.18
POSTERIOR_ASPHERICITY: Final = -0.60
#: Posterior over anterior radius, 6.40 / 7.77 mm, Liou and Brennan 1997 (values from memory).
POSTERIOR_RATIO: Final = 6.40 / 7.77
#: Central thickness, mm; our assumption (common practice, no source).
CORNEA_THICKNESS_MM: Final = 0.55

#: Thinnest place of the lens, and the diameter at which a plus lens reaches it, mm; our assumption.
EDGE_MM: Final = 0.25
EDGE_DIAMETER_MM: Final = 6.0
#: Front vertex of the centred lens behind the corneal vertex, mm; our assumption. A thin-lens
#: position of 5.0 mm less the 0.5 mm that the front vertex lies before it (Schroder S,
#: Langenbucher A, PLoS One 2018;13:e0198824 give 0.57 mm for a 0.9 mm lens).
LENS_FRONT_MM: Final = 4.5


@dataclass(frozen=True, slots=True)
class Cornea:
    """Two conic faces ``thickness_mm`` apart, index :data:`CORNEA_INDEX`."""

    anterior: Conic
    posterior: Conic
    thickness_mm: float = CORNEA_THICKNESS_MM


@dataclass(frozen=True, slots=True)
class Lens:
    """Front and back face, centre thickness (mm) and index."""

    front: Conic
    back: Conic
    thickness_mm: float
    index: float


@dataclass(frozen=True, slots=True)
class ThickEye:
    """Cornea, lens, the lens's front vertex when centred, and the retina, mm from the vertex."""

    cornea: Cornea
    lens: Lens
    axial_length_mm: float
    lens_front_mm: float = LENS_FRONT_MM

    @property
    def lens_centre_mm(self) -> float:
        """Middle of the lens on its own axis: the pivot of every tilt."""
        return self.lens_front_mm + self.lens.thickness_mm / 2.0


def round_cornea(*, k1_d: float, k2_d: float) -> Cornea:
    """A cornea of revolution with the mean of two keratometric powers (index 1.3375)."""
    anterior = corneal_radius_mm((k1_d + k2_d) / 2.0)
    return Cornea(
        Conic(1.0 / anterior, ANTERIOR_ASPHERICITY),
        Conic(1.0 / (anterior * POSTERIOR_RATIO), POSTERIOR_ASPHERICITY),
    )


def equiconvex_lens(*, power_d: float, index: float, asphericity: float = 0.0) -> Lens:
    """The symmetric lens of equivalent power ``power_d`` in aqueous.

    Raises :class:`Infeasible` when the faces would have to be steeper than a hemisphere. The
    asphericity (both faces, the back one mirrored) changes neither radius nor thickness.
    """
    curvature = _symmetric_curvature(power_d, index)
    return Lens(
        Conic(curvature, asphericity), Conic(-curvature, asphericity), _thickness_mm(curvature), index
    )


def faces(eye: ThickEye) -> tuple[Face, ...]:
    """The centred eye's four surfaces for paraxial work."""
    cornea, lens = eye.cornea, eye.lens
    gap = eye.lens_front_mm - cornea.thickness_mm
    return (
        Face(cornea.anterior.curvature_per_mm, CORNEA_INDEX, cornea.thickness_mm),
        Face(cornea.posterior.curvature_per_mm, AQUEOUS_INDEX, gap),
        Face(lens.front.curvature_per_mm, lens.index, lens.thickness_mm),
        Face(lens.back.curvature_per_mm, AQUEOUS_INDEX),
    )


def equivalent_power_d(lens: Lens) -> float:
    """Power of ``lens`` in aqueous, from its surfaces; zero for plane faces."""
    if lens.front.curvature_per_mm == 0.0:
        return 0.0
    surfaces = (
        Face(lens.front.curvature_per_mm, lens.index, lens.thickness_mm),
        Face(lens.back.curvature_per_mm, AQUEOUS_INDEX),
    )
    return cardinal_points(surfaces, index_before=AQUEOUS_INDEX).power_d


def centred_refraction_d(eye: ThickEye) -> float:
    """Paraxial correction (D) of the centred eye at the corneal vertex; minus is myopic."""
    return corneal_refraction_d(faces(eye), axial_length_mm=eye.axial_length_mm)


def _symmetric_curvature(power_d: float, index: float) -> float:
    step = 1000.0 * (index - AQUEOUS_INDEX)
    curvature = power_d / (2.0 * step)
    try:
        for _ in range(100):
            previous, face = curvature, step * curvature
            curvature = (power_d + _thickness_mm(curvature) / (1000.0 * index) * face**2) / (2.0 * step)
            if abs(curvature - previous) < 1e-15:
                return curvature
    except OpticsError:
        pass
    raise Infeasible(
        say(
            "No symmetric lens of {power_d} D and index {index} is {edge_diameter_mm} mm wide. Check the "
            "lens power and the index.",
            power_d=f"{power_d:g}", index=f"{index:g}", edge_diameter_mm=f"{EDGE_DIAMETER_MM:g}",
        ),
        field="lens_index",
    )


def _thickness_mm(curvature: float) -> float:
    if curvature <= 0.0:
        return EDGE_MM
    return EDGE_MM + 2.0 * sag_mm(Conic(curvature), EDGE_DIAMETER_MM / 2.0)
