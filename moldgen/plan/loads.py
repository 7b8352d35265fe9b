"""Forces while rubber is poured: does the part float, and how far do the walls bow?"""

from __future__ import annotations

from moldgen.errors import Finding, Grade
from moldgen.job.job import Job
from moldgen.materials.kinds import MoldRubber
from moldgen.materials.read import modulus_pa
from moldgen.physics.hydrostatics import lift_micronewton, pressure, wall_force_micronewton
from moldgen.physics.plates import Edge, Edges, Plate, bend_plate
from moldgen.plan.nouns import Block, Loads
from moldgen.units import GRAVITY_MM_S2, MM3_PER_CM3, newton

PRINT_DENSITY_G_CM3 = 1.0  # formers, printed with some infill: common practice, no source
SAFETY = 2.0  # hold down this many times the lift: common practice, no source
BOW_MM = 0.3  # a wall that bows less than this needs no clamp: common practice, no source


def plan_loads(
    part_mm3: float, formers_mm3: float, block: Block, job: Job, rubber: MoldRubber
) -> Loads:
    """Lift of part and formers under rubber, and the push on the widest wall and its bow.

    Parameters
    ----------
    part_mm3, formers_mm3 : float
        Volumes under the rubber [mm³].
    block : Block
    job : Job
        Density of the part, and thickness of the walls.
    rubber : MoldRubber

    Notes
    -----
    Rubber is taken to reach under every foot, which is the unsafe case. Nothing in the set
    holds the part down but its weight, so `hold_down_n` is None. The wall is reckoned as a plate
    hinged at its sides and foot, free at the fill line; what stands above that only stiffens it.
    """
    return Loads(
        lift_n=newton(_lift(part_mm3, formers_mm3, job, rubber)),
        hold_down_n=None,
        wall_force_n=newton(
            wall_force_micronewton(rubber.density_g_mm3, _width(block), _depth(block))
        ),
        wall_deflection_mm=_bow(block, job, rubber),
    )


def load_findings(loads: Loads, job: Job) -> tuple[Finding, ...]:
    """What the loads ask the maker to do.

    Parameters
    ----------
    loads : Loads
    job : Job
    """
    findings = []
    if loads.lift_n > 0.0:
        grams = SAFETY * loads.lift_n / GRAVITY_MM_S2 * 1e6
        findings.append(
            Finding(
                Grade.CAUTION,
                f"the part floats: rubber lifts it with {loads.lift_n:.2f} N, so glue the feet of "
                f"its formers down or weigh them down with {grams:.0f} g",
                loads.lift_n,
                0.0,
            )
        )
    bow = loads.wall_deflection_mm
    if bow is not None and bow > BOW_MM:
        findings.append(
            Finding(
                Grade.CAUTION,
                f"the widest wall would bow by {bow:.2f} mm, {BOW_MM:g} mm allowed: clamp a batten "
                f"across it, or print walls thicker than {job.printing.wall_mm:g} mm",
                bow,
                BOW_MM,
            )
        )
    return tuple(findings)


def _lift(part_mm3: float, formers_mm3: float, job: Job, rubber: MoldRubber) -> float:
    """Upward force on part and formers together [µN]."""
    part_g = part_mm3 * job.printing.part_density_g_cm3 / MM3_PER_CM3
    formers_g = formers_mm3 * PRINT_DENSITY_G_CM3 / MM3_PER_CM3
    return lift_micronewton(rubber.density_g_mm3, part_mm3 + formers_mm3, part_g + formers_g)


def _bow(block: Block, job: Job, rubber: MoldRubber) -> float:
    """Largest deflection of the widest wall [mm]."""
    modulus, poisson = modulus_pa("printed")
    wall = Plate(_width(block), _depth(block), job.printing.wall_mm, modulus, poisson)
    edges = Edges.open_top(sides=Edge.HINGED, bottom=Edge.HINGED)
    foot_pa = pressure(rubber.density_g_mm3, _depth(block))
    return bend_plate(wall, edges, foot_pa, 0.0).deepest[0]


def _width(block: Block) -> float:
    return max(block.high[0] - block.low[0], block.high[1] - block.low[1])


def _depth(block: Block) -> float:
    return block.high[2] - block.low[2]
