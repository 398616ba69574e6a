"""The aphakic refraction: retinoscopy, and the refractive vergence route to the lens power."""

from __future__ import annotations

from typing import Final

from pycore.belief.priors import Prior
from pycore.formulas import ThinEye
from pycore.optics.retinoscopy import net_sphere_d
from pycore.planning.aphakic import AphakicReading, LengthAndCornea, aphakic_route, aphakic_slopes
from tests.published.check import OutsideCheck

PRINCIPLE: Final = "common principle of retinoscopy, secondary educational source"
HOLLADAY: Final = "equation of Holladay JT, Am J Ophthalmol 1993;116:63-66, computed independently"
THIN_LENS: Final = "aphakic refraction of a thin eye, K 43.5 (index 1.333), computed independently"
EXACT: Final = LengthAndCornea(Prior(0.0, 0.0), Prior(0.0, 0.0))


def _route(refraction_d: float, target_d: float, *, noise_sd_d: float = 0.4) -> tuple[float, float]:
    """Power and its SD at K 43, lens 5.2 mm behind the cornea, vertex 12 mm."""
    route = aphakic_route(ThinEye(23.5, 5.2, 43.0), EXACT,
                          AphakicReading(refraction_d, noise_sd_d, Prior(0.0, 0.0)),
                          target_d=target_d, position_sd_mm=0.0)
    return route.power_d, route.sd_d


def _aphakic(axial_length_mm: float) -> float:
    return aphakic_slopes(ThinEye(axial_length_mm, 5.0, 43.5 * 333.0 / 337.5), (0.0, 0.0)).refraction_d


STEFANSSON: Final = "Stefansson E et al., Retina 1988;8:20-23: aphakic eyes without oil, 10 to 12 D"

CHECKS: Final[list[OutsideCheck]] = [
    *(
        OutsideCheck(f"retinoscopy at {distance} m takes off", PRINCIPLE, "secondary", lens, 0.01,
                     lambda distance=distance: net_sphere_d(12.0, working_distance_m=distance) - 12.0)
        for distance, lens in ((0.67, -1.5), (0.5, -2.0), (0.4, -2.5))
    ),
    OutsideCheck("power by the aphakic route, +12.50 to 0", HOLLADAY, "consistency", 22.778, 0.0005,
                 lambda: _route(12.5, 0.0)[0]),
    OutsideCheck("power by the aphakic route, +12.50 to -0.50", HOLLADAY, "consistency", 23.493, 0.0005,
                 lambda: _route(12.5, -0.5)[0]),
    OutsideCheck("lens power per dioptre of aphakic refraction", HOLLADAY, "consistency", 2.30, 0.005,
                 lambda: _route(12.5, -0.5, noise_sd_d=1.0)[1]),
    *(
        OutsideCheck(f"second route, aphakic refraction at {length:g} mm", THIN_LENS, "consistency", refraction,
                     0.005, lambda length=length: _aphakic(length))
        for length, refraction in ((21.0, 16.58), (23.5, 11.94), (26.0, 7.68))
    ),
    OutsideCheck("second route, aphakic refraction of an ordinary eye, 24 mm", STEFANSSON, "journal", 11.0, 1.0,
                 lambda: _aphakic(24.0)),
]
