"""Forces while the halves of a two-part mold are poured."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.columns import columns_along
from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job
from moldgen.materials.kinds import MoldRubber
from moldgen.plan.load_nouns import Loads
from moldgen.plan.nouns import Block
from moldgen.plan.walls import plan_walls, widest
from moldgen.units import GRAVITY_MM_S2, MM3_PER_CM3, newton

CELLS = 200


def half_loads(mesh: Mesh, block: Block, job: Job, rubber: MoldRubber) -> Loads:
    """Lift of the part and push on the walls; both in the worse of the two pours.

    Parameters
    ----------
    mesh : Mesh
        The part in the frame of the pull [mm].
    block : Block
        In the same frame.
    job : Job
    rubber : MoldRubber

    Notes
    -----
    The part lies in the bed, then in half A, and rubber stands on it from one side only: what it
    wets presses the part down with the weight of the rubber above, rho g V. So nothing floats
    while the joint is tight, and the lift is negative. Walls are wetted to the fill line in the
    pour of half A at most.
    """
    seen = columns_along(mesh, np.eye(3), float(np.ptp(mesh.vertices, axis=0).max()) / CELLS)
    area = seen.pitch_mm**2
    before = float((block.high[2] - seen.high_mm[seen.met]).sum()) * area
    behind = float((seen.low_mm[seen.met] - block.low[2]).sum()) * area
    part_g = mesh.volume_mm3 * job.printing.part_density_g_cm3 / MM3_PER_CM3
    pressed = rubber.density_g_mm3 * min(before, behind) + part_g
    walls = plan_walls(block, job.printing, rubber)
    return Loads(
        lift_n=-newton(pressed * GRAVITY_MM_S2),
        hold_down_n=None,
        wall_force_n=widest(walls).force_n,
        wall_deflection_mm=widest(walls).deflection_mm,
        walls=walls,
    )
