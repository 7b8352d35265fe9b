"""What a print takes of filament, by a plain model of how printers fill a body.

A skin as thick as the perimeters are wide is solid, on every side; of what lies inside it a share
is filled. Purges, brims and supports are not counted. Common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import PrintWishes
from moldgen.units import MM3_PER_CM3

MM_PER_M = 1000.0


@dataclass(frozen=True)
class Filament:
    """What a print takes.

    Attributes
    ----------
    grams_g : float
    length_m : float
        Of the filament [m].
    """

    grams_g: float
    length_m: float


def plan_filament(mesh: Mesh, printing: PrintWishes) -> Filament:
    """Filament for a body: skin times its area, at most the whole body, and the share of the rest.

    Parameters
    ----------
    mesh : Mesh
    printing : PrintWishes

    Notes
    -----
    V = s + f (B - s) with the skin s = min(B, n w A) of n perimeters of width w over the area A,
    the body B and the share f of the infill; the filament is V / (pi d^2 / 4) long. Near edges the
    skin is counted from both sides, so that the figure is rather high.
    """
    body = mesh.volume_mm3
    skin = min(body, printing.perimeters * printing.nozzle_mm * mesh.area_mm2)
    laid = skin + printing.infill_share * (body - skin)
    strand_mm2 = math.pi * printing.filament_mm**2 / 4.0
    return Filament(
        laid * printing.filament_g_cm3 / MM3_PER_CM3,
        laid / strand_mm2 / MM_PER_M,
    )
