"""What the maker of a rigid mold has to know of its parting."""

from __future__ import annotations

import math

from moldgen.errors import Finding, Grade
from moldgen.job.job import Job
from moldgen.plan.rigid_nouns import Clamping, RigidPlan

STEEP_DEG = 80.0
LAST_CAST = (
    "rigid halves wear and chip at the parting line: keep the edges whole, and clean them before "
    "every cast (common practice, no source)"
)


def parting_findings(rigid: RigidPlan) -> tuple[Finding, ...]:
    """How the halves meet.

    Parameters
    ----------
    rigid : RigidPlan
    """
    return (*_sheet(rigid), Finding(Grade.NOTE, LAST_CAST))


def _sheet(rigid: RigidPlan) -> list[Finding]:
    parting = rigid.parting
    if parting.sheet.is_level:
        return [Finding(Grade.NOTE, "the halves meet in one plane")]
    steepest = math.degrees(math.atan(float(parting.sheet.slopes.max())))
    found = [
        Finding(
            Grade.NOTE,
            f"the parting line climbs {parting.climb_mm:.1f} mm along the pull; the face on which "
            f"the halves meet stands at {steepest:.0f}° where it is steepest, and has no exact "
            "solid: print it from the mesh",
            parting.climb_mm,
        )
    ]
    if steepest > STEEP_DEG or parting.pinched:
        found.append(
            Finding(
                Grade.CAUTION,
                f"the halves meet on faces as steep as {steepest:.0f}° beside the part, which "
                "slide on each other from the first moment: print finely, ease them with fine "
                "abrasive paper until they close, and seal them",
                steepest,
                STEEP_DEG,
            )
        )
    return found


def wider_findings(flange_mm: float, wider_mm: float) -> tuple[Finding, ...]:
    """That the flange was made wider than wished.

    Parameters
    ----------
    flange_mm, wider_mm : float
        As wished, and what was added.
    """
    if not wider_mm:
        return ()
    text = (
        f"the flange is {flange_mm + wider_mm:g} mm wide, {flange_mm:g} mm wished: beside cavity "
        "and funnel, bolts, keys and slots find no room on less"
    )
    return (Finding(Grade.NOTE, text, flange_mm + wider_mm, flange_mm),)


def clamping_findings(clamping: Clamping, bolts: int) -> tuple[Finding, ...]:
    """What drives the halves apart, shared out on the bolts.

    Parameters
    ----------
    clamping : Clamping
    bolts : int
        How many there are.
    """
    each = clamping.clamp_n / bolts
    return (
        Finding(
            Grade.NOTE,
            f"the resin drives the halves apart with {clamping.opening_n:.1f} N, with "
            f"{clamping.flooded_n:.1f} N if it creeps over the whole parting face; {bolts} bolts "
            f"or clamps of {each:.1f} N each hold it. They stand as near as they do for a tight "
            "seam, not for strength (common practice, no source)",
            clamping.flooded_n,
        ),
    )


def print_findings(job: Job) -> tuple[Finding, ...]:
    """What resin does to printed halves.

    Parameters
    ----------
    job : Job
    """
    resin = job.casting_resin
    return (
        Finding(
            Grade.CAUTION,
            f"{resin.title} sticks to bare prints and creeps between their layers: fill and sand "
            "the cavity, seal it with two coats of varnish or epoxy, wax and polish it, and test "
            "a dab of resin with your release agent first (common practice, no source)",
        ),
    )
