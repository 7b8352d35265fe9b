"""Small plans for this room's tests, written as nouns: a ball, and a U with gate and vent."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from moldgen.build.nouns import MoldSet
from moldgen.build.set import build_set
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box, Union
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement, Job
from moldgen.job.rack import BoxWishes, Rack
from moldgen.materials.read import rubber
from moldgen.part.part import Part
from moldgen.plan.board_plan import plan_boards, with_boards
from moldgen.plan.nouns import Block, Channel, Gate, Loads, MoldPlan, Quantities, Weighed
from moldgen.plan.walls import plan_walls
from moldgen.pose.pose import Pose
from moldgen.study.pocket import Pocket
from moldgen.units import LengthUnit

NOTHING = Weighed(0.0, 0.0, 0.0, ())


def ball_mesh(radius_mm: float) -> Mesh:
    """A ball of facets standing on z = 0: rings of 48 corners between two poles on the axis."""
    latitudes = np.linspace(-math.pi / 2, math.pi / 2, 25)[1:-1]
    turns = 2 * math.pi * np.arange(48) / 48
    rings = [
        (math.cos(a) * math.cos(t), math.cos(a) * math.sin(t), math.sin(a))
        for a in latitudes
        for t in turns
    ]
    points = radius_mm * np.array([*rings, (0, 0, -1), (0, 0, 1)]) + (0, 0, radius_mm)
    return Solid.hull(points).mesh()


def u_mesh() -> Mesh:
    """Two pillars 10 x 10 mm, 30 and 26 mm high, on a foot 40 x 10 x 8 mm."""
    foot = Box((-20.0, -5.0, 0.0), (20.0, 5.0, 8.0))
    high = Box((-20.0, -5.0, 4.0), (-10.0, 5.0, 30.0))
    low = Box((10.0, -5.0, 4.0), (20.0, 5.0, 26.0))
    return mesh_solid(Union((foot, high, low))).mesh()


def way(foot: tuple[float, float, float], top_mm: float, radius_mm: float) -> Channel:
    """A straight channel from a foot on the part's skin to the top plane."""
    x, y, z = foot
    neck = (x, y, z + 2.0)
    radii = (0.6 * radius_mm, radius_mm, radius_mm)
    return Channel((foot, neck, (x, y, top_mm)), radii, Pocket(foot, 100.0), "straight", 3.0)


def plan_for(
    mesh: Mesh,
    gate_at: tuple[float, float, float],
    vents_at: tuple[tuple[float, float, float], ...] = (),
    job: Job | None = None,
) -> MoldPlan:
    """A plan round a mesh in the casting frame, with the job's walls."""
    job = job or Job()
    low, high = mesh.bounds
    sides = np.array([job.rubber.wall_mm, job.rubber.wall_mm, 0.0])
    a = low - sides - (0.0, 0.0, job.rubber.below_mm)
    b = high + sides + (0.0, 0.0, job.rubber.above_mm)
    top = float(b[2])
    wishes = job.channels
    gate = Gate(
        way(gate_at, top, wishes.sprue_mm / 2),
        wishes.neck_mm,
        wishes.sprue_mm,
        wishes.funnel_diameter_mm,
        wishes.funnel_height_mm,
    )
    return MoldPlan(
        part=Part(mesh, "fitting", "fitting.stl", "0" * 64, LengthUnit.MM),
        pose=Pose(np.eye(3)),
        job=job,
        matrix=placement(),
        mesh=mesh,
        arrangement=job.arrangement or Arrangement.STANDING,
        block=Block(tuple(float(v) for v in a), tuple(float(v) for v in b)),  # type: ignore[arg-type]
        gate=gate,
        vents=tuple(way(v, top, wishes.vent_mm / 2) for v in vents_at),
        resin_pockets=(),
        rubber_pockets=(),
        connections=1 + len(vents_at),
        tilt_tolerance_deg=None,
        quantities=Quantities(NOTHING, 0.0, 0.0, NOTHING),
        loads=Loads(0.0, None, None, None),
        findings=(),
        cautions=(),
    )


def ball_plan(radius_mm: float = 12.0, job: Job | None = None) -> MoldPlan:
    """A ball with a gate on its top."""
    return plan_for(ball_mesh(radius_mm), (0.0, 0.0, 2.0 * radius_mm), job=job)


def u_plan(arrangement: Arrangement) -> MoldPlan:
    """The U with the gate on its higher pillar and a vent on the other."""
    job = Job(arrangement=arrangement)
    return plan_for(u_mesh(), (-15.0, 0.0, 30.0), ((15.0, 0.0, 26.0),), job)


@pytest.fixture(name="ball_plan")
def ball_plan_maker() -> Callable[..., MoldPlan]:
    return ball_plan


def aside(plan: MoldPlan) -> MoldPlan:
    """Its vent 3 mm off the middle, so that a drawing the wrong way round is seen."""
    vent = plan.vents[0]
    points = tuple((x, y + 3.0, z) for x, y, z in vent.points)
    return replace(plan, vents=(replace(vent, points=points),))


def on_rack(plan: MoldPlan, rack: Rack, box: BoxWishes) -> MoldPlan:
    """The plan with a box out of the boards of a rack."""
    job, mold = replace(plan.job, box=box, rack=rack), rubber("condensation-silicone")
    loads = replace(plan.loads, walls=plan_walls(plan.block, job.printing, mold))
    boards = plan_boards(job, plan.block, plan.mesh, plan.matrix, loads, mold)
    return replace(plan, job=job, boards=boards, loads=with_boards(loads, boards, job, mold))


@pytest.fixture(name="u_on_rack")
def u_on_rack_maker() -> Callable[[Rack, BoxWishes], MoldPlan]:
    """Makes the U standing in a box out of the boards of a rack, its vent off the middle."""
    return lambda rack, box: on_rack(aside(u_plan(Arrangement.STANDING)), rack, box)


@pytest.fixture(name="u_plan")
def u_plan_maker() -> Callable[[Arrangement], MoldPlan]:
    return u_plan


@pytest.fixture(scope="session", params=Arrangement, ids=lambda way: way.value)
def u_set(request: pytest.FixtureRequest) -> MoldSet:
    """The set of the U, standing and hung."""
    return build_set(u_plan(request.param))
