"""The drawings of whatever of the box comes out of boards."""

from __future__ import annotations

from moldgen.plan.box import BoxPlan, plan_box
from moldgen.plan.flat import FlatSheet
from moldgen.plan.flat_boards import flat_sheets
from moldgen.plan.flat_routed import routed_sheets
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.routed_nouns import RoutedBox
from moldgen.plan.two_part_box import plan_pour_box


def box_of(plan: MoldPlan) -> BoxPlan:
    """The box that rubber is poured in: round the block, or round the halves of a two-part mold.

    Parameters
    ----------
    plan : MoldPlan
    """
    return plan_pour_box(plan) if plan.two_part else plan_box(plan)


def board_sheets(plan: MoldPlan) -> tuple[FlatSheet, ...]:
    """One drawing a board of the box, numbered as the boards are; none where it is printed.

    Parameters
    ----------
    plan : MoldPlan
    """
    if plan.boards is None:
        return ()
    if isinstance(plan.boards, RoutedBox):
        return routed_sheets(box_of(plan), plan.boards)
    return flat_sheets(box_of(plan), plan.boards)
