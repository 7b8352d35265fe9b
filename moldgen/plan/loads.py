"""Forces while rubber is poured: does the part float, and how hard are the walls pushed?"""

from __future__ import annotations

from moldgen.job.job import Job
from moldgen.materials.kinds import MoldRubber
from moldgen.physics.hydrostatics import lift_micronewton, wall_force_micronewton
from moldgen.plan.nouns import Block, Loads
from moldgen.units import newton


def plan_loads(
    part_mm3: float, formers_mm3: float, block: Block, job: Job, rubber: MoldRubber
) -> Loads:
    """Lift of part and formers under rubber, and the push on the widest wall.

    Parameters
    ----------
    part_mm3, formers_mm3 : float
        Volumes under the rubber [mm³].
    block : Block
    job : Job
        Its printed density stands for part and formers.
    rubber : MoldRubber

    Notes
    -----
    Rubber is taken to reach under every foot, which is the unsafe case. Holding down and the
    walls' deflection are not computed here: they are None.
    """
    volume = part_mm3 + formers_mm3
    mass = volume * job.printing.part_density_g_cm3 / 1000.0
    width = max(block.high[0] - block.low[0], block.high[1] - block.low[1])
    depth = block.high[2] - block.low[2]
    return Loads(
        lift_n=newton(lift_micronewton(rubber.density_g_mm3, volume, mass)),
        hold_down_n=None,
        wall_force_n=newton(wall_force_micronewton(rubber.density_g_mm3, width, depth)),
        wall_deflection_mm=None,
    )
