"""The plan of a block mold: each decision in turn, from the part in its pose to the scale."""

from __future__ import annotations

from collections.abc import Callable

from moldgen.job.job import Arrangement, Job
from moldgen.part.part import Part
from moldgen.plan.batch_notes import batch_findings
from moldgen.plan.block import squared
from moldgen.plan.board_plan import (
    board_findings,
    carried_by,
    plan_boards,
    require_buildable,
    with_boards,
)
from moldgen.plan.cautions import cautions_for, compatibility_findings
from moldgen.plan.clock import late_findings
from moldgen.plan.formers import plan_formers
from moldgen.plan.heat import heat_findings
from moldgen.plan.load_notes import load_findings
from moldgen.plan.loads import plan_loads, rod_volume_mm3
from moldgen.plan.nouns import MoldPlan, PocketFate, Setup
from moldgen.plan.printer import stiff_enough, wall_notes
from moldgen.plan.quantities import plan_quantities
from moldgen.plan.resin_pour import UP, plan_resin_pour
from moldgen.pose.pose import Pose
from moldgen.study.hollows import better_pour, hollow_findings
from moldgen.study.pocket import Pocket

Progress = Callable[[str, float], None]


def plan_mold(part: Part, pose: Pose, job: Job, progress: Progress | None = None) -> MoldPlan:
    """Decide everything about a block mold.

    Parameters
    ----------
    part : Part
    pose : Pose
        How the part lies while resin is poured.
    job : Job
        The wishes.
    progress : callable, optional
        Called with (label, share done).

    Raises
    ------
    PlanError
        If a pocket cannot be reached, the resin gels before the mold is full, or the part is
        unsound in this pose.
    JobError
        If a material is not known, or a show face takes no triangle of the part.
    """
    tell = progress or (lambda _label, _share: None)
    require_buildable(job)
    rubber, resin = job.mold_rubber, job.casting_resin
    pour = plan_resin_pour(part, squared(pose, part.mesh, job.rubber.wall_mm), job, progress)
    finder, block, mesh = pour.finder, pour.block, pour.mesh
    carrying = better_pour(finder, UP, job.channels.limit_mm3, carried_by(job))
    tell("weighing", 0.9)
    wished, job = job.printing, stiff_enough(job, block, rubber)
    gate, vents, bores = pour.channels.gate, pour.channels.vents, pour.bores_mm3
    setup = Setup(job, mesh, carrying.arrangement, block, gate, vents)
    loads = plan_loads(setup, bores, rubber, finder.show)
    hung = carrying.arrangement is Arrangement.HUNG
    boards = plan_boards(job, block, mesh, pour.matrix, loads, rubber, hung)
    loads = with_boards(loads, boards, job, rubber)
    quantities = plan_quantities(
        block.volume_mm3 - mesh.volume_mm3 - bores - rod_volume_mm3(loads, setup),
        mesh.area_mm2,
        mesh.volume_mm3 + bores,
        job,
        rubber,
        resin,
    )
    return MoldPlan(
        part=part,
        pose=pour.pose,
        job=job,
        matrix=pour.matrix,
        mesh=mesh,
        arrangement=carrying.arrangement,
        block=block,
        gate=gate,
        vents=vents,
        resin_pockets=pour.fates,
        rubber_pockets=tuple(_rubber_fate(p) for p in carrying.pockets.pockets),
        connections=1 + len(vents),
        tilt_tolerance_deg=pour.tilt_tolerance_deg,
        quantities=quantities,
        loads=loads,
        findings=(
            *compatibility_findings(rubber, resin),
            *part.findings,
            *hollow_findings(finder, UP, carrying, job.channels.limit_mm3),
            *pour.findings,
            *wall_notes(wished, job.printing),
            *load_findings(loads, setup),
            *board_findings(boards, () if hung else plan_formers(setup, block.high[2]), job),
            *batch_findings(quantities, job),
            *late_findings(quantities, job),
            *heat_findings(job),
        ),
        cautions=cautions_for(rubber, resin),
        forecast=pour.laid.forecast,
        boards=boards,
    )


def _rubber_fate(pocket: Pocket) -> PocketFate:
    return PocketFate(pocket, "none", "no outlet for rubber: brush the first coat into it")
