"""The hold-down: a rod under a bar, its end cut to the part's skin, so that it is a plug later."""

from __future__ import annotations

from moldgen.build.nouns import Piece
from moldgen.build.patch import fine_difference
from moldgen.build.piece import AS_IT_STANDS, printed
from moldgen.build.rubber import PROUD_MM, in_one_piece
from moldgen.geometry.recipe import Placed, Recipe, Turned, Union
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.plan.box import BoxPlan
from moldgen.plan.load_nouns import Rod
from moldgen.plan.nouns import Block

NAME = "hold-down"
JOINED_MM = 1.0  # how far the rod runs on into its bar


def build_hold_down(box: BoxPlan, rod: Rod, bar: Recipe, part: Solid) -> Piece:
    """Bar and rod in one piece, less the part.

    Parameters
    ----------
    box : BoxPlan
    rod : Rod
    bar : Recipe
        Of the bar, in the casting frame.
    part : Solid
        In the casting frame.

    Raises
    ------
    SolidError
        If the rod does not reach the part, or its end falls into pieces.
    """
    foot, _ = box.levels(box.seat_mm + JOINED_MM, 0.0)
    stem = _turned(rod, box.block, foot)
    whole = Union((bar, stem))
    body = in_one_piece(mesh_solid(whole) - part, NAME)
    recipe = fine_difference(whole, mesh_solid(stem), part, NAME)
    return printed(NAME, NAME, body, recipe, AS_IT_STANDS)


def rod_solid(rod: Rod, block: Block) -> Solid:
    """What the rod keeps out of the rubber: sunk into the part, proud of the block's foot."""
    return mesh_solid(_turned(rod, block, block.low[2] - PROUD_MM)).named(NAME)


def _turned(rod: Rod, block: Block, foot_mm: float) -> Recipe:
    """The rod from a height up into the part; it narrows from the block's foot on."""
    x, y, z = rod.point_mm
    stem, tip, low = rod.stem_diameter_mm / 2.0, rod.tip_diameter_mm / 2.0, block.low[2]
    profile = ((stem, foot_mm), (stem, low), (tip, z), (tip, z + rod.sunk_mm))
    rows = ((1.0, 0.0, 0.0, x), (0.0, 1.0, 0.0, y), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
    return Placed(Turned(profile), rows)
