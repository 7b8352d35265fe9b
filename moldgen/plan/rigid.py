"""The plan of a rigid mold: two halves that are made, not poured, and give nowhere.

In the frame of the pull X runs to the right and Y up as in the casting frame, and Z runs along the
pull, toward the one who stands before the mold (-Y of the casting frame). Half A lies before the
parting sheet, half B behind it with the keys on it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import shapely

from moldgen.errors import JobError, PlanError
from moldgen.geometry.parting import Parting, Strip
from moldgen.geometry.shadow import shadow_of
from moldgen.geometry.solids import Solid
from moldgen.job.job import Arrangement, Job
from moldgen.job.rack import BoxMake
from moldgen.job.rigid import HalfMake, RigidWishes
from moldgen.part.part import Part
from moldgen.plan.batch_notes import batch_findings
from moldgen.plan.cautions import cautions_without_rubber
from moldgen.plan.clock import late_findings
from moldgen.plan.heat import heat_of_print_findings
from moldgen.plan.keys import Flange, plan_keys
from moldgen.plan.nouns import Block, MoldPlan
from moldgen.plan.pull import Pull
from moldgen.plan.quantities import plan_cast
from moldgen.plan.resin_pour import ResinPour
from moldgen.plan.rigid_bolts import Rim, cavity_of, plan_bolts, plan_slots
from moldgen.plan.rigid_draft import draft_findings, plan_draft
from moldgen.plan.rigid_loads import NO_RUBBER, plan_clamping
from moldgen.plan.rigid_notes import (
    clamping_findings,
    parting_findings,
    print_findings,
    wider_findings,
)
from moldgen.plan.rigid_nouns import RigidPlan, Slot
from moldgen.plan.rigid_pose import settle_rigid
from moldgen.plan.rigid_sheet import plan_sheet
from moldgen.plan.stock_notes import seal_findings
from moldgen.plan.two_part import strips_of
from moldgen.plan.two_part_nouns import TO_PULL, in_pull_frame
from moldgen.pose.pose import Pose

Progress = Callable[[str, float], None]

ALONG_PULL = (0.0, 0.0, 1.0)
WIDER_MM = (0.0, 4.0, 8.0, 14.0)  # added to the flange beside and under the cavity


def plan_rigid(
    part: Part, job: Job, pose: Pose | None = None, progress: Progress | None = None
) -> MoldPlan:
    """Decide everything about a mold of two rigid halves.

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
        If the part has an undercut, a channel would not lie between the halves, keys or bolts
        find no room, or the resin's pour is not feasible.
    JobError
        If a material is not known, a wish goes with rubber only, or a show face takes no triangle
        of the part.
    """
    _require_no_rubber(job)
    tell = progress or (lambda _label, _share: None)
    tell("choosing the pull", 0.0)
    settled = settle_rigid(part, _with_flange(job), pose, progress)
    pour = settled.pour
    tell("laying the parting sheet", 0.6)
    rigid, wider = _with_room(pour, settled.lie.pull, job)
    (x0, z0, y1), (x1, z1, y0) = rigid.block.low, rigid.block.high
    block = Block((x0, -y0, z0), (x1, -y1, z1))
    printed = job.rigid.made is HalfMake.PRINTED
    quantities = plan_cast(pour.mesh.volume_mm3 + pour.bores_mm3, job, job.casting_resin)
    return MoldPlan(
        part=part,
        pose=pour.pose,
        job=job,
        matrix=pour.matrix,
        mesh=pour.mesh,
        arrangement=Arrangement.HUNG,
        block=block,
        gate=pour.channels.gate,
        vents=pour.channels.vents,
        resin_pockets=pour.fates,
        rubber_pockets=(),
        connections=1 + len(pour.channels.vents),
        tilt_tolerance_deg=pour.tilt_tolerance_deg,
        quantities=quantities,
        loads=NO_RUBBER,
        findings=(
            *part.findings,
            *draft_findings(rigid.draft),
            *wider_findings(job.rigid.flange_mm, wider),
            *parting_findings(rigid),
            *clamping_findings(rigid.clamping, len(rigid.bolts)),
            *(print_findings(job) if printed else seal_findings(job)),
            *pour.findings,
            *batch_findings(quantities, job),
            *late_findings(quantities, job),
            *(heat_of_print_findings(job) if printed else ()),
        ),
        cautions=cautions_without_rubber(job.casting_resin),
        forecast=pour.laid.forecast,
        rigid=rigid,
    )


def _require_no_rubber(job: Job) -> None:
    if job.arrangement is not None:
        raise PlanError("a rigid mold takes no rubber: leave arrangement out")
    if job.box.make is not BoxMake.PRINTED:
        raise JobError("a rigid mold has no box: leave --box out")


def _with_flange(job: Job) -> Job:
    """The job whose block has the flange of a rigid mold where others have rubber."""
    wish = job.rigid
    room = replace(
        job.rubber,
        wall_mm=wish.flange_mm,
        below_mm=wish.flange_mm,
        above_mm=wish.above_mm,
    )
    return replace(job, rubber=room)


def _with_room(pour: ResinPour, pull: Pull, job: Job) -> tuple[RigidPlan, float]:
    """Both halves, in the least block on whose flange bolts, slots and keys find room."""
    refused: PlanError | None = None
    for wider in WIDER_MM:
        block = in_pull_frame(_block(pour, job.rigid, wider))
        try:
            return _halves(pour, block, pull, job), wider
        except PlanError as error:
            refused = refused or error
    assert refused is not None
    raise refused


def _block(pour: ResinPour, wishes: RigidWishes, wider: float) -> Block:
    """The block of the pour, along the pull no deeper than part and channels ask for."""
    (x0, _, z0), (x1, _, z1) = pour.block.low, pour.block.high
    gate = pour.channels.gate
    rows = [
        (p[1], r) for v in pour.channels.vents for p, r in zip(v.points, v.radii_mm, strict=True)
    ]
    rows += [(p[1], gate.funnel_diameter_mm / 2.0) for p in gate.channel.points]
    middle, radius = np.array(rows).T
    low, high = pour.mesh.bounds[:, 1]
    y0 = min(float(low), float((middle - radius).min())) - wishes.back_mm
    y1 = max(float(high), float((middle + radius).max())) + wishes.back_mm
    return Block((x0 - wider, y0, z0 - wider), (x1 + wider, y1, z1))


def _halves(pour: ResinPour, block: Block, pull: Pull, job: Job) -> RigidPlan:
    mesh = pour.mesh.moved(TO_PULL)
    gate, vents = pour.channels.gate, pour.channels.vents
    shadow = shadow_of(Solid.from_mesh(mesh, "part").outline())
    strips = strips_of(gate, vents)
    parting, is_plane = plan_sheet(mesh, block, strips)
    cavity = cavity_of(shadow, strips)
    rim = Rim(block, cavity)
    bolts = plan_bolts(rim, job.rigid)
    holes = shapely.MultiPoint(bolts).buffer(job.rigid.bolt_hole_mm / 2.0, quad_segs=32)
    slots = plan_slots(rim, parting.sheet, cavity.union(holes))
    keys = plan_keys(_flange(shadow, holes, slots, parting, strips, block, job), job.two_part.key)
    return RigidPlan(
        pull=pull,
        parting=parting,
        is_plane=is_plane,
        strips=strips,
        keys=keys,
        bolts=bolts,
        slots=slots,
        block=block,
        draft=plan_draft(mesh, ALONG_PULL),
        clamping=plan_clamping(cavity, block, job),
    )


def _flange(
    shadow: shapely.Geometry,
    holes: shapely.Geometry,
    slots: tuple[Slot, ...],
    parting: Parting,
    strips: tuple[Strip, ...],
    block: Block,
    job: Job,
) -> Flange:
    """The room for keys: holes and slots are kept clear as the cavity is."""
    notches = [shapely.box(*s.low[:2], *s.high[:2]) for s in slots]
    taken = shapely.union_all([shadow, holes.buffer(job.rigid.bolt_wall_mm), *notches])
    return Flange(parting.sheet, block.low[:2], block.high[:2], taken, strips)
