"""The two rigid halves as bodies, which leave casting and each other by the way they are made.

Everything above the casting is half A, everything below it half B, and beside it the parting sheet
divides them. So half A has nothing of the casting or of half B over it, half B nothing under it,
and each is free along the pull from the first moment.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely

from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.build.keys import key_recipe
from moldgen.build.piece import TURNED_OVER
from moldgen.build.rubber import PROUD_MM, in_one_piece
from moldgen.errors import PlanError
from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Box, Placed, Recipe, Turned
from moldgen.geometry.rigid import placement
from moldgen.geometry.shadow import shadow_of
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.geometry.sweep import swept_up
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.rigid_nouns import RigidPlan
from moldgen.plan.rigid_words import place_words
from moldgen.plan.two_part_nouns import TO_PULL

BEYOND_MM = 2.0  # cutting bodies reach out of the block
UNDERCUT_MM = 0.05  # an undercut that shallow is filled: a print does not show it
LEAST_MM3 = 1e-3

Rows: TypeAlias = tuple[
    tuple[float, float, float, float],
    tuple[float, float, float, float],
    tuple[float, float, float, float],
    tuple[float, float, float, float],
]


@dataclass(frozen=True, eq=False)
class RigidCut:
    """The bodies of a rigid mold, in the frame of the pull.

    Attributes
    ----------
    part, half_a, half_b, casting : Solid
    rooms : dict of Solid
        What is neither half nor part: "channels", "filled", "key clearance", "holes", "slots".
    """

    part: Solid
    half_a: Solid
    half_b: Solid
    casting: Solid
    rooms: dict[str, Solid]

    @property
    def filled_mm3(self) -> float:
        """What the casting has more than part and channels [mm³]."""
        return self.rooms["filled"].volume_mm3


def rigid_of(plan: MoldPlan) -> RigidPlan:
    """The halves of a plan that has rigid ones."""
    assert plan.rigid is not None
    return plan.rigid


def cut_rigid(plan: MoldPlan) -> RigidCut:
    """Every body of a rigid mold.

    Parameters
    ----------
    plan : MoldPlan

    Raises
    ------
    PlanError
        If the part has an undercut after all, finer than the plan's grid.
    SolidError
        If a half or the casting falls into pieces.
    """
    rigid = rigid_of(plan)
    block = Solid.box(rigid.block.low, rigid.block.high)
    part = Solid.from_mesh(plan.mesh.moved(TO_PULL), "part")
    channels = Solid.union(channel_solids(plan))
    above, below = _swept(plan, part, channels)
    tight = block.minus([below, _up_to_sheet(rigid, key_recipes(rigid)) - above])
    wide = key_recipes(rigid, plan.job.rigid.key_clearance_mm)
    loose = block.minus([below, _up_to_sheet(rigid, wide) - above])
    holes = Solid.union([mesh_solid(r) for r in hole_recipes(plan)]) & block
    levers = Solid.union([mesh_solid(r) for r in slot_recipes(rigid)])
    cavity, lines = above & below & block, (part + channels) & block
    rooms = {
        "channels": lines - part,
        "filled": cavity - lines,
        "key clearance": tight - loose,
        "holes": holes,
        "slots": levers & loose,
    }
    return RigidCut(
        part=part,
        half_a=in_one_piece(loose.minus([holes, levers]), "half-a"),
        half_b=in_one_piece(block.minus([above, tight, holes]), "half-b"),
        casting=_casting(plan, part, channels, rooms["filled"]),
        rooms=rooms,
    )


def _casting(plan: MoldPlan, part: Solid, channels: Solid, filled: Solid) -> Solid:
    """Part, gate and vents, with what is filled and worth a file."""
    more = [piece for piece in filled.components() if piece.volume_mm3 > LEAST_MM3]
    top = rigid_of(plan).block.high[1]
    body = Solid.union([part, channels, *more]).trimmed((0.0, -1.0, 0.0), -top)
    return in_one_piece(body, "casting")


def _swept(plan: MoldPlan, part: Solid, channels: Solid) -> tuple[Solid, Solid]:
    """The casting with everything above it, and with everything below it.

    Raises
    ------
    PlanError
        If the part lies above and below some room.
    """
    above, below = (sweep(part, rigid_of(plan)) for sweep in (_over, _under))
    _require_free(plan, (above & below) - part)
    return above + _over(channels, rigid_of(plan)), below + _under(channels, rigid_of(plan))


def _over(body: Solid, rigid: RigidPlan) -> Solid:
    """The body and everything above it."""
    return swept_up(body.mesh(), rigid.block.high[2] + BEYOND_MM)


def _under(body: Solid, rigid: RigidPlan) -> Solid:
    """The body and everything below it."""
    over = placement(TURNED_OVER)
    return swept_up(body.mesh().moved(over), BEYOND_MM - rigid.block.low[2]).moved(over)


def _up_to_sheet(rigid: RigidPlan, keys: list[Recipe]) -> Solid:
    """What lies under the parting sheet, with keys standing on it."""
    return Solid.union([sheet_solid(rigid), *(mesh_solid(key) for key in keys)])


def sheet_solid(rigid: RigidPlan) -> Solid:
    """What lies under the parting sheet."""
    floor = rigid.block.low[2] - BEYOND_MM
    return Solid.from_mesh(rigid.parting.sheet.under(floor), "parting sheet")


def _require_free(plan: MoldPlan, stuck: Solid) -> None:
    """Refuse room that is stuck behind the part, but for what a print does not show."""
    for piece in stuck.components():
        depth = _depth_mm(piece)
        if piece.volume_mm3 > LEAST_MM3 and depth > UNDERCUT_MM:
            back = np.linalg.inv(TO_PULL @ plan.matrix)
            x, y, z = (back @ np.append(piece.bounds.mean(axis=0), 1.0))[:3].tolist()
            raise PlanError(
                f"rigid halves cannot leave the part: an undercut "
                f"{place_words((x, y, z), plan.part.mesh)} is {depth:.2f} mm deep and holds "
                f"{piece.volume_mm3:.2g} mm³, {UNDERCUT_MM:g} mm deep at most: give another "
                "--pull, smooth the place, or take --kind two-part"
            )


def _depth_mm(stuck: Solid) -> float:
    """How far a stuck place reaches in sideways: the width of its shadow along the pull [mm]."""
    shadow = shadow_of(stuck.outline())
    if shadow.area <= 0.0:
        return 0.0
    return 2.0 * float(shapely.maximum_inscribed_circle(shadow).length)


# recipes, in the frame of the pull


def channel_recipes(plan: MoldPlan) -> list[Recipe]:
    """Gate and vents, proud of the block."""
    recipes = [gate_recipe(plan.gate, PROUD_MM)]
    recipes += [channel_recipe(vent, PROUD_MM) for vent in plan.vents]
    return [Placed(recipe, rows_of(TO_PULL)) for recipe in recipes]


def channel_solids(plan: MoldPlan) -> list[Solid]:
    """The same as bodies."""
    return [mesh_solid(recipe) for recipe in channel_recipes(plan)]


def key_recipes(rigid: RigidPlan, grown_mm: float = 0.0) -> list[Recipe]:
    """Every key, or its socket with so much clearance [mm]."""
    return [key_recipe(key, grown_mm) for key in rigid.keys]


def hole_recipes(plan: MoldPlan) -> list[Recipe]:
    """The bolts' holes, through both halves and beyond."""
    rigid = rigid_of(plan)
    low, high = rigid.block.low[2] - BEYOND_MM, rigid.block.high[2] + BEYOND_MM
    radius = plan.job.rigid.bolt_hole_mm / 2.0
    bar = Turned(((radius, low), (radius, high)))
    return [Placed(bar, rows_of(placement(offset=(x, y, 0.0)))) for x, y in rigid.bolts]


def slot_recipes(rigid: RigidPlan) -> list[Recipe]:
    """The slots for a lever, reaching out of the block and down to under the sheet's foot."""
    return [Box((x, y, z - BEYOND_MM), slot.high) for slot in rigid.slots for x, y, z in [slot.low]]


def rows_of(matrix: FloatArray) -> Rows:
    """A (4, 4) placement as a recipe holds it [mm]."""
    x, y, z, w = (tuple(float(v) for v in row) for row in matrix)
    return x, y, z, w  # type: ignore[return-value]
