"""The two rigid halves as bodies, which leave casting and each other without a catch.

Where the parting sheet alone frees them, it divides them. Elsewhere everything above the casting is
half A, everything below it half B, and the sheet divides only what lies beside: so half A has
nothing of the casting or of half B over it, half B nothing under it, and each is free along the
pull from the first moment.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from moldgen.build.piece import TURNED_OVER
from moldgen.build.rigid_recipes import (
    BEYOND_MM,
    blanks,
    channel_recipes,
    hole_recipes,
    key_recipes,
    planar_halves,
    rigid_of,
    sheet_solid,
    slot_recipes,
)
from moldgen.build.rubber import in_one_piece
from moldgen.errors import PlanError, SolidError
from moldgen.geometry.recipe import Facets, Recipe
from moldgen.geometry.rigid import placement
from moldgen.geometry.shadow import shadow_of
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.geometry.sweep import swept_up
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.rigid_nouns import RigidPlan
from moldgen.plan.rigid_words import place_words
from moldgen.plan.two_part_nouns import TO_PULL

UNDERCUT_MM = 0.05  # an undercut that shallow is filled: a print does not show it
LEAST_MM3 = 1e-3
TRIED_MM = (0.05, 0.3, 3.0)


@dataclass(frozen=True, eq=False)
class RigidCut:
    """The bodies of a rigid mold, in the frame of the pull.

    Attributes
    ----------
    part, half_a, half_b, casting : Solid
    rooms : dict of Solid
        What is neither half nor part: "channels", "key clearance", "holes", "slots", and "filled",
        what the casting has more than part and channels.
    is_planar : bool
        Whether both halves are as `planar_halves` describes them.
    """

    part: Solid
    half_a: Solid
    half_b: Solid
    casting: Solid
    rooms: dict[str, Solid]
    is_planar: bool

    @property
    def filled_mm3(self) -> float:
        """What the casting has more than part and channels [mm³]."""
        return self.rooms["filled"].volume_mm3 if "filled" in self.rooms else 0.0


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
    part = Solid.from_mesh(plan.mesh.moved(TO_PULL), "part")
    plain = _planar if rigid_of(plan).is_plane else _by_sheet
    try:
        cut = plain(plan, part)
    except SolidError:  # a hollow that the sheet cuts in two
        return _swept(plan, part)
    return cut if _releases(cut) else _swept(plan, part)


def _planar(plan: MoldPlan, part: Solid) -> RigidCut:
    rigid = rigid_of(plan)
    half_a, half_b = planar_halves(plan, Facets(plan.mesh.moved(TO_PULL)))
    block = Solid.box(rigid.block.low, rigid.block.high)
    front = mesh_solid(blanks(rigid)[0])
    sockets = _joined(key_recipes(rigid, plan.job.rigid.key_clearance_mm)) & front
    channels = _joined(channel_recipes(plan))
    return RigidCut(
        part=part,
        half_a=in_one_piece(mesh_solid(half_a), "half-a"),
        half_b=in_one_piece(mesh_solid(half_b), "half-b"),
        casting=_casting(plan, part, channels, []),
        rooms={
            "channels": (channels & block) - part,
            "key clearance": sockets - _joined(key_recipes(rigid)),
            "holes": _joined(hole_recipes(plan)) & block,
            "slots": _joined(slot_recipes(rigid)) & front,
        },
        is_planar=True,
    )


def _by_sheet(plan: MoldPlan, part: Solid) -> RigidCut:
    """Halves that the sheet alone divides: the fewest cuts, where it strays nowhere."""
    rigid = rigid_of(plan)
    block, channels = Solid.box(rigid.block.low, rigid.block.high), _joined(channel_recipes(plan))
    wide = key_recipes(rigid, plan.job.rigid.key_clearance_mm)
    keyed, socketed = (_up_to_sheet(rigid, keys) for keys in (key_recipes(rigid), wide))
    rest = block.minus([part, channels])
    holes, slots = _joined(hole_recipes(plan)), _joined(slot_recipes(rigid))
    return RigidCut(
        part=part,
        half_a=_whole(rest.minus([socketed, holes, slots]), "half-a"),
        half_b=_whole((rest & keyed) - holes, "half-b"),
        casting=_casting(plan, part, channels, []),
        rooms={
            "channels": (channels & block) - part,
            "key clearance": (socketed - keyed) & block,
            "holes": holes & block,
            "slots": slots & (block - socketed),
        },
        is_planar=False,
    )


def _releases(cut: RigidCut) -> bool:
    """Whether both halves leave part and channels."""
    return all(
        abs((half.moved(placement(offset=(0.0, 0.0, way * by))) & cut.casting).volume_mm3)
        <= LEAST_MM3
        for half, way in ((cut.half_a, 1.0), (cut.half_b, -1.0))
        for by in TRIED_MM
    )


def _swept(plan: MoldPlan, part: Solid) -> RigidCut:
    rigid = rigid_of(plan)
    block, channels = Solid.box(rigid.block.low, rigid.block.high), _joined(channel_recipes(plan))
    above, below = (sweep(part + channels, rigid) for sweep in (_over, _under))
    tight = block.minus([below, _up_to_sheet(rigid, key_recipes(rigid)) - above])
    wide = key_recipes(rigid, plan.job.rigid.key_clearance_mm)
    loose = block.minus([below, _up_to_sheet(rigid, wide) - above])
    holes, slots = _joined(hole_recipes(plan)), _joined(slot_recipes(rigid))
    lines = (part + channels) & block
    filled = (above & below & block) - lines
    more = [piece for piece in filled.components() if piece.volume_mm3 > LEAST_MM3]
    if more:
        _require_free(plan, (_over(part, rigid) & _under(part, rigid)) - part)
    return RigidCut(
        part=part,
        half_a=_whole(loose.minus([holes, slots]), "half-a"),
        half_b=_whole(block.minus([above, tight, holes]), "half-b"),
        casting=_casting(plan, part, channels, more),
        rooms={
            "channels": lines - part,
            "filled": filled,
            "key clearance": tight - loose,
            "holes": holes & block,
            "slots": slots & loose,
        },
        is_planar=False,
    )


def _whole(body: Solid, name: str) -> Solid:
    """The body without the crumbs that sweeps leave where they nearly coincide with the part."""
    main, *others = body.components()
    if all(abs(other.volume_mm3) <= LEAST_MM3 for other in others):
        return main.named(name)
    return in_one_piece(body, name)


def _joined(recipes: list[Recipe]) -> Solid:
    return Solid.union([mesh_solid(recipe) for recipe in recipes])


def _casting(plan: MoldPlan, part: Solid, channels: Solid, more: list[Solid]) -> Solid:
    """Part, gate and vents, with what is filled and worth a file."""
    top = rigid_of(plan).block.high[1]
    body = Solid.union([part, channels, *more]).trimmed((0.0, -1.0, 0.0), -top)
    return in_one_piece(body, "casting")


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
