"""The box in which both halves are poured, in the frame of the pull: the same walls for both.

The bed fills the box from its floor to the sheet, half A from there to the fill line. Turned over,
half A lies on the floor and half B rises to the same fill line.
"""

from __future__ import annotations

from moldgen.plan.box import BoxPlan, require_printable
from moldgen.plan.nouns import MoldPlan


def plan_pour_box(plan: MoldPlan) -> BoxPlan:
    """Base and walls round the block of a two-part mold; nothing hangs or stands in them.

    Parameters
    ----------
    plan : MoldPlan

    Raises
    ------
    PlanError
        If the printed walls are too thin for their joints.
    """
    assert plan.two_part is not None
    if plan.boards is None:
        require_printable(plan.job.printing)
    block = plan.two_part.block
    return BoxPlan(block, plan.job.printing, block.low[2], 1, (), (), plan.boards)
