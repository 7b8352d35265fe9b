"""The walls under the rubber: push, bow and stress of each, and what would be stiff enough."""

from __future__ import annotations

import math
from collections.abc import Sequence

from moldgen.errors import Finding, Grade
from moldgen.job.job import PrintWishes
from moldgen.materials.kinds import MoldRubber
from moldgen.materials.read import modulus_pa, print_strength_pa
from moldgen.physics.hydrostatics import pressure, wall_force_micronewton
from moldgen.physics.plates import Bending, Edge, Edges, Plate, bend_plate
from moldgen.plan.load_nouns import WallLoad
from moldgen.plan.nouns import Block
from moldgen.units import newton

RUNNING = ("wall-1", "wall-2")  # along x, past the corners; what they carry hangs in their slots
BETWEEN = ("wall-3", "wall-4")  # along y, between the two
STRESS_SHARE = 0.5  # of its strength that a print is trusted with: common practice, no source
STEP_MM = 0.1  # a thickness is named in steps of this
PA_PER_MPA = 1e6


def plan_walls(block: Block, printing: PrintWishes, rubber: MoldRubber) -> tuple[WallLoad, ...]:
    """Push, bow and stress of the four walls.

    Parameters
    ----------
    block : Block
    printing : PrintWishes
    rubber : MoldRubber

    Notes
    -----
    A wall is reckoned as a plate hinged at its sides and foot, free at the fill line; what stands
    above that only stiffens it. The bow goes with the thickness to the power -3 and the stress with
    -2, so the thickness that would do follows in closed form.
    """
    (x0, y0, z0), (x1, y1, z1) = block.low, block.high
    along_x = _wall(x1 - x0, z1 - z0, printing, rubber)
    along_y = _wall(y1 - y0, z1 - z0, printing, rubber)
    named = [*((name, along_x) for name in RUNNING), *((name, along_y) for name in BETWEEN)]
    return tuple(WallLoad(name, *figures) for name, figures in named)


def widest(walls: Sequence[WallLoad]) -> WallLoad:
    """The wall that bows most."""
    return max(walls, key=lambda wall: wall.width_mm)


def wall_findings(walls: Sequence[WallLoad], printing: PrintWishes) -> tuple[Finding, ...]:
    """One sentence for each pair of walls that bows or bends too far.

    Parameters
    ----------
    walls : sequence of WallLoad
    printing : PrintWishes
    """
    pairs = {wall.width_mm: [w for w in walls if w.width_mm == wall.width_mm] for wall in walls}
    return tuple(
        _finding(pair, printing) for pair in pairs.values() if is_too_soft(pair[0], printing)
    )


def strength_mpa() -> float:
    """What the skin of a printed wall is trusted with [MPa]."""
    return STRESS_SHARE * print_strength_pa()[0] / PA_PER_MPA


def _wall(
    width_mm: float, depth_mm: float, printing: PrintWishes, rubber: MoldRubber
) -> tuple[float, ...]:
    """The figures of a wall in the order of `WallLoad`, but for its name."""
    push = newton(wall_force_micronewton(rubber.density_g_mm3, width_mm, depth_mm))
    bow, stress = _bend(width_mm, depth_mm, Edge.FREE, printing, rubber)
    held, _ = _bend(width_mm, depth_mm, Edge.HINGED, printing, rubber)
    thinner = max((bow / printing.bow_mm) ** (1 / 3), math.sqrt(stress / strength_mpa()))
    enough = math.ceil(printing.wall_mm * thinner / STEP_MM) * STEP_MM
    # Turning about the foot: a third of the push at the top, half of that at each end.
    return (width_mm, depth_mm, push, bow, stress, round(enough, 1), held, push / 6.0)


def _bend(
    width_mm: float, depth_mm: float, top: Edge, printing: PrintWishes, rubber: MoldRubber
) -> tuple[float, float]:
    """Largest deflection [mm] and stress [MPa]."""
    modulus, poisson = modulus_pa("printed")
    plate = Plate(width_mm, depth_mm, printing.wall_mm, modulus, poisson)
    edges = Edges(Edge.HINGED, Edge.HINGED, Edge.HINGED, top)
    bent: Bending = bend_plate(plate, edges, pressure(rubber.density_g_mm3, depth_mm), 0.0)
    return bent.deepest[0], bent.largest_stress / PA_PER_MPA


def is_too_soft(wall: WallLoad, printing: PrintWishes) -> bool:
    """Whether a wall bows or bends farther than is allowed."""
    return wall.deflection_mm > printing.bow_mm or wall.stress_mpa > strength_mpa()


def _finding(pair: Sequence[WallLoad], printing: PrintWishes) -> Finding:
    wall, names = pair[0], _listed([w.name for w in pair])
    batten = (
        f", or clamp a stiff batten across each at the fill line, {wall.depth_mm:.0f} mm over the "
        f"base: each clamp at its ends bears {wall.batten_clamp_n:.1f} N and the wall then bows by "
        f"{wall.batten_mm:.2f} mm"
    )
    stress = (
        f" under {wall.stress_mpa:.1f} MPa, {strength_mpa():g} MPa allowed"
        if wall.stress_mpa > strength_mpa()
        else ""
    )
    return Finding(
        Grade.CAUTION,
        f"{names} would bow by {wall.deflection_mm:.2f} mm, {printing.bow_mm:g} mm allowed"
        f"{stress}: print walls of {wall.enough_mm:.1f} mm"
        + (batten if wall.batten_mm <= printing.bow_mm else ""),
        wall.deflection_mm,
        printing.bow_mm,
    )


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
