"""Making halves on a router, step by step. The order of work is common practice, no source."""

from __future__ import annotations

from moldgen.plan.nouns import MoldPlan
from moldgen.plan.stock import DOWEL_MM
from moldgen.plan.stock_nouns import RoutedHalf
from moldgen.report.phrases import count, mm
from moldgen.report.steps import Step


def router_steps(plan: MoldPlan) -> tuple[Step, ...]:
    """From the blanks to two halves that close.

    Parameters
    ----------
    plan : MoldPlan
        Of a mold with routed halves.
    """
    holes = len(plan.routed[0].blank.bolts)
    return (
        Step(
            "Read the cautions on router and dust. Screw or clamp each blank down flat, its lower "
            "left corner where the drawing has it, and set the origin there, on the top face.",
            tuple(_blank(half) for half in plan.routed),
        ),
        Step(
            f"Drill the two dowel holes, {DOWEL_MM:g} mm, into the table below, and pin the blank: "
            "so it can be taken off and put back, or turned over about their line. Drill the "
            "holes for the bolts.",
            (f"{count(holes, 'hole')} of {mm(plan.routed[0].blank.bolt_hole_mm)} in each half",),
        ),
        Step(
            "Skim the top face, then cut the solids in router/*.stl with the cutters in their "
            "order, the thickest first, each no deeper at once than its maker allows. Measure a "
            "height after every change of cutter.",
            tuple(f"{half.name}: {_cutters(half)}" for half in plan.routed),
        ),
        Step(
            "Cut round each half last; leave a skin or tabs, or hold the half by screws in its "
            "bolt holes, so that it cannot come loose. Look at the map: finish by hand what the "
            "cutters leave."
        ),
        Step(
            "Try the halves on each other, dry: the keys fit one way only, and no light shows "
            "through the seam. Ease keys and steep faces with fine abrasive paper, never the edge "
            "of the cavity."
        ),
    )


def _blank(half: RoutedHalf) -> str:
    blank = half.blank
    size = " × ".join(f"{v:g}" for v in blank.size_mm)
    board = f" from {blank.board.name}" if blank.board else ""
    return f"{half.name} {size} mm{board}"


def _cutters(half: RoutedHalf) -> str:
    return ", ".join(cutter.name for cutter in half.reach.used)
