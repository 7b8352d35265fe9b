"""What drives the halves of a rigid mold apart while it is full of resin."""

from __future__ import annotations

import shapely

from moldgen.job.job import Job
from moldgen.physics.hydrostatics import plane_force_micronewton
from moldgen.plan.load_nouns import Loads
from moldgen.plan.nouns import Block
from moldgen.plan.rigid_nouns import Clamping
from moldgen.units import newton

NO_RUBBER = Loads(lift_n=None, hold_down_n=None, wall_force_n=None, wall_deflection_mm=None)


def plan_clamping(cavity: shapely.Geometry, block: Block, job: Job) -> Clamping:
    """The push of the resin along the pull, and what the bolts have to hold.

    Parameters
    ----------
    cavity : shapely geometry
        Part and channels across the pull [mm].
    block : Block
        In the frame of the pull, where resin stands level at the top of Y.
    job : Job

    Notes
    -----
    A liquid at rest pushes on what it wets, along any direction, with rho g h A of the shadow
    along that direction, h being the depth of the shadow's middle
    (`physics.hydrostatics.plane_force_micronewton`).
    """
    face = shapely.box(*block.low[:2], *block.high[:2])
    opening, flooded = (_push_n(area, block, job) for area in (face.intersection(cavity), face))
    return Clamping(opening, flooded, job.printing.hold_safety * flooded)


def _push_n(area: shapely.Geometry, block: Block, job: Job) -> float:
    depth = float(block.high[1] - area.centroid.y)
    density = job.casting_resin.density_g_mm3
    return newton(plane_force_micronewton(density, float(area.area), depth))
