"""Gate cone and outlet rods: channels less the part, on their feet."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.build.nouns import Piece
from moldgen.build.patch import fine_difference
from moldgen.build.piece import TURNED_OVER, printed
from moldgen.build.rubber import PROUD_MM, in_one_piece
from moldgen.geometry.recipe import (
    Box,
    Intersection,
    Placed,
    Prism,
    Recipe,
    Turned,
    Union,
)
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.plan.formers import COLLAR_MM, SINK_MM, FormerPlan
from moldgen.plan.nouns import Block, MoldPlan


@dataclass(frozen=True, eq=False)
class Former:
    """A former in the casting frame, and the channel that it keeps open.

    Attributes
    ----------
    plan : FormerPlan
    channel : Solid
        Sunk into the part and proud of the block's top.
    body : Solid
        What is printed.
    recipe : Recipe or None
        None where the part's skin is too fine for the exact kernel.
    """

    plan: FormerPlan
    channel: Solid
    body: Solid
    recipe: Recipe | None

    @property
    def piece(self) -> Piece:
        """As it lies on the printer: foot down."""
        return printed(self.plan.name, self.plan.role, self.body, self.recipe, TURNED_OVER)


def build_former(former: FormerPlan, plan: MoldPlan, part: Solid) -> Former:
    """Cut one former.

    Parameters
    ----------
    former : FormerPlan
    plan : MoldPlan
    part : Solid
        In the casting frame.

    Raises
    ------
    SolidError
        If its channel does not reach into the part, or its end falls into pieces.
    """
    channel = _channel_recipe(former, plan)
    solid = mesh_solid(channel).named(former.name)
    whole = _with_foot(former, channel, plan.block)
    body = in_one_piece(mesh_solid(whole) - part, former.name)
    return Former(former, solid, body, fine_difference(whole, solid, part, former.name))


def _channel_recipe(former: FormerPlan, plan: MoldPlan) -> Recipe:
    if former.channel is plan.gate.channel:
        return gate_recipe(plan.gate, PROUD_MM)
    return channel_recipe(former.channel, PROUD_MM)


def _with_foot(former: FormerPlan, channel: Recipe, block: Block) -> Recipe:
    """The channel up to the top plane and a little into what carries it."""
    top = block.high[2]
    (x0, y0, z0), (x1, y1, _) = block.low, block.high
    below = Box((x0 - 1.0, y0 - 1.0, z0 - 1.0), (x1 + 1.0, y1 + 1.0, top + SINK_MM))
    trimmed = Intersection((channel, below))
    seat, height = former.seat_mm, former.foot_height_mm
    if seat == top:
        return Union((trimmed, Prism(former.foot_outline, seat, seat + height)))
    foot = Prism(former.foot_outline, seat, seat + height)
    return Union((trimmed, _riser(former, top), foot))


def _riser(former: FormerPlan, top_mm: float) -> Recipe:
    """From the fill line up into the foot; it narrows above a collar."""
    wide, narrow, seat = former.reach_mm, former.stem_mm, former.seat_mm
    profile = ((wide, top_mm), (wide, top_mm + COLLAR_MM), (narrow, seat), (narrow, seat + SINK_MM))
    (x, y) = former.center
    rows = ((1.0, 0.0, 0.0, x), (0.0, 1.0, 0.0, y), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0))
    return Placed(Turned(profile), rows)
