"""The plan of a two-part rubber mold: two halves on a parting sheet, poured one after the other.

In the frame of the pull X runs to the right and Y up as in the casting frame, and Z runs along the
pull, toward the one who stands before the mold (-Y of the casting frame). Half A lies before the
sheet and is poured first, on the bed; half B lies behind it and is poured on half A.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from moldgen.errors import Finding, Grade, PlanError
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.parting import Parting, Strip, parting_sheet
from moldgen.geometry.shadow import shadow_of
from moldgen.geometry.solids import Solid
from moldgen.job.job import Arrangement, Job
from moldgen.part.part import Part
from moldgen.plan.batch_notes import batch_findings
from moldgen.plan.between import SEAL_MM
from moldgen.plan.board_plan import board_findings, plan_boards, with_boards
from moldgen.plan.cautions import cautions_for, compatibility_findings
from moldgen.plan.clock import late_findings
from moldgen.plan.halves import plan_halves, taken_findings, together
from moldgen.plan.heat import heat_findings
from moldgen.plan.keys import Flange, plan_keys
from moldgen.plan.nouns import Channel, Gate, MoldPlan
from moldgen.plan.poured import poured_halves
from moldgen.plan.printer import stiff_enough, wall_notes
from moldgen.plan.two_part_choice import choice_finding
from moldgen.plan.two_part_loads import half_loads
from moldgen.plan.two_part_nouns import FROM_PULL, TO_PULL, Half, TwoPart, in_pull_frame
from moldgen.plan.two_part_pose import rank_lies
from moldgen.plan.two_part_settle import settle_lie
from moldgen.plan.undercut import Undercut, find_undercuts
from moldgen.plan.undercut_notes import undercut_findings
from moldgen.plan.walls import wall_findings
from moldgen.pose.pose import Pose

Progress = Callable[[str, float], None]

TRESPASS_TOLD_MM3, TRESPASS_MM3 = 0.1, 5.0  # a cube of 1.7 mm of rubber: ours, no source


def plan_two_part(
    part: Part, job: Job, pose: Pose | None = None, progress: Progress | None = None
) -> MoldPlan:
    """Decide everything about a two-part rubber mold.

    Parameters
    ----------
    part : Part
    job : Job
    pose : Pose, optional
        The way up wished for; None lets moldgen choose it with the pull.
    progress : callable, optional
        Called with (label, share done).

    Raises
    ------
    PlanError
        If a channel would not lie between the halves, the keys find no room, or the resin's pour
        is not feasible.
    JobError
        If a material is not known, or a show face takes no triangle of the part.
    """
    if job.arrangement is not None:
        raise PlanError("halves are poured on their bed and on each other: leave arrangement out")
    tell = progress or (lambda _label, _share: None)
    tell("choosing the pull", 0.0)
    lies = rank_lies(part, job, pose)
    settled = settle_lie(part, job, lies, progress, up_is_given=pose is not None)
    lie, pour = settled.lie, settled.pour
    tell("laying the parting sheet", 0.6)
    mesh, block = pour.mesh.moved(TO_PULL), in_pull_frame(pour.block)
    shadow = shadow_of(Solid.from_mesh(mesh, "part").outline())
    gate, vents = pour.channels.gate, pour.channels.vents
    strips = strips_of(gate, vents)
    parting = parting_sheet(mesh, block.low[:2], block.high[:2], strips)
    tell("placing keys", 0.8)
    flange = Flange(parting.sheet, block.low[:2], block.high[:2], shadow, strips)
    keys = plan_keys(flange, job.two_part.key)
    poured = poured_halves(mesh, block, parting.sheet)
    halves = plan_halves(pour, mesh, poured, keys)
    quantities = together(halves)
    wished, job = job.printing, stiff_enough(job, block, job.mold_rubber)
    loads = half_loads(mesh, block, job, job.mold_rubber)
    boards = plan_boards(job, block, mesh, pour.matrix, loads, job.mold_rubber)
    loads = with_boards(loads, boards, job, job.mold_rubber)
    return MoldPlan(
        part=part,
        pose=pour.pose,
        job=job,
        matrix=pour.matrix,
        mesh=pour.mesh,
        arrangement=Arrangement.HUNG,
        block=pour.block,
        gate=gate,
        vents=vents,
        resin_pockets=pour.fates,
        rubber_pockets=tuple(fate for half in halves for fate in half.pockets),
        connections=1 + len(vents),
        tilt_tolerance_deg=pour.tilt_tolerance_deg,
        quantities=quantities,
        loads=loads,
        findings=(
            *compatibility_findings(job.mold_rubber, job.casting_resin),
            *part.findings,
            choice_finding(settled.considered, mesh.volume_mm3, parting.climb_mm),
            *_sheet_findings(parting),
            *undercut_findings(_undercuts(mesh), job.mold_rubber, poured.loops),
            *taken_findings(poured),
            *pour.findings,
            *wall_notes(wished, job.printing),
            *(wall_findings(loads.walls, job.printing) if boards is None else ()),
            *board_findings(boards, (), job),
            *batch_findings(quantities, job),
            *_late_findings(halves, job),
            *heat_findings(job),
        ),
        cautions=cautions_for(job.mold_rubber, job.casting_resin),
        forecast=pour.laid.forecast,
        boards=boards,
        two_part=TwoPart(
            lie.pull,
            parting,
            strips,
            keys,
            block,
            halves,
            settled.considered,
            poured.taken_mm3,
            poured.loops,
        ),
    )


def _late_findings(halves: tuple[Half, Half], job: Job) -> tuple[Finding, ...]:
    """Steps of either half's pour that end later than they may; each told once."""
    found = [finding for half in halves for finding in late_findings(half.quantities, job)]
    return tuple(dict.fromkeys(found))


def strips_of(gate: Gate, vents: tuple[Channel, ...]) -> tuple[Strip, ...]:
    """Where the sheet lies level for the channels, in the frame of the pull."""
    narrow, wide = (d / 2.0 + SEAL_MM for d in (gate.sprue_diameter_mm, gate.funnel_diameter_mm))
    funnel = Strip(_in_pull(_funnel_axis(gate)), wide, narrow)
    return (funnel, *(_strip(channel) for channel in (gate.channel, *vents)))


def _strip(channel: Channel) -> Strip:
    return Strip(_in_pull(channel.points), max(channel.radii_mm) + SEAL_MM)


def _funnel_axis(gate: Gate) -> FloatArray:
    """The funnel's own axis, upright under the top."""
    x, y, top = gate.channel.points[-1]
    return np.array([(x, y, top - gate.funnel_height_mm - SEAL_MM), (x, y, top)])


def _in_pull(points: object) -> FloatArray:
    rows: FloatArray = np.asarray(points, dtype=np.float64) @ TO_PULL[:3, :3].T
    return rows


def _undercuts(mesh: Mesh) -> tuple[Undercut, ...]:
    """The undercuts, with their points in the casting frame."""
    found = find_undercuts(mesh)
    points = [FROM_PULL[:3, :3] @ np.array(u.point) for u in found]
    return tuple(
        replace(u, point=(float(p[0]), float(p[1]), float(p[2])))
        for u, p in zip(found, points, strict=True)
    )


def _sheet_findings(parting: Parting) -> tuple[Finding, ...]:
    sheet = parting.sheet
    if sheet.is_level:
        return (Finding(Grade.NOTE, "the parting sheet is one plane"),)
    steepest = math.degrees(math.atan(float(sheet.slopes.max())))
    found = [
        Finding(
            Grade.NOTE,
            f"the parting line climbs {parting.climb_mm:.1f} mm along the pull; the parting "
            f"sheet stands at {steepest:.0f}° where it is steepest",
            parting.climb_mm,
        )
    ]
    if parting.pinched:
        found.append(
            Finding(
                Grade.CAUTION,
                f"at {parting.pinched} points of the parting line the outline jumps from one "
                "height to another: the rubber has thin edges there; another --pull may spare them",
                float(parting.pinched),
                0.0,
            )
        )
    return (*found, *_trespass_findings(parting.trespass_mm3))


def _trespass_findings(added_mm3: float) -> tuple[Finding, ...]:
    """What a sheet that leaves the part's ends adds to the undercut."""
    if added_mm3 < TRESPASS_TOLD_MM3:
        return ()
    text = f"the sheet itself adds {added_mm3:.1f} mm³ of undercut, where it steps along the pull"
    if added_mm3 <= TRESPASS_MM3:
        return (Finding(Grade.NOTE, text, added_mm3, TRESPASS_MM3),)
    text = f"{text}: the rubber has lips there that give way; another --pull may spare them"
    return (Finding(Grade.CAUTION, text, added_mm3, TRESPASS_MM3),)
