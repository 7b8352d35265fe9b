"""Which cutters of a list are worth it on a surface, and what they leave.

From the thickest on, the next cutter is taken where it removes more than 0.1 mm on at least 1 % of
the cavity, or on 1 mm² of the face on which the halves meet: a socket that is not clear keeps them
apart (both common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.ndimage import grey_erosion

from moldgen.geometry.height_field import HeightField, Holder, Reacher
from moldgen.geometry.reach_closing import Heights
from moldgen.geometry.reach_tool import RoundTool
from moldgen.job.cutters import Cutter, CutterList
from moldgen.plan.reach_nouns import Between, Cells, CutterUse, Left, Reach, Surface
from moldgen.plan.reach_surface import CELLS_ACROSS

LEFT_MM = 0.1  # less is rubbed off by hand
WORTH_SHARE, WORTH_MM2 = 0.01, 1.0
AS_LOW_MM = 0.02  # as much higher is as good, where the length is asked for
FEWEST_CELLS = 3.0  # across a cutter that can be judged
SPOT_CELLS = 3


def plan_reach(surface: Surface, cutters: CutterList) -> Reach:
    """What the cutters leave of a surface.

    Parameters
    ----------
    surface : Surface
    cutters : CutterList

    Notes
    -----
    Cutters are chosen, and the figure below which no answer lies is found, by the kind answer of
    `Reacher`; the strict one gives the other bound.
    """
    field = surface.field
    kind, strict = Reacher(field, kind=True), Reacher(field)
    left = np.where(field.filled, np.float32(field.top_mm), -np.inf).astype(np.float32)
    most, uses = left.copy(), []
    least_mm = FEWEST_CELLS * field.pitch_mm
    for cutter in (c for c in cutters.largest_first if c.diameter_mm >= least_mm):
        lower = np.minimum(left, left_by(kind, cutter))
        use, took = _judged(surface, cutter, left, lower)
        if use.is_used:
            left, most = lower, np.minimum(most, left_by(strict, cutter))
            use = replace(
                use,
                depth_mm=field.top_mm - float(lower[took].min()),
                length_mm=_length_mm(field, cutter, took),
            )
        uses.append(use)
    over, at_most = _over(field, left), _over(field, most)
    return Reach(
        surface,
        tuple(uses),
        _left(surface, over, at_most, surface.cavity),
        _left(surface, over, at_most, surface.face),
        np.where(surface.cavity | surface.face, over, np.float32(0.0)),
        tuple(cutter for cutter in cutters.cutters if cutter.diameter_mm < least_mm),
    )


def tool_of(cutter: Cutter) -> RoundTool:
    """The round tool that a cutter is."""
    return RoundTool(cutter.diameter_mm / 2.0, cutter.round_edge_mm)


def left_by(reacher: Reacher, cutter: Cutter) -> Heights:
    """What one cutter leaves in its holder [mm]."""
    holder = Holder(cutter.holder_diameter_mm / 2.0, cutter.free_length_mm)
    return reacher.left(tool_of(cutter), holder)


def _judged(
    surface: Surface, cutter: Cutter, before: Heights, after: Heights
) -> tuple[CutterUse, Cells]:
    cells = max(int(surface.cavity.sum()), 1)
    took = (surface.cavity | surface.face) & (before > after + np.float32(LEFT_MM))
    share = float((took & surface.cavity).sum()) / cells
    on_face_mm2 = surface.field.area_mm2(took & surface.face)
    is_used = share >= WORTH_SHARE or on_face_mm2 >= WORTH_MM2
    stays = _over(surface.field, after if is_used else before) > LEFT_MM
    return CutterUse(cutter, is_used, share, float((stays & surface.cavity).sum()) / cells), took


def _over(field: HeightField, left: Heights) -> Heights:
    """What is left over the surface; nought where there is none."""
    surface = np.where(field.filled, field.heights, 0.0).astype(np.float32)
    return np.where(field.filled, left - surface, 0.0).astype(np.float32)


def _length_mm(field: HeightField, cutter: Cutter, took: Cells) -> float:
    """How far a cutter must stand out for what it took, on a grid as coarse as the cutter bears."""
    step = max(1, int(cutter.diameter_mm / CELLS_ACROSS / field.pitch_mm))
    coarse = Reacher(field.every(step))
    need = coarse.length_needed(tool_of(cutter), cutter.holder_diameter_mm / 2.0, AS_LOW_MM)
    asked = need[took[::step, ::step]]
    asked = asked[np.isfinite(asked)]
    return float(asked.max()) if len(asked) else 0.0


def _left(surface: Surface, low: Heights, high: Heights, region: Cells) -> Left:
    """Both bounds over a region.

    The strict answer leaves single cells standing beside steep walls, so where nothing is sure to
    be left, the place is looked for on spots three cells wide.
    """
    field = surface.field
    area = Between(*(field.area_mm2(region & (over > LEFT_MM)) for over in (low, high)))
    least, most = (np.where(region, over, 0.0) for over in (low, high))
    spots = grey_erosion(most, size=SPOT_CELLS)
    where = least if least.max() > LEFT_MM else spots
    i, j = divmod(int(where.argmax()), where.shape[1])
    most_mm = Between(float(least.max()), float(max(least.max(), most.max())))
    spot_mm = float(max(least.max(), spots.max()))
    return Left(field.area_mm2(region), area, most_mm, spot_mm, (i, j), surface.told((i, j)))
