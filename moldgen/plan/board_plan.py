"""The box of boards for a block: from the rack, or refused with what is short and what would do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from moldgen.errors import Finding, Grade, PlanError
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.job.job import Arrangement, Job, MoldKind
from moldgen.job.rack import BoxMake
from moldgen.materials.kinds import MoldRubber
from moldgen.physics.hydrostatics import pressure, wall_force_micronewton
from moldgen.physics.plates import Bending, Edge, Edges, Plate, bend_plate
from moldgen.plan.board_nouns import BoardBox, BoardPiece
from moldgen.plan.choice import box_of_choice, choose
from moldgen.plan.formers import FLOOR_MM, FREEBOARD_MM, NOTCH_MM, WEB_MM, FormerPlan
from moldgen.plan.load_nouns import Loads, WallLoad
from moldgen.plan.nouns import Block
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.shortfall import shortfall, thinner_rubber, turned_insides
from moldgen.plan.walls import widest
from moldgen.plan.wanted import Router, Wanted
from moldgen.units import newton

PA_PER_MPA = 1e6
SEEN_MM = 0.05  # less than the last digit that is shown


def require_buildable(job: Job) -> None:
    """Refuse a box for a mold that has none.

    Raises
    ------
    PlanError
    """
    make = job.box.make
    if make is BoxMake.PRINTED:
        return
    if job.kind not in (MoldKind.BLOCK, MoldKind.TWO_PART):
        raise PlanError(f"a {job.kind.value} mold has no box round it: leave --box out")


def carried_by(job: Job) -> Arrangement | None:
    """How the part is to be carried: over boards hung only if asked for, for a bridge takes more
    of them cut to size."""
    if job.box.make is BoxMake.PRINTED:
        return job.arrangement
    return job.arrangement or Arrangement.STANDING


def plan_boards(
    job: Job,
    block: Block,
    mesh: Mesh,
    matrix: FloatArray,
    loads: Loads,
    rubber: MoldRubber,
    hung: bool = False,
) -> BoardBox | RoutedBox | None:
    """The box out of the rack; None where the box is printed.

    Parameters
    ----------
    job : Job
    block : Block
    mesh : Mesh
        The part in the casting frame.
    matrix : (4, 4) float
        Part file's frame to casting frame.
    loads : Loads
    rubber : MoldRubber
    hung : bool
        Whether formers hang from a bridge over the walls.

    Raises
    ------
    PlanError
        If the rack does not make the box.
    """
    if job.box.make is BoxMake.PRINTED:
        return None
    wanted = _wanted(job, block, rubber, hung, hung or loads.rod is not None)
    choice = choose(wanted, job.rack)
    if choice is None:
        raise PlanError(_refusal(wanted, job, mesh, matrix))
    return box_of_choice(wanted, job.rack, choice, (block.low[:2], block.high[:2]))


def with_boards(
    loads: Loads, boards: BoardBox | RoutedBox | None, job: Job, rubber: MoldRubber
) -> Loads:
    """The loads with the walls as the boards make them.

    Parameters
    ----------
    loads : Loads
    boards : BoardBox or RoutedBox, or None
    job : Job
    rubber : MoldRubber
    """
    if boards is None:
        return loads
    by_name = {wall.name: wall for wall in boards.walls}
    walls = tuple(_load(old, by_name[old.name], job, rubber) for old in loads.walls)
    softest = max(walls, key=lambda wall: wall.deflection_mm)
    return replace(
        loads,
        walls=walls,
        wall_force_n=widest(walls).force_n,
        wall_deflection_mm=softest.deflection_mm,
    )


def board_findings(
    boards: BoardBox | RoutedBox | None, formers: Sequence[FormerPlan], job: Job
) -> tuple[Finding, ...]:
    """What a box of boards asks of the maker.

    Parameters
    ----------
    boards : BoardBox or RoutedBox, or None
    formers : sequence of FormerPlan
        Those that stand on the base.
    job : Job
    """
    if boards is None:
        return ()
    found = []
    most = max(boards.clamps, key=lambda clamp: clamp.force_n)
    if most.force_n > job.printing.clamp_n:
        found.append(
            Finding(
                Grade.CAUTION,
                f"the clamp along {most.wall} must press with {most.force_n:.0f} N, twice what "
                f"holds, and {job.printing.clamp_n:g} N are wished for: use stronger clamps, or "
                "stops screwed to the base behind each wall",
                most.force_n,
                job.printing.clamp_n,
            )
        )
    if any(former.channel.way != "straight" for former in formers):
        found.append(
            Finding(
                Grade.CAUTION,
                "a drilled hole does not keep a foot from turning: turn each leaning former until "
                "its tip meets the part as drawn, and glue its foot",
            )
        )
    return (*found, *_webs(formers, job))


def _webs(formers: Sequence[FormerPlan], job: Job) -> Iterator[Finding]:
    """Round holes take more of the base than feet with a flat, so little may be left between."""
    for one, other in combinations(formers, 2):
        reach = one.foot_mm + other.foot_mm + 2.0 * job.printing.fit_mm
        web = math.dist(one.center, other.center) - reach
        if web < WEB_MM - SEEN_MM:
            left = f"leave {web:.1f} mm between them" if web > 0.0 else "run into each other"
            yield Finding(
                Grade.CAUTION,
                f"the holes for {one.name} and {other.name} {left}, {WEB_MM:g} mm wanted: drill "
                "the smaller one first, and seal round both feet",
                web,
                WEB_MM,
            )


def _wanted(job: Job, block: Block, rubber: MoldRubber, hung: bool, barred: bool) -> Wanted:
    """Feet stand in the base only of a standing mold; a bar lies on boards cut to its seat."""
    x, y, fill = (b - a for a, b in zip(block.low, block.high, strict=True))
    printing, box = job.printing, job.box
    routed = box.make is BoxMake.ROUTED
    feet = job.kind is MoldKind.BLOCK and not hung
    depth = min(printing.foot_depth_mm, printing.base_mm - FLOOR_MM) if feet else 0.0
    sunk = NOTCH_MM if barred and not routed else 0.0
    return Wanted(
        inside=(x, y),
        fill_mm=fill,
        wall_mm=fill + FREEBOARD_MM - sunk,
        base_mm=max(depth, GROOVE_MM if routed else 0.0) + FLOOR_MM,
        density_g_mm3=rubber.density_g_mm3,
        bow_mm=printing.bow_mm,
        kerf_mm=box.kerf_mm,
        router=Router(box.cutter_mm, box.edge_mm, box.joint_fit_mm) if routed else None,
        to_size=barred and not routed,
    )


def _load(old: WallLoad, wall: BoardPiece, job: Job, rubber: MoldRubber) -> WallLoad:
    bent = _bent(old, wall, Edge.FREE, rubber)
    held = _bent(old, wall, Edge.HINGED, rubber).deepest[0]
    bow, thick = bent.deepest[0], wall.board.thickness_mm
    force = newton(wall_force_micronewton(rubber.density_g_mm3, old.width_mm, old.depth_mm))
    return replace(
        old,
        force_n=force,
        deflection_mm=bow,
        stress_mpa=bent.largest_stress / PA_PER_MPA,
        enough_mm=thick * (bow / job.printing.bow_mm) ** (1.0 / 3.0),
        batten_mm=held,
        batten_clamp_n=force / 6.0,
    )


def _bent(old: WallLoad, wall: BoardPiece, top: Edge, rubber: MoldRubber) -> Bending:
    plate = Plate(old.width_mm, old.depth_mm, wall.board.thickness_mm, *wall.board.stiffness)
    edges = Edges(Edge.HINGED, Edge.HINGED, Edge.HINGED, top)
    return bend_plate(plate, edges, pressure(rubber.density_g_mm3, old.depth_mm), 0.0)


def _refusal(wanted: Wanted, job: Job, mesh: Mesh, matrix: FloatArray) -> str:
    x, y = wanted.inside
    file = job.rack.path.name if job.rack.path else "the rack"
    near = "; ".join(_nearest(wanted, job, mesh, matrix))
    return (
        f"{file} does not make this box, {x:.1f} × {y:.1f} mm inside with walls of "
        f"{wanted.wall_mm:.1f} mm: {shortfall(wanted, job.rack)}"
        + (f"; {near}" if near else "")
        + "; or use --box printed"
    )


def _nearest(wanted: Wanted, job: Job, mesh: Mesh, matrix: FloatArray) -> Iterator[str]:
    """Of a block: in halves the pull decides how the part lies and what rubber stands where."""
    if job.kind is not MoldKind.BLOCK:
        return
    wishes = job.rubber
    less = thinner_rubber(wanted, job.rack, wishes.wall_mm, wishes.below_mm)
    if less is not None:
        yield (
            f"with less rubber it does: rubber.wall_mm = {wishes.wall_mm - less:.1f} and "
            f"rubber.below_mm = {wishes.below_mm - less:.1f}"
        )
    upright = wishes.above_mm + wishes.below_mm
    extents = [float(v) for v in mesh.extents_mm]
    for axis, inside, fill in turned_insides(extents, wishes.wall_mm, upright):
        higher = wanted.wall_mm - wanted.fill_mm
        turned = replace(wanted, inside=inside, fill_mm=fill, wall_mm=fill + higher)
        if choose(turned, job.rack):
            up = " ".join(f"{v + 0.0:.4g}" for v in matrix[axis, :3].round(6))
            yield (
                f"turned it does, if gate and vents need no wider block: --up {up}, "
                f"{inside[0]:.1f} × {inside[1]:.1f} mm inside with walls of {turned.wall_mm:.1f} mm"
            )
