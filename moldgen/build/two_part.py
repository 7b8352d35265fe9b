"""The set of a two-part rubber mold: bed, box, rods, and the two halves poured on each other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from moldgen.build.box import build_box
from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.build.keys import key_recipe
from moldgen.build.nouns import Closure, MoldSet, Piece
from moldgen.build.piece import TURNED_OVER, looked_at, printed
from moldgen.build.rubber import PROUD_MM, build_casting, in_one_piece
from moldgen.build.two_part_proof import prove_two_part
from moldgen.geometry.pour_apart import poured_apart
from moldgen.geometry.printable import single_precision
from moldgen.geometry.recipe import Placed
from moldgen.geometry.rigid import placement, rotation_to_z
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.geometry.sweep import swept_up
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part_box import plan_pour_box
from moldgen.plan.two_part_nouns import FROM_PULL, TO_PULL, TwoPart

Progress = Callable[[str, float], None]

LOWERED_MM = 1e-4  # the bed stays this much under the part: skins that coincide leave flakes
SUNK_MM = (0.0, 0.0, -0.005)  # channels in the mold lie that much deeper: no skins that coincide
UNDER_MM = 2.0  # cutting bodies reach out of the block
GATE, VENT = "gate-rod", "vent-rod"


@dataclass(frozen=True, eq=False)
class Cut:
    """The bodies of a mold in two halves, in the frame of the pull.

    Attributes
    ----------
    part, bed, half_a, half_b : Solid
    rods : tuple of Solid
        What fills gate and vents, gate first.
    casting : Solid
    """

    part: Solid
    bed: Solid
    half_a: Solid
    half_b: Solid
    rods: tuple[Solid, ...]
    casting: Solid


def build_two_part(plan: MoldPlan, progress: Progress | None = None) -> MoldSet:
    """Cut every piece of a two-part rubber mold and prove the set.

    Parameters
    ----------
    plan : MoldPlan
        With its sheet, keys and halves.
    progress : callable, optional
        Called with (label, share done).

    Raises
    ------
    SolidError
        If a body cannot be made or falls into pieces.
    CheckError
        If the finished set breaks a promise.
    """
    tell = progress or (lambda _label, _share: None)
    tell("cutting the halves", 0.0)
    cut = cut_halves(plan)
    tell("cutting bed and box", 0.5)
    pieces = (*_box(plan), *_made(plan, cut), *_looked_at(cut))
    filled = sum(s.volume_mm3 for s in (cut.half_a, cut.half_b, cut.part, *cut.rods))
    mold_set = MoldSet(plan, pieces, Closure(plan.block.volume_mm3, filled))
    tell("proving the set", 0.7)
    prove_two_part(mold_set)
    tell("done", 1.0)
    return mold_set


def two_part_of(plan: MoldPlan) -> TwoPart:
    """The halves of a plan that has them."""
    assert plan.two_part is not None
    return plan.two_part


def cut_halves(plan: MoldPlan) -> Cut:
    """Every body between the walls, in the frame of the pull.

    Parameters
    ----------
    plan : MoldPlan

    Raises
    ------
    SolidError
        If a half, the bed or a rod falls into pieces.

    Notes
    -----
    What lies under the sheet, under a channel, or in a key is the bed, as far as it can drop away
    from the part: less the part swept toward the pull. Half A is what can be poured over it, so
    it fills the undercuts behind the sheet that are open to it, but for films beside the bed;
    half B is all the rest.
    """
    two = two_part_of(plan)
    block = Solid.box(two.block.low, two.block.high)
    part = part_of(plan)
    channels = _channels(plan)
    mold, swept = mold_of(plan), swept_up(part.mesh(), two.block.high[2] + UNDER_MM)
    apart = poured_apart(block.minus([part, *channels]), part, mold, swept)
    bed = bed_of(plan, mold, swept)
    names = [GATE, *(f"{VENT}-{i}" for i in range(1, len(channels)))]
    rods = [in_one_piece((c & block) - part, n) for c, n in zip(channels, names, strict=True)]
    casting = build_casting(
        plan.block, part.moved(FROM_PULL), [c.moved(FROM_PULL) for c in channels]
    )
    return Cut(part, bed, apart.half_a, apart.half_b, tuple(rods), casting)


def part_of(plan: MoldPlan) -> Solid:
    """The part in the frame of the pull, its corners as files can hold them.

    So the halves, rounded for their files, still meet it corner for corner.
    """
    return Solid.from_mesh(single_precision(plan.mesh).moved(TO_PULL), "part")


def bed_of(plan: MoldPlan, mold: Solid, swept: Solid) -> Solid:
    """What of the mold can drop away from the swept part, with play in the box."""
    lowered = swept.moved(placement(offset=(0.0, 0.0, -LOWERED_MM)))
    return _largest(mold.split(lowered)[1] & _inside(plan, two_part_of(plan)), "bed")


def _channels(plan: MoldPlan) -> list[Solid]:
    recipes = [gate_recipe(plan.gate, PROUD_MM)]
    recipes += [channel_recipe(vent, PROUD_MM) for vent in plan.vents]
    return [mesh_solid(recipe).moved(TO_PULL) for recipe in recipes]


def mold_of(plan: MoldPlan) -> Solid:
    """What lies behind the sheet, with its keys, and behind the channels that lie in it."""
    two, channels = two_part_of(plan), _channels(plan)
    floor = two.block.low[2] - UNDER_MM
    sheet = Solid.from_mesh(two.parting.sheet.under(floor), "parting sheet")
    keys = [mesh_solid(key_recipe(key)) for key in two.keys]
    behind = [_swept_down(c, floor).moved(placement(offset=SUNK_MM)) for c in channels]
    return Solid.union([sheet, *keys, *behind])


def _swept_down(body: Solid, floor_mm: float) -> Solid:
    """The body and everything behind it, so that nothing overhangs when it is drawn off."""
    over = placement(TURNED_OVER)
    return swept_up(body.mesh().moved(over), -floor_mm).moved(over)


def _largest(body: Solid, name: str) -> Solid:
    return body.components()[0].named(name)


def _inside(plan: MoldPlan, two: TwoPart) -> Solid:
    """The room between the walls, less the play of the bed in them."""
    fit = plan.job.printing.fit_mm
    (x0, y0, z0), (x1, y1, z1) = two.block.low, two.block.high
    return Solid.box((x0 + fit, y0 + fit, z0), (x1 - fit, y1 - fit, z1))


# pieces


def _box(plan: MoldPlan) -> list[Piece]:
    """The box round both pours, from the frame of the pull into the casting frame."""
    pieces = build_box(plan_pour_box(plan), Solid.from_mesh(plan.mesh.moved(TO_PULL)))
    return [_from_pull(piece) for piece in pieces]


def _from_pull(piece: Piece) -> Piece:
    x, y, z, w = (tuple(row) for row in FROM_PULL.tolist())
    assert piece.recipe is not None
    recipe = Placed(piece.recipe, (x, y, z, w))
    return replace(piece, placement=FROM_PULL @ piece.placement, recipe=recipe)


def _made(plan: MoldPlan, cut: Cut) -> list[Piece]:
    up = TO_PULL[:3, :3]
    made = [printed("bed", "bed", cut.bed.moved(FROM_PULL), None, up)]
    for rod in cut.rods:
        role = "gate-cone" if rod.name == GATE else "outlet-rod"
        body = rod.moved(FROM_PULL)
        made.append(printed(rod.name, role, body, None, rotation_to_z((0.0, 0.0, -1.0))))
    return made


def _looked_at(cut: Cut) -> list[Piece]:
    return [
        looked_at("rubber-a", "rubber-a", "rubber", cut.half_a.moved(FROM_PULL)),
        looked_at("rubber-b", "rubber-b", "rubber", cut.half_b.moved(FROM_PULL)),
        looked_at("casting", "casting", "resin", cut.casting),
    ]
