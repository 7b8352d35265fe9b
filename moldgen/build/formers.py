"""Formers as recipes: the channel, the foot that holds it, less the part it stands against."""

from __future__ import annotations

import numpy as np

from moldgen.build.channels import SINK_MM as INTO_PART_MM
from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Difference, Facets, Placed, Prism, Recipe, Turned, Union
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.plan.formers import COLLAR_MM, SINK_MM, FormerPlan
from moldgen.plan.nouns import MoldPlan

PATCH_MM = 1.5  # the patch of skin reaches this far beyond the former's end
MOST_PATCH_TRIANGLES = 3000


def former_body(plan: MoldPlan, former: FormerPlan) -> Recipe:
    """Channel and foot, before the part is cut away."""
    if former.role == "gate-cone":
        channel = gate_recipe(plan.gate, SINK_MM)
    else:
        channel = channel_recipe(former.channel, SINK_MM)
    foot = Prism(former.foot_outline, former.seat_mm, former.seat_mm + former.foot_height_mm)
    top = plan.block.high[2]
    if former.seat_mm <= top:
        return Union((channel, foot))
    return Union((channel, _riser(former, top), foot))


def _riser(former: FormerPlan, top_mm: float) -> Recipe:
    """From the fill line to the bridge: as wide as the channel, then narrower at 45 degrees."""
    narrow = top_mm + COLLAR_MM + former.reach_mm - former.stem_mm
    profile = [(former.reach_mm, top_mm), (former.reach_mm, top_mm + COLLAR_MM)]
    profile += [(former.stem_mm, narrow), (former.stem_mm, former.seat_mm + SINK_MM)]
    kept = [p for i, p in enumerate(profile) if i == 0 or p[1] > profile[i - 1][1] + 1e-9]
    rows = placement(offset=(*former.center, 0.0)).tolist()
    return Placed(Turned(tuple(kept)), tuple(tuple(row) for row in rows))


def skin_patch(plan: MoldPlan, part: Solid, former: FormerPlan) -> Mesh:
    """The piece of the part that the former's end runs into."""
    foot, reach = np.array(former.channel.points[0]), former.channel.radii_mm[0]
    half = reach + INTO_PART_MM + PATCH_MM
    return (part & Solid.box(foot - half, foot + half)).mesh()


def former_recipe(plan: MoldPlan, part: Solid, former: FormerPlan) -> Recipe | None:
    """The former for both kernels, or None where the skin is too fine for the exact one."""
    patch = skin_patch(plan, part, former)
    if patch.n_triangles > MOST_PATCH_TRIANGLES:
        return None
    return Difference(former_body(plan, former), (Facets(patch),))
