"""Routed halves on the job sheet: each blank, a map of what stays, the cutters in their order."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.job.cutters import Cutter, CutterShape
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.reach import LEFT_MM
from moldgen.plan.reach_nouns import CutterUse, Left, Reach
from moldgen.plan.stock_notes import between, percent
from moldgen.plan.stock_nouns import RoutedHalf
from moldgen.report.boards import Table
from moldgen.report.phrases import mm
from moldgen.report.reach_map import reach_map
from moldgen.report.stock_view import blank_svg, blank_words

HEAD = (
    "cutter",
    "end",
    "worth it",
    "takes",
    "left after",
    "goes down",
    "needs to stand out",
    "has",
)
ENDS = {CutterShape.FLAT: "flat", CutterShape.BALL: "ball"}


@dataclass(frozen=True, eq=False)
class HalfPage:
    """What the sheet says of one routed half: drawing, map, table, and the words for each."""

    title: str
    drawing: str
    drawing_words: str
    map_png: bytes
    map_words: str
    table: Table


def half_pages(plan: MoldPlan) -> tuple[HalfPage, ...]:
    """The routed halves of a plan; none where they are printed.

    Parameters
    ----------
    plan : MoldPlan
    """
    return tuple(_page(half) for half in plan.routed)


def _page(half: RoutedHalf) -> HalfPage:
    reach = half.reach
    return HalfPage(
        half.name,
        blank_svg(half.blank),
        blank_words(half.blank),
        reach_map(reach).png(),
        map_words(reach),
        cutter_table(reach),
    )


def map_words(reach: Reach) -> str:
    """What the map shows, in words with both bounds."""
    lean = f"steepest wall {reach.surface.steepest_deg:.1f}°, {mm(reach.depth_mm)} deep"
    radius = f"inner corners sharper than R {reach.inside_radius_mm:g} mm stay round"
    face = reach.face
    beside = (
        f" On the parting face more than {LEFT_MM:g} mm stays on {_area(face)}."
        if face.area_mm2.low > 0.0
        else " The parting face comes out whole."
    )
    sure = reach.cavity.area_mm2.low > 0.0
    most = f", {reach.cavity.most_mm.low:.2f} mm at least where it is most" if sure else ""
    return (
        f"{reach.surface.name} from above, as it lies on the router; {lean}. More than "
        f"{LEFT_MM:g} mm stays on {_area(reach.cavity)}, {percent(reach.cavity.share)} of the "
        f"cavity{most}; {radius}.{beside}"
    )


def _area(left: Left) -> str:
    return f"{between(left.area_mm2, 1)} mm²"


def cutter_table(reach: Reach) -> Table:
    """The cutters in their order, the thickest first.

    Parameters
    ----------
    reach : Reach
    """
    rows = tuple(_row(use) for use in reach.uses)
    return Table("", HEAD, rows)


def _row(use: CutterUse) -> tuple[str, ...]:
    cutter = use.cutter
    worth = "yes" if use.is_used else "no"
    down, need = (
        (mm(use.depth_mm), mm(use.length_mm) + (" !" if use.is_short else ""))
        if use.is_used
        else ("–", "–")
    )
    shares = (f"{100.0 * share:.1f} %" for share in (use.took_share, use.left_share))
    return (cutter.name, _end(cutter), worth, *shares, down, need, mm(cutter.free_length_mm))


def _end(cutter: Cutter) -> str:
    edge = ENDS.get(cutter.shape, f"edge R {cutter.edge_radius_mm:g}")
    return f"{edge} Ø {cutter.diameter_mm:g}"
